//! Two departments compared.

use std::collections::{BTreeMap, BTreeSet};

use rayon::prelude::*;

use super::cards::{self, Kept, Typed};
use super::fields::{FieldChange, field_changes};
use super::model::{CardChange, Changes, DeckChange, DeckState};
use super::order::out_of_place;
use super::pairs::{At, Pairs, pairs};
use super::renames::renames;
use super::values::Values;
use super::{notes, pictures, settings};
use crate::deck::{Deck, Department, Value};

/// What changed from `before` to `now`.
///
/// Decks whose text is the same in both are not looked into. The result is the same, in the same
/// order, at any number of threads.
pub fn changes(before: &Department, now: &Department) -> Changes {
    let renames = renames(before, now);
    let (notes, reformatted_notes) = notes::changes(before, now, &renames);
    let (settings, reformatted_settings) = settings::changes(&before.settings, &now.settings);
    Changes {
        decks: decks(before, now, &renames),
        notes,
        pictures: pictures::changes(before, now, &renames),
        settings,
        reformatted_files: reformatted_notes + usize::from(reformatted_settings),
    }
}

fn decks<'a>(before: &'a Department, now: &'a Department, renames: &BTreeMap<&'a str, &'a str>) -> Vec<DeckChange> {
    let home = |deck: &'a Deck| renames.get(deck.name.as_str()).copied().unwrap_or(&deck.name);
    let was: BTreeMap<&str, &Deck> = before.decks.iter().map(|deck| (home(deck), deck)).collect();
    let is: BTreeMap<&str, &Deck> = now.decks.iter().map(|deck| (deck.name.as_str(), deck)).collect();
    let names: BTreeSet<&str> = was.keys().chain(is.keys()).copied().collect();
    let differ = |name: &&&str| !same_text(was.get(**name).copied(), is.get(**name).copied());
    let names: Vec<&str> = names.iter().filter(differ).copied().collect();
    let sides: Vec<Sides<'_>> =
        names.par_iter().map(|name| Sides::new(name, was.get(name).copied(), is.get(name).copied())).collect();
    let cards = cards_of(&sides);
    sides.iter().zip(cards).filter_map(|(side, cards)| side.change(cards)).collect()
}

fn same_text(before: Option<&Deck>, now: Option<&Deck>) -> bool {
    matches!((before, now), (Some(before), Some(now)) if before.name == now.name && before.file.text == now.file.text)
}

/// A deck that differs, as it was and as it is.
struct Sides<'a> {
    name: &'a str,
    before: Option<(&'a Deck, Typed)>,
    now: Option<(&'a Deck, Typed)>,
}

impl<'a> Sides<'a> {
    fn new(name: &'a str, before: Option<&'a Deck>, now: Option<&'a Deck>) -> Self {
        let read = |deck: &'a Deck| (deck, Typed::read(deck));
        Self { name, before: before.map(read), now: now.map(read) }
    }

    fn cards_before(&self) -> Vec<At<'a>> {
        self.before.as_ref().map_or_else(Vec::new, |(deck, _)| places(deck, self.name))
    }

    fn cards_now(&self) -> Vec<At<'a>> {
        self.now.as_ref().map_or_else(Vec::new, |(deck, _)| places(deck, self.name))
    }

    /// What changed in the deck; nothing when all that happened to it is that cards left it for another.
    fn change(&self, cards: DeckCards) -> Option<DeckChange> {
        let deck_before = self.before.as_ref().map(|(deck, _)| *deck);
        let deck_now = self.now.as_ref().map(|(deck, _)| *deck);
        let state = match (deck_before, deck_now) {
            (None, _) => DeckState::Added,
            (_, None) => DeckState::Removed,
            (Some(before), Some(now)) if before.name != now.name => DeckState::Renamed,
            _ => DeckState::Kept,
        };
        let fields = match (deck_before, deck_now) {
            (Some(before), Some(now)) => deck_fields(before, now),
            _ => Vec::new(),
        };
        let quiet = state == DeckState::Kept && fields.is_empty() && cards.is_quiet();
        (!quiet || !cards.left).then(|| DeckChange {
            deck: self.name.to_owned(),
            topic: deck_now.or(deck_before).map_or_else(String::new, |deck| deck.topic().to_owned()),
            from: deck_before.filter(|_| state == DeckState::Renamed).map(|deck| deck.name.clone()),
            state,
            fields,
            cards: cards.changes,
            reordered: cards.reordered,
            reformatted: cards.reformatted,
            layout_only: quiet,
        })
    }
}

fn places<'a>(deck: &'a Deck, home: &'a str) -> Vec<At<'a>> {
    deck.cards.iter().enumerate().map(|(place, card)| At { deck, card, place, home }).collect()
}

/// What differs in title and year group.
fn deck_fields(before: &Deck, now: &Deck) -> Vec<FieldChange> {
    let fields = |deck: &Deck| -> Values {
        let title = deck.title.as_ref().map(|title| ("title".to_owned(), Value::from(&**title)));
        let year = deck.year.map(|(year, _)| ("year".to_owned(), Value::Text(year.to_string())));
        title.into_iter().chain(year).collect()
    };
    field_changes(&fields(before), &fields(now))
}

/// What happened to the cards of one deck.
#[derive(Default)]
struct DeckCards {
    changes: Vec<CardChange>,
    reordered: usize,
    reformatted: usize,
    /// Whether cards moved from it to another deck.
    left: bool,
}

impl DeckCards {
    fn is_quiet(&self) -> bool {
        self.changes.is_empty() && self.reordered == 0 && self.reformatted == 0
    }
}

/// The changes of the cards, for each of the decks.
fn cards_of(sides: &[Sides<'_>]) -> Vec<DeckCards> {
    let pairs =
        pairs(sides.iter().flat_map(Sides::cards_before).collect(), sides.iter().flat_map(Sides::cards_now).collect());
    let at: BTreeMap<&str, usize> = sides.iter().enumerate().map(|(at, side)| (side.name, at)).collect();
    let before = |card: &At<'_>| sides[at[card.home]].before.as_ref().map(|(_, typed)| typed);
    let now = |card: &At<'_>| sides[at[card.home]].now.as_ref().map(|(_, typed)| typed);
    let nothing = Typed::default();
    let kept: Vec<Kept> = pairs
        .both
        .par_iter()
        .map(|(one, other)| {
            cards::kept((one, before(one).unwrap_or(&nothing)), (other, now(other).unwrap_or(&nothing)))
        })
        .collect();
    let mut decks: Vec<Vec<(usize, CardChange)>> = sides.iter().map(|_| Vec::new()).collect();
    let mut out: Vec<DeckCards> = sides.iter().map(|_| DeckCards::default()).collect();
    count_reordered(&pairs, &kept, &at, &mut out);
    for ((was, card), kept) in pairs.both.iter().zip(kept) {
        out[at[was.home]].left |= was.home != card.home;
        match kept {
            Kept::Changed(change) => decks[at[card.home]].push((card.place, change)),
            Kept::Reformatted => out[at[card.home]].reformatted += 1,
            Kept::Same => {}
        }
    }
    for card in &pairs.added {
        decks[at[card.home]].push((card.place, cards::added(card, now(card).unwrap_or(&nothing))));
    }
    for (deck, changes) in decks.into_iter().enumerate() {
        out[deck].changes = in_order(changes);
    }
    let mut gone: Vec<&At<'_>> = pairs.removed.iter().collect();
    gone.sort_by_key(|card| (card.home, card.place));
    for card in gone {
        out[at[card.home]].changes.push(cards::removed(card, before(card).unwrap_or(&nothing)));
    }
    out
}

/// Counts the cards that stand in another place of their deck and say the same.
fn count_reordered(pairs: &Pairs<'_>, kept: &[Kept], at: &BTreeMap<&str, usize>, out: &mut [DeckCards]) {
    let mut orders: BTreeMap<&str, Vec<(usize, usize, bool)>> = BTreeMap::new();
    for ((before, now), kept) in pairs.both.iter().zip(kept) {
        if before.home == now.home {
            let quiet = !matches!(kept, Kept::Changed(_));
            orders.entry(now.home).or_default().push((now.place, before.place, quiet));
        }
    }
    for (home, mut order) in orders {
        order.sort_unstable();
        let moved = out_of_place(&order.iter().map(|(_, before, _)| *before).collect::<Vec<_>>());
        out[at[home]].reordered = order.iter().zip(moved).filter(|((_, _, quiet), moved)| *quiet && *moved).count();
    }
}

fn in_order(mut changes: Vec<(usize, CardChange)>) -> Vec<CardChange> {
    changes.sort_by_key(|(place, _)| *place);
    changes.into_iter().map(|(_, change)| change).collect()
}

#[cfg(test)]
mod tests;
