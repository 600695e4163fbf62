//! Random departments and random teachers: cards move between decks, decks are renamed, joined and
//! split; an oracle merges them with plain maps and none of the crate's code.

use std::collections::{BTreeMap, BTreeSet};

use deckle::merge::{Decks, Label, MergedDepartment, merge_departments};
use proptest::prelude::*;

use super::laws::read;
use super::model::{self, Card, Deck, Style, render};

/// Decks by name.
pub type Department = BTreeMap<String, Deck>;

/// An edit that a teacher makes to a department; numbers are taken modulo what there is.
#[derive(Clone, Debug)]
pub enum Edit {
    /// An edit within one deck.
    Within { deck: usize, edit: model::Edit },
    /// A card of the same id for every teacher; `asks` tells whether they ask the same.
    AddShared { deck: usize, name: usize, asks: bool },
    /// A link to a card that every teacher may have added.
    LinkShared { deck: usize, card: usize, name: usize },
    /// A card goes to another deck.
    Move { from: usize, card: usize, to: usize, at: usize },
    /// A deck's folder gets another name.
    Rename { deck: usize, name: usize },
    /// A deck gets another title.
    Retitle { deck: usize, name: usize },
    /// All cards of a deck go to another one, and the deck goes.
    Join { deck: usize, into: usize },
    /// The second half of a deck goes to a new one.
    Split { deck: usize, name: usize },
    /// The deck goes, with its cards.
    Drop { deck: usize },
}

const STYLE: Style = Style { crlf: false, last_line_end: true, blank_between: true, dash: 2 };

pub fn departments() -> impl Strategy<Value = Department> {
    let style = (any::<bool>(), any::<bool>(), any::<bool>(), 0..3usize)
        .prop_map(|(crlf, last_line_end, blank_between, dash)| Style { crlf, last_line_end, blank_between, dash });
    let deck = (1..5usize, style, prop::collection::vec(model::edit(), 0..3));
    prop::collection::vec(deck, 2..5).prop_map(|decks| {
        let mut department = Department::new();
        for (number, (count, style, edits)) in decks.into_iter().enumerate() {
            let cards = (0..count).map(|at| model::new_card(&format!("card-{number}-{at}"), at + number)).collect();
            let mut deck = Deck { title: format!("Topic {number}"), cards, style };
            let edits = edits.iter().filter(|edit| !matches!(edit, model::Edit::Add { .. } | model::Edit::Link { .. }));
            edits.for_each(|edit| model::apply(&mut deck, edit, "base"));
            department.insert(format!("year-8/topic-{number}"), deck);
        }
        department
    })
}

pub fn scripts(teachers: std::ops::Range<usize>) -> impl Strategy<Value = Vec<Vec<Edit>>> {
    prop::collection::vec(prop::collection::vec(edit(), 0..6), teachers)
}

fn edit() -> impl Strategy<Value = Edit> {
    let n = 0..40usize;
    prop_oneof![
        10 => (n.clone(), model::edit()).prop_map(|(deck, edit)| Edit::Within { deck, edit }),
        2 => (n.clone(), 0..2usize, any::<bool>()).prop_map(|(deck, name, asks)| Edit::AddShared { deck, name, asks }),
        2 => (n.clone(), n.clone(), 0..2usize).prop_map(|(deck, card, name)| Edit::LinkShared { deck, card, name }),
        4 => (n.clone(), n.clone(), n.clone(), n.clone()).prop_map(|(from, card, to, at)| Edit::Move { from, card, to, at }),
        1 => (n.clone(), 0..4usize).prop_map(|(deck, name)| Edit::Rename { deck, name }),
        1 => (n.clone(), 0..3usize).prop_map(|(deck, name)| Edit::Retitle { deck, name }),
        1 => (n.clone(), n.clone()).prop_map(|(deck, into)| Edit::Join { deck, into }),
        1 => (n.clone(), 0..4usize).prop_map(|(deck, name)| Edit::Split { deck, name }),
        1 => n.prop_map(|deck| Edit::Drop { deck }),
    ]
}

pub fn edited(base: &Department, script: &[Edit], who: usize) -> Department {
    let mut department = base.clone();
    script.iter().for_each(|edit| apply(&mut department, edit, who));
    department
}

fn apply(department: &mut Department, edit: &Edit, who: usize) {
    let names: Vec<String> = department.keys().cloned().collect();
    let Some(count) = (!names.is_empty()).then_some(names.len()) else { return };
    match *edit {
        // An id stands once in a department, whatever the deck.
        Edit::Within { edit: model::Edit::Add { name, .. }, .. }
            if ids(department).contains(&format!("new-t{who}-{name}")) => {}
        Edit::Within { deck, ref edit } => {
            let deck = department.get_mut(&names[deck % count]).expect("there");
            model::apply(deck, edit, &format!("t{who}"));
        }
        Edit::AddShared { deck, name, asks } => {
            let id = format!("shared-{name}");
            if !ids(department).contains(&id) {
                let number = if asks { 500 } else { 600 + who };
                let card = model::new_card(&id, number);
                department.get_mut(&names[deck % count]).expect("there").cards.push(card);
            }
        }
        Edit::LinkShared { deck, card, name } => {
            let id = format!("shared-{name}");
            let known = ids(department).contains(&id);
            let cards = &mut department.get_mut(&names[deck % count]).expect("there").cards;
            if known && !cards.is_empty() {
                let at = card % cards.len();
                let links = cards[at].fields.entry("needs").or_default();
                if !links.contains(&id) {
                    links.push(id);
                }
            }
        }
        Edit::Move { from, card, to, at } => {
            let cards = &mut department.get_mut(&names[from % count]).expect("there").cards;
            if cards.is_empty() {
                return;
            }
            let at_card = card % cards.len();
            let card = cards.remove(at_card);
            let cards = &mut department.get_mut(&names[to % count]).expect("there").cards;
            cards.insert(at % (cards.len() + 1), card);
        }
        Edit::Rename { deck, name } => {
            let new = format!("year-8/renamed-{name}");
            if !department.contains_key(&new) {
                let deck = department.remove(&names[deck % count]).expect("there");
                department.insert(new, deck);
            }
        }
        Edit::Retitle { deck, name } => {
            department.get_mut(&names[deck % count]).expect("there").title = format!("Title {name}");
        }
        Edit::Join { deck, into } if deck % count != into % count => {
            let mut gone = department.remove(&names[deck % count]).expect("there");
            department.get_mut(&names[into % count]).expect("there").cards.append(&mut gone.cards);
        }
        Edit::Join { .. } => {}
        Edit::Split { deck, name } => {
            let new = format!("year-8/part-{name}");
            let cards = &mut department.get_mut(&names[deck % count]).expect("there").cards;
            if cards.len() > 1 && !names.contains(&new) {
                let cards = cards.split_off(cards.len() / 2);
                department.insert(new, Deck { title: format!("Part {name}"), cards, style: STYLE });
            }
        }
        Edit::Drop { deck } => _ = department.remove(&names[deck % count]),
    }
}

fn ids(department: &Department) -> BTreeSet<String> {
    department.values().flat_map(|deck| &deck.cards).map(|card| card.id.clone()).collect()
}

/// Values of an undecided field; `None` where somebody took it out.
type Values = BTreeSet<Option<Vec<String>>>;

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

fn card(id: &str, base: Option<&Placed>, sides: &[Option<&Placed>], homes: &Homes, expected: &mut Expected) {
    let there: Vec<&Placed> = sides.iter().flatten().copied().collect();
    let removed = base.is_some() && there.len() < sides.len();
    if there.is_empty() || removed && there.iter().all(|side| Some(*side) == base) {
        return;
    }
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

/// The department as the crate reads it.
pub fn texts(department: &Department) -> BTreeMap<String, String> {
    department.iter().map(|(name, deck)| (name.clone(), render(deck))).collect()
}

pub fn decks(texts: &BTreeMap<String, String>) -> Decks {
    texts.iter().map(|(name, text)| (name.clone(), read(text).into())).collect()
}

pub fn merged(base: &Department, sides: &[Department]) -> MergedDepartment {
    let sides: Vec<Decks> = sides.iter().map(|side| decks(&texts(side))).collect();
    let label = |at: &deckle::merge::At<'_>| Label { side: format!("side-{}", at.side), by: None, when: None };
    merge_departments(&decks(&texts(base)), &sides.iter().collect::<Vec<_>>(), &|_| false, &label)
}

/// What merged texts say, as the oracle gives it.
pub fn said(texts: &BTreeMap<String, String>) -> Expected {
    let mut said = Expected::default();
    for (name, text) in texts {
        let deck = read(text);
        let list = super::laws::list;
        let mut undecided = |key: &str, fields: &[deckle::deck::outline::FieldText]| {
            let entries = fields.iter().find(|field| field.name == "undecided").and_then(|field| field.value.as_map());
            for (field, versions) in entries.into_iter().flatten() {
                let versions = versions.as_list().expect("versions").iter();
                let values: Values = versions.map(|version| version.get("value").map(list)).collect();
                let values = if field == "card" { Values::new() } else { values };
                said.undecided.insert((key.to_owned(), field.clone()), values);
            }
        };
        undecided(&format!("/{name}"), &deck.fields);
        for card in &deck.cards {
            undecided(&card.id, &card.fields);
            let fields = card.fields.iter().filter(|field| !matches!(field.name.as_str(), "id" | "undecided"));
            let fields = fields.map(|field| (field.name.clone(), list(&field.value))).collect();
            assert!(said.cards.insert(card.id.clone(), (name.clone(), fields)).is_none(), "{} stands twice", card.id);
        }
        let title = deck.fields.iter().find(|field| field.name == "title").expect("a title");
        said.decks.insert(name.clone(), title.value.line());
    }
    said
}

fn orders(merged: &MergedDepartment) -> BTreeMap<String, Vec<String>> {
    let ids = |text: &String| read(text).cards.iter().map(|card| card.id.clone()).collect();
    merged.decks.iter().map(|(name, text)| (name.clone(), ids(text))).collect()
}

fn sides_of(base: &Department, scripts: &[Vec<Edit>]) -> Vec<Department> {
    scripts.iter().enumerate().map(|(who, script)| edited(base, script, who)).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_department_is_merged_as_the_design_says((base, scripts) in (departments(), scripts(2..7))) {
        let sides = sides_of(&base, &scripts);
        let result = merged(&base, &sides);
        prop_assert_eq!(said(&result.decks), oracle(&base, &sides), "{:#?}", result.decks);
    }

    #[test]
    fn any_order_of_the_sides_gives_the_same_department((base, scripts) in (departments(), scripts(2..5))) {
        let mut sides = sides_of(&base, &scripts);
        let one = merged(&base, &sides);
        sides.reverse();
        let other = merged(&base, &sides);
        prop_assert_eq!(said(&one.decks), said(&other.decks));
        prop_assert_eq!(orders(&one), orders(&other));
    }

    #[test]
    fn one_changed_side_is_the_department_byte_for_byte((base, scripts) in (departments(), scripts(1..2))) {
        let side = sides_of(&base, &scripts).remove(0);
        let wanted = texts(&side);
        prop_assert_eq!(&merged(&base, std::slice::from_ref(&side)).decks, &wanted);
        prop_assert_eq!(&merged(&base, &[side.clone(), base.clone()]).decks, &wanted);
        prop_assert_eq!(&merged(&base, &[base.clone(), side.clone(), side.clone()]).decks, &wanted);
    }

    #[test]
    fn one_after_another_leaves_the_same_cards_as_all_at_once((base, scripts) in (departments(), scripts(2..6))) {
        // Decks that come, go or are renamed are seen as they are at each step, so only cards here.
        let keeps_decks = |edit: &&Edit| !matches!(edit, Edit::Rename { .. } | Edit::Join { .. } | Edit::Split { .. } | Edit::Drop { .. } | Edit::AddShared { .. });
        let scripts: Vec<Vec<Edit>> = scripts.iter().map(|script| script.iter().filter(keeps_decks).cloned().collect()).collect();
        let sides = sides_of(&base, &scripts);
        let label = |at: &deckle::merge::At<'_>| Label { side: format!("side-{}", at.side), by: None, when: None };
        let old = decks(&texts(&base));
        let mut one_by_one = texts(&sides[0]);
        for side in &sides[1..] {
            let next = [decks(&one_by_one), decks(&texts(side))];
            one_by_one = merge_departments(&old, &[&next[0], &next[1]], &|_| false, &label).decks;
        }
        prop_assert_eq!(said(&one_by_one), said(&merged(&base, &sides).decks));
    }
}
