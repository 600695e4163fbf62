//! From chosen cards to the bytes of a zip.

use std::collections::BTreeMap;

use super::archive;
use super::choose::Chosen;
use super::content::{self, Origin, sha256};
use super::differences::{Differences, differences};
use super::error::ReleaseError;
use super::model::{Pack, PackFile, Previous};
use super::name::zip_name;
use super::outputs::{OUTPUTS, PRINTED, PackInput};
use super::print::Named;

/// A pack with its zip.
#[derive(Clone, Debug)]
pub struct Built {
    /// The pack.
    pub pack: Pack,
    /// What is different from the edition before; nothing for the first.
    pub differences: Option<Differences>,
    /// The files in the zip, in order.
    pub files: Vec<PackFile>,
    /// The name of the zip.
    pub name: String,
    /// The zip.
    pub zip: Vec<u8>,
    /// SHA-256 of the zip, in hexadecimal digits.
    pub sha256: String,
}

/// Builds the pack of the chosen cards; `before` is the edition before.
///
/// The same cards from the same origin give the same bytes.
///
/// # Errors
///
/// When an output finds something in the cards that it cannot print.
pub fn build(chosen: &Chosen<'_>, origin: Origin, before: Option<&Pack>) -> Result<Built, ReleaseError> {
    let mut pack = content::pack(chosen, origin, before.and_then(Previous::of));
    let differences = before.map(|before| differences(before, &pack));
    if let (Some(before), Some(differences)) = (before, &differences) {
        pack.corrected = corrected(before, differences, &pack);
    }
    let mut files: Vec<Named> = Vec::new();
    let base =
        PackInput { pack: &pack, before, differences: differences.as_ref(), department: chosen.department, files: &[] };
    for several in PRINTED {
        files.extend((several.write)(&base).map_err(ReleaseError::Findings)?);
    }
    let mut listed: Vec<PackFile> = files.iter().map(listed_file).collect();
    for output in OUTPUTS {
        let input = PackInput { files: &listed, ..base };
        let file = (output.name.to_owned(), (output.write)(&input).map_err(ReleaseError::Findings)?);
        listed.push(listed_file(&file));
        files.push(file);
    }
    let zip = archive::write(&files).map_err(|error| ReleaseError::Zip(error.to_string()))?;
    let name = zip_name(&pack.department, pack.year, &pack.term, pack.edition);
    Ok(Built { sha256: sha256(&zip), pack, differences, files: listed, name, zip })
}

fn listed_file((name, bytes): &Named) -> PackFile {
    PackFile { name: name.clone(), sha256: sha256(bytes), size: bytes.len() as u64 }
}

/// In which edition each card's answer was last corrected: as in the edition before, and now in this
/// one. A pupil may have missed any number of editions.
pub(super) fn corrected(before: &Pack, differences: &Differences, now: &Pack) -> BTreeMap<String, u32> {
    let mut corrected = before.corrected.clone();
    if let Some(edition) = now.edition.number() {
        corrected.extend(differences.corrected.iter().map(|changed| (changed.card.id.clone(), edition)));
    }
    corrected
}
