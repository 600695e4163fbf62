//! How the cards that lean on changed notes stood to them before, and how they stand now.

use std::collections::BTreeSet;

use rayon::join;

use super::model::{Changes, Leaning};
use crate::check::states;
use crate::deck::Department;

/// Adds to each section of the notes the state of the cards that were made from it.
pub(super) fn add(changes: &mut Changes, before: &Department, now: &Department) {
    let wanted: BTreeSet<String> = changes.notes.iter().flat_map(|section| section.cards.iter().cloned()).collect();
    if wanted.is_empty() {
        return;
    }
    let (was, is) = join(|| states(before, &wanted), || states(now, &wanted));
    for section in &mut changes.notes {
        let leaning = |card: &String| Leaning {
            card: card.clone(),
            before: was.get(card).map(|state| state.word()),
            now: is.get(card).map(|state| state.word()),
        };
        section.leaning = section.cards.iter().map(leaning).collect();
    }
}
