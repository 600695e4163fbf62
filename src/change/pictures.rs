//! Which pictures look different under the same name.

use std::collections::BTreeMap;

use super::effect::Effect;
use super::model::PictureChange;
use super::renames::renamed_path;
use crate::deck::Department;
use crate::deck::department::join;

/// The pictures that are shown in both, with other bytes; by path.
pub(super) fn changes(before: &Department, now: &Department, renames: &BTreeMap<&str, &str>) -> Vec<PictureChange> {
    let was: BTreeMap<String, &[u8]> =
        before.pictures.iter().map(|(path, bytes)| (renamed_path(path, renames), &**bytes)).collect();
    let differs =
        |(path, bytes): &(&String, &std::sync::Arc<[u8]>)| was.get(*path).is_some_and(|old| *old != &***bytes);
    let mut changes: BTreeMap<String, PictureChange> = (now.pictures.iter().filter(differs))
        .map(|(path, _)| {
            (path.clone(), PictureChange { path: path.clone(), cards: Vec::new(), effect: Effect::Picture })
        })
        .collect();
    if !changes.is_empty() {
        show(&mut changes, now);
    }
    changes.into_values().collect()
}

/// Adds the cards that show the pictures.
fn show(changes: &mut BTreeMap<String, PictureChange>, now: &Department) {
    for (deck, card) in now.cards().filter(|(_, card)| !card.id.is_empty()) {
        for path in card.pictures.iter().filter_map(|picture| join(&deck.folder(), &picture.file)) {
            if let Some(change) =
                changes.get_mut(&path).filter(|change| change.cards.last().is_none_or(|last| *last != card.id.value))
            {
                change.cards.push(card.id.value.to_string());
            }
        }
    }
}
