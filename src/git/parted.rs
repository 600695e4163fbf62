//! Decks that one side of a merge took out while the other changed them.
//!
//! Git asks no merge driver about them: the changed deck stays in the folder without a mark in it, and
//! only git's index tells that nobody has decided.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use git2::{Index, Oid, Repository};

use super::authors::{Author, newest_change};
use super::site::{Site, SiteError};
use super::{GitError, git};
use crate::deck::department::deck_of;
use crate::deck::outline::{DeckText, outline};
use crate::snapshot::SnapshotError;

/// A deck that one side took out and the other changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Parted {
    /// Its file, from the top of the department.
    pub path: String,
    /// Its name.
    pub deck: String,
    /// Whether it was changed here (`ours`) and taken out there (`theirs`), or the other way round.
    pub kept_here: bool,
    /// The cards that were changed, added or taken out where it was kept.
    pub cards: Vec<String>,
    /// Who changed it last, and when.
    pub changed_by: Option<Author>,
    /// Who took it out, and when.
    pub removed_by: Option<Author>,
    /// The other files of the deck's folder that are in the same state, from the top of the department.
    others: Vec<String>,
}

/// The decks that nobody has decided about, by path. What stands in git's own index counts, whatever
/// index a commit is made from.
///
/// # Errors
///
/// When the index cannot be read.
pub fn parted(site: &Site) -> Result<Vec<Parted>, SnapshotError> {
    let Some(repository) = site.repository.as_ref().filter(|repository| !repository.is_bare()) else {
        return Ok(Vec::new());
    };
    let index = own_index(repository)?;
    let half =
        |stages: &BTreeMap<u16, Oid>| stages.contains_key(&1) && stages.contains_key(&2) != stages.contains_key(&3);
    let files: BTreeMap<String, BTreeMap<u16, Oid>> =
        unmerged(&index, &site.prefix).into_iter().filter(|(_, stages)| half(stages)).collect();
    let mut found = Vec::new();
    for (path, stages) in &files {
        let Some(deck) = deck_of(path) else { continue };
        let kept_here = stages.contains_key(&2);
        let folder = format!("decks/{deck}/");
        let others = files.keys().filter(|other| *other != path && other.starts_with(&folder)).cloned().collect();
        let whole = format!("{}{path}", site.prefix);
        let author = |tip: Option<Oid>| tip.and_then(|tip| newest_change(repository, tip, &whole));
        let (here, there) = (head(repository), other_head(repository).map(|(_, id)| id));
        let (changing, removing) = if kept_here { (here, there) } else { (there, here) };
        let kept = stages.get(&2).or_else(|| stages.get(&3));
        found.push(Parted {
            path: path.clone(),
            deck: deck.to_owned(),
            kept_here,
            cards: differing(text(repository, stages.get(&1)).as_ref(), text(repository, kept).as_ref()),
            changed_by: author(changing),
            removed_by: author(removing),
            others,
        });
    }
    Ok(found)
}

/// The files that git holds in several versions, from the top of the department, with the number of
/// each version: 1 before, 2 ours, 3 theirs.
fn unmerged(index: &Index, prefix: &str) -> BTreeMap<String, BTreeMap<u16, Oid>> {
    let mut files: BTreeMap<String, BTreeMap<u16, Oid>> = BTreeMap::new();
    for entry in index.iter() {
        let stage = entry.flags >> 12 & 3;
        let Some(path) = String::from_utf8(entry.path).ok().filter(|_| stage > 0) else { continue };
        if let Some(path) = path.strip_prefix(prefix) {
            files.entry(path.to_owned()).or_default().insert(stage, entry.id);
        }
    }
    files
}

/// The files that git holds in several versions, from the top of the department.
///
/// # Errors
///
/// When the index cannot be read.
pub fn unmerged_files(site: &Site) -> Result<BTreeSet<String>, SnapshotError> {
    let Some(repository) = &site.repository else { return Ok(BTreeSet::new()) };
    Ok(unmerged(&own_index(repository)?, &site.prefix).into_keys().collect())
}

/// The index of the working folder: a commit of everything is made from another one.
fn own_index(repository: &Repository) -> Result<Index, SnapshotError> {
    Index::open(&index_file(repository)).map_err(SnapshotError::git("the index"))
}

/// Where the index of the working folder stands.
pub fn index_file(repository: &Repository) -> PathBuf {
    repository.path().join("index")
}

fn head(repository: &Repository) -> Option<Oid> {
    repository.head().ok()?.peel_to_commit().ok().map(|commit| commit.id())
}

/// The commit that is being merged, picked or rebased, with git's name for it.
fn other_head(repository: &Repository) -> Option<(&'static str, Oid)> {
    ["MERGE_HEAD", "REBASE_HEAD", "CHERRY_PICK_HEAD"].into_iter().find_map(|name| {
        let text = std::fs::read_to_string(repository.path().join(name)).ok()?;
        Some((name, Oid::from_str(text.lines().next()?.trim()).ok()?))
    })
}

fn text(repository: &Repository, blob: Option<&Oid>) -> Option<DeckText> {
    let blob = repository.find_blob(*blob?).ok()?;
    outline(std::str::from_utf8(blob.content()).ok()?)
}

/// The ids of the cards that differ.
fn differing(before: Option<&DeckText>, now: Option<&DeckText>) -> Vec<String> {
    let cards = |deck: Option<&DeckText>| -> BTreeMap<String, _> {
        deck.map(|deck| deck.cards.iter().map(|card| (card.id.clone(), card.values())).collect()).unwrap_or_default()
    };
    let (before, now) = (cards(before), cards(now));
    let ids: BTreeSet<&String> = before.keys().chain(now.keys()).collect();
    ids.into_iter().filter(|id| before.get(*id) != now.get(*id)).cloned().collect()
}

impl Parted {
    /// The name of the side that changed it.
    pub fn kept_by(&self) -> &'static str {
        if self.kept_here { "ours" } else { "theirs" }
    }

    /// The name of the side that took it out.
    pub fn removed_from(&self) -> &'static str {
        if self.kept_here { "theirs" } else { "ours" }
    }

    /// The files that deciding touches, from the top of the department: those of the deck's folder on
    /// the side that kept it.
    ///
    /// # Errors
    ///
    /// When that side's commit cannot be read.
    pub fn files(&self, site: &Site) -> Result<BTreeSet<String>, SiteError> {
        let mut files: BTreeSet<String> = self.others.iter().chain([&self.path]).cloned().collect();
        if let Some(name) = self.commit(site)? {
            let folder = format!("decks/{}/", self.deck);
            let of_commit = site.at(name)?;
            let all = crate::snapshot::Snapshot::files(&of_commit)?;
            files.extend(all.into_iter().map(|entry| entry.path).filter(|path| path.starts_with(&folder)));
        }
        Ok(files)
    }

    /// Keeps the deck: its file as it stands in the folder, and beside it the notes and pictures that
    /// went with it on the other side.
    ///
    /// # Errors
    ///
    /// When git says no.
    pub fn keep(&self, site: &Site) -> Result<(), SiteError> {
        let root = site.root()?;
        let files = self.files(site)?;
        let (there, gone): (Vec<&str>, Vec<&str>) =
            files.iter().map(String::as_str).partition(|path| root.join(path).exists());
        if let (Some(commit), false) = (self.commit(site)?, gone.is_empty()) {
            in_folder(site, &["checkout", commit], &gone)?;
        }
        let undecided: Vec<&str> = there
            .into_iter()
            .filter(|path| *path == self.path || self.others.iter().any(|other| other == path))
            .collect();
        in_folder(site, &["add"], &undecided)
    }

    /// Takes the deck out, and the files that went with it.
    ///
    /// # Errors
    ///
    /// When git says no.
    pub fn take_out(&self, site: &Site) -> Result<(), SiteError> {
        let files: Vec<&str> = self.others.iter().chain([&self.path]).map(String::as_str).collect();
        in_folder(site, &["rm", "--quiet", "--force"], &files)
    }

    /// Git's name for the commit of the side that kept it.
    fn commit(&self, site: &Site) -> Result<Option<&'static str>, SiteError> {
        let repository = site.repository()?;
        Ok(if self.kept_here { Some("HEAD") } else { other_head(repository).map(|(name, _)| name) })
    }
}

fn in_folder(site: &Site, command: &[&str], files: &[&str]) -> Result<(), SiteError> {
    let arguments: Vec<&str> = command.iter().copied().chain(["--"]).chain(files.iter().copied()).collect();
    let done: Result<String, GitError> = git(site.root()?, &arguments);
    Ok(done.map(drop)?)
}
