//! Finding cards by their ids.

use foldhash::fast::RandomState;
use hashbrown::HashTable;
use std::hash::BuildHasher;

use super::Deck;
use super::card::Card;

/// Which card has which id: the numbers of its deck and of the card in that. The ids themselves stand on the cards.
#[derive(Debug, Default)]
pub(super) struct ById {
    places: HashTable<(u32, u32)>,
    hasher: RandomState,
}

impl ById {
    /// The cards of these decks. Of two with one id, the first.
    pub(super) fn of(decks: &[Deck]) -> ById {
        let mut by_id = ById::default();
        by_id.places.reserve(decks.iter().map(|deck| deck.cards.len()).sum(), |_| 0);
        for (deck_at, deck) in decks.iter().enumerate() {
            for (card_at, card) in deck.cards.iter().enumerate().filter(|(_, card)| !card.id.is_empty()) {
                let hash = |place: &(u32, u32)| by_id.hasher.hash_one(id_at(decks, *place));
                let place = (deck_at as u32, card_at as u32);
                by_id.places.entry(hash(&place), |other| id_at(decks, *other) == &*card.id, hash).or_insert(place);
            }
        }
        by_id
    }

    /// The card of that id among the decks it was made of, with its deck.
    pub(super) fn card<'d>(&self, decks: &'d [Deck], id: &str) -> Option<(&'d Deck, &'d Card)> {
        let &(deck, card) = self.places.find(self.hasher.hash_one(id), |place| id_at(decks, *place) == id)?;
        let deck = decks.get(deck as usize)?;
        Some((deck, deck.cards.get(card as usize)?))
    }
}

fn id_at(decks: &[Deck], (deck, card): (u32, u32)) -> &str {
    decks.get(deck as usize).and_then(|deck| deck.cards.get(card as usize)).map_or("", |card| &card.id)
}
