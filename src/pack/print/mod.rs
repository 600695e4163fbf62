//! What is printed: cards on both sides of A4 sheets, corrections, quizzes.
//!
//! A [`Pack`] becomes typed data (`data/`), in which every text of a card is literal: the template under
//! `typst/` never evaluates any of it, and formulas go over as trees. The template is laid out in
//! memory (`world.rs`, `typeset.rs`), the pages are looked at (`inspect.rs`), and whatever does not fit its
//! card or has no letters is a finding that stops the release. The same pack gives the same bytes.
//!
//! Memory grows with the pages of a document, so packs of more than [`CARDS_IN_A_PART`] cards come in
//! parts, each a whole document.

mod bare;
mod data;
mod findings;
mod fonts;
mod inspect;
mod job;
mod options;
mod quiz;
mod sheet;
mod typeset;
mod world;

use std::collections::BTreeMap;
use std::sync::Arc;

use serde::Serialize;
use typst_layout::PagedDocument;

use super::differences::Differences;
use super::model::{Pack, PackCard};
use super::name::pack_name;
use crate::deck::Department;
use crate::finding::Finding;
pub use bare::Bare;
pub use fonts::unprintable;
use job::{Job, Kind};
pub use options::{Backs, CardSize, Flip, Options};
pub use quiz::quiz;
pub use sheet::{A4, Sheet};
pub use typeset::TypesetError;
use world::PrintWorld;

/// How many cards a document holds at most: four hundred take about 300 MB while they are laid out.
pub const CARDS_IN_A_PART: usize = 400;

/// A file with its name.
pub type Named = (String, Vec<u8>);

/// The cards of a pack: `cards.pdf`, or `cards-1.pdf` and so on when there are many. Whatever is not as
/// usual stands in the name too, as in `cards-a6-short.pdf`; what is usual is up to the department.
///
/// # Errors
///
/// What stops the release: a side that does not fit, letters that no font has, a picture that cannot
/// be read.
pub fn cards(pack: &Pack, department: &Department, options: Options) -> Result<Vec<Named>, Vec<Finding>> {
    let cards: Vec<&PackCard> = pack.cards.iter().collect();
    let mut files = Vec::new();
    let mut found = Vec::new();
    for (job, name) in parts(pack, department, options, &cards) {
        match print(&job, &name) {
            Ok(bytes) => files.push((name, bytes)),
            Err(findings) => found.extend(findings),
        }
    }
    if found.is_empty() { Ok(files) } else { Err(found) }
}

/// The documents of a pack with the names of their files: parts as even as they can be, in whole sheets.
fn parts<'a>(
    pack: &'a Pack,
    department: &'a Department,
    options: Options,
    cards: &'a [&'a PackCard],
) -> impl Iterator<Item = (Job<'a>, String)> {
    let sheet = Sheet::new(options.card, options.flip).cards();
    let each = cards.len().div_ceil(cards.len().div_ceil(CARDS_IN_A_PART).max(1)).max(1).next_multiple_of(sheet);
    let parts = cards.len().div_ceil(each);
    cards.chunks(each).enumerate().map(move |(at, cards)| {
        let kind = Kind::Cards { part: at + 1, parts };
        let part = if parts == 1 { String::new() } else { format!("-{}", at + 1) };
        (
            Job { pack, department, options, cards, kind },
            format!("cards{part}{}.pdf", options.suffix(Options::usual(department))),
        )
    })
}

/// The cards of a pack that take the place of those of an earlier edition, as `corrections.pdf`;
/// nothing when none was put right.
///
/// # Errors
///
/// As with [`cards`].
pub fn corrections(
    pack: &Pack,
    before: &Pack,
    differences: &Differences,
    department: &Department,
    options: Options,
) -> Result<Option<Vec<u8>>, Vec<Finding>> {
    let Some(edition) = before.edition.number().filter(|_| !differences.corrected.is_empty()) else { return Ok(None) };
    let of = |id: &str| pack.cards.iter().find(|card| card.id == id);
    let (cards, replaces): (Vec<&PackCard>, Vec<usize>) =
        differences.corrected.iter().filter_map(|changed| Some((of(&changed.card.id)?, changed.before))).unzip();
    let kind = Kind::Corrections { edition, replaces: &replaces };
    print(&Job { pack, department, options, cards: &cards, kind }, CORRECTIONS).map(Some)
}

/// Where the template of sheets begins.
const MAIN: &str = "main.typ";

/// The name of the file with corrections.
pub const CORRECTIONS: &str = "corrections.pdf";

fn print(job: &Job<'_>, name: &str) -> Result<Vec<u8>, Vec<Finding>> {
    let cards = job.cards.iter();
    let cards = cards.map(|card| ((card.deck.as_str(), card.id.as_str()), card.pictures.as_slice()));
    findings::pictures(job.department, cards)?;
    let (document, pictures) = data::document(job);
    let card = document.card;
    let printed = typeset::with_room(|| {
        let laid_out = lay_out(MAIN, &document, pictures).map_err(|error| findings::sheets(job, &error))?;
        findings::sides(job, &inspect::sides(&laid_out, card))?;
        let ident = format!(
            "{}/{}/{}/{name}",
            pack_name(&job.pack.department, job.pack.year, &job.pack.term),
            job.pack.edition,
            job.pack.commit
        );
        typeset::export(&laid_out, &ident).map_err(|error| findings::sheets(job, &error))
    });
    // What the typesetter remembers helps nobody any more.
    comemo::evict(0);
    printed
}

fn lay_out(
    main: &str,
    data: &impl Serialize,
    pictures: BTreeMap<String, Arc<[u8]>>,
) -> Result<PagedDocument, typeset::TypesetError> {
    // Serialising fails only for maps whose keys are no strings; there are none.
    let data = serde_json::to_vec(data).unwrap_or_default();
    typeset::lay_out(&PrintWorld::new(main, data, pictures))
}

#[cfg(test)]
mod tests;
