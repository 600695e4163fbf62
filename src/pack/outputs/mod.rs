//! The files of a pack: one module an output, one line each in [`OUTPUTS`].

mod calendar_ics;
mod cards_csv;
mod changes_md;
mod map_svg;
mod pack_json;
mod printed;
mod revise_html;

pub(crate) use changes_md::in_words as field_in_words;

use super::differences::Differences;
use super::model::{Pack, PackFile};
use crate::deck::Department;
use crate::finding::Finding;
use crate::pack::print::{CORRECTIONS, Named};

/// What an output is made from.
#[derive(Clone, Copy, Debug)]
pub struct PackInput<'a> {
    /// The pack.
    pub pack: &'a Pack,
    /// The edition before, when there is one.
    pub before: Option<&'a Pack>,
    /// What is different since then.
    pub differences: Option<&'a Differences>,
    /// The department at the pack's commit, for its pictures.
    pub department: &'a Department,
    /// The files that are done already.
    pub files: &'a [PackFile],
}

/// A file of a pack.
#[derive(Debug)]
pub struct Output {
    /// Its name.
    pub name: &'static str,
    /// Makes it: the same bytes for the same input, or findings that stop the release.
    pub write: fn(&PackInput<'_>) -> Result<Vec<u8>, Vec<Finding>>,
}

/// Files that there may be none or several of.
#[derive(Debug)]
pub struct Several {
    /// The first of them.
    pub name: &'static str,
    /// Makes them, each with its name: the same bytes for the same input, or findings that stop the
    /// release.
    pub write: fn(&PackInput<'_>) -> Result<Vec<Named>, Vec<Finding>>,
}

/// What is printed. These files are made first and stand first in the zip: they are what most people
/// open it for.
pub const PRINTED: &[Several] =
    &[Several { name: "cards.pdf", write: printed::cards }, Several { name: CORRECTIONS, write: printed::corrections }];

/// All outputs, in the order in which they stand in the zip. `pack.json` is the last: it lists the others,
/// which are made side by side.
pub const OUTPUTS: &[Output] = &[
    Output { name: "cards.csv", write: cards_csv::write },
    Output { name: "calendar.ics", write: calendar_ics::write },
    Output { name: "map.svg", write: map_svg::write },
    Output { name: "changes.md", write: changes_md::write },
    Output { name: "revise.html", write: revise_html::write },
    Output { name: MANIFEST, write: pack_json::write },
];

/// The file that lists the others.
pub(super) const MANIFEST: &str = "pack.json";

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn names_stand_once_and_the_list_of_files_comes_last() {
        let names = OUTPUTS.iter().map(|output| output.name).chain(PRINTED.iter().map(|several| several.name));
        assert_eq!(names.collect::<BTreeSet<&str>>().len(), OUTPUTS.len() + PRINTED.len());
        assert_eq!(OUTPUTS.last().map(|output| output.name), Some(MANIFEST));
    }
}
