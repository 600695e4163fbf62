//! A review: card by card, facts first, with the words that differ, the notes beside each card, and
//! what the change brings in and clears among the findings. One file a form.

mod heading;
pub mod html;
pub mod markdown;
mod order;
mod phrases;
mod text;
pub mod waiting;

pub use heading::Heading;
pub use text::{deck, notes, overview, overview_of, review};
