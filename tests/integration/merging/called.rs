//! Cards that a side calls by another id, by the words of the design: plain maps, and none of the crate's
//! code.

use std::collections::{BTreeMap, BTreeSet};

use super::department::Department;
use super::model::Card;

/// The department with each card's id as a field of its own.
pub fn with_ids(department: &Department) -> Department {
    let mut department = department.clone();
    for card in department.values_mut().flat_map(|deck| &mut deck.cards) {
        card.fields.insert("id", vec![card.id.clone()]);
    }
    department
}

/// Lets every card go by the id that it has in the base, where it is clear which it is; its own stands in
/// its field. `base` has its ids as fields already.
pub fn follow(base: &Department, sides: &mut [Department]) {
    for side in sides.iter_mut() {
        *side = with_ids(side);
    }
    let mut changed = sides.iter().filter(|side| *side != base);
    let first = changed.next();
    if !changed.any(|side| Some(side) != first) {
        return;
    }
    // For each side: new id to old id.
    let mut old: Vec<BTreeMap<String, String>> = sides.iter().map(|side| renamed(base, side)).collect();
    let given: BTreeSet<(String, String)> =
        old.iter().flatten().map(|(name, from)| (from.clone(), name.clone())).collect();
    for (side, old) in sides.iter().zip(&mut old) {
        let has = |id: &str| cards(side).any(|(_, card)| card.id == id);
        let known: BTreeSet<String> = old.values().cloned().collect();
        for from in given.iter().map(|(from, _)| from).filter(|from| !has(from) && !known.contains(*from)) {
            let names = given.iter().filter(|(other, name)| other == from && has(name)).map(|(_, name)| name);
            // Of a card that the side itself calls so it is known which it is.
            let names: BTreeSet<&String> = names.filter(|name| old.get(*name).is_none_or(|old| old == from)).collect();
            if let (1, Some(name)) = (names.len(), names.first()) {
                old.insert((*name).clone(), from.clone());
            }
        }
    }
    for name in old.iter().flat_map(BTreeMap::keys).cloned().collect::<BTreeSet<_>>() {
        let having = sides.iter().enumerate().filter(|(_, side)| cards(side).any(|(_, card)| card.id == name));
        let meant: BTreeSet<Option<String>> = having.map(|(at, _)| old[at].get(&name).cloned()).collect();
        if meant.len() > 1 {
            old.iter_mut().for_each(|side| _ = side.remove(&name));
        }
    }
    let mut names: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for (new, old) in old.iter().flatten() {
        names.entry(old.clone()).or_default().insert(new.clone());
    }
    for (side, old) in sides.iter_mut().zip(&old) {
        for card in side.values_mut().flat_map(|deck| &mut deck.cards) {
            if let Some(old) = old.get(&card.id) {
                card.id.clone_from(old);
            }
            let before = cards(base).find(|(_, other)| other.id == card.id);
            let before = before.and_then(|(_, card)| card.fields.get("needs")).cloned().unwrap_or_default();
            for link in card.fields.get_mut("needs").into_iter().flatten() {
                if before.contains(link) {
                    continue;
                }
                let back = old.get(&*link).filter(|old| names[*old].len() > 1);
                let on = names.get(&*link).filter(|names| names.len() == 1 && !old.values().any(|old| *old == *link));
                if let Some(to) = back.cloned().or_else(|| on?.first().cloned()) {
                    *link = to;
                }
            }
        }
    }
}

fn cards(department: &Department) -> impl Iterator<Item = (&String, &Card)> {
    department.iter().flat_map(|(name, deck)| deck.cards.iter().map(move |card| (name, card)))
}

/// What a card says, and where it stands.
#[derive(Clone, Debug)]
struct Seen {
    id: String,
    question: String,
    answer: String,
    quote: String,
    place: (String, Option<String>, Option<String>),
}

fn seen(department: &Department, other: &Department) -> Vec<Seen> {
    let in_both =
        |id: &str| cards(department).any(|(_, card)| card.id == id) && cards(other).any(|(_, card)| card.id == id);
    let mut all = Vec::new();
    for (name, deck) in department {
        for (at, card) in deck.cards.iter().enumerate().filter(|(_, card)| !in_both(&card.id)) {
            let stays = |card: &&Card| in_both(&card.id);
            let before = deck.cards[..at].iter().rfind(stays).map(|card| card.id.clone());
            let after = deck.cards[at + 1..].iter().find(stays).map(|card| card.id.clone());
            let line = |field: &str| card.fields.get(field).map(|text| text[0].clone()).unwrap_or_default();
            all.push(Seen {
                id: card.id.clone(),
                question: line("question").replace('\n', " "),
                answer: line("answer").replace('\n', " "),
                quote: line("quote").replace('\n', " "),
                place: (name.clone(), before, after),
            });
        }
    }
    all
}

/// New ids with the old ones, where it is clear.
fn renamed(base: &Department, side: &Department) -> BTreeMap<String, String> {
    let (mut gone, mut new) = (seen(base, side), seen(side, base));
    let mut found = BTreeMap::new();
    let alike: [fn(&Seen, &Seen) -> bool; 3] = [
        |one, other| !one.question.is_empty() && one.question == other.question,
        |one, other| !one.quote.is_empty() && one.quote == other.quote && one.answer == other.answer,
        |one, other| one.answer == other.answer && one.place == other.place,
    ];
    for (number, alike) in alike.into_iter().enumerate() {
        let (all_gone, all_new) = (gone.clone(), new.clone());
        let fits = |one: &Seen| all_new.iter().filter(|other| alike(one, other)).count();
        let fitting = |other: &Seen| all_gone.iter().filter(|one| alike(one, other)).count();
        for one in all_gone.iter().filter(|one| fits(one) > 0) {
            let other = all_new.iter().find(|other| alike(one, other)).expect("one fits");
            let clear = fits(one) == 1 && fitting(other) == 1;
            if clear && number == 2 && !asks_alike(&one.question, &other.question) {
                continue;
            }
            if clear {
                found.insert(other.id.clone(), one.id.clone());
            }
            gone.retain(|left| left.id != one.id);
            new.retain(|left| !alike(one, left));
        }
    }
    found
}

fn asks_alike(one: &str, other: &str) -> bool {
    let words = |text: &str| text.split_whitespace().map(str::to_lowercase).collect::<BTreeSet<_>>();
    let (one, other) = (words(one), words(other));
    one.intersection(&other).count() * 2 > one.len().max(other.len())
}
