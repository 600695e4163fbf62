//! In which order the cards of a review are shown.

use crate::change::{CardChange, Changes, DeckChange, DeckState, Effect, What};

/// Facts over all decks first, since they are what pupils would learn wrong; then deck by deck.
pub(super) struct Ordered<'r> {
    /// The cards of which a fact changed.
    pub facts: Vec<(&'r DeckChange, &'r CardChange)>,
    /// The decks with anything else to show, each with its other cards.
    pub decks: Vec<(&'r DeckChange, Vec<&'r CardChange>)>,
}

pub(super) fn ordered(changes: &Changes) -> Ordered<'_> {
    let facts = changes.cards().filter(|(_, card)| is_fact(card)).collect();
    let others = |deck: &'_ DeckChange| -> bool {
        deck.state != DeckState::Kept
            || !deck.fields.is_empty()
            || deck.reordered + deck.reformatted > 0
            || deck.layout_only
            || deck.cards.iter().any(|card| !is_fact(card))
    };
    let decks = changes.decks.iter().filter(|deck| others(deck));
    Ordered {
        facts,
        decks: decks.map(|deck| (deck, in_order(deck.cards.iter().filter(|card| !is_fact(card))))).collect(),
    }
}

/// Edits by what they mean, then moves, new cards and those that are gone.
pub(super) fn in_order<'r>(cards: impl Iterator<Item = &'r CardChange>) -> Vec<&'r CardChange> {
    let mut cards: Vec<&CardChange> = cards.collect();
    cards.sort_by_key(|card| match card.what {
        What::Edited | What::MovedAndEdited => (0, card.effect),
        What::Moved => (1, None),
        What::Added => (2, None),
        What::Removed => (3, None),
    });
    cards
}

fn is_fact(card: &CardChange) -> bool {
    card.effect == Some(Effect::Fact)
}
