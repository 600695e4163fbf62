//! The answers as evidence: whether two of them can be the same, in view of what was asked.

use super::Posed;
use super::asked::Asked;
use super::terms::Terms;
use crate::text::normal::meaning_stems;
use crate::text::relations::stems_agree;
use std::collections::BTreeSet;

/// A question with what it was read from.
#[derive(Clone, Copy)]
pub(super) struct Side<'q> {
    pub(super) asked: &'q Asked,
    pub(super) posed: &'q Posed<'q>,
}

/// Whether either answer says what the other says. What a question says already, its answer may repeat
/// or not: `The Pacific` and `The Pacific Ocean` for `Which ocean …?`.
pub(super) fn answers_agree(terms: &Terms, one: Side<'_>, other: Side<'_>) -> bool {
    if one.asked.same_answer(one.posed, other.asked, other.posed) {
        return true;
    }
    let asked = |stem: &String| {
        [one, other].iter().flat_map(|side| &side.asked.stems).any(|asked| stems_agree(terms.name(*asked), stem))
    };
    let new = |side: Side<'_>| said(side.posed).into_iter().filter(|stem| !asked(stem)).collect::<BTreeSet<_>>();
    let (mine, theirs) = (new(one), new(other));
    let (fewer, more) = if mine.len() <= theirs.len() { (&mine, &theirs) } else { (&theirs, &mine) };
    !fewer.is_empty()
        && values(fewer) == values(more)
        && had(fewer, more) == fewer.len()
        && 2 * had(more, fewer) >= more.len()
}

fn said(posed: &Posed<'_>) -> BTreeSet<String> {
    posed.answer.iter().flat_map(|point| meaning_stems(point)).collect()
}

fn values(stems: &BTreeSet<String>) -> BTreeSet<&String> {
    stems.iter().filter(|stem| stem.contains(|c: char| c.is_ascii_digit())).collect()
}

/// How many stems of one are among the others.
fn had(from: &BTreeSet<String>, others: &BTreeSet<String>) -> usize {
    from.iter().filter(|stem| others.contains(*stem) || others.iter().any(|other| stems_agree(other, stem))).count()
}
