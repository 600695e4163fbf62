//! `cards.pdf`, or its parts, and `corrections.pdf`: what is printed, as [`crate::pack::print`] makes it
//! when nobody asks for anything else.

use super::PackInput;
use crate::finding::Finding;
use crate::pack::print::{self, CORRECTIONS, Named, Options};

pub(super) fn cards(input: &PackInput<'_>) -> Result<Vec<Named>, Vec<Finding>> {
    print::cards(input.pack, input.department, Options::usual(input.department))
}

pub(super) fn corrections(input: &PackInput<'_>) -> Result<Vec<Named>, Vec<Finding>> {
    let (Some(before), Some(differences)) = (input.before, input.differences) else { return Ok(Vec::new()) };
    let sheets =
        print::corrections(input.pack, before, differences, input.department, Options::usual(input.department))?;
    Ok(sheets.map(|bytes| (CORRECTIONS.to_owned(), bytes)).into_iter().collect())
}
