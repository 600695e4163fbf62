//! More than, at least, must and may, the longest and the second longest.

use super::{Difference, FactKind, Touch, View};
use crate::source::reading::{Bound, Token};
use crate::text::{grade_of, words};

impl View<'_> {
    pub(super) fn comparisons(&self, out: &mut Vec<Difference>) {
        for (at, other) in self.pairs() {
            let (mine, theirs) = (self.quote.tokens[at].bound(), self.passage.tokens[other].bound());
            if mine == theirs || self.touch[at] == Touch::Nothing {
                continue;
            }
            let mut difference = self.difference(FactKind::Comparison, at, Some(other));
            difference.card = worded(mine, &difference.card);
            difference.notes = difference.notes.map(|notes| worded(theirs, &notes));
            out.push(difference);
        }
        out.extend(self.pairs().find_map(|(at, other)| self.stretched(at, other)));
        out.extend(self.bidden());
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
        let before = other
            .checked_sub(1)
            .filter(|before| kind(*before) && joined(*before, other))
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

    /// `must` for `may`, or the other way.
    fn bidden(&self) -> Option<Difference> {
        let find = |text: &str, any: &[&str]| {
            words(text).find(|word| any.contains(&word.to_lowercase().as_str())).map(str::to_string)
        };
        let (must, may): (&[&str], &[&str]) =
            (&["must", "needs", "need", "required", "compulsory"], &["may", "might", "can", "could", "optional"]);
        let (quote, passage) = (self.quote.text, self.passage.text);
        let turned = |from: &[&str], to: &[&str]| {
            let (card, notes) = (find(quote, from)?, find(passage, to)?);
            (find(quote, to).is_none() && find(passage, from).is_none()).then_some((card, notes))
        };
        let (card, notes) = turned(must, may).or_else(|| turned(may, must))?;
        let at = quote.find(&card)?;
        let notes_at = passage.find(&notes)?;
        Some(Difference {
            kind: FactKind::Comparison,
            card_at: at..at + card.len(),
            notes_at: Some(notes_at..notes_at + notes.len()),
            card,
            notes: Some(notes),
            answers: false,
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

fn worded(bound: Bound, number: &str) -> String {
    let words = match bound {
        Bound::Is => return number.to_string(),
        Bound::Over => "more than",
        Bound::AtLeast => "at least",
        Bound::Under => "less than",
        Bound::AtMost => "at most",
    };
    format!("{words} {number}")
}
