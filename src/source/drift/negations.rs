//! Said and denied.

use super::spots::refuses;
use super::{Difference, FactKind, Read, Touch, View};
use crate::source::reading::{Token, denies};
use crate::text::words;
use std::ops::Range;

impl View<'_> {
    /// Whether a word, or the name that it is part of, stands once more, denied or not as it was: `The Pope would not
    /// end Henry's marriage, so Henry broke with Rome`.
    fn said_elsewhere(&self, at: usize) -> bool {
        let (quote, passage) = (self.quote.tokens, self.passage.tokens);
        let again = |mine: &Token| {
            let same = |to: &usize| passage[*to].is_same(mine) && passage[*to].negated == mine.negated;
            (0..passage.len()).filter(|to| self.free(*to)).any(|to| same(&to))
        };
        let named = at.checked_sub(1).filter(|before| {
            quote[at].is_name() && quote[*before].is_name() && quote[*before].span.end + 1 == quote[at].span.start
        });
        again(&quote[at]) || named.is_some_and(|before| again(&quote[before]))
    }

    pub(super) fn negations(&self, out: &mut Vec<Difference>) {
        let refusing = |text: &str| words(text).any(|word| refuses(&word.to_lowercase())) || keeps_from(text);
        let (refused, refuses_now) = (refusing(self.quote.text), refusing(self.passage.text));
        let turned = |touching: bool| -> Vec<(usize, usize)> {
            let fits = |(at, other): &(usize, usize)| {
                let (mine, theirs) = (&self.quote.tokens[*at], &self.passage.tokens[*other]);
                let touched = self.touch[*at] != Touch::Nothing || self.near_answer(*at);
                // `would not`, `refused to`
                let said_otherwise = refused != refuses_now && refused == theirs.negated;
                mine.negated != theirs.negated && touched == touching && !said_otherwise && !self.said_elsewhere(*at)
            };
            self.pairs().filter(fits).collect()
        };
        // What the card neither asks nor answers with may be denied: whether that matters, a person can tell.
        let certain = turned(true);
        let (turned, certain) = if certain.is_empty() { (turned(false), false) } else { (certain, true) };
        // One is enough: the others are in the reach of the same small word. The one right after it tells.
        let tells = |(at, other): &&(usize, usize)| {
            let spans = [(self.quote, with_before(self.quote, *at)), (self.passage, with_before(self.passage, *other))];
            spans.into_iter().any(|(read, span)| words(&read.text[span]).any(|word| denies(&word.to_lowercase())))
        };
        let Some(&(at, other)) = turned.iter().find(tells).or(turned.first()) else { return };
        let (card_at, notes_at) = (with_before(self.quote, at), with_before(self.passage, other));
        out.push(Difference {
            card: self.quote.text[card_at.clone()].to_string(),
            notes: Some(self.passage.text[notes_at.clone()].to_string()),
            card_at,
            notes_at: Some(notes_at),
            certain,
            ..self.difference(FactKind::Negation, at, Some(other))
        });
    }
}

/// Whether a text says that something keeps a thing from another, so that it does not come about.
fn keeps_from(text: &str) -> bool {
    let all: Vec<String> = words(text).map(str::to_lowercase).collect();
    let keeps = |at: &usize| matches!(all[*at].as_str(), "keep" | "keeps" | "kept" | "keeping" | "stop" | "stops");
    (0..all.len()).filter(keeps).any(|at| all[at..].iter().take(5).any(|word| word == "from"))
}

/// A word of a text with the small words before it, and with a denial that is a word of its own.
fn with_before(read: Read<'_>, at: usize) -> Range<usize> {
    let (text, tokens) = (read.text, read.tokens);
    let end_of = |before: usize| before.checked_sub(1).map_or(0, |before| tokens[before].span.end);
    let denial = at.checked_sub(1).filter(|before| denies(&text[tokens[*before].span.clone()].to_lowercase()));
    let from = end_of(denial.unwrap_or(at));
    let lead = text[from..tokens[at].span.start].rfind([',', '.', ';', ':']).map_or(from, |stop| from + stop + 1);
    let start = lead + (text[lead..].len() - text[lead..].trim_start().len());
    start.min(tokens[at].span.start)..tokens[at].span.end
}
