//! Putting editions on the shelf.

use std::path::Path;

use git2::Repository;
use serde::Serialize;

use super::error::ShelfError;
use super::model::{Entry, Shelf};
use super::{disk, ids};
use crate::pack::{ReleasedPack, digest_of, released_pack};
use crate::progress::Progress;
use crate::snapshot::write;

/// Whether anything is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mode {
    /// The shelf is changed.
    Write,
    /// Only what would happen is told; not even a lock is left.
    Look,
}

/// What happened to the shelf. As JSON it has the shape of `schema/publish.schema.json`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Published {
    /// The version of the format.
    pub format: u32,
    /// The shelf's folder.
    pub shelf: String,
    /// Whether this is only what would happen.
    pub dry_run: bool,
    /// The editions that were named or found.
    pub editions: Vec<Put>,
    /// The list, pages and feed that were written, in that order.
    pub pages: Vec<String>,
}

/// An edition, and what happened to it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Put {
    /// What happened.
    pub outcome: Outcome,
    /// Its tag.
    pub tag: String,
    /// Which it is, in words.
    pub edition: String,
    /// Its folder on the shelf.
    pub folder: String,
    /// How many cards it has.
    pub cards: usize,
    /// How many cards it corrects.
    pub corrected: usize,
    /// Why it was withdrawn, or may be used again.
    pub reason: Option<String>,
}

/// What happened to an edition.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Outcome {
    /// It is on the shelf now.
    New,
    /// It was there already, the same bytes.
    There,
    /// It was listed, but its folder was gone; it is there again.
    Again,
    /// It is marked as withdrawn now.
    Withdrawn,
    /// It was withdrawn before, and stays so.
    Stays,
    /// It was withdrawn, and may be used again.
    Restored,
}

impl Published {
    pub(super) fn new(shelf: &Path, mode: Mode, editions: Vec<Put>, pages: Vec<String>) -> Self {
        Self { format: 1, shelf: shelf.display().to_string(), dry_run: mode == Mode::Look, editions, pages }
    }
}

impl Put {
    pub(super) fn of(entry: &Entry, outcome: Outcome) -> Self {
        Self {
            outcome,
            tag: entry.tag.clone(),
            edition: in_words(entry),
            folder: entry.folder.clone(),
            cards: entry.cards,
            corrected: entry.since.as_ref().map_or(0, |since| since.corrected.len()),
            reason: match (&entry.withdrawn, entry.restored.last()) {
                (Some(withdrawal), _) => Some(withdrawal.reason.clone()),
                (None, Some(restored)) if outcome == Outcome::Restored => restored.reason.clone(),
                (None, _) => None,
            },
        }
    }
}

pub(super) fn in_words(entry: &Entry) -> String {
    format!("year {}, {}, edition {}", entry.year, entry.term_in_words(), entry.edition)
}

/// Puts the editions in `zips`, each with the name by which messages call it, on the shelf in `folder`.
///
/// All are held against their tags and commits before the first is written. Editions are written beside
/// their place and moved into it, the list, the pages and the feed come last, each replaced whole: killed at
/// any moment, every page is the old one or the new, what it links to is there, and publishing again finishes
/// the job. Publishing what is there already writes nothing.
///
/// # Errors
///
/// When a zip was not released so, another edition has its name, an edition on the shelf was changed,
/// the shelf is another department's, somebody else is at it, or the disk says no.
pub fn publish(
    repository: &Repository,
    folder: &Path,
    zips: Vec<(String, Vec<u8>)>,
    mode: Mode,
    progress: &dyn Progress,
) -> Result<Published, ShelfError> {
    let mut packs: Vec<(Entry, ReleasedPack)> = Vec::with_capacity(zips.len());
    let all = zips.len();
    for (number, (name, zip)) in zips.into_iter().enumerate() {
        progress.step(&format!("comparing pack {} of {all} with what was released", number + 1));
        let pack = released_pack(repository, zip).map_err(|why| ShelfError::NotReleased { name, why })?;
        if !packs.iter().any(|(_, known)| known.tag == pack.tag) {
            packs.push((Entry::of(&pack), pack));
        }
    }
    // Looked at before it is held, so that a folder that is no shelf is left alone.
    disk::read(folder)?;
    let _held = (mode == Mode::Write).then(|| disk::hold(folder)).transpose()?;
    let known = disk::read(folder)?;
    known.as_ref().map_or(Ok(()), |shelf| is_ours(repository, shelf))?;
    let (id, mut editions) = known.map(|shelf| (Some(shelf.id), shelf.editions)).unwrap_or_default();
    let mut put = Vec::with_capacity(packs.len());
    for (entry, _) in &packs {
        put.push(place(folder, &editions, entry)?);
    }
    are_as_they_were(folder, &editions, &put)?;
    progress.step("putting packs on the shelf");
    for ((entry, pack), put) in packs.iter().zip(&put) {
        if put.outcome == Outcome::New {
            editions.push(entry.clone());
        }
        if mode == Mode::Write && !disk::is_there(folder, entry) && put.outcome != Outcome::Stays {
            disk::put(folder, entry, pack)?;
        }
    }
    let id = id.or_else(|| packs.first().map(|(first, _)| ids::shelf(&first.school, &first.department)));
    let pages = id.map_or_else(|| Ok(Vec::new()), |id| finish(folder, &Shelf::new(id, editions), mode))?;
    Ok(Published::new(folder, mode, put, pages))
}

/// What is to become of an edition.
fn place(folder: &Path, editions: &[Entry], entry: &Entry) -> Result<Put, ShelfError> {
    let listed = editions.iter().find(|known| known.tag == entry.tag);
    let other =
        |name: &str| ShelfError::Other { edition: in_words(entry), path: folder.join(&entry.folder).join(name) };
    if listed.is_some_and(|known| known.zip != entry.zip) {
        return Err(other(&entry.zip.name));
    }
    if let Some(withdrawn) = listed.filter(|known| known.withdrawn.is_some()) {
        return Ok(Put::of(withdrawn, Outcome::Stays));
    }
    if disk::is_there(folder, entry)
        && let Some(path) = disk::changed(folder, entry)
    {
        return Err(ShelfError::Other { edition: in_words(entry), path });
    }
    Ok(Put::of(
        entry,
        match listed {
            None => Outcome::New,
            Some(_) if disk::is_there(folder, entry) => Outcome::There,
            Some(_) => Outcome::Again,
        },
    ))
}

/// Refuses a shelf on which something was changed, so that nobody goes on building on it. What is put there
/// again just now may be gone, and what is withdrawn may be, too.
fn are_as_they_were(folder: &Path, editions: &[Entry], put: &[Put]) -> Result<(), ShelfError> {
    let again = |entry: &Entry| put.iter().any(|put| put.tag == entry.tag);
    let open = editions.iter().filter(|entry| entry.withdrawn.is_none() && !again(entry));
    for entry in open {
        if let Some(path) = disk::changed(folder, entry) {
            return Err(ShelfError::Changed { edition: in_words(entry), path });
        }
    }
    Ok(())
}

/// Refuses a shelf whose editions were released in another repository.
pub(super) fn is_ours(repository: &Repository, shelf: &Shelf) -> Result<(), ShelfError> {
    let other = |why: String| ShelfError::OtherDepartment {
        department: shelf.department.clone(),
        school: shelf.school.clone(),
        why,
    };
    let mut known = false;
    for entry in &shelf.editions {
        match digest_of(repository, &entry.tag) {
            Some(digest) if digest == entry.zip.sha256 => known = true,
            Some(_) => return Err(other(format!("its {} is not the one of this repository", entry.tag))),
            None => {}
        }
    }
    if known || shelf.editions.is_empty() {
        return Ok(());
    }
    Err(other("this repository has the tag of none of them".to_owned()))
}

/// Writes the list, the pages and the feed where they differ, and names them.
pub(super) fn finish(folder: &Path, shelf: &Shelf, mode: Mode) -> Result<Vec<String>, ShelfError> {
    let stale = disk::stale(folder, disk::pages(shelf));
    if mode == Mode::Write {
        stale.iter().try_for_each(|(name, text)| write::replace(&folder.join(name), text.as_bytes()))?;
    }
    Ok(stale.into_iter().map(|(name, _)| name).collect())
}
