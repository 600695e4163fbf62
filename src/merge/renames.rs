//! A card that one side calls by another id: it is the same card, and whatever the others did to it,
//! and their links, follow.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::department::Decks;
use super::ids::change;
use crate::deck::Value;
use crate::deck::again::{Face, found_again, neighbours};
use crate::deck::outline::{CardText, DeckText};

/// The id that a card has by its own field, whatever it is called in a merge.
pub(super) fn own_id(card: &CardText) -> &str {
    card.value("id").and_then(Value::as_text).unwrap_or(&card.id)
}

/// Lets cards of a deck that sides call by another id go by their old one, so that they are merged as
/// one card; their own `id` stays a field like others. `None` when there are no such cards.
pub(super) fn follow(base: &DeckText, sides: &[&DeckText]) -> Option<Vec<DeckText>> {
    let cards = |deck| BTreeMap::from([("", deck)]);
    let of_sides: Vec<BTreeMap<&str, &DeckText>> = sides.iter().copied().map(cards).collect();
    let several = differ(base, sides.iter().copied());
    let plan = several.then(|| Plan::new(&cards(base), &of_sides, &|_| false)).flatten()?;
    let mut sides: Vec<DeckText> = sides.iter().map(|side| (*side).clone()).collect();
    for (number, side) in sides.iter_mut().enumerate() {
        side.cards.iter_mut().for_each(|card| plan.apply(number, card));
    }
    Some(sides)
}

/// The same over whole departments: `is_taken` tells the ids in decks that are not among these. Gives the ids
/// that cards had, each with the one that links to it have now.
pub(super) fn follow_in_departments(
    base: &Decks,
    sides: &mut [Decks],
    is_taken: &dyn Fn(&str) -> bool,
) -> Vec<(String, String)> {
    fn cards(decks: &Decks) -> BTreeMap<&str, &DeckText> {
        decks.iter().map(|(name, deck)| (name.as_str(), &**deck)).collect()
    }
    if !differ(base, sides.iter()) {
        return Vec::new();
    }
    let of_sides: Vec<BTreeMap<&str, &DeckText>> = sides.iter().map(cards).collect();
    let Some(plan) = Plan::new(&cards(base), &of_sides, is_taken) else { return Vec::new() };
    for (number, side) in sides.iter_mut().enumerate() {
        for deck in side.values_mut() {
            if deck.cards.iter().any(|card| plan.concerns(number, card)) {
                Arc::make_mut(deck).cards.iter_mut().for_each(|card| plan.apply(number, card));
            }
        }
    }
    plan.clear
}

/// Whether the sides changed the base in more than one way; else there is nothing to follow.
fn differ<'a, T: PartialEq + 'a>(base: &T, sides: impl Iterator<Item = &'a T>) -> bool {
    let mut changed = sides.filter(|side| *side != base);
    changed.next().is_some_and(|first| changed.any(|side| side != first))
}

/// What goes by which id.
struct Plan {
    /// For each side, the old id of the cards that it calls by a new one.
    old: Vec<BTreeMap<String, String>>,
    /// For each side, the links that follow, by the id they have.
    links: Vec<BTreeMap<String, String>>,
    /// The old ids that have one new one, with it.
    clear: Vec<(String, String)>,
    /// The links that each card had before, by the id of the card and the field.
    before: BTreeMap<(String, &'static str), BTreeSet<String>>,
}

const LINKS: [&str; 2] = ["needs", "see"];

impl Plan {
    /// `None` when no card has another id.
    fn new(
        base: &BTreeMap<&str, &DeckText>,
        sides: &[BTreeMap<&str, &DeckText>],
        is_taken: &dyn Fn(&str) -> bool,
    ) -> Option<Self> {
        let mut old: Vec<BTreeMap<String, String>> = sides.iter().map(|side| renamed(base, side, is_taken)).collect();
        let ids: Vec<BTreeMap<&str, usize>> = sides.iter().map(counted).collect();
        take_over(&mut old, &ids);
        drop_unclear(&mut old, &ids);
        let mut new: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
        for (to, from) in old.iter().flatten() {
            new.entry(from).or_default().insert(to);
        }
        if new.is_empty() {
            return None;
        }
        let mut links: Vec<BTreeMap<String, String>> = vec![BTreeMap::new(); sides.len()];
        for (number, links) in links.iter_mut().enumerate() {
            for (from, names) in &new {
                let renames = old[number].iter().find(|(_, old)| old == from);
                match (renames, names.len()) {
                    // Its new name is one of several: nobody knows yet which it will be.
                    (Some((to, _)), 2..) => _ = links.insert(to.clone(), (*from).to_owned()),
                    (None, 1) => links.extend(names.first().map(|to| ((*from).to_owned(), (*to).to_owned()))),
                    _ => {}
                }
            }
        }
        let one = |(from, names): (&&str, &BTreeSet<&str>)| {
            Some(*names.first()?).filter(|_| names.len() == 1).map(|to| ((*from).to_owned(), to.to_owned()))
        };
        let clear = new.iter().filter_map(one).collect();
        let before = base.values().flat_map(|deck| &deck.cards).flat_map(|card| {
            LINKS.map(|field| ((card.id.clone(), field), links_of(card, field).map(str::to_owned).collect()))
        });
        Some(Self { before: before.collect(), clear, old, links })
    }

    fn concerns(&self, side: usize, card: &CardText) -> bool {
        let linked = |field: &str| links_of(card, field).any(|link| self.links[side].contains_key(link));
        self.old[side].contains_key(&card.id) || LINKS.into_iter().any(linked)
    }

    fn apply(&self, side: usize, card: &mut CardText) {
        if let Some(old) = self.old[side].get(&card.id) {
            card.id.clone_from(old);
        }
        for field in LINKS {
            let before = self.before.get(&(card.id.clone(), field));
            let is_new = |link: &str| before.is_none_or(|before| !before.contains(link));
            let follow = |link: &str| self.links[side].get(link).filter(|_| is_new(link));
            if links_of(card, field).any(|link| follow(link).is_some()) {
                let links = links_of(card, field).map(|link| Value::from(follow(link).map_or(link, String::as_str)));
                let links = Value::List(links.collect());
                change(card, field, links);
            }
        }
    }
}

fn links_of<'a>(card: &'a CardText, field: &str) -> impl Iterator<Item = &'a str> {
    card.value(field).and_then(Value::as_list).unwrap_or_default().iter().filter_map(Value::as_text)
}

/// New ids on a side, each with the id that the card had; only where the evidence is clear.
fn renamed(
    base: &BTreeMap<&str, &DeckText>,
    side: &BTreeMap<&str, &DeckText>,
    is_taken: &dyn Fn(&str) -> bool,
) -> BTreeMap<String, String> {
    let (was, is) = (counted(base), counted(side));
    let free = |id: &str| !id.is_empty() && !is_taken(id);
    let gone = faces(base, |id| was[id] == 1 && !is.contains_key(id) && free(id), |id| is.contains_key(id));
    if gone.is_empty() {
        return BTreeMap::new();
    }
    let new = faces(side, |id| is[id] == 1 && !was.contains_key(id) && free(id), |id| was.contains_key(id));
    let (gone, gone_faces): (Vec<&str>, Vec<Face<'_>>) = gone.into_iter().unzip();
    let (new, new_faces): (Vec<&str>, Vec<Face<'_>>) = new.into_iter().unzip();
    let found = found_again(&gone_faces, &new_faces);
    found.into_iter().map(|(from, to)| (new[to].to_owned(), gone[from].to_owned())).collect()
}

/// How often each id stands there.
fn counted<'a>(decks: &BTreeMap<&str, &'a DeckText>) -> BTreeMap<&'a str, usize> {
    let mut counts = BTreeMap::new();
    for card in decks.values().flat_map(|deck| &deck.cards) {
        *counts.entry(card.id.as_str()).or_default() += 1;
    }
    counts
}

/// The faces of the cards whose id is `wanted`.
fn faces<'a>(
    decks: &BTreeMap<&'a str, &'a DeckText>,
    wanted: impl Fn(&str) -> bool,
    in_both: impl Fn(&str) -> bool,
) -> Vec<(&'a str, Face<'a>)> {
    let mut faces = Vec::new();
    for (name, deck) in decks {
        if !deck.cards.iter().any(|card| wanted(&card.id)) {
            continue;
        }
        let ids: Vec<&str> = deck.cards.iter().map(|card| card.id.as_str()).collect();
        let around = neighbours(&ids, &in_both);
        for (card, (before, after)) in deck.cards.iter().zip(around).filter(|(card, _)| wanted(&card.id)) {
            let line = |field: &str| card.value(field).map(Value::line).unwrap_or_default();
            let [question, answer, quote] = ["question", "answer", "quote"].map(line);
            faces.push((card.id.as_str(), Face { deck: name, question, answer, quote, before, after }));
        }
    }
    faces
}

/// A side that has a card no more, and a new one by the very id that another side gave to it, gave it that id
/// too, and wrote it anew. `ids` tells how often each id stands on each side.
fn take_over(old: &mut [BTreeMap<String, String>], ids: &[BTreeMap<&str, usize>]) {
    let mut given: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for (to, from) in old.iter().flatten() {
        given.entry(from.clone()).or_default().insert(to.clone());
    }
    for (old, ids) in old.iter_mut().zip(ids) {
        let known: BTreeSet<String> = old.values().cloned().collect();
        for (from, names) in given.iter().filter(|(from, _)| !ids.contains_key(from.as_str()) && !known.contains(*from))
        {
            let mut here = names.iter().filter(|name| ids.get(name.as_str()) == Some(&1) && !old.contains_key(*name));
            if let (Some(name), None) = (here.next(), here.next()) {
                old.insert(name.clone(), from.clone());
            }
        }
    }
}

/// Takes out new ids that another side gave to another card.
fn drop_unclear(old: &mut [BTreeMap<String, String>], ids: &[BTreeMap<&str, usize>]) {
    let names: BTreeSet<String> = old.iter().flat_map(BTreeMap::keys).cloned().collect();
    for name in names {
        let has = |side: &usize| ids[*side].contains_key(name.as_str());
        let meant: BTreeSet<Option<&String>> = (0..ids.len()).filter(has).map(|side| old[side].get(&name)).collect();
        if meant.len() > 1 {
            old.iter_mut().for_each(|side| _ = side.remove(&name));
        }
    }
}
