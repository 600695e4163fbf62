//! Revision cards of a school department as plain text in git: checked, reviewed, merged card by
//! card, released in packs.

pub mod cache;
pub mod change;
pub mod check;
pub mod cli;
pub mod deck;
pub mod find;
pub mod finding;
pub mod git;
pub mod map;
pub mod markup;
pub mod merge;
pub mod notes;
pub mod pack;
pub mod place;
pub mod plan;
pub mod progress;
pub mod quiz;
pub mod report;
pub mod schemas;
pub mod shelf;
pub mod slice;
pub mod snapshot;
pub mod source;
pub mod text;
