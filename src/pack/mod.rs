//! Packs: what a year group holds in its hands for a term.
//!
//! A pack is built from a commit and from nothing else, so the same commit gives the same bytes. The
//! scheme chooses the decks ([`choose`]), the links between cards order them ([`teaching_order`]), the
//! outputs turn them into files (one file each under `outputs/`, one line each in [`OUTPUTS`]), and a
//! zip holds the files. [`release`] numbers a pack and tags its commit, [`verify`] says whether a zip
//! is whole and the one that was released, and [`differences`] tells two editions apart.

mod archive;
mod build;
mod choose;
mod commit;
mod content;
mod differences;
mod edition;
mod error;
mod model;
mod name;
mod order;
mod outputs;
pub mod print;
mod pushed;
mod rebuilt;
mod refuse;
mod release;
mod released;
mod reprint;
mod tag;
mod verify;

pub(crate) use archive::is_plain;
pub use build::{Built, build};
pub use choose::{ChooseError, Chosen, choose, the_term, years};
pub use commit::{department_at, timestamp};
pub use content::Origin;
pub(crate) use content::{pack_card, sha256};
pub use differences::{Changed, Differences, Moved, Numbered, Renumbered, Rescheduled, differences};
pub use edition::Edition;
pub use error::ReleaseError;
pub use model::{
    CAUTIONS, FORMAT, Manifest, Pack, PackCard, PackColour, PackFile, PackPicture, PackQuestion, PackSession, Previous,
    Side, Tier, Topic,
};
pub(crate) use name::is_slug;
pub use name::{parse_tag_name, tag_name, zip_name};
pub use order::teaching_order;
pub(crate) use order::without_loops;
pub(crate) use outputs::field_in_words;
pub use outputs::{OUTPUTS, Output, PRINTED, PackInput, Several};
pub use pushed::differing_from_its_commit;
pub use rebuilt::verify_by_rebuilding;
pub use release::{Made, Mode, NothingNew, Options, Release, rebuild, release, release_all};
pub use released::{NotReleased, ReleasedPack, digest_of, released_pack};
pub use reprint::{Reprint, of_commit, of_zip};
pub use tag::not_released;
pub use verify::{Check, State, Verdict, verify};

#[cfg(test)]
mod support;
#[cfg(test)]
mod tests;
