//! Which card before is which card now.

use std::collections::{BTreeMap, BTreeSet};

use super::values::{Values, values};
use crate::deck::again::{Face, found_again, neighbours};
use crate::deck::{Card, Deck, Value};

/// More cards than this with one id are paired by their order alone.
const MANY: usize = 500;

/// A card in its deck.
#[derive(Clone, Copy, Debug)]
pub(super) struct At<'a> {
    /// The deck.
    pub deck: &'a Deck,
    /// The card.
    pub card: &'a Card,
    /// Its place in the deck, from 0.
    pub place: usize,
    /// The name of the deck as it is now, when the deck got another one.
    pub home: &'a str,
}

/// Cards of two departments, put together.
#[derive(Debug, Default)]
pub(super) struct Pairs<'a> {
    /// In both: as it was, as it is.
    pub both: Vec<(At<'a>, At<'a>)>,
    /// Gone.
    pub removed: Vec<At<'a>>,
    /// New.
    pub added: Vec<At<'a>>,
}

/// Finds each card again by its id, wherever it is; a card without id by what it asks, and one whose id
/// is gone under another id where that is clear.
///
/// Of several cards with one id, those that say the same belong together, in the same deck before
/// another one; then those that stand first.
pub(super) fn pairs<'a>(before: Vec<At<'a>>, now: Vec<At<'a>>) -> Pairs<'a> {
    let mut keyed: BTreeMap<(&str, &str), [Vec<At<'a>>; 2]> = BTreeMap::new();
    for (side, cards) in [before, now].into_iter().enumerate() {
        for at in cards {
            keyed.entry(key(at.card)).or_default()[side].push(at);
        }
    }
    let mut pairs = Pairs::default();
    for [mut before, mut now] in keyed.into_values() {
        let several = before.len() > 1 || now.len() > 1;
        if several && before.len().max(now.len()) <= MANY {
            take_same(&mut before, &mut now, &mut pairs);
        }
        let len = before.len().min(now.len());
        pairs.both.extend(before.drain(..len).zip(now.drain(..len)));
        pairs.removed.extend(before);
        pairs.added.extend(now);
    }
    find_again(&mut pairs);
    pairs
}

/// Puts together the cards that are the same under another id.
fn find_again(pairs: &mut Pairs<'_>) {
    if pairs.removed.is_empty() || pairs.added.is_empty() {
        return;
    }
    let stays: BTreeSet<&str> = pairs.both.iter().map(|(_, now)| now.card.id.value.as_str()).collect();
    let found = found_again(&faces(&pairs.removed, &stays), &faces(&pairs.added, &stays));
    let (gone, new): (BTreeSet<usize>, BTreeSet<usize>) = found.iter().copied().unzip();
    pairs.both.extend(found.into_iter().map(|(one, other)| (pairs.removed[one], pairs.added[other])));
    let without = |cards: &[At<'_>], taken: &BTreeSet<usize>| -> Vec<usize> {
        (0..cards.len()).filter(|at| !taken.contains(at)).collect()
    };
    let (removed, added) = (without(&pairs.removed, &gone), without(&pairs.added, &new));
    pairs.removed = removed.into_iter().map(|at| pairs.removed[at]).collect();
    pairs.added = added.into_iter().map(|at| pairs.added[at]).collect();
}

fn faces<'a>(cards: &[At<'a>], stays: &BTreeSet<&str>) -> Vec<Face<'a>> {
    let mut around: BTreeMap<&'a str, Vec<(&'a str, &'a str)>> = BTreeMap::new();
    let face = |at: &At<'a>| {
        let ids = || at.deck.cards.iter().map(|card| card.id.value.as_str()).collect::<Vec<&'a str>>();
        let around = around.entry(&at.deck.name).or_insert_with(|| neighbours(&ids(), |id| stays.contains(id)));
        let (before, after) = around[at.place];
        let said = values(at.card);
        // A card without id was looked for by its question already.
        let line =
            |field: &str| said.get(field).filter(|_| !at.card.id.is_empty()).map(Value::line).unwrap_or_default();
        let [question, answer, quote] = ["question", "answer", "quote"].map(line);
        Face { deck: at.home, question, answer, quote, before, after }
    };
    cards.iter().map(face).collect()
}

fn key(card: &Card) -> (&str, &str) {
    if card.id.is_empty() { ("", &card.own().question) } else { (&card.id, "") }
}

/// Takes out those that are surely the same: with the same values in the same deck, in the same deck,
/// with the same values elsewhere.
fn take_same<'a>(before: &mut Vec<At<'a>>, now: &mut Vec<At<'a>>, pairs: &mut Pairs<'a>) {
    type Test = fn(&(At<'_>, &Values), &(At<'_>, &Values)) -> bool;
    let tests: [Test; 3] = [
        |one, other| one.0.home == other.0.home && one.1 == other.1,
        |one, other| one.0.home == other.0.home,
        |one, other| one.1 == other.1,
    ];
    let mut said: Vec<(At<'a>, Values)> = before.drain(..).map(|at| (at, values(at.card))).collect();
    let mut left: Vec<(At<'a>, Values)> = now.drain(..).map(|at| (at, values(at.card))).collect();
    for same in tests {
        let mut unmatched = Vec::new();
        for one in said {
            let found = left.iter().position(|other| same(&(one.0, &one.1), &(other.0, &other.1)));
            match found {
                Some(found) => pairs.both.push((one.0, left.remove(found).0)),
                None => unmatched.push(one),
            }
        }
        said = unmatched;
    }
    before.extend(said.into_iter().map(|(at, _)| at));
    now.extend(left.into_iter().map(|(at, _)| at));
}
