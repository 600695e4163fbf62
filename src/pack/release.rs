//! Releasing packs: checked, built, numbered, written and tagged, whole or not at all.

use std::fs::{File, TryLockError};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

use git2::{Commit, Repository};
use rayon::prelude::*;

use super::build::{Built, build, corrected};
use super::choose::{ChooseError, Chosen, choose, years};
use super::commit::{commit, folder, origin, read};
use super::content::{self, Origin};
use super::differences::{Differences, differences};
use super::edition::Edition;
use super::error::ReleaseError;
use super::model::Pack;
use super::name::{parse_tag_name, tag_name};
use super::refuse::{refuse_errors, refuse_older, refuse_settings};
use super::tag::{self, Released};
use crate::git::git_with;
use crate::progress::Progress;
use crate::snapshot::{SnapshotError, write};

/// How a pack is released.
#[derive(Clone, Copy)]
pub struct Options<'a> {
    /// The folder for the zip.
    pub out: &'a Path,
    /// With a number and a tag, or without.
    pub mode: Mode,
    /// Is told how far it is.
    pub progress: &'a dyn Progress,
}

/// With a number and a tag, or without.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mode {
    /// A zip to look at: no number, no tag; it replaces the preview before.
    Preview,
    /// The next edition, tagged by the `git` program: in the user's own name, and signed when the user's
    /// settings say so.
    Edition,
}

/// What came of it.
#[derive(Clone, Debug)]
pub enum Release {
    /// A pack was made.
    Made(Box<Made>),
    /// The newest edition holds the same cards, so there is no new one.
    NothingNew(NothingNew),
}

impl Release {
    /// The pack, when there is a new one.
    pub fn made(&self) -> Option<&Made> {
        match self {
            Release::Made(made) => Some(made),
            Release::NothingNew(_) => None,
        }
    }
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
    let mut released = releases(repository, prefix, rev, Some(year), term, options)?;
    released.pop().ok_or_else(|| ChooseError::NotInScheme { year, term: term.to_owned() }.into())
}

/// Releases the packs of all year groups that the scheme has in `term`, as [`release`] does one.
///
/// All packs are built before the first is written, and all are written before the first is tagged: a
/// finding in one leaves none released. Killed in between, releasing again finishes the job.
///
/// # Errors
///
/// As [`release`], for any of them.
pub fn release_all(
    repository: &Repository,
    prefix: &str,
    rev: &str,
    term: &str,
    options: &Options<'_>,
) -> Result<Vec<Release>, ReleaseError> {
    releases(repository, prefix, rev, None, term, options)
}

/// Those of one year group, or of all.
fn releases(
    repository: &Repository,
    prefix: &str,
    rev: &str,
    year: Option<u8>,
    term: &str,
    options: &Options<'_>,
) -> Result<Vec<Release>, ReleaseError> {
    let prefix = folder(prefix);
    let commit = commit(repository, rev)?;
    options.progress.step("reading the department");
    let department = read(repository, &commit, &prefix)?;
    refuse_settings(&department)?;
    let years = year.map_or_else(|| years(&department, term), |year| Ok(vec![year]))?;
    let chosen: Vec<Chosen<'_>> =
        years.iter().map(|year| choose(&department, *year, term)).collect::<Result<_, _>>()?;
    options.progress.step("checking the cards");
    _ = together(chosen.par_iter().map(refuse_errors).collect())?;
    match options.mode {
        Mode::Preview => previews(repository, &prefix, &commit, &chosen, options),
        Mode::Edition => editions(repository, &prefix, &commit, &chosen, options),
    }
}

/// Builds a released edition again from its tag's commit; the same bytes as then.
///
/// # Errors
///
/// When there is no such edition, or its commit cannot be read.
pub fn rebuild(repository: &Repository, tag: &str) -> Result<Built, ReleaseError> {
    let released = tag::edition(repository, tag)?;
    let (year, term, _) = parse_tag_name(tag).ok_or_else(|| ReleaseError::NoEdition(tag.to_owned()))?;
    rebuild_among(repository, &released, &tag::editions(repository, year, &term)?)
}

/// Builds an edition again among those of its year group and term.
pub(super) fn rebuild_among(
    repository: &Repository,
    released: &Released,
    editions: &[Released],
) -> Result<Built, ReleaseError> {
    let tag = &released.tag;
    let (year, term, number) = parse_tag_name(tag).ok_or_else(|| ReleaseError::NoEdition(tag.clone()))?;
    let commit = repository.find_commit(released.commit).map_err(SnapshotError::git("the commit"))?;
    let prefix = folder(released.prefix.as_deref().unwrap_or_default());
    let department = read(repository, &commit, &prefix)?;
    let chosen = choose(&department, year, &term)?;
    let before = editions.iter().rfind(|edition| edition.number < number);
    let before = before.map(|before| pack_of(repository, &prefix, before, year, &term)).transpose()?;
    build(&chosen, origin(&commit, Edition::Number(number)), before.as_ref())
}

fn previews(
    repository: &Repository,
    prefix: &str,
    commit: &Commit<'_>,
    chosen: &[Chosen<'_>],
    options: &Options<'_>,
) -> Result<Vec<Release>, ReleaseError> {
    let mut plans = Vec::with_capacity(chosen.len());
    for chosen in chosen {
        let newest = tag::editions(repository, chosen.year, &chosen.term)?.pop();
        plans.push(Plan::new(repository, prefix, chosen, newest, origin(commit, Edition::Preview))?);
    }
    let mut made = Vec::with_capacity(plans.len());
    for built in built(&plans, options.progress)? {
        let path = options.out.join(&built.name);
        write::replace(&path, &built.zip)?;
        made.push(Release::Made(Box::new(Made { path, tag: None, built })));
    }
    Ok(made)
}

fn editions(
    repository: &Repository,
    prefix: &str,
    commit: &Commit<'_>,
    chosen: &[Chosen<'_>],
    options: &Options<'_>,
) -> Result<Vec<Release>, ReleaseError> {
    let _held = hold(repository)?;
    let mut plans = Vec::with_capacity(chosen.len());
    for chosen in chosen {
        let newest = tag::editions(repository, chosen.year, &chosen.term)?.pop();
        newest.as_ref().map_or(Ok(()), |newest| refuse_older(repository, commit, newest))?;
        let number = newest.as_ref().map_or(1, |newest| newest.number.saturating_add(1));
        plans.push(Plan::new(repository, prefix, chosen, newest, origin(commit, Edition::Number(number)))?);
    }
    let built = built(&plans, options.progress)?;
    let release = |(plan, built): (&Plan<'_>, Built)| plan.release(built, options.out);
    let mut released: Vec<Release> = plans.iter().zip(built).map(release).collect();
    let new = || released.iter().filter_map(Release::made);
    new().try_for_each(|made| free(&made.path, &made.built.zip))?;
    new().try_for_each(|made| put(&made.path, &made.built.zip))?;
    // Git may ask for the passphrase of the key to sign with.
    options.progress.rest();
    for release in &mut released {
        if let Release::Made(made) = release {
            made.tag = Some(set_tag(repository, commit, &made.built, prefix, &made.path)?);
        }
    }
    Ok(released)
}

/// What a pack is built from: all that is asked of the repository.
struct Plan<'c> {
    chosen: &'c Chosen<'c>,
    newest: Option<Released>,
    before: Option<Pack>,
    origin: Origin,
}

impl<'c> Plan<'c> {
    fn new(
        repository: &Repository,
        prefix: &str,
        chosen: &'c Chosen<'c>,
        newest: Option<Released>,
        origin: Origin,
    ) -> Result<Self, ReleaseError> {
        let before = newest.as_ref().map(|newest| pack_of(repository, prefix, newest, chosen.year, &chosen.term));
        Ok(Self { chosen, before: before.transpose()?, newest, origin })
    }

    /// What comes of what was built; nothing is written yet.
    fn release(&self, built: Built, out: &Path) -> Release {
        let same = built.differences.as_ref().is_some_and(Differences::is_empty);
        match self.newest.as_ref().filter(|_| same) {
            Some(newest) => Release::NothingNew(NothingNew {
                edition: newest.number,
                tag: newest.tag.clone(),
                commit: newest.commit.to_string(),
            }),
            None => Release::Made(Box::new(Made { path: out.join(&built.name), tag: None, built })),
        }
    }
}

/// All packs, built beside each other.
fn built(plans: &[Plan<'_>], progress: &dyn Progress) -> Result<Vec<Built>, ReleaseError> {
    let done = AtomicUsize::new(0);
    let say = |done: usize| match plans.len() {
        1 => progress.step("building the pack"),
        all => progress.step(&format!("building the packs, {done} of {all} done")),
    };
    say(0);
    let build = |plan: &Plan<'_>| {
        let built = build(plan.chosen, plan.origin.clone(), plan.before.as_ref());
        say(done.fetch_add(1, Ordering::Relaxed) + 1);
        built
    };
    together(plans.par_iter().map(build).collect())
}

/// All results, or the findings of all of them, each once, or the first other error.
fn together<T>(results: Vec<Result<T, ReleaseError>>) -> Result<Vec<T>, ReleaseError> {
    let (mut fine, mut found) = (Vec::with_capacity(results.len()), Vec::new());
    for result in results {
        match result {
            Ok(one) => fine.push(one),
            Err(ReleaseError::Findings(findings)) => {
                findings.into_iter().for_each(|finding| {
                    if !found.contains(&finding) {
                        found.push(finding)
                    }
                });
            }
            Err(error) => return Err(error),
        }
    }
    if found.is_empty() { Ok(fine) } else { Err(ReleaseError::Findings(found)) }
}

/// Whether the zip can be put there, for all that can be seen.
fn free(path: &Path, zip: &[u8]) -> Result<(), ReleaseError> {
    match std::fs::read(path) {
        Ok(there) if there != zip => Err(ReleaseError::Occupied { path: path.to_owned() }),
        _ => Ok(()),
    }
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
    built: &Built,
    prefix: &str,
    path: &Path,
) -> Result<String, ReleaseError> {
    let number = built.pack.edition.number().unwrap_or(1);
    let tag = tag_name(built.pack.year, &built.pack.term, number);
    let message = tag::message(built, prefix);
    let commit = commit.id().to_string();
    let arguments = ["tag", "--annotate", "--cleanup=verbatim", "--file=-", &tag, &commit];
    match git_with(repository.path(), &arguments, &message) {
        Ok(_) => Ok(tag),
        Err(error) => Err(ReleaseError::Tag { tag, path: path.to_owned(), why: error.to_string() }),
    }
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
pub(super) fn pack_of(
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
