//! Releasing a pack: checked, built, numbered, written and tagged, whole or not at all.

use std::fs::{File, TryLockError};
use std::path::{Path, PathBuf};

use git2::{Commit, Repository, Signature};

use super::build::{Built, build, corrected};
use super::choose::{Chosen, choose};
use super::commit::{commit, folder, origin, read};
use super::content;
use super::differences::differences;
use super::edition::Edition;
use super::error::ReleaseError;
use super::model::Pack;
use super::name::{parse_tag_name, tag_name};
use super::refuse::{refuse_errors, refuse_older, refuse_settings};
use super::tag::{self, Released};
use crate::snapshot::{SnapshotError, write};

/// How a pack is released.
#[derive(Clone, Copy)]
pub struct Options<'a> {
    /// The folder for the zip.
    pub out: &'a Path,
    /// With a number and a tag, or without.
    pub mode: Mode<'a>,
}

/// With a number and a tag, or without.
#[derive(Clone, Copy)]
pub enum Mode<'a> {
    /// A zip to look at: no number, no tag; it replaces the preview before.
    Preview,
    /// The next edition, tagged in this name at this time.
    Edition(&'a Signature<'a>),
}

/// What came of it.
#[derive(Clone, Debug)]
pub enum Release {
    /// A pack was made.
    Made(Box<Made>),
    /// The newest edition holds the same cards, so there is no new one.
    NothingNew(NothingNew),
}

/// A pack that was made.
#[derive(Clone, Debug)]
pub struct Made {
    /// Where the zip is.
    pub path: PathBuf,
    /// The tag; none for a preview.
    pub tag: Option<String>,
    /// The pack and its zip.
    pub built: Built,
}

/// The edition that holds the same cards.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NothingNew {
    /// Its number.
    pub edition: u32,
    /// Its tag.
    pub tag: String,
    /// Its commit.
    pub commit: String,
}

/// Releases the pack of `year` and `term` as it is at the commit `rev`, from the department in the
/// folder `prefix` of the repository (empty for its top); also in a bare repository.
///
/// The zip is written before the tag is set: killed at any moment, there is no tag without a whole zip,
/// and releasing again finishes the job.
///
/// # Errors
///
/// When there is nothing to release, the chosen decks have findings of level error, the commit is
/// older than the newest edition, or the outside world says no.
pub fn release(
    repository: &Repository,
    prefix: &str,
    rev: &str,
    year: u8,
    term: &str,
    options: &Options<'_>,
) -> Result<Release, ReleaseError> {
    let prefix = folder(prefix);
    let commit = commit(repository, rev)?;
    let department = read(repository, &commit, &prefix)?;
    refuse_settings(&department)?;
    let chosen = choose(&department, year, term)?;
    refuse_errors(&chosen)?;
    match options.mode {
        Mode::Preview => preview(repository, &prefix, &commit, &chosen, options.out),
        Mode::Edition(tagger) => edition(repository, &prefix, &commit, &chosen, options.out, tagger),
    }
}

/// Builds a released edition again from its tag's commit; the same bytes as then.
///
/// # Errors
///
/// When there is no such edition, or its commit cannot be read.
pub fn rebuild(repository: &Repository, tag: &str) -> Result<Built, ReleaseError> {
    let released = tag::edition(repository, tag)?;
    let (year, term, number) = parse_tag_name(tag).ok_or_else(|| ReleaseError::NoEdition(tag.to_owned()))?;
    let commit = repository.find_commit(released.commit).map_err(SnapshotError::git("the commit"))?;
    let prefix = folder(released.prefix.as_deref().unwrap_or_default());
    let department = read(repository, &commit, &prefix)?;
    let chosen = choose(&department, year, &term)?;
    let editions = tag::editions(repository, year, &term)?;
    let before = editions.iter().rfind(|edition| edition.number < number);
    let before = before.map(|before| pack_of(repository, &prefix, before, year, &term)).transpose()?;
    build(&chosen, origin(&commit, Edition::Number(number)), before.as_ref())
}

fn preview(
    repository: &Repository,
    prefix: &str,
    commit: &Commit<'_>,
    chosen: &Chosen<'_>,
    out: &Path,
) -> Result<Release, ReleaseError> {
    let editions = tag::editions(repository, chosen.year, &chosen.term)?;
    let before =
        editions.last().map(|newest| pack_of(repository, prefix, newest, chosen.year, &chosen.term)).transpose()?;
    let built = build(chosen, origin(commit, Edition::Preview), before.as_ref())?;
    let path = out.join(&built.name);
    write::replace(&path, &built.zip)?;
    Ok(Release::Made(Box::new(Made { path, tag: None, built })))
}

fn edition(
    repository: &Repository,
    prefix: &str,
    commit: &Commit<'_>,
    chosen: &Chosen<'_>,
    out: &Path,
    tagger: &Signature<'_>,
) -> Result<Release, ReleaseError> {
    let _held = hold(repository)?;
    let editions = tag::editions(repository, chosen.year, &chosen.term)?;
    let before = match editions.last() {
        Some(newest) => {
            refuse_older(repository, commit, newest)?;
            Some(pack_of(repository, prefix, newest, chosen.year, &chosen.term)?)
        }
        None => None,
    };
    let number = editions.last().map_or(1, |newest| newest.number.saturating_add(1));
    let built = build(chosen, origin(commit, Edition::Number(number)), before.as_ref())?;
    if let Some(newest) = editions.last().filter(|_| built.differences.as_ref().is_some_and(|found| found.is_empty())) {
        let (edition, tag, commit) = (newest.number, newest.tag.clone(), newest.commit.to_string());
        return Ok(Release::NothingNew(NothingNew { edition, tag, commit }));
    }
    let path = out.join(&built.name);
    put(&path, &built.zip)?;
    let tag = set_tag(repository, commit, tagger, &built, prefix, &path)?;
    Ok(Release::Made(Box::new(Made { path, tag: Some(tag), built })))
}

/// Writes the zip where no other file is. One with the same bytes was left by a release that was
/// killed before it could set its tag.
fn put(path: &Path, zip: &[u8]) -> Result<(), ReleaseError> {
    if write::create(path, zip)? || std::fs::read(path).is_ok_and(|there| there == zip) {
        return Ok(());
    }
    Err(ReleaseError::Occupied { path: path.to_owned() })
}

fn set_tag(
    repository: &Repository,
    commit: &Commit<'_>,
    tagger: &Signature<'_>,
    built: &Built,
    prefix: &str,
    path: &Path,
) -> Result<String, ReleaseError> {
    let number = built.pack.edition.number().unwrap_or(1);
    let tag = tag_name(built.pack.year, &built.pack.term, number);
    let message = tag::message(built, prefix);
    let set = repository.tag(&tag, commit.as_object(), tagger, &message, false);
    set.map_err(|error| ReleaseError::Tag {
        tag: tag.clone(),
        path: path.to_owned(),
        why: error.message().to_owned(),
    })?;
    Ok(tag)
}

/// Keeps other releases in this repository away until it is dropped, or the process ends in any way.
fn hold(repository: &Repository) -> Result<Option<File>, ReleaseError> {
    let path = repository.commondir().join("deckle-release.lock");
    let refused = |source| SnapshotError::File { path: path.display().to_string(), source };
    let file = File::options().create(true).append(true).open(&path).map_err(refused)?;
    match file.try_lock() {
        Ok(()) => Ok(Some(file)),
        Err(TryLockError::WouldBlock) => Err(ReleaseError::Busy),
        // Where files cannot be locked, git's own refusal to set a tag twice has to do.
        Err(TryLockError::Error(_)) => Ok(None),
    }
}

/// The cards of a released edition, from its commit. A tag that somebody set by hand names no folder;
/// then it is `prefix`.
fn pack_of(
    repository: &Repository,
    prefix: &str,
    released: &Released,
    year: u8,
    term: &str,
) -> Result<Pack, ReleaseError> {
    let lost = |why: String| ReleaseError::EditionBefore { tag: released.tag.clone(), why };
    let commit = repository.find_commit(released.commit).map_err(|error| lost(error.message().to_owned()))?;
    let by_hand = released.digest.is_none();
    let prefix = if by_hand { prefix } else { released.prefix.as_deref().unwrap_or_default() };
    let department = read(repository, &commit, &folder(prefix))?;
    let chosen = choose(&department, year, term).map_err(|error| lost(error.to_string()))?;
    let mut pack = content::pack(&chosen, origin(&commit, Edition::Number(released.number)), None);
    // What was corrected in earlier editions is told on: a pupil may have missed any number of them.
    let earlier = tag::editions(repository, year, term)?.into_iter().rfind(|earlier| earlier.number < released.number);
    if let Some(earlier) = earlier {
        let before = pack_of(repository, prefix, &earlier, year, term)?;
        pack.corrected = corrected(&before, &differences(&before, &pack), &pack);
    }
    Ok(pack)
}
