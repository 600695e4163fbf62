//! The cards of all decks in one collection, each with the home it stands in.

use std::collections::{BTreeMap, BTreeSet};

use super::homes::Homes;
use super::{At, Decks, DepartmentLabels};
use crate::deck::Value;
use crate::deck::outline::CardText;
use crate::merge::algebra::{self, Entry, Open, Outcome, sequence, whole};
use crate::merge::card::{MergedCard, OpenField};
use crate::merge::deck::{Content, as_edit, one_card};
use crate::merge::renames::own_id;
use crate::merge::versions::with_open;

/// A card's id; for ids that stand more than once on a side also its home and its number there, so
/// that a broken department loses none.
type Key = (String, String, usize);

/// A card where it stands.
#[derive(Clone, Copy)]
struct Item<'a> {
    card: &'a CardText,
    home: &'a str,
    deck: &'a str,
}

/// The cards of one side, or of the base.
#[derive(Default)]
struct Side<'a> {
    items: BTreeMap<Key, Item<'a>>,
    orders: BTreeMap<&'a str, Vec<Key>>,
}

/// All cards.
pub(super) struct Collection<'a> {
    base: Side<'a>,
    sides: Vec<Side<'a>>,
}

/// The merged cards of one home, and card and field of what is open among them.
#[derive(Default)]
pub(super) struct Cards {
    pub cards: Vec<CardText>,
    pub undecided: Vec<(String, String)>,
}

/// A card with its home and the fields that are open.
type Placed = (CardText, Vec<String>);

impl<'a> Collection<'a> {
    pub(super) fn new(base: &'a Decks, sides: &'a [Decks], homes: &'a Homes) -> Self {
        let repeated: BTreeSet<&str> = sides.iter().chain([base]).flat_map(repeated).collect();
        let side = |number: Option<usize>, decks: &'a Decks| Side::new(decks, homes, number, &repeated);
        let sides = sides.iter().enumerate().map(|(number, decks)| side(Some(number), decks));
        Self { base: side(None, base), sides: sides.collect() }
    }

    /// The cards of each home, in one order.
    pub(super) fn merge(&self, homes: &'a Homes, labels: &DepartmentLabels<'_>) -> BTreeMap<&'a str, Cards> {
        let keys: BTreeSet<&Key> = self.sides.iter().chain([&self.base]).flat_map(|side| side.items.keys()).collect();
        let mut placed: BTreeMap<&'a str, BTreeMap<Key, Placed>> = BTreeMap::new();
        for key in keys {
            let base = self.base.items.get(key);
            let sides: Vec<Option<&Item<'a>>> = self.sides.iter().map(|side| side.items.get(key)).collect();
            if let Some((home, card)) = merge_item(base, &sides, homes, labels) {
                placed.entry(home).or_default().insert(key.clone(), card);
            }
        }
        placed.into_iter().map(|(home, cards)| (home, self.ordered(home, cards))).collect()
    }

    fn ordered(&self, home: &str, mut cards: BTreeMap<Key, Placed>) -> Cards {
        let none = Vec::new();
        let base = self.base.orders.get(home).unwrap_or(&none);
        // A side without the deck says nothing about the order in it.
        let sides: Vec<&[Key]> =
            self.sides.iter().map(|side| side.orders.get(home).unwrap_or(base).as_slice()).collect();
        let kept: BTreeSet<Key> = cards.keys().cloned().collect();
        let mut order = if sides.iter().all(|side| *side == base.as_slice()) && base.len() == kept.len() {
            base.clone()
        } else {
            sequence(base, &sides, &kept)
        };
        // A card that is back in its old home although no side has it there stands at the end.
        let ordered: BTreeSet<&Key> = order.iter().collect();
        let rest: Vec<Key> = kept.iter().filter(|key| !ordered.contains(key)).cloned().collect();
        order.extend(rest);
        let mut merged = Cards::default();
        for key in order {
            let Some((card, open)) = cards.remove(&key) else { continue };
            merged.undecided.extend(open.into_iter().map(|field| (card.id.clone(), field)));
            merged.cards.push(card);
        }
        merged
    }
}

impl<'a> Side<'a> {
    fn new(decks: &'a Decks, homes: &'a Homes, number: Option<usize>, repeated: &BTreeSet<&str>) -> Self {
        let mut side = Self::default();
        let mut counts: BTreeMap<(&str, &str), usize> = BTreeMap::new();
        for (name, deck) in decks {
            let home = homes.of(number, name);
            let order = side.orders.entry(home).or_default();
            for card in &deck.cards {
                let key = if repeated.contains(card.id.as_str()) {
                    let count = counts.entry((card.id.as_str(), home)).or_default();
                    *count += 1;
                    (card.id.clone(), home.to_owned(), *count)
                } else {
                    (card.id.clone(), String::new(), 0)
                };
                order.push(key.clone());
                side.items.insert(key, Item { card, home, deck: name });
            }
        }
        side
    }
}

/// Ids that stand more than once, and the missing one.
fn repeated(decks: &Decks) -> BTreeSet<&str> {
    let mut seen = BTreeSet::new();
    let ids = decks.values().flat_map(|deck| &deck.cards).map(|card| card.id.as_str());
    ids.filter(|id| !seen.insert(*id) || id.is_empty()).collect()
}

/// What one card came to, and its home; `None` when it is gone.
fn merge_item<'a>(
    base: Option<&Item<'a>>,
    sides: &[Option<&Item<'a>>],
    homes: &'a Homes,
    labels: &DepartmentLabels<'_>,
) -> Option<(&'a str, Placed)> {
    if let Some(base) = base.filter(|base| sides.iter().all(|side| side.is_some_and(|side| untouched(base, side)))) {
        return Some((base.home, (base.card.clone(), Vec::new())));
    }
    let value = |item: &Item<'a>| (Content::of(item.card), item.home);
    let base_value = base.map(value);
    let side_values: Vec<Option<(Content, &str)>> = sides.iter().map(|side| side.map(value)).collect();
    let refs: Vec<Option<&(Content, &str)>> = side_values.iter().map(Option::as_ref).collect();
    let removal = match algebra::entry(base_value.as_ref(), &refs, |_, _| ())? {
        Entry::Merged(()) => None,
        Entry::Open { open, .. } => Some(open),
    };
    let cards: Vec<Option<&CardText>> = sides.iter().map(|side| side.map(|side| side.card)).collect();
    let (mut card, mut result) = one_card(base.map(|base| base.card), &cards);
    result.open.extend(removal.map(|open| OpenField { name: "card".to_owned(), open: as_edit(&open) }));
    let home = home(base, sides, homes, &mut result);
    let label = |side: usize, field: &str, value: Option<&Value>| {
        let deck = sides[side].or(base).map_or("", |item| item.deck);
        let id = sides[side].or(base).map_or(card.id.as_str(), |item| own_id(item.card));
        labels(&At { side, deck, card: id, field, value })
    };
    let is_open = !result.open.is_empty() || !result.joined.is_empty();
    let (fields, open) = with_open(result, &label);
    if is_open {
        card.fields = fields;
        card.raw.clear();
    }
    Some((home, (card, open)))
}

/// Whether a side has the card as the base has it, to the last blank.
fn untouched(base: &Item<'_>, side: &Item<'_>) -> bool {
    base.home == side.home && (std::ptr::eq(base.card, side.card) || base.card == side.card)
}

/// The home of a card. One moved to two is in the one whose name comes first, and `deck` is open.
fn home<'a>(
    base: Option<&Item<'a>>,
    sides: &[Option<&Item<'a>>],
    homes: &'a Homes,
    result: &mut MergedCard,
) -> &'a str {
    let base_home = base.map(|base| base.home);
    // A side that took the card out says nothing about where it stands.
    let side_homes: Vec<Option<&'a str>> = sides.iter().map(|side| side.map(|side| side.home).or(base_home)).collect();
    let present: Vec<Option<&&'a str>> = side_homes.iter().map(Option::as_ref).collect();
    let present = if base.is_none() { present.into_iter().filter(Option::is_some).collect() } else { present };
    match whole(base_home.as_ref(), &present) {
        Outcome::Resolved(home) => home.unwrap_or_default(),
        Outcome::Open(_) => {
            let name = |home: &str| Value::from(homes.name(home));
            let names = side_homes.iter().enumerate().filter_map(|(side, home)| Some((side, Some(name((*home)?)))));
            let open = Open::new(base_home.map(name), names.collect::<Vec<_>>());
            result.open.push(OpenField { name: "deck".to_owned(), open });
            let moved = side_homes.iter().flatten().copied().filter(|home| Some(*home) != base_home);
            moved.min_by_key(|home| homes.name(home)).unwrap_or_default()
        }
    }
}
