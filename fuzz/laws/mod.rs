//! What holds whatever the bytes are: one law a file, each a function that panics when it is broken.
//!
//! The fuzz targets hand them made-up bytes; the integration tests replay the inputs under
//! `fuzz/corpus/`, so that what was found once is tried again by every `cargo test`.

pub mod edit;
pub mod merge;
pub mod notes;
mod parts;
pub mod read;
pub mod supports;
pub mod verify;
