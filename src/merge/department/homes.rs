//! Which deck of a side is which deck of the base, whatever its folder is called.

use std::collections::{BTreeMap, BTreeSet};

use super::Decks;
use crate::merge::algebra::{Open, Outcome, whole};

/// A home is a deck by the name that it has in the base; one that the base has not, by its own.
pub(super) struct Homes {
    base: BTreeMap<String, String>,
    sides: Vec<BTreeMap<String, String>>,
    /// The decks of the sides with their homes before any went into another.
    was: Vec<BTreeMap<String, String>>,
    names: BTreeMap<String, String>,
    open: BTreeMap<String, Open<String>>,
}

impl Homes {
    /// Finds the decks of each side again.
    ///
    /// A base deck that a side has no more is the new deck of that side that has most of its cards,
    /// if no other lost deck gave that one more. Else it went into the deck that has most of its
    /// cards, and whatever the other sides wrote into it goes there too. A deck of which no card is
    /// left anywhere was taken out.
    pub(super) fn new(base: &Decks, sides: &[Decks]) -> Self {
        let found: Vec<Found> = sides.iter().map(|side| Found::new(base, side)).collect();
        let mut homes = Self {
            base: base.keys().map(|name| (name.clone(), name.clone())).collect(),
            sides: found.iter().map(|found| found.homes.clone()).collect(),
            was: found.iter().map(|found| found.homes.clone()).collect(),
            names: BTreeMap::new(),
            open: BTreeMap::new(),
        };
        homes.decide_names();
        let mut into = homes.collisions();
        for found in &found {
            for (home, target) in &found.went_into {
                into.entry(home.clone()).or_default().insert(target.clone());
            }
        }
        homes.join(&into);
        homes
    }

    /// The home of a deck of a side, or of the base.
    pub(super) fn of(&self, side: Option<usize>, deck: &str) -> &str {
        let map = side.map_or(&self.base, |side| &self.sides[side]);
        map.get(deck).map_or("", String::as_str)
    }

    /// The deck of the base that a deck of a side was, before it went into another.
    pub(super) fn was(&self, side: usize, deck: &str) -> Option<&str> {
        self.was[side].get(deck).map(String::as_str)
    }

    /// What the home is called now.
    pub(super) fn name<'a>(&'a self, home: &'a str) -> &'a str {
        self.names.get(home).map_or(home, String::as_str)
    }

    /// The names, when sides gave it different new ones.
    pub(super) fn open_name(&self, home: &str) -> Option<&Open<String>> {
        self.open.get(home)
    }

    /// All homes.
    pub(super) fn all(&self) -> BTreeSet<&str> {
        let maps = self.sides.iter().chain([&self.base]);
        maps.flat_map(BTreeMap::values).map(String::as_str).collect()
    }

    /// The decks of a side, or of the base, that are called something else now.
    pub(super) fn folders(&self, side: Option<usize>) -> BTreeMap<String, String> {
        self.named(side, |was, home| was == home)
    }

    /// The decks of a side that went into another, with the name of that one.
    pub(super) fn joined(&self, side: usize) -> BTreeMap<String, String> {
        self.named(Some(side), |was, home| was != home)
    }

    fn named(&self, side: Option<usize>, wanted: impl Fn(&str, &str) -> bool) -> BTreeMap<String, String> {
        let map = side.map_or(&self.base, |side| &self.sides[side]);
        let was = |deck: &str| side.map_or(Some(deck), |side| self.was(side, deck)).unwrap_or_default().to_owned();
        let named = map.iter().filter(|(deck, home)| wanted(&was(deck), home));
        let named = named.map(|(deck, home)| (deck.clone(), self.name(home).to_owned()));
        named.filter(|(deck, name)| deck != name).collect()
    }

    fn decide_names(&mut self) {
        for home in self.base.keys() {
            let name = |side: &BTreeMap<String, String>| {
                let found = side.iter().find(|(_, other)| *other == home);
                found.map_or_else(|| home.clone(), |(deck, _)| deck.clone())
            };
            let names: Vec<String> = self.sides.iter().map(name).collect();
            let name = match whole(Some(home), &names.iter().map(Some).collect::<Vec<_>>()) {
                Outcome::Resolved(name) => name,
                Outcome::Open(open) => {
                    let least = open.sides().iter().find_map(|side| side.value.clone());
                    self.open.insert(home.clone(), open);
                    least
                }
            };
            self.names.extend(name.map(|name| (home.clone(), name)));
        }
    }

    /// Homes that came to have one name: all of them go into the first.
    fn collisions(&self) -> BTreeMap<String, BTreeSet<String>> {
        let mut by_name: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        for home in self.all() {
            by_name.entry(self.name(home)).or_default().push(home);
        }
        let mut into: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        for homes in by_name.values() {
            // A deck of the base comes before a new one.
            let first = homes.iter().find(|home| self.base.contains_key(**home)).unwrap_or(&homes[0]);
            for home in homes.iter().filter(|home| *home != first) {
                into.entry((*home).to_owned()).or_default().insert((*first).to_owned());
            }
        }
        into
    }

    /// Lets each home that went into another be that one; of those that went into each other, all are
    /// the first.
    fn join(&mut self, into: &BTreeMap<String, BTreeSet<String>>) {
        let step = |home: &String| into.get(home).and_then(BTreeSet::first).cloned();
        let target = |home: &str| -> String {
            let mut path = vec![home.to_owned()];
            while let Some(next) = path.last().and_then(step) {
                if let Some(start) = path.iter().position(|seen| *seen == next) {
                    path.drain(..start);
                    return path.into_iter().min().unwrap_or(next);
                }
                path.push(next);
            }
            path.pop().unwrap_or_default()
        };
        for map in self.sides.iter_mut().chain([&mut self.base]) {
            for home in map.values_mut() {
                *home = target(home);
            }
        }
    }
}

/// The decks of one side found again.
struct Found {
    homes: BTreeMap<String, String>,
    /// Homes that are no more on this side, and where most of their cards went.
    went_into: BTreeMap<String, String>,
}

impl Found {
    fn new(base: &Decks, side: &Decks) -> Self {
        let mut homes: BTreeMap<String, String> = side.keys().map(|name| (name.clone(), name.clone())).collect();
        let gone: Vec<&String> = base.keys().filter(|name| !side.contains_key(*name)).collect();
        if gone.is_empty() {
            return Self { homes, went_into: BTreeMap::new() };
        }
        let counts = counts(base, side, &gone);
        let (mut taken, mut matched) = (BTreeSet::new(), BTreeSet::new());
        for (_, from, to) in &counts {
            if !base.contains_key(*to) && !taken.contains(to) && !matched.contains(from) {
                taken.insert(*to);
                matched.insert(*from);
                homes.insert((*to).to_owned(), (*from).to_owned());
            }
        }
        let mut went_into: BTreeMap<String, String> = BTreeMap::new();
        for (_, from, to) in counts.iter().filter(|(_, from, _)| !matched.contains(from)) {
            went_into.entry((*from).to_owned()).or_insert_with(|| homes[*to].clone());
        }
        Self { homes, went_into }
    }
}

/// How many cards of each lost deck stand in which deck of the side, the most first.
fn counts<'a>(
    base: &'a Decks,
    side: &'a Decks,
    gone: &[&'a String],
) -> Vec<(std::cmp::Reverse<usize>, &'a str, &'a str)> {
    let mut where_now: BTreeMap<&str, &str> = BTreeMap::new();
    for (name, deck) in side {
        where_now.extend(deck.cards.iter().map(|card| (card.id.as_str(), name.as_str())));
    }
    let mut counts: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    for from in gone {
        let ids: BTreeSet<&str> = base[*from].cards.iter().map(|card| card.id.as_str()).collect();
        for id in ids.into_iter().filter(|id| !id.is_empty()) {
            if let Some(to) = where_now.get(id) {
                *counts.entry((from, to)).or_default() += 1;
            }
        }
    }
    let mut sorted: Vec<_> =
        counts.into_iter().map(|((from, to), count)| (std::cmp::Reverse(count), from, to)).collect();
    sorted.sort_unstable();
    sorted
}
