//! What changed between two departments, card by card.
//!
//! Cards are found by their id anywhere: a card that moved to another deck is one change, not a
//! removal and an addition, and a deck whose folder got another name is no change of its cards. What
//! changed is told by field, with the words that differ and the effect for those who learn from the
//! card. Merging is somebody else's business; so is showing.
//!
//! [`changes`] compares; [`Review`] adds what the change brings in and clears among the findings.

mod apart;
mod beside;
mod cards;
mod compare;
mod effect;
mod fact;
mod fields;
mod leaning;
mod model;
mod notes;
mod order;
mod pairs;
mod pictures;
mod renames;
mod review;
mod settings;
mod some;
#[cfg(test)]
pub(crate) mod support;
mod values;
mod words;

pub(crate) use apart::apart;
pub use compare::changes;
pub use effect::Effect;
pub use fact::fact_differs;
pub use fields::{FieldChange, field_changes};
pub use leaning::leaned_on;
pub use model::{
    BesideCards, CardChange, Changes, Counts, DeckChange, DeckState, Leaning, NotesChange, NotesState, Passage,
    PictureChange, SettingChange, What,
};
pub use review::Review;
pub use some::changes_of_decks;
pub use values::{Values, values};
pub use words::{Run, runs};
