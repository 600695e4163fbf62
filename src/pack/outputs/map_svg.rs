//! `map.svg`: how the cards of the pack connect.

use super::PackInput;
use crate::finding::Finding;
use crate::map::{Map, svg};

/// The map of the pack.
pub(super) fn write(input: &PackInput<'_>) -> Result<Vec<u8>, Vec<Finding>> {
    Ok(svg(&Map::of_pack(input.pack)).into_bytes())
}
