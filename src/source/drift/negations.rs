//! Said and denied.

use super::spots::refuses;
use super::{Difference, FactKind, Read, Touch, View};
use crate::text::words;
use std::ops::Range;

impl View<'_> {
    pub(super) fn negations(&self, out: &mut Vec<Difference>) {
        let refusing = |text: &str| words(text).any(|word| refuses(&word.to_lowercase()));
        let (refused, refuses_now) = (refusing(self.quote.text), refusing(self.passage.text));
        let turned: Vec<(usize, usize)> = self
            .pairs()
            .filter(|(at, other)| {
                let (mine, theirs) = (&self.quote.tokens[*at], &self.passage.tokens[*other]);
                let touched = self.touch[*at] != Touch::Nothing || self.near_answer(*at);
                // `would not`, `refused to`
                let said_otherwise = refused != refuses_now && refused == theirs.negated;
                mine.negated != theirs.negated && touched && !said_otherwise
            })
            .collect();
        // One is enough: the others are in the reach of the same small word. The one right after it tells.
        let tells = |(at, other): &&(usize, usize)| {
            let spans = [(self.quote, with_before(self.quote, *at)), (self.passage, with_before(self.passage, *other))];
            spans.into_iter().any(|(read, span)| words(&read.text[span]).any(denies))
        };
        let Some(&(at, other)) = turned.iter().find(tells).or(turned.first()) else { return };
        let (card_at, notes_at) = (with_before(self.quote, at), with_before(self.passage, other));
        out.push(Difference {
            card: self.quote.text[card_at.clone()].to_string(),
            notes: Some(self.passage.text[notes_at.clone()].to_string()),
            card_at,
            notes_at: Some(notes_at),
            ..self.difference(FactKind::Negation, at, Some(other))
        });
    }
}

/// A word of a text with the small words before it, and with a denial that is a word of its own.
fn with_before(read: Read<'_>, at: usize) -> Range<usize> {
    let (text, tokens) = (read.text, read.tokens);
    let end_of = |before: usize| before.checked_sub(1).map_or(0, |before| tokens[before].span.end);
    let denial = at.checked_sub(1).filter(|before| denies(&text[tokens[*before].span.clone()]));
    let from = end_of(denial.unwrap_or(at));
    let lead = text[from..tokens[at].span.start].rfind([',', '.', ';', ':']).map_or(from, |stop| from + stop + 1);
    let start = lead + (text[lead..].len() - text[lead..].trim_start().len());
    start.min(tokens[at].span.start)..tokens[at].span.end
}

/// Whether a word denies what follows.
fn denies(word: &str) -> bool {
    let word = word.to_lowercase();
    word.ends_with("n't")
        || word.ends_with("n’t")
        || matches!(
            word.as_str(),
            "not"
                | "no"
                | "never"
                | "neither"
                | "nor"
                | "none"
                | "without"
                | "cannot"
                | "hardly"
                | "scarcely"
                | "rarely"
                | "seldom"
                | "nothing"
                | "nobody"
                | "nowhere"
        )
}
