//! The answers as evidence: whether two of them can be the same, in view of what was asked.

use super::Questions;
use super::asked::{Answers, Asked};
use super::terms::Terms;
use crate::text::normal::meaning_stems;
use crate::text::relations::stems_agree;
use std::collections::BTreeSet;

/// A question with what it was read from.
pub(super) struct Side<'q, Q: ?Sized> {
    pub(super) asked: &'q Asked,
    pub(super) all: &'q Q,
    pub(super) number: usize,
}

/// Whether either answer says what the other says. What a question says already, its answer may repeat
/// or not: `The Pacific` and `The Pacific Ocean` for `Which ocean …?`.
pub(super) fn answers_agree<Q: Questions + ?Sized>(terms: &Terms, one: Side<'_, Q>, other: Side<'_, Q>) -> bool {
    if one.same_answer(&other) {
        return true;
    }
    let asked = |stem: &String| {
        [&one, &other].iter().flat_map(|side| &side.asked.stems).any(|asked| stems_agree(terms.name(*asked), stem))
    };
    let new = |side: &Side<'_, Q>| side.said().into_iter().filter(|stem| !asked(stem)).collect::<BTreeSet<_>>();
    let (mine, theirs) = (new(&one), new(&other));
    let (fewer, more) = if mine.len() <= theirs.len() { (&mine, &theirs) } else { (&theirs, &mine) };
    !fewer.is_empty()
        && values(fewer) == values(more)
        && had(fewer, more) == fewer.len()
        && 2 * had(more, fewer) >= more.len()
}

impl<Q: Questions + ?Sized> Side<'_, Q> {
    fn said(&self) -> BTreeSet<String> {
        self.all.answer(self.number).iter().flat_map(|point| meaning_stems(point)).collect()
    }

    /// Whether one of them counts as right what the other answers.
    fn same_answer(&self, other: &Self) -> bool {
        let (mine, other) = (self.answers(), other.answers());
        mine.wordings.contains(&other.whole) || other.wordings.contains(&mine.whole)
    }

    fn answers(&self) -> &Answers {
        self.asked.answers(|| (self.all.answer(self.number), self.all.accept(self.number)))
    }
}

fn values(stems: &BTreeSet<String>) -> BTreeSet<&String> {
    stems.iter().filter(|stem| stem.contains(|c: char| c.is_ascii_digit())).collect()
}

/// How many stems of one are among the others.
fn had(from: &BTreeSet<String>, others: &BTreeSet<String>) -> usize {
    from.iter().filter(|stem| others.contains(*stem) || others.iter().any(|other| stems_agree(other, stem))).count()
}
