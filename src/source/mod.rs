//! Cards against their source notes: finding a quote again, and whether a passage supports an answer.
//!
//! Two chains are tested: the notes still hold the quote, and the quote holds the answer. Both rest on
//! one reading of text for its facts: values (numbers, quantities with units, dates), names,
//! negations, comparisons, opposites, and the words that carry meaning, weighted by their rarity in
//! the department's own notes. A [`AllNotes`] holds the notes of the department; [`judge`] gives the
//! states of one card and can be called for many cards at once.

mod all_notes;
mod asks;
#[cfg(test)]
mod benchmark;
mod beside;
mod citations;
mod cite;
mod coverage;
pub mod draft;
mod drift;
mod judge;
mod keys;
mod locate;
mod reading;
mod supports;
mod weights;

pub use all_notes::AllNotes;
pub use asks::{asks_the_same, says_the_same};
pub use beside::beside;
pub use citations::{Citation, Cite, Cited as CitedPassage, citations, needs};
pub use cite::{ENOUGH, Near, Proposal, passages, section_of_quotes};
pub use coverage::{Counted, Coverage, SectionCoverage, StatementCoverage, TopicCoverage};
pub use drift::{Difference, FactKind};
pub use judge::{Asked, Cited, Judgement, State, judge};
pub use keys::{KeyKind, KeyStatement, key_statements};
pub use locate::{Place, find_exactly};
pub use supports::{Evidence, Statement, supports};
pub use weights::Weights;
