//! The connections between cards as a picture: topics as regions, cards as boxes, what to know first as
//! arrows, connected cards as plain lines.
//!
//! The drawing is layered (Sugiyama, Tagawa and Toda 1981): cards that need each other form blocks, in
//! which each card stands in a column to the right of all it needs ([`layers`]); crossings are reduced by
//! barycentres ([`order`]), and heights are the least-squares ones that keep the order ([`heights`]). Blocks
//! fill the columns of their region, the small ones the holes of the large ones ([`region`]). Regions stand
//! one below the other in strips ([`grid`]), and lines between blocks run between columns, strips and
//! regions ([`lines`]), on tracks that those from one card share ([`tracks`]). Of several layouts the one is taken
//! that is largest on paper of the A series ([`sheet`]). No line runs over a card, and whatever is measured is measured in whole tenths of a
//! millimetre, so the same cards give the same bytes.

mod block;
mod content;
mod frame;
mod grid;
mod heights;
mod layers;
mod lines;
mod order;
mod region;
mod route;
mod sheet;
mod sizes;
mod svg;
mod tracks;
mod words;

pub use content::{Map, MapCard, MapTopic};
pub use svg::svg;

#[cfg(test)]
mod tests;
