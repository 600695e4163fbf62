//! Making the repairs that findings carry in the working folder.

use super::error::CliError;
use crate::check::{check, repair as making};
use crate::deck::Department;
use crate::finding::Finding;
use crate::git::site::Site;
use crate::report::counted;
use crate::snapshot::write;

/// Repairs findings that `wanted` picks until nothing of them is repairable, one file at a time, whole
/// or not at all; how many.
pub fn repair(site: &Site, wanted: impl Fn(&Finding) -> bool) -> Result<usize, CliError> {
    let root = site.root()?;
    let mut repaired = 0;
    for _ in 0..making::ROUNDS {
        let department = Department::read(&*site.here()?)?;
        let found: Vec<Finding> = check(&department).findings.into_iter().filter(|finding| wanted(finding)).collect();
        let repairs = making::repairs(&found);
        let before = repaired;
        for (path, replacements) in repairs {
            let full = root.join(&*path);
            // What cannot be read as text has a finding of its own.
            let Ok(text) = std::fs::read_to_string(&full) else { continue };
            let (mended, made) = making::apply(&text, &replacements);
            write::replace(&full, mended.as_bytes())
                .map_err(|error| CliError::from(error).after((repaired > 0).then(|| said(repaired))))?;
            repaired += made;
        }
        if repaired == before {
            break;
        }
    }
    Ok(repaired)
}

/// How many were repaired, in words.
pub fn said(repaired: usize) -> String {
    match repaired {
        0 => "nothing could be repaired".to_owned(),
        count => format!("{} repaired", counted(count, "finding", "findings")),
    }
}
