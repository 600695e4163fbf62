//! Writing stubs: as they are shown, behind the cards of a deck, or as a new deck.

use super::Stub;
use crate::deck::outline::{CardText, deck_text, outline, written};
use crate::deck::{Value, write};
use indexmap::IndexMap;

/// Why stubs could not be put behind the cards of a deck.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
pub enum AppendError {
    /// The deck's text cannot be taken apart.
    #[error("the deck cannot be read; put right first what `deckle check` says about it")]
    Unreadable,
}

/// The stubs as they stand in a deck.
pub fn as_yaml(stubs: &[Stub]) -> String {
    let cards: Vec<String> = stubs.iter().map(|stub| write::entries(&[Value::Map(stub.fields())], 2)).collect();
    cards.join("\n")
}

/// The text of a deck with the stubs behind its cards. Everything that was typed stays, byte for byte.
///
/// # Errors
///
/// When the deck cannot be taken apart.
pub fn appended(text: &str, stubs: &[Stub]) -> Result<String, AppendError> {
    let mut parts = outline(text).ok_or(AppendError::Unreadable)?;
    if stubs.is_empty() {
        return Ok(text.to_owned());
    }
    let before = parts.cards.len();
    let apart = before < 2 || parts.cards.iter().skip(1).any(|card| card.lead.starts_with(['\n', '\r']));
    let dash = parts.cards.first().map_or(2, |card| card.dash);
    if parts.cards.is_empty() {
        // `cards: []` makes room for a list; a remark behind it stays.
        parts.cards_line = parts.cards_line.replacen("[]", "", 1).replacen("cards: \n", "cards:\n", 1);
    }
    for (at, stub) in stubs.iter().enumerate() {
        let lead = if apart && before + at > 0 { parts.newline.to_owned() } else { String::new() };
        parts.cards.push(card(stub, dash, lead));
    }
    let whole = deck_text(&parts);
    let read = outline(&whole).filter(|read| read.cards.len() == before + stubs.len());
    let reads = |read: &crate::deck::outline::DeckText| {
        read.cards[before..].iter().zip(stubs).all(|(card, stub)| card.values() == stub.fields())
    };
    read.filter(reads).map(|_| whole).ok_or(AppendError::Unreadable)
}

/// The text of a deck of nothing but the stubs.
pub fn new_deck(title: &str, year: u8, stubs: &[Stub]) -> String {
    let fields: IndexMap<&str, Value> =
        [("title", Value::Text(title.to_owned())), ("year", Value::Text(year.to_string()))].into();
    let head: String = fields.iter().map(|(name, value)| write::field(name, value, 0)).collect();
    format!("{head}cards:\n{}", as_yaml(stubs))
}

fn card(stub: &Stub, dash: usize, lead: String) -> CardText {
    CardText {
        id: stub.id.clone(),
        lead,
        raw: String::new(),
        dash,
        offset: 2,
        fields: stub.fields().iter().map(|(name, value)| written(name, value)).collect(),
        trail: String::new(),
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::super::forms::{Form, Proposed};
    use super::super::stub::stub;
    use super::*;

    fn stubs() -> Vec<Stub> {
        let proposed = Proposed::plain(Form::Term, "What is 5: “a … b”?".to_owned(), "007");
        vec![stub(&proposed, "notes.md#a", &["It's a 007: b.".to_owned()], &BTreeSet::new())]
    }

    const STUB: &str = "- id: card-5-b\n  question: \"What is 5: “a … b”?\"\n  answer: \"007\"\n  source: notes.md#a\n  quote: \"It's a 007: b.\"\n  draft: true\n";

    fn at(column: usize) -> String {
        STUB.lines().map(|line| format!("{}{line}\n", " ".repeat(column))).collect()
    }

    #[test]
    fn what_was_typed_stays_byte_for_byte() {
        let deck = "# W\ntitle: W\nyear: 8\ncards:\n- id: a # so\n  question:   Who?\n  answer: 'x'\n\n- id: b\n  question: y\n  answer: z\n";
        assert_eq!(appended(deck, &stubs()).as_deref(), Ok(format!("{deck}\n{STUB}").as_str()));
        let deck = "title: W\nyear: 8\ncards:\n  - id: a\n    question: x\n    answer: y\n  - id: b\n    question: y\n    answer: z\n# the end\n";
        let found = appended(deck, &stubs()).expect("appended");
        assert_eq!(found, deck.replace("# the end\n", &format!("{}# the end\n", at(2))));
        let windows = deck.replace('\n', "\r\n");
        assert_eq!(appended(&windows, &stubs()).expect("appended"), found.replace('\n', "\r\n"));
        let unended = deck.trim_end_matches("\n# the end\n");
        assert!(appended(unended, &stubs()).expect("appended").starts_with(&format!("{unended}\n")));
    }

    #[test]
    fn an_empty_deck_takes_stubs() {
        for cards in ["cards:\n", "cards: []\n", "cards: [] # none yet\n", "cards:"] {
            let found = appended(&format!("title: W\nyear: 8\n{cards}"), &stubs()).expect(cards);
            assert!(found.ends_with(&at(2)), "{found}");
        }
        let made = new_deck("W: x", 8, &stubs());
        assert_eq!(made, format!("title: \"W: x\"\nyear: 8\ncards:\n{}", at(2)));
    }

    #[test]
    fn a_deck_that_cannot_be_read_is_left_alone() {
        assert_eq!(appended("cards: [", &stubs()), Err(AppendError::Unreadable));
        assert_eq!(appended("title: x\n", &stubs()), Err(AppendError::Unreadable));
    }
}
