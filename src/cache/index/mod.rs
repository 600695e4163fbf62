//! What is kept of one whole check, so that a department in which a few decks differ from it need not be checked
//! as a whole: one file, of which only the blocks that are asked for are read.
//!
//! Nothing in it is trusted: each block and the list of blocks carry their digests, and what does not fit them
//! counts as missing. The file is written beside its place and moved into it.

mod blocks;
mod bytes;
mod read;
mod write;

use std::path::{Path, PathBuf};

use crate::check::partial::Record;
use crate::snapshot::Listing;

pub use read::Index;

/// The largest file that is kept, in bytes.
const MAX_FILE: usize = 256 * 1024 * 1024;

/// The name of the folder, with the version of the format.
const FOLDER: &str = "deckle/index-v1";

/// Where the index stands in git's own folder `git`.
pub fn path(git: &Path) -> PathBuf {
    git.join(FOLDER).join("index")
}

/// Keeps what a whole check found of the files in `listing`. A disk that is full or may not be written costs time
/// at the next run and nothing else.
pub fn keep(path: &Path, program: &str, listing: &Listing, record: &Record) {
    let bytes = write::bytes(program, listing, record);
    let Some(folder) = path.parent().filter(|_| bytes.len() <= MAX_FILE) else { return };
    _ = std::fs::create_dir_all(folder).and_then(|()| {
        let beside = tempfile::NamedTempFile::new_in(folder)?;
        std::fs::write(beside.path(), &bytes)?;
        beside.persist(path).map_err(|error| error.error)
    });
}

#[cfg(test)]
mod tests;
