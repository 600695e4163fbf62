//! From YAML to decks and cards. Reading never fails: it gives what is sound and every mistake.

mod card;
mod deck;
mod reader;
mod undecided;

pub use card::{RESERVED, as_id, is_id};
pub(crate) use deck::MAX_YEAR;
pub use deck::read_deck;
pub(crate) use reader::{Fields, Reader, whole_number};
