//! A date that a sentence gives in parts: `In 1953 the sea came in on 31 January`.

use super::Token;
use crate::text::{Date, Value};

impl Token {
    /// Where the day and month of this whole date stand, in a sentence that gives its year as well.
    pub(crate) fn dated_in_parts(&self, tokens: &[Token]) -> Option<usize> {
        let Some(Value::Date(whole @ Date { year: Some(_), month: Some(_), .. })) = self.value() else { return None };
        let rest = Date { year: None, ..*whole };
        let year = Value::Date(Date { year: whole.year, ..Date::default() });
        tokens.iter().position(|token| {
            let day = matches!(token.value(), Some(Value::Date(date)) if date.year.is_none() && rest.is_within(date));
            let dated = |other: &Token| {
                other.sentence == token.sentence && other.value().is_some_and(|value| year.is_said_by(value))
            };
            day && token.negated == self.negated && tokens.iter().any(dated)
        })
    }

    /// Whether a date says this part of it as well: `31 January 1953` for `1953`.
    pub(crate) fn is_part_of_a_date(&self, tokens: &[Token]) -> bool {
        let whole = |token: &Token| matches!(token.value(), Some(Value::Date(date)) if date.month.is_some());
        self.value().is_some()
            && tokens.iter().any(|token| whole(token) && self.is_said_by(token) && token.negated == self.negated)
    }
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
        assert!(dated("31 January 1953", "In 1953 the sea came in on 31 January."));
        for other in [
            "In 1954 the sea came in on 31 January.",
            "In 1953 the sea came in on 30 January.",
            "In 1953 the sea came in. It was 31 January.",
            "The sea came in on 31 January.",
        ] {
            assert!(!dated("31 January 1953", other), "{other}");
        }
        assert!(!dated("1953", "In 1953 the sea came in on 31 January."), "a year has no parts");
    }
}
