//! More than, at least, must and may, the longest and the second longest.

use super::{Difference, FactKind, Touch, View};
use crate::source::reading::Token;
use crate::text::{Form, Number, Value, grade_of, words};

impl View<'_> {
    pub(super) fn comparisons(&self, out: &mut Vec<Difference>) {
        for (at, other) in self.pairs() {
            let (mine, theirs) = (self.quote.tokens[at].bound(), self.passage.tokens[other].bound());
            if mine == theirs || self.touch[at] == Touch::Nothing {
                continue;
            }
            let mut difference = self.difference(FactKind::Comparison, at, Some(other));
            // Each side's own words: `up to 34 knots`, and not what they come to.
            let (card_at, notes_at) =
                (self.quote.tokens[at].bounded.clone(), self.passage.tokens[other].bounded.clone());
            difference.card = self.quote.text[card_at.clone()].to_string();
            difference.notes = Some(self.passage.text[notes_at.clone()].to_string());
            (difference.card_at, difference.notes_at) = (card_at, Some(notes_at));
            out.push(difference);
        }
        out.extend(self.pairs().find_map(|(at, other)| self.stretched(at, other)));
        out.extend(self.rescaled());
        out.extend(self.pairs().find_map(|(at, other)| self.counted(at, other)));
    }

    /// A number that is the end of a range now, or multiplied: `34 to 40 knots`, `twice 34 knots`.
    fn stretched(&self, at: usize, other: usize) -> Option<Difference> {
        let value = self.quote.tokens[at].value().filter(|_| self.touch[at] != Touch::Nothing)?;
        let tokens = self.passage.tokens;
        let joined = |first: usize, second: usize| {
            let gap = self.passage.text[tokens[first].span.end..tokens[second].span.start].trim();
            matches!(gap, "-" | "to")
        };
        let kind = |token: usize| {
            self.free(token) && tokens[token].value().is_some_and(|other| value.same_kind(other) || !value.has_unit())
        };
        let after =
            (other + 1 < tokens.len() && kind(other + 1) && joined(other, other + 1)).then_some(other..other + 2);
        let per = |token: usize| self.passage.text[..tokens[token].span.start].trim_end().ends_with(" per");
        let before = other
            .checked_sub(1)
            .filter(|before| kind(*before) && joined(*before, other) && !per(*before))
            .map(|before| before..other + 1);
        let multiplied = || {
            let multiplies = |text: &str| {
                text.split_whitespace().next_back().is_some_and(|word| {
                    matches!(
                        word.to_lowercase().as_str(),
                        "twice" | "double" | "thrice" | "triple" | "treble" | "times"
                    )
                })
            };
            let now = multiplies(&self.passage.text[..tokens[other].span.start]);
            (now && !multiplies(&self.quote.text[..self.quote.tokens[at].span.start])).then_some(other..other + 1)
        };
        let range = after.or(before).or_else(multiplied)?;
        let mut difference = self.difference(FactKind::Comparison, at, Some(other));
        let mut start = tokens[range.start].span.start;
        if range.len() == 1 {
            start = self.passage.text[..start].trim_end().rfind(' ').map_or(0, |space| space + 1);
        }
        let whole = start..tokens[range.end - 1].span.end;
        difference.notes = Some(self.passage.text[whole.clone()].to_string());
        difference.notes_at = Some(whole);
        Some(difference)
    }

    /// `two characters` for `a character`.
    fn counted(&self, at: usize, other: usize) -> Option<Difference> {
        let before = other.checked_sub(1).filter(|before| self.free(*before) && self.touch[at] != Touch::Nothing)?;
        let (number, named) = (&self.passage.tokens[before], &self.passage.tokens[other]);
        let Value::Quantity { number: many, form: Form::Cardinal, unit: None } = number.value()? else { return None };
        let single = self.quote.text[..self.quote.tokens[at].span.start].trim_end();
        let single =
            single.rsplit(' ').next().filter(|word| matches!(word.to_lowercase().as_str(), "a" | "an" | "one"))?;
        let beside = self.passage.text[number.span.end..named.span.start] == *" ";
        (beside && *many != Number::ONE).then(|| {
            let end = self.quote.tokens[at].span.start;
            let start = self.quote.text[..end].trim_end().len() - single.len();
            let card_at = start..self.quote.tokens[at].span.end;
            let notes_at = number.span.start..named.span.end;
            Difference {
                card: self.quote.text[card_at.clone()].to_string(),
                notes: Some(self.passage.text[notes_at.clone()].to_string()),
                card_at,
                notes_at: Some(notes_at),
                ..self.difference(FactKind::Number, at, Some(before))
            }
        })
    }

    /// A word of one class gave way to one of another on the same scale: `must` for `may`, `although` for
    /// `because`.
    fn rescaled(&self) -> Option<Difference> {
        let find = |text: &str, class: &[&str]| {
            words(text).find(|word| class.contains(&word.to_lowercase().as_str())).map(str::to_string)
        };
        let (quote, passage) = (self.quote.text, self.passage.text);
        let turned = |scale: &[&[&str]], from: usize, to: usize| {
            let (card, notes) = (find(quote, scale[from])?, find(passage, scale[to])?);
            (find(quote, scale[to]).is_none() && find(passage, scale[from]).is_none()).then_some((card, notes))
        };
        let (card, notes) = SCALES.iter().find_map(|scale| {
            let pairs = (0..scale.len()).flat_map(|from| (0..scale.len()).map(move |to| (from, to)));
            pairs.filter(|(from, to)| from != to).find_map(|(from, to)| turned(scale, from, to))
        })?;
        let at = quote.find(&card)?;
        let notes_at = passage.find(&notes)?;
        Some(Difference {
            kind: FactKind::Comparison,
            card_at: at..at + card.len(),
            notes_at: Some(notes_at..notes_at + notes.len()),
            card,
            notes: Some(notes),
            answers: false,
            certain: true,
        })
    }

    /// `the second longest` and `one of the longest` are not the longest.
    pub(super) fn ranks(&self, out: &mut Vec<Difference>) {
        for (at, other) in self.pairs() {
            let superlative = grade_of(&self.quote.text[self.quote.tokens[at].span.clone()]) == Some("est");
            let ranked = |tokens: &[Token], at: usize| {
                at.checked_sub(1).is_some_and(|before| {
                    tokens[before].value().is_some_and(|value| !value.has_unit())
                        && tokens[before].clause == tokens[at].clause
                })
            };
            let near = self.touch[at] != Touch::Nothing || self.near_answer(at);
            let one_of_many = |text: &str, tokens: &[Token], at: usize| {
                let before = text[..tokens[at].span.start].trim_end().to_lowercase();
                ["among the", "one of the", "some of the"].iter().any(|lead| before.ends_with(lead))
            };
            if superlative
                && near
                && one_of_many(self.passage.text, self.passage.tokens, other)
                && !one_of_many(self.quote.text, self.quote.tokens, at)
            {
                out.push(self.difference(FactKind::Comparison, at, Some(other)));
            }
            if superlative
                && near
                && !ranked(self.quote.tokens, at)
                && ranked(self.passage.tokens, other)
                && self.free(other - 1)
            {
                out.push(self.difference(FactKind::Comparison, at, Some(other - 1)));
            }
        }
    }
}

/// Words that exclude each other in one place, by class.
const SCALES: [&[&[&str]]; 4] = [
    &[&["if", "provided"], &["unless"]],
    &[&["must", "needs", "need", "required", "compulsory"], &["may", "might", "can", "could", "optional"]],
    &[&["because", "owing", "due", "thanks", "therefore"], &["despite", "although", "though", "notwithstanding"]],
    &[&["always", "invariably"], &["usually", "generally", "normally", "mostly"], &["sometimes", "occasionally"]],
];
