//! Putting edits together so that nothing anybody wrote is lost: first the algebra, then what is
//! built from it: fields, cards, decks, departments.
//!
//! Knows no git and prints nothing. The text of a field as it was typed is carried along and never
//! looked into.

pub mod algebra;
mod card;
mod comments;
mod deck;
mod department;
mod driver;
mod ids;
mod label;
mod manner;
mod remarks;
mod renames;
mod settings;
mod settle;
mod versions;

pub use card::{Joined, MergedCard, OpenField, merge_card};
pub use deck::{MergedDeck, merge_decks};
pub use department::{At, Decks, DepartmentLabels, MergedDepartment, Undecided, merge_departments};
pub use driver::{MergedText, merge_texts};
pub use ids::Renamed;
pub use label::{Label, Labels};
pub use settings::merge_settings;
pub use settle::{Choice, SettleError, chosen_deck, chosen_id, follow_id, move_card, settle};
