//! The shelf as a folder: held against others, read, and written piece by piece, each whole or not at all.

use std::fs::{File, TryLockError};
use std::io::Write;
use std::path::{Path, PathBuf};

use super::error::ShelfError;
use super::model::{Entry, Shelf};
use super::{FEED, INDEX, LIST, feed, page};
use crate::pack::{ReleasedPack, sha256};
use crate::snapshot::step::step;
use crate::snapshot::{SnapshotError, write};

/// Keeps everybody else off the shelf until it is dropped, or the process ends in any way; makes the
/// folder when it is not there, and takes out what a publication that was killed left in the making.
/// Where files cannot be locked, nobody is kept off.
pub fn hold(shelf: &Path) -> Result<Option<File>, ShelfError> {
    let path = shelf.join(LOCK);
    let open = || {
        step()?;
        std::fs::create_dir_all(shelf)?;
        File::options().create(true).append(true).open(&path)
    };
    let file = open().map_err(refused(&path))?;
    let held = match file.try_lock() {
        Ok(()) => Some(file),
        Err(TryLockError::WouldBlock) => return Err(ShelfError::Busy),
        Err(TryLockError::Error(_)) => None,
    };
    sweep(shelf);
    Ok(held)
}

/// The empty file that is locked; its name says to whoever looks what it is for.
const LOCK: &str = "shelf.lock";

fn refused(path: &Path) -> impl FnOnce(std::io::Error) -> SnapshotError {
    let path = path.display().to_string();
    |source| SnapshotError::File { path, source }
}

/// What the shelf knows; nothing when the folder is free for a new one.
pub fn read(shelf: &Path) -> Result<Option<Shelf>, ShelfError> {
    let path = shelf.join(LIST);
    match std::fs::read(&path) {
        Ok(bytes) => Shelf::read(&bytes).map(Some).map_err(|why| ShelfError::List { path, why }),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            // The list is written before any page, so these are not ours.
            let other = [INDEX, FEED].map(|name| shelf.join(name)).into_iter().find(|path| path.exists());
            other.map_or(Ok(None), |path| Err(ShelfError::Occupied { path }))
        }
        Err(error) => Err(refused(&path)(error).into()),
    }
}

/// Whether an edition's folder is there.
pub fn is_there(shelf: &Path, entry: &Entry) -> bool {
    shelf.join(&entry.folder).exists()
}

/// The first of its files that is not there, or is not as it was put there.
pub fn changed(shelf: &Path, entry: &Entry) -> Option<PathBuf> {
    let folder = shelf.join(&entry.folder);
    let same = |path: &Path, digest: &str| std::fs::read(path).is_ok_and(|bytes| sha256(&bytes) == digest);
    let files = entry.files.iter().chain([&entry.zip]).map(|file| (folder.join(&file.name), &file.sha256));
    files.into_iter().find(|(path, digest)| !same(path, digest)).map(|(path, _)| path)
}

/// Puts an edition's folder on the shelf: written beside its place and moved into it, so that it is there
/// whole or not at all.
pub fn put(shelf: &Path, entry: &Entry, pack: &ReleasedPack) -> Result<(), ShelfError> {
    let folder = shelf.join(&entry.folder);
    let making = folder.with_file_name(format!("{PREFIX}edition-{}{SUFFIX}", entry.edition));
    let written = fill(&making, pack).and_then(|()| write::rename(&making, &folder));
    if written.is_err() {
        _ = std::fs::remove_dir_all(&making);
    }
    Ok(written?)
}

const PREFIX: &str = ".deckle-";
const SUFFIX: &str = ".part";

/// Nobody sees the folder yet, so its files need not be written beside their places.
fn fill(folder: &Path, pack: &ReleasedPack) -> Result<(), SnapshotError> {
    std::fs::create_dir_all(folder).map_err(refused(folder))?;
    for (name, bytes) in pack.files.iter().chain([(&pack.name, &pack.zip)]) {
        let path = folder.join(name);
        lay(&path, bytes).map_err(refused(&path))?;
    }
    Ok(())
}

fn lay(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    step()?;
    let mut file = File::create(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

fn sweep(shelf: &Path) {
    // Editions are made in `year-8/autumn-2026/`, pages in the folders above.
    let entries = walkdir::WalkDir::new(shelf).min_depth(1).max_depth(3).into_iter().filter_map(Result::ok);
    for entry in entries {
        let name = entry.file_name().to_string_lossy();
        if name.starts_with(PREFIX) && name.ends_with(SUFFIX) {
            _ = if entry.file_type().is_dir() {
                std::fs::remove_dir_all(entry.path())
            } else {
                std::fs::remove_file(entry.path())
            };
        }
    }
}

/// The files that say what is on the shelf: the list, and what is made from it.
pub fn pages(shelf: &Shelf) -> Vec<(String, String)> {
    let mut pages = vec![(LIST.to_owned(), shelf.json())];
    pages.extend(page::latest(shelf));
    pages.extend([(INDEX.to_owned(), page::index(shelf)), (FEED.to_owned(), feed::feed(shelf))]);
    pages
}

/// Those of them that the folder does not have as they should be, in the order in which they are to be
/// written: the list first; then what is not there yet, with the index, by which people come in, last; then
/// what is replaced, with the feed, which leads into the index, last.
pub fn stale(folder: &Path, mut pages: Vec<(String, String)>) -> Vec<(String, String)> {
    pages.retain(|(name, text)| std::fs::read(folder.join(name)).map_or(true, |there| there != text.as_bytes()));
    pages.sort_by_cached_key(|(name, _)| {
        let is_there = folder.join(name).exists();
        let rank = match name.as_str() {
            FEED => 3 * u8::from(is_there),
            INDEX => 2,
            _ => 1,
        };
        (name != LIST, is_there, rank)
    });
    pages
}
