//! From chosen cards to the bytes of a zip.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::archive;
use super::choose::Chosen;
use super::content::{self, Origin, sha256};
use super::differences::{Differences, differences};
use super::error::ReleaseError;
use super::model::{Pack, PackFile, Previous};
use super::name::zip_name;
use super::outputs::{OUTPUTS, Output, PRINTED, PackInput};
use super::print::Named;
use crate::finding::Finding;

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
    let input =
        PackInput { pack: &pack, before, differences: differences.as_ref(), department: chosen.department, files: &[] };
    let (files, listed) = written(&input).map_err(ReleaseError::Findings)?;
    let zip = archive::write(&files).map_err(|error| ReleaseError::Zip(error.to_string()))?;
    let name = zip_name(&pack.department, pack.year, &pack.term, pack.edition);
    Ok(Built { sha256: sha256(&zip), pack, differences, files: listed, name, zip })
}

/// All files with the list of them, in order. What is printed takes most of the time, so the others are made
/// beside it, but for the last one, which lists them.
fn written(input: &PackInput<'_>) -> Result<(Vec<Named>, Vec<PackFile>), Vec<Finding>> {
    let one = |output: &Output, input: &PackInput<'_>| Ok(vec![(output.name.to_owned(), (output.write)(input)?)]);
    let (others, last) = OUTPUTS.split_at(OUTPUTS.len() - 1);
    let (printed, others) = rayon::join(
        || PRINTED.par_iter().map(|several| (several.write)(input)).collect::<Vec<_>>(),
        || others.par_iter().map(|output| one(output, input)).collect::<Vec<_>>(),
    );
    let mut files: Vec<Named> = Vec::new();
    // Of several that find something the first one tells it, whoever came first.
    for made in printed.into_iter().chain(others) {
        files.extend(made?);
    }
    let mut listed: Vec<PackFile> = files.par_iter().map(listed_file).collect();
    for output in last {
        let made = one(output, &PackInput { files: &listed, ..*input })?;
        listed.extend(made.iter().map(listed_file));
        files.extend(made);
    }
    Ok((files, listed))
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
