//! Withdrawing an edition, and taking it back onto the shelf.

use std::path::Path;

use git2::Repository;

use super::disk;
use super::error::ShelfError;
use super::model::{Entry, Restored, Shelf, Withdrawal};
use super::put::{Mode, Outcome, Published, Put, finish, in_words, is_ours};
use crate::pack::{ReleasedPack, released_pack};

/// Marks the edition that `which` names (its tag, or the name of its zip) as withdrawn, at the moment
/// `on` (RFC 3339). It stays listed, and its files stay where they are: editions never change.
///
/// # Errors
///
/// When it is not on the shelf, is withdrawn for another reason already, or as for
/// [`publish`](super::publish).
pub fn withdraw(
    repository: &Repository,
    folder: &Path,
    which: &str,
    reason: &str,
    on: &str,
    mode: Mode,
) -> Result<Published, ShelfError> {
    let reason = one_line(reason);
    if reason.is_empty() {
        return Err(ShelfError::NoReason);
    }
    change(repository, folder, which, mode, |entry| match &entry.withdrawn {
        None => {
            entry.withdrawn = Some(Withdrawal { on: on.to_owned(), reason });
            Ok(Outcome::Withdrawn)
        }
        Some(before) if before.reason == reason => Ok(Outcome::Stays),
        Some(before) => {
            let on = before.on.get(..10).unwrap_or_default().to_owned();
            Err(ShelfError::WithdrawnAlready { edition: in_words(entry), on, reason: before.reason.clone() })
        }
    })
}

/// A withdrawn edition that is to be used again.
#[derive(Clone, Debug, Default)]
pub struct Restoring<'a> {
    /// Its tag, or the name of its zip.
    pub which: &'a str,
    /// The zip, from which its files are put back where they were taken away.
    pub zip: Option<Vec<u8>>,
    /// Why, for pupils and colleagues to read.
    pub reason: Option<&'a str>,
}

/// Takes a withdrawn edition back onto the shelf, at the moment `on` (RFC 3339): it is offered as any
/// other, and its page, the list and the feed say that it was withdrawn until then. Whoever does it twice
/// changes nothing.
///
/// # Errors
///
/// When it is not on the shelf or was never withdrawn, when its files are no longer as they were put
/// there and no zip can replace them, or as for [`publish`](super::publish).
pub fn restore(
    repository: &Repository,
    folder: &Path,
    restoring: Restoring<'_>,
    on: &str,
    mode: Mode,
) -> Result<Published, ShelfError> {
    let Restoring { which, zip, reason } = restoring;
    let reason = reason.map(one_line).filter(|reason| !reason.is_empty());
    let pack = zip.map(|zip| released_pack(repository, zip)).transpose();
    let pack = pack.map_err(|why| ShelfError::NotReleased { name: which.to_owned(), why })?;
    change(repository, folder, which, mode, |entry| match entry.withdrawn.take() {
        None if entry.restored.is_empty() => Err(ShelfError::NeverWithdrawn { edition: in_words(entry) }),
        None => Ok(Outcome::There),
        Some(withdrawn) => {
            whole(folder, entry, pack.as_ref(), mode)?;
            entry.restored.push(Restored { withdrawn, on: on.to_owned(), reason });
            Ok(Outcome::Restored)
        }
    })
}

/// Makes sure that the files of an edition are there before any page leads to them.
fn whole(folder: &Path, entry: &Entry, pack: Option<&ReleasedPack>, mode: Mode) -> Result<(), ShelfError> {
    let Some(path) = disk::changed(folder, entry) else { return Ok(()) };
    match pack {
        Some(pack) if !disk::is_there(folder, entry) && pack.tag == entry.tag => match mode {
            Mode::Write => disk::put(folder, entry, pack),
            Mode::Look => Ok(()),
        },
        _ => Err(ShelfError::NotWhole { edition: in_words(entry), path }),
    }
}

/// Changes what the shelf says of an edition, and its pages with it.
fn change(
    repository: &Repository,
    folder: &Path,
    which: &str,
    mode: Mode,
    said: impl FnOnce(&mut Entry) -> Result<Outcome, ShelfError>,
) -> Result<Published, ShelfError> {
    // Looked at before it is held, so that a slip in the name makes no folder.
    disk::read(folder)?.ok_or_else(|| ShelfError::NoShelf(folder.to_owned()))?;
    let _held = (mode == Mode::Write).then(|| disk::hold(folder)).transpose()?;
    let mut shelf = disk::read(folder)?.ok_or_else(|| ShelfError::NoShelf(folder.to_owned()))?;
    is_ours(repository, &shelf)?;
    let known = shelf.editions.iter().map(|entry| entry.tag.clone()).collect();
    let missing = ShelfError::NotThere { which: which.to_owned(), known };
    let entry = shelf.editions.iter_mut().find(|entry| is_named(entry, which)).ok_or(missing)?;
    let outcome = said(entry)?;
    let put = Put::of(entry, outcome);
    let pages = finish(folder, &Shelf::new(shelf.id, shelf.editions), mode)?;
    Ok(Published::new(folder, mode, vec![put], pages))
}

fn is_named(entry: &Entry, which: &str) -> bool {
    let name = which.rsplit(['/', '\\']).next().unwrap_or(which);
    entry.tag == which || entry.zip.name == name || entry.zip.name.strip_suffix(".zip") == Some(name)
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
