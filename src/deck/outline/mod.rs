//! A deck's text in parts: fields and cards with the very text that was typed, comments included.
//!
//! Merging, settling and repairing work on these parts, so that what nobody touched is put back
//! byte for byte. The text of a field is kept without its indentation, so that it can move to a card
//! that is indented in another way.

mod alone;
mod assemble;
mod edit;
mod read;
mod split;

use std::borrow::Cow;

use indexmap::IndexMap;

pub use alone::stands_alone;
pub use assemble::{card_text, deck_text};
pub use edit::{EditError, set_field};
pub(crate) use edit::{drop_last_line_end, place_of, written};
pub use read::outline;
pub use split::{Piece, Split, split};

use super::value::Value;

/// A field as it was typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FieldText {
    /// Its name.
    pub name: String,
    /// What it says.
    pub value: Value,
    /// The comment and blank lines above it, each with `\n`, without indentation.
    pub lead: String,
    /// From its name to the end of its last line, without indentation; `\n` between lines. Empty when
    /// it is to be written anew from its value.
    pub text: String,
}

impl FieldText {
    /// The text as typed, else in our own style.
    pub fn typed(&self) -> Cow<'_, str> {
        if self.text.is_empty() {
            return super::write::lines_of_field(&self.name, &self.value).into();
        }
        Cow::Borrowed(&self.text)
    }
}

/// A card as it was typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CardText {
    /// Its id; empty when it has none.
    pub id: String,
    /// The comment and blank lines above it, as typed.
    pub lead: String,
    /// The card's own lines as typed, from the dash on, without `lead`, with its last line end.
    pub raw: String,
    /// The column of its dash, from 0.
    pub dash: usize,
    /// How far behind the dash the fields start.
    pub offset: usize,
    /// Its fields in order.
    pub fields: Vec<FieldText>,
    /// The comment lines behind its last field, each with `\n`, without indentation.
    pub trail: String,
}

impl CardText {
    /// A field of the card.
    pub fn field(&self, name: &str) -> Option<&FieldText> {
        self.fields.iter().find(|field| field.name == name)
    }

    /// What a field says.
    pub fn value(&self, name: &str) -> Option<&Value> {
        self.field(name).map(|field| &field.value)
    }

    /// All fields with what they say.
    pub fn values(&self) -> IndexMap<String, Value> {
        self.fields.iter().map(|field| (field.name.clone(), field.value.clone())).collect()
    }
}

/// A deck as it was typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DeckText {
    /// The byte order mark and the like before everything, and comments above the first field.
    pub head: String,
    /// Fields before the cards, such as `title` and `year`.
    pub fields: Vec<FieldText>,
    /// The comment lines above `cards:` and the line itself, as typed.
    pub cards_line: String,
    /// The cards.
    pub cards: Vec<CardText>,
    /// Everything behind the last card, as typed.
    pub tail: String,
    /// The line end that most lines have.
    pub newline: &'static str,
}

impl DeckText {
    /// The card of that id.
    pub fn card(&self, id: &str) -> Option<&CardText> {
        self.cards.iter().find(|card| card.id == id)
    }
}
