//! A deck's text is taken apart and put together; changing one field of one card keeps every other one,
//! and what was written reads back equal.

use deckle::deck::outline::{CardText, DeckText, deck_text, outline, set_field};
use deckle::deck::{Value, tidy};

use super::parts::texts;

/// Edits an input of a deck, a text for a field, and the field's name.
///
/// # Panics
///
/// When the law is broken.
pub fn holds(bytes: &[u8]) {
    let [deck, text, name] = texts(bytes);
    let name = Some(name.trim()).filter(|name| !name.is_empty() && *name != "id").unwrap_or("answer");
    let Some(before) = outline(&deck) else { return };
    assert_eq!(deck_text(&before), deck);
    tidied_once_for_all(&deck);
    let ids: Vec<&str> = before.cards.iter().map(|card| card.id.as_str()).filter(|id| !id.is_empty()).collect();
    let list = Value::List(text.split('\n').map(Value::from).collect());
    for id in ids.iter().filter(|id| ids.iter().filter(|other| other == id).count() == 1).take(4) {
        for value in [Some(&Value::from(text.as_str())), Some(&list), None] {
            changes_one_field(&deck, &before, id, name, value);
        }
    }
}

fn changes_one_field(deck: &str, before: &DeckText, id: &str, name: &str, value: Option<&Value>) {
    let changed = set_field(deck, id, name, value).expect("the card is there");
    let after = outline(&changed).unwrap_or_else(|| panic!("{changed:?} can be read"));
    let (old, new) = (before.card(id).expect("there"), after.card(id).unwrap_or_else(|| panic!("{changed:?}")));
    assert_eq!(new.value(name), value, "{changed:?}");
    let others = |card: &CardText| card.values().into_iter().filter(|(other, _)| other != name).collect::<Vec<_>>();
    assert_eq!(others(old), others(new), "{changed:?}");
    let cards = |deck: &DeckText| deck.cards.iter().filter(|card| card.id != id).cloned().collect::<Vec<_>>();
    assert_eq!(as_typed(cards(before)), as_typed(cards(&after)), "{changed:?}");
    assert_eq!(above_the_cards(before), above_the_cards(&after), "{changed:?}");
}

/// The very text above the first card.
fn above_the_cards(deck: &DeckText) -> String {
    deck_text(&DeckText { cards: Vec::new(), tail: String::new(), ..deck.clone() })
}

/// The very lines of cards.
fn as_typed(cards: Vec<CardText>) -> Vec<String> {
    cards.into_iter().map(|card| card.raw.trim_end().to_owned()).collect()
}

fn tidied_once_for_all(deck: &str) {
    let Some(once) = tidy(deck) else { return };
    assert_eq!(tidy(&once).as_deref(), Some(once.as_str()), "{deck:?}");
}
