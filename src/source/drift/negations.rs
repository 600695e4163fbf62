//! Said and denied.

use super::spots::refuses;
use super::{Difference, FactKind, Touch, View};
use crate::source::reading::Token;
use crate::text::words;

impl View<'_> {
    pub(super) fn negations(&self, out: &mut Vec<Difference>) {
        let refusing = |text: &str| words(text).any(|word| refuses(&word.to_lowercase()));
        let (refused, refuses_now) = (refusing(self.quote.text), refusing(self.passage.text));
        for (at, other) in self.pairs() {
            let (mine, theirs) = (&self.quote.tokens[at], &self.passage.tokens[other]);
            if mine.negated == theirs.negated || (self.touch[at] == Touch::Nothing && !self.near_answer(at)) {
                continue;
            }
            // `would not`, `refused to`
            if refused != refuses_now && refused == theirs.negated {
                continue;
            }
            let mut difference = self.difference(FactKind::Negation, at, Some(other));
            let with_before = |text: &str, tokens: &[Token], at: usize| {
                let from = at.checked_sub(1).map_or(0, |before| tokens[before].span.end);
                let lead =
                    text[from..tokens[at].span.start].rfind([',', '.', ';', ':']).map_or(from, |stop| from + stop + 1);
                let start = lead + (text[lead..].len() - text[lead..].trim_start().len());
                start.min(tokens[at].span.start)..tokens[at].span.end
            };
            let notes_at = with_before(self.passage.text, self.passage.tokens, other);
            let card_at = with_before(self.quote.text, self.quote.tokens, at);
            difference.notes = Some(self.passage.text[notes_at.clone()].to_string());
            difference.card = self.quote.text[card_at.clone()].to_string();
            (difference.notes_at, difference.card_at) = (Some(notes_at), card_at);
            // One is enough: the others are in the reach of the same small word.
            return out.push(difference);
        }
    }
}
