//! What a deck may share with others, as numbers.

use std::collections::BTreeSet;

use super::super::repeats::keyed_of;
use super::super::rules::{both_ways_unclear, missing_link};
use crate::deck::{Card, Deck};
use crate::text::digest;

/// What a deck may share with others, each list in order and each number once.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Shares {
    /// The ids of its cards.
    pub ids: Vec<u64>,
    /// The ids that its cards name, as links.
    pub links: Vec<u64>,
    /// The forms of its questions, and those of its answers that are asked both ways.
    pub groups: Vec<u64>,
    /// Which id needs which.
    pub needs: Vec<(u64, u64)>,
}

impl Shares {
    /// What `deck` may share.
    pub fn of(deck: &Deck) -> Self {
        let ids = deck.cards.iter().filter(|card| !card.id.is_empty()).map(|card| id(&card.id));
        let links = deck.cards.iter().flat_map(missing_link::links).map(|(_, to)| link(&to.value));
        let forms = keyed_of(deck).map(|keyed| form(&keyed.form()));
        let year = deck.year.map(|(year, _)| year);
        let both = deck.cards.iter().filter(|card| card.both_ways).filter_map(|card| both_ways(card, year?));
        let needs = deck.cards.iter().flat_map(|card| card.needs.iter().map(|to| (id(&card.id), id(&to.value))));
        Self {
            ids: in_order(ids),
            links: in_order(links),
            groups: in_order(forms.chain(both)),
            needs: in_order(needs.filter(|(from, to)| from != to)),
        }
    }

    /// All of them, for looking up who shares them.
    pub fn all(&self) -> impl Iterator<Item = u64> {
        self.ids.iter().chain(&self.links).chain(&self.groups).copied()
    }
}

/// The number of a card's id.
pub(super) fn id(id: &str) -> u64 {
    digest(&format!("id\0{id}"))
}

/// The number of a link to an id.
pub(super) fn link(id: &str) -> u64 {
    digest(&format!("link\0{id}"))
}

/// The number of a question's form.
pub(super) fn form(form: &str) -> u64 {
    digest(&format!("form\0{form}"))
}

fn both_ways(card: &Card, year: u8) -> Option<u64> {
    Some(digest(&format!("both\0{year} {}", both_ways_unclear::form(card)?)))
}

fn in_order<T: Ord>(values: impl Iterator<Item = T>) -> Vec<T> {
    values.collect::<BTreeSet<T>>().into_iter().collect()
}
