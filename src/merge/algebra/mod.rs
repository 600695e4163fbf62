//! The pure algebra of merging: one base, any number of sides, one result.
//!
//! A *base* is what everybody started from, a *side* is what one of them made of it, and `None` is
//! absent: not there yet, or removed. Every merge here keeps four promises:
//!
//! - **The order of the sides does not matter.** Only the side numbers in an [`Open`] follow it.
//! - **A side that changed nothing has no say**, so one changed side is the result as it stands.
//! - **The same change made twice is taken once.**
//! - **Nothing is lost.** Each value of a side is in the result, was the base's and another side
//!   replaced or removed it, or stands in an [`Open`] for somebody to decide.
//!
//! | what | merged by | stays open |
//! | --- | --- | --- |
//! | a text, or anything that must not be blended | [`whole`] | when two sides changed it differently |
//! | a list without order | [`set`] | never |
//! | the order of items with unique keys | [`sequence`] | never |
//! | fields by name, each with its own [`Policy`] | [`record`] | field by field |
//! | items by key, in their order | [`keyed`] | removed by one side, edited by another |
//!
//! [`Merge`] is the value underneath: alternating adds and removes, resolved when only one term is
//! left. Nothing here knows files, git or cards.

mod keyed;
mod record;
mod sequence;
mod set;
mod value;
mod whole;

pub use self::keyed::{Entry, entry, keyed};
pub use self::record::{Fields, Policy, Value, field, record};
pub use self::sequence::sequence;
pub use self::set::set;
pub use self::value::{Merge, SameChange};
pub use self::whole::{Open, Outcome, Side, whole};
