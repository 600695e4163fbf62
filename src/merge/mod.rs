//! Putting edits together so that nothing anybody wrote is lost: first the algebra, then what is
//! built from it: fields, cards, decks.
//!
//! Knows no git and prints nothing. The text of a field as it was typed is carried along and never
//! looked into.

pub mod algebra;
mod card;
mod comments;
mod deck;
mod driver;
mod ids;
mod label;
mod settle;

pub use card::{MergedCard, OpenField, merge_card};
pub use deck::{MergedDeck, Renamed, merge_decks};
pub use driver::{MergedText, merge_texts};
pub use label::{Label, Labels, undecided_value};
pub use settle::{Choice, SettleError, settle};
