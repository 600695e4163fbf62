//! Decks whose folder got another name.

use std::collections::{BTreeMap, BTreeSet};

use crate::deck::{Deck, Department};

/// Decks that are gone, each with the new deck that it became: the one that holds more than half of
/// its cards and took more than half of its own from it.
pub(super) fn renames<'a>(before: &'a Department, now: &'a Department) -> BTreeMap<&'a str, &'a str> {
    let gone = only_in(before, now);
    let new = only_in(now, before);
    let mut home: BTreeMap<&str, &Deck> = BTreeMap::new();
    for deck in &new {
        home.extend(ids(deck).map(|id| (id, *deck)));
    }
    let mut taken = BTreeSet::new();
    let mut renames = BTreeMap::new();
    for old in gone {
        let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
        for id in ids(old).collect::<BTreeSet<_>>() {
            if let Some(deck) = home.get(id) {
                *counts.entry(&deck.name).or_default() += 1;
            }
        }
        let enough = |deck: &&&Deck| {
            let count = counts.get(deck.name.as_str()).copied().unwrap_or_default();
            count * 2 > old.cards.len() && count * 2 > deck.cards.len()
        };
        let found = new.iter().find(enough).filter(|deck| taken.insert(&deck.name));
        renames.extend(found.map(|deck| (old.name.as_str(), deck.name.as_str())));
    }
    renames
}

/// The path of a file before, as it would be now.
pub(super) fn renamed_path(path: &str, renames: &BTreeMap<&str, &str>) -> String {
    for (old, new) in renames {
        let rest = path.strip_prefix("decks/").and_then(|path| path.strip_prefix(old)?.strip_prefix('/'));
        if let Some(rest) = rest {
            return format!("decks/{new}/{rest}");
        }
    }
    path.to_owned()
}

fn only_in<'a>(one: &'a Department, other: &Department) -> Vec<&'a Deck> {
    one.decks.iter().filter(|deck| other.deck(&deck.name).is_none()).collect()
}

fn ids(deck: &Deck) -> impl Iterator<Item = &str> {
    deck.cards.iter().map(|card| card.id.value.as_str()).filter(|id| !id.is_empty())
}
