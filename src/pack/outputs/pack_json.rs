//! `pack.json`: the pack for programs, by `schema/pack.schema.json`, with the digest of each other file.

use super::PackInput;
use crate::finding::Finding;
use crate::pack::model::Manifest;

/// Two blanks of indentation, with a last line end.
pub(super) fn write(input: &PackInput<'_>) -> Result<Vec<u8>, Vec<Finding>> {
    let manifest = Manifest::of(input.pack, input.files);
    // Serialising to bytes fails only for maps whose keys are no strings; none of ours are.
    let mut bytes = serde_json::to_vec_pretty(&manifest).unwrap_or_default();
    bytes.push(b'\n');
    Ok(bytes)
}
