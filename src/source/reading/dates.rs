//! A date that a sentence gives in parts: `In 1953 the sea came in on 31 January`.

use super::Token;
use crate::text::{Date, Form, Value};

impl Token {
    /// Where the two parts of this whole date stand in one sentence: its day and month, and its year; or its day,
    /// and its month and year.
    pub(crate) fn dated_in_parts(&self, tokens: &[Token]) -> Option<[usize; 2]> {
        let Some(Value::Date(whole @ Date { year: Some(_), month: Some(_), .. })) = self.value() else { return None };
        let year = Date { year: whole.year, ..Date::default() };
        let day_and_month = Date { year: None, ..*whole };
        let month_and_year = Date { day: None, ..*whole };
        let says = |at: usize, part: Date| tokens[at].value().is_some_and(|value| Value::Date(part).is_said_by(value));
        let day_of = |at: usize| {
            let no_year = matches!(tokens[at].value(), Some(Value::Date(date)) if date.year.is_none());
            no_year && says(at, day_and_month)
        };
        let both = |at: usize, rest: Date| {
            let beside = |other: &usize| tokens[*other].sentence == tokens[at].sentence && says(*other, rest);
            (0..tokens.len()).find(beside).map(|other| [at, other])
        };
        (0..tokens.len()).filter(|at| tokens[*at].negated == self.negated).find_map(|at| match whole.day {
            _ if day_of(at) => both(at, year),
            Some(day) if is_day_alone(tokens, at, day) => both(at, month_and_year),
            _ => None,
        })
    }

    /// Whether a date says this part of it as well: `31 January 1953` for `1953`.
    pub(crate) fn is_part_of_a_date(&self, tokens: &[Token]) -> bool {
        let whole = |token: &Token| matches!(token.value(), Some(Value::Date(date)) if date.month.is_some());
        self.value().is_some()
            && tokens.iter().any(|token| whole(token) && self.is_said_by(token) && token.negated == self.negated)
    }
}

/// Whether a token is the day of a month by itself: `on the 3rd, it opened`, but not `on the 3rd floor`.
fn is_day_alone(tokens: &[Token], at: usize, day: u8) -> bool {
    let token = &tokens[at];
    let counts = |next: &Token| next.sentence == token.sentence && next.span.start == token.span.end + 1;
    let Some(Value::Quantity { number, form: Form::Ordinal, unit: None }) = token.value() else { return false };
    token.role == "on" && number.as_whole() == Some(i64::from(day)) && !tokens.get(at + 1).is_some_and(counts)
}

#[cfg(test)]
mod tests {
    use super::super::read;
    use crate::source::weights::Weights;

    fn dated(date: &str, text: &str) -> bool {
        let weights = Weights::even();
        read(date, &weights)[0].dated_in_parts(&read(text, &weights)).is_some()
    }

    #[test]
    fn a_date_in_parts_is_the_date() {
        for parts in [
            "In 1953 the sea came in on 31 January.",
            "The sea came in in 1953, on the thirty-first of January.",
            "In January 1953, on the 31st, the sea came in.",
            "In January of 1953 the sea came in, on the 31st of the month.",
        ] {
            assert!(dated("31 January 1953", parts), "{parts}");
        }
        for other in [
            "In 1954 the sea came in on 31 January.",
            "In 1953 the sea came in on 30 January.",
            "In 1953 the sea came in. It was 31 January.",
            "The sea came in on 31 January.",
            "In January 1953, on the 30th, the sea came in.",
            "In January 1954, on the 31st, the sea came in.",
            "In January 1953 the sea came in for the 31st time.",
            "In January 1953 the sea came in on the 31st house.",
        ] {
            assert!(!dated("31 January 1953", other), "{other}");
        }
        assert!(!dated("1953", "In 1953 the sea came in on 31 January."), "a year has no parts");
    }
}
