//! What a department should be after a merge, by the words of the design: plain maps, and none of the
//! crate's code.

use std::collections::{BTreeMap, BTreeSet};

use super::called;
use super::department::{Department, ids};
use super::model::Card;

/// Values of an undecided field; `None` where somebody took it out.
pub type Values = BTreeSet<Option<Vec<String>>>;

/// What a department should be after a merge, or is.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Expected {
    /// Cards by id: deck, and the fields that are decided.
    pub cards: BTreeMap<String, (String, BTreeMap<String, Vec<String>>)>,
    /// Decks with their titles.
    pub decks: BTreeMap<String, String>,
    /// Card (or the deck itself, with a slash before it) and field of what is undecided.
    pub undecided: BTreeMap<(String, String), Values>,
}

/// The oracle: merges by the words of the design.
pub fn oracle(base: &Department, sides: &[Department]) -> Expected {
    let mut sides = sides.to_vec();
    let base = &called::with_ids(base);
    called::follow(base, &mut sides);
    tell_apart(base, &mut sides);
    let homes = Homes::new(base, &sides);
    let mut expected = Expected::default();
    let old = homes.cards(None, base);
    let new: Vec<_> = sides.iter().enumerate().map(|(side, decks)| homes.cards(Some(side), decks)).collect();
    let ids: BTreeSet<&String> = old.keys().chain(new.iter().flat_map(BTreeMap::keys)).collect();
    for id in ids {
        let sides: Vec<Option<&Placed>> = new.iter().map(|side| side.get(id)).collect();
        card(id, old.get(id), &sides, &homes, &mut expected);
    }
    let filled: BTreeSet<String> = expected.cards.values().map(|(deck, _)| deck.clone()).collect();
    for home in homes.all() {
        deck(&home, base, &sides, &homes, &filled, &mut expected);
    }
    expected
}

/// A home and a card's fields.
type Placed = (String, BTreeMap<&'static str, Vec<String>>);

fn tell_apart(base: &Department, sides: &mut [Department]) {
    let old = ids(base);
    for id in sides.iter().flat_map(ids).collect::<BTreeSet<_>>().difference(&old) {
        let asked = |side: &Department| {
            side.values()
                .flat_map(|deck| &deck.cards)
                .find(|card| card.id == *id)
                .map(|card| card.fields["question"].clone())
        };
        let questions: BTreeSet<Vec<String>> = sides.iter().filter_map(asked).collect();
        for (number, question) in questions.iter().enumerate().skip(1) {
            let free = format!("{id}-{}", number + 1);
            for side in sides.iter_mut().filter(|side| asked(side).as_ref() == Some(question)) {
                for card in side.values_mut().flat_map(|deck| &mut deck.cards) {
                    let links = card.fields.get_mut("needs").into_iter().flatten();
                    links.chain([&mut card.id]).filter(|name| *name == id).for_each(|name| name.clone_from(&free));
                    let own = card.fields.get_mut("id").into_iter().flatten();
                    own.filter(|name| *name == id).for_each(|name| name.clone_from(&free));
                }
            }
        }
    }
}

/// Which deck of a side is which deck of the base.
struct Homes {
    /// For the base, then each side: deck to home.
    maps: Vec<BTreeMap<String, String>>,
    /// The same before decks went into others.
    was: Vec<BTreeMap<String, String>>,
    names: BTreeMap<String, String>,
    undecided: BTreeMap<String, BTreeSet<String>>,
}

impl Homes {
    fn new(base: &Department, sides: &[Department]) -> Self {
        let own =
            |decks: &Department| decks.keys().map(|name| (name.clone(), name.clone())).collect::<BTreeMap<_, _>>();
        let mut maps = vec![own(base)];
        let mut into: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        for side in sides {
            let (map, went) = found(base, side, own(side));
            maps.push(map);
            went.into_iter().for_each(|(from, to)| _ = into.entry(from).or_default().insert(to));
        }
        let mut homes = Self { was: maps.clone(), maps, names: BTreeMap::new(), undecided: BTreeMap::new() };
        for home in base.keys() {
            let named = homes.maps[1..].iter().filter_map(|map| map.iter().find(|(_, other)| *other == home));
            let new: BTreeSet<String> = named.map(|(deck, _)| deck.clone()).filter(|deck| deck != home).collect();
            homes.names.insert(home.clone(), new.first().unwrap_or(home).clone());
            if new.len() > 1 {
                homes.undecided.insert(home.clone(), new);
            }
        }
        let mut by_name: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for home in homes.all() {
            by_name.entry(homes.name(&home)).or_default().push(home);
        }
        for mut same in by_name.into_values() {
            same.sort_by_key(|home| (!base.contains_key(home), home.clone()));
            for other in &same[1..] {
                into.entry(other.clone()).or_default().insert(same[0].clone());
            }
        }
        for map in &mut homes.maps {
            for home in map.values_mut() {
                let mut path = vec![home.clone()];
                while let Some(next) = into.get(path.last().expect("one")).and_then(BTreeSet::first) {
                    if path.contains(next) {
                        // Round and round: all of them are one.
                        let round: Vec<String> = path.iter().skip_while(|seen| *seen != next).cloned().collect();
                        path.extend(round.into_iter().min());
                        break;
                    }
                    path.push(next.clone());
                }
                home.clone_from(path.last().expect("one"));
            }
        }
        homes
    }

    fn all(&self) -> BTreeSet<String> {
        self.maps.iter().flat_map(BTreeMap::values).cloned().collect()
    }

    fn name(&self, home: &str) -> String {
        self.names.get(home).cloned().unwrap_or_else(|| home.to_owned())
    }

    fn map(&self, side: Option<usize>) -> &BTreeMap<String, String> {
        &self.maps[side.map_or(0, |side| side + 1)]
    }

    fn cards(&self, side: Option<usize>, decks: &Department) -> BTreeMap<String, Placed> {
        let mut cards = BTreeMap::new();
        for (name, deck) in decks {
            let home = &self.map(side)[name];
            cards.extend(deck.cards.iter().map(|card: &Card| (card.id.clone(), (home.clone(), card.fields.clone()))));
        }
        cards
    }
}

type Map = BTreeMap<String, String>;

fn found(base: &Department, side: &Department, mut map: Map) -> (Map, Map) {
    let mut counts = Vec::new();
    for (from, deck) in base.iter().filter(|(name, _)| !side.contains_key(*name)) {
        for (to, other) in side {
            let count = deck.cards.iter().filter(|card| other.cards.iter().any(|new| new.id == card.id)).count();
            counts.extend((count > 0).then(|| (usize::MAX - count, from.clone(), to.clone())));
        }
    }
    counts.sort();
    let mut pairs: Vec<(String, String)> = Vec::new();
    for (_, from, to) in &counts {
        if !base.contains_key(to) && pairs.iter().all(|(a, b)| a != from && b != to) {
            pairs.push((from.clone(), to.clone()));
            map.insert(to.clone(), from.clone());
        }
    }
    let mut went = Map::new();
    for (_, from, to) in &counts {
        if pairs.iter().all(|(a, _)| a != from) && !went.contains_key(from) {
            went.insert(from.clone(), map[to].clone());
        }
    }
    (map, went)
}

/// The id that a card goes by: a new one, when all who gave it one agree.
fn called_now(id: &str, base: Option<&Placed>, there: &[&Placed]) -> String {
    let own = |card: &&Placed| card.1["id"][0].clone();
    let old = base.as_ref().map(own);
    let new: BTreeSet<String> = there.iter().map(own).filter(|id| Some(id) != old.as_ref()).collect();
    match new.len() {
        1 => new.into_iter().next().expect("one"),
        _ => old.unwrap_or_else(|| id.to_owned()),
    }
}

fn card(id: &str, base: Option<&Placed>, sides: &[Option<&Placed>], homes: &Homes, expected: &mut Expected) {
    let there: Vec<&Placed> = sides.iter().flatten().copied().collect();
    let removed = base.is_some() && there.len() < sides.len();
    if there.is_empty() || removed && there.iter().all(|side| Some(*side) == base) {
        return;
    }
    let id = &called_now(id, base, &there);
    let mut undecided = |field: &str, values: Values| {
        expected.undecided.insert((id.to_owned(), field.to_owned()), values);
    };
    if removed {
        undecided("card", Values::new());
    }
    let moved: BTreeSet<String> = there
        .iter()
        .map(|side| &side.0)
        .filter(|home| base.is_none_or(|base| base.0 != **home))
        .map(|home| homes.name(home))
        .collect();
    let deck = moved.first().cloned().unwrap_or_else(|| homes.name(&base.expect("not moved").0));
    if moved.len() > 1 {
        undecided("deck", moved.iter().map(|name| Some(vec![name.clone()])).collect());
    }
    let names: BTreeSet<&str> = there.iter().copied().chain(base).flat_map(|card| card.1.keys().copied()).collect();
    let mut fields = BTreeMap::new();
    for name in names {
        let old = base.and_then(|base| base.1.get(name));
        let new: BTreeSet<Option<&Vec<String>>> =
            there.iter().map(|side| side.1.get(name)).filter(|value| *value != old).collect();
        let value = match new.len() {
            0 => old.cloned(),
            1 => new.first().expect("one").cloned(),
            _ if name == "needs" => {
                let list = |value: Option<&Vec<String>>| {
                    value.cloned().unwrap_or_default().into_iter().collect::<BTreeSet<_>>()
                };
                let old = list(old);
                let stays = |link: &&String| there.iter().all(|side| list(side.1.get(name)).contains(*link));
                let mut links: BTreeSet<String> = old.iter().filter(stays).cloned().collect();
                links.extend(there.iter().flat_map(|side| list(side.1.get(name))).filter(|link| !old.contains(link)));
                (!links.is_empty()).then(|| links.into_iter().collect())
            }
            _ => {
                undecided(name, new.iter().map(|value| value.cloned()).collect());
                let least = new.iter().flatten().min().filter(|_| matches!(name, "question" | "answer"));
                old.or(least.copied()).cloned()
            }
        };
        fields.extend(value.map(|mut value| {
            if name == "needs" {
                value.sort();
            }
            (name.to_owned(), value)
        }));
    }
    fields.remove("id");
    expected.cards.insert(id.to_owned(), (deck, fields));
}

fn deck(
    home: &str,
    base: &Department,
    sides: &[Department],
    homes: &Homes,
    filled: &BTreeSet<String>,
    expected: &mut Expected,
) {
    let name = homes.name(home);
    let own = |deck: &str| (homes.map(None).get(deck).map(String::as_str) == Some(home)).then(|| &base[deck].title);
    let old = base.get(home).and_then(|_| own(home));
    let mut titles = BTreeSet::new();
    let mut absent = false;
    for (side, decks) in sides.iter().enumerate() {
        let of_home: Vec<_> = decks.iter().filter(|(deck, _)| homes.map(Some(side))[*deck] == home).collect();
        absent |= of_home.is_empty() && old.is_some();
        for (deck, found) in of_home {
            let before = base.get(&homes.was[side + 1][deck]).map(|deck| &deck.title);
            titles.extend(
                (old.is_none() || before != Some(&found.title) && old != Some(&found.title))
                    .then(|| found.title.clone()),
            );
        }
    }
    let text = |text: &String| Some(vec![text.clone()]);
    let key = |field: &str| (format!("/{name}"), field.to_owned());
    let dropped = absent && !filled.contains(&name);
    if dropped && titles.is_empty() {
        return;
    }
    let names = homes.undecided.get(home).cloned();
    if dropped || names.is_some() {
        let names: Values = names.unwrap_or_else(|| [name.clone()].into()).iter().map(text).collect();
        let removal = dropped.then_some(None);
        expected.undecided.insert(key("deck"), names.into_iter().chain(removal).collect());
    }
    if titles.len() > 1 {
        expected.undecided.insert(key("title"), titles.iter().map(text).collect());
    }
    let title = match (old, titles.len()) {
        (Some(old), 0 | 2..) => old.clone(),
        _ => titles.first().expect("a title").clone(),
    };
    expected.decks.insert(name, title);
}
