//! How the cards that lean on changed notes stood to them before, and how they stand now.

use std::collections::BTreeSet;

use rayon::join;

use super::model::{Leaning, NotesChange};
use super::notes;
use super::renames::renames;
use crate::check::states;
use crate::deck::Department;

/// The sections of the notes that differ and have cards, with the state of these before and now.
pub fn leaned_on(before: &Department, now: &Department) -> Vec<NotesChange> {
    let (mut sections, _) = notes::changes(before, now, &renames(before, now));
    sections.retain(|section| !section.cards.is_empty());
    add(&mut sections, before, now);
    sections
}

/// Adds to each section the state of the cards that were made from it.
pub(super) fn add(sections: &mut [NotesChange], before: &Department, now: &Department) {
    let wanted: BTreeSet<String> = sections.iter().flat_map(|section| section.cards.iter().cloned()).collect();
    if wanted.is_empty() {
        return;
    }
    let (was, is) = join(|| states(before, &wanted), || states(now, &wanted));
    for section in sections {
        let leaning = |card: &String| Leaning {
            card: card.clone(),
            before: was.get(card).map(|state| state.word()),
            now: is.get(card).map(|state| state.word()),
        };
        section.leaning = section.cards.iter().map(leaning).collect();
    }
}
