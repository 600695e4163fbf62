//! The shelf: released packs on a static folder that any web server, network drive or hosting site can
//! serve, with a page for pupils, a feed for those who follow it, and a list for programs.
//!
//! `shelf.json` ([`Shelf`]) is what the shelf knows; the pages ([`page`]) and the feed ([`feed`]) are made
//! from it and from nothing else, so the same editions give the same bytes. [`publish`],
//! [`withdraw`] and [`restore`] are the ways to change it. An edition's own folder is put there once and never written again.

mod current;
mod disk;
mod entry;
mod error;
pub mod feed;
mod ids;
mod model;
pub mod page;
mod put;
mod withdraw;

pub use current::{YearGroup, year_groups};
pub use error::ShelfError;
pub use model::{Correction, Current, Entry, FORMAT, FieldCorrection, Restored, Shelf, Since, TopicLine, Withdrawal};
pub use put::{Mode, Outcome, Published, Put, publish};
pub use withdraw::{Restoring, restore, withdraw};

/// The list for programs.
pub const LIST: &str = "shelf.json";
/// The page.
pub const INDEX: &str = "index.html";
/// The feed.
pub const FEED: &str = "feed.xml";

#[cfg(test)]
mod support;
#[cfg(test)]
mod tests;
