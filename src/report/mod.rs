//! Renderers over findings and changes. They decide nothing; each gives a text, printing is up to
//! the command.

pub mod cite;
pub mod coverage;
pub(crate) mod document;
pub mod find;
pub mod json;
pub mod junit;
pub mod plan;
pub mod quiz;
pub mod reconcile;
pub mod review;
pub mod sarif;
pub mod shelf;
pub mod terminal;
mod words;
pub(crate) mod xml;

pub use words::{capital, counted, cut, day_in_words, harmless};
