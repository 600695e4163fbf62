//! Revision cards of a school department as plain text in git: checked, reviewed, merged card by
//! card, released in packs.

pub mod notes;
pub mod source;
pub mod text;
