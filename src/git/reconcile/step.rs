//! One merge of trees in memory: decks card by card, everything else as git merges it.

use std::cell::{Cell, RefCell};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use git2::{Oid, Repository};
use rayon::prelude::*;

use super::files::{File, Files, content, files_like, files_of, tree_like, tree_of};
use crate::deck::department::deck_of;
use crate::deck::outline::{DeckText, deck_text, outline};
use crate::merge::{Decks, DepartmentLabels, MergedDepartment, Renamed, Undecided, merge_departments};
use crate::snapshot::SnapshotError;

/// What a merge of trees came to.
#[derive(Debug)]
pub struct Step {
    /// The tree, with the working text of files in conflict.
    pub tree: Oid,
    /// What somebody has to decide on cards.
    pub undecided: Vec<Undecided>,
    /// Cards that got a free id.
    pub renamed: Vec<Renamed>,
    /// Ids that a side gave up for another one, with that one.
    pub followed: Vec<(String, String)>,
    /// Files that could not be merged, by path.
    pub conflicts: BTreeMap<Vec<u8>, Conflict>,
}

/// A file that could not be merged: what stood where, as git's index keeps it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Conflict {
    /// In the base, on our side, on theirs.
    pub stages: [Option<File>; 3],
    /// The number of the side that it is with.
    pub side: usize,
    /// Whether the working text holds both, between markers.
    pub marked: bool,
}

/// Trees are merged here; what is read once is kept.
pub struct Merger<'r> {
    /// Where they are.
    pub repository: &'r Repository,
    /// The department's folder in the repository: empty, or ending in `/`.
    pub prefix: &'r str,
    outlines: RefCell<BTreeMap<Oid, Option<Arc<DeckText>>>>,
    contents: RefCell<BTreeMap<Oid, Arc<[u8]>>>,
    files: RefCell<BTreeMap<Oid, Arc<Files>>>,
    /// The tree whose files were read first.
    first: Cell<Option<Oid>>,
}

impl std::fmt::Debug for Merger<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Merger").field("prefix", &self.prefix).finish_non_exhaustive()
    }
}

impl<'r> Merger<'r> {
    /// Merges in `repository`, in the department in its folder `prefix`.
    pub fn new(repository: &'r Repository, prefix: &'r str) -> Self {
        Self {
            repository,
            prefix,
            outlines: RefCell::default(),
            contents: RefCell::default(),
            files: RefCell::default(),
            first: Cell::default(),
        }
    }

    /// The files of a tree; none for no tree.
    pub(super) fn files(&self, tree: Option<Oid>) -> Result<Arc<Files>, SnapshotError> {
        let Some(tree) = tree else { return Ok(Arc::default()) };
        if let Some(known) = self.files.borrow().get(&tree) {
            return Ok(Arc::clone(known));
        }
        let first = self.first.get().and_then(|first| Some((first, self.files.borrow().get(&first).cloned()?)));
        let files = Arc::new(match first {
            Some((first, files)) => files_like(self.repository, tree, (first, &files))?,
            None => files_of(self.repository, Some(tree))?,
        });
        self.first.set(self.first.get().or(Some(tree)));
        self.files.borrow_mut().insert(tree, Arc::clone(&files));
        Ok(files)
    }

    /// The content of a file.
    pub(super) fn content(&self, file: File) -> Result<Arc<[u8]>, SnapshotError> {
        if let Some(known) = self.contents.borrow().get(&file.id) {
            return Ok(Arc::clone(known));
        }
        let bytes: Arc<[u8]> = content(self.repository, file)?.into();
        self.contents.borrow_mut().insert(file.id, Arc::clone(&bytes));
        Ok(bytes)
    }

    /// Takes decks apart that are not yet, side by side.
    pub(super) fn read_ahead(&self, files: impl Iterator<Item = File>) -> Result<(), SnapshotError> {
        let mut wanted = BTreeMap::new();
        for file in files.filter(|file| file.is_ordinary()) {
            if !self.outlines.borrow().contains_key(&file.id) {
                wanted.insert(file.id, self.content(file)?);
            }
        }
        let read: Vec<_> = wanted.into_par_iter().map(|(id, bytes)| (id, parts_of(&bytes))).collect();
        self.outlines.borrow_mut().extend(read);
        Ok(())
    }

    /// The deck whose file this is.
    pub(super) fn deck_at<'a>(&self, path: &'a [u8]) -> Option<&'a str> {
        deck_of(std::str::from_utf8(path).ok()?.strip_prefix(self.prefix)?)
    }

    /// The path of a deck's file in the repository.
    pub(super) fn path_of(&self, deck: &str) -> Vec<u8> {
        format!("{}decks/{deck}/{}", self.prefix, crate::deck::department::CARDS).into_bytes()
    }

    /// The parts of a deck; `None` when it cannot be read as one.
    pub(super) fn outline(&self, file: File) -> Result<Option<Arc<DeckText>>, SnapshotError> {
        if !file.is_ordinary() {
            return Ok(None);
        }
        if let Some(known) = self.outlines.borrow().get(&file.id) {
            return Ok(known.clone());
        }
        let read = parts_of(&self.content(file)?);
        self.outlines.borrow_mut().insert(file.id, read.clone());
        Ok(read)
    }

    /// Merges `sides` with their common `base`; `names` are for the lines between which a conflict
    /// stands in a text.
    pub(super) fn merge(
        &self,
        base: Option<Oid>,
        sides: &[Oid],
        names: &[String],
        labels: &DepartmentLabels<'_>,
    ) -> Result<Step, SnapshotError> {
        let base_files = self.files(base)?;
        let files: Result<Vec<Arc<Files>>, SnapshotError> = sides.iter().map(|side| self.files(Some(*side))).collect();
        let files = files?;
        let decks = self.decks(&base_files, &files)?;
        let is_taken = |id: &str| self.is_taken(id, &base_files, &decks.names);
        let merged = merge_departments(&decks.base, &decks.sides.iter().collect::<Vec<_>>(), &is_taken, labels);
        let base_rest = self.rest(&base_files, &decks.names, &merged.base_folders, None, &base_files);
        let rests: Vec<Files> = files
            .iter()
            .enumerate()
            .map(|(side, files)| {
                self.rest(files, &decks.names, &merged.folders[side], Some(&merged.joined[side]), &base_files)
            })
            .collect();
        let mut conflicts = BTreeMap::new();
        let mut result = self.fold(&base_rest, &rests, names, &mut conflicts)?;
        for (name, text) in &merged.decks {
            let id = self.repository.blob(text.as_bytes()).map_err(SnapshotError::git("a merged deck"))?;
            result.insert(self.path_of(name), File { mode: File::ORDINARY, id });
        }
        let tree = tree_like(self.repository, &result, (sides[0], &files[0]))?;
        let MergedDepartment { undecided, renamed, followed, .. } = merged;
        Ok(Step { tree, undecided, renamed, followed, conflicts })
    }

    /// The decks that differ anywhere and can be read everywhere.
    fn decks(&self, base: &Files, sides: &[Arc<Files>]) -> Result<Changed, SnapshotError> {
        let mut names: BTreeSet<String> = BTreeSet::new();
        for side in sides {
            names.extend(self.differing(base, side));
        }
        let mut changed = Changed::default();
        let all: Vec<&Files> = std::iter::once(base).chain(sides.iter().map(|side| &**side)).collect();
        let paths: Vec<Vec<u8>> = names.iter().map(|name| self.path_of(name)).collect();
        self.read_ahead(all.iter().flat_map(|files| paths.iter().filter_map(|path| files.get(path).copied())))?;
        let mut read: Vec<Decks> = vec![Decks::new(); all.len()];
        for name in names {
            let path = self.path_of(&name);
            let texts: Result<Vec<_>, SnapshotError> =
                all.iter().map(|files| files.get(&path).map(|file| self.outline(*file)).transpose()).collect();
            let texts = texts?;
            if texts.iter().any(|text| matches!(text, Some(None))) {
                continue;
            }
            for (decks, text) in read.iter_mut().zip(texts) {
                decks.extend(text.flatten().map(|text| (name.clone(), text)));
            }
            changed.names.insert(name);
        }
        let mut read = read.into_iter();
        changed.base = read.next().unwrap_or_default();
        changed.sides = read.collect();
        Ok(changed)
    }

    /// The names of decks that differ between two trees.
    pub(super) fn differing(&self, one: &Files, other: &Files) -> BTreeSet<String> {
        let paths = one.iter().filter(|(path, file)| other.get(*path) != Some(file));
        let paths = paths.chain(other.iter().filter(|(path, _)| !one.contains_key(*path)));
        paths.filter_map(|(path, _)| self.deck_at(path)).map(str::to_owned).collect()
    }

    /// Whether a card of that id stands in a deck that nobody changed. Asked only about the few ids
    /// that two new cards share, so the decks are read as text.
    fn is_taken(&self, id: &str, base: &Files, changed: &BTreeSet<String>) -> bool {
        let unchanged = base.iter().filter(|(path, _)| self.deck_at(path).is_some_and(|name| !changed.contains(name)));
        unchanged.map(|(_, file)| content(self.repository, *file)).any(|bytes| {
            bytes.is_ok_and(|bytes| {
                String::from_utf8_lossy(&bytes).lines().any(|line| {
                    let line = line.trim_start_matches([' ', '-']);
                    line.strip_prefix("id:").is_some_and(|rest| rest.trim().trim_matches(['"', '\'']) == id)
                })
            })
        })
    }

    /// Everything that is not merged card by card, under the folders that decks have now. What was
    /// added to a deck that went into another goes there too, unless something is there.
    fn rest(
        &self,
        files: &Files,
        decks: &BTreeSet<String>,
        folders: &BTreeMap<String, String>,
        joined: Option<&BTreeMap<String, String>>,
        base: &Files,
    ) -> Files {
        let others = files.iter().filter(|(path, _)| !self.deck_at(path).is_some_and(|name| decks.contains(name)));
        let mut rest = Files::new();
        for (path, file) in others {
            let renamed = self.under(path, folders);
            let went = || joined.filter(|_| !base.contains_key(path)).and_then(|joined| self.under(path, joined));
            let free = |to: &Vec<u8>| !files.contains_key(to);
            let to = renamed.or_else(went).filter(free).unwrap_or_else(|| path.clone());
            rest.insert(to, *file);
        }
        rest
    }

    /// The path under the folder that its deck has now.
    fn under(&self, path: &[u8], folders: &BTreeMap<String, String>) -> Option<Vec<u8>> {
        let text = std::str::from_utf8(path).ok().filter(|_| !folders.is_empty())?;
        let inside = text.strip_prefix(self.prefix)?.strip_prefix("decks/")?;
        let of_deck = |(deck, to): (&String, &String)| {
            let rest = inside.strip_prefix(deck.as_str())?.strip_prefix('/')?;
            Some((deck.len(), format!("{}decks/{to}/{rest}", self.prefix).into_bytes()))
        };
        folders.iter().filter_map(of_deck).max().map(|(_, path)| path)
    }

    /// The tree of commits that are one base together: merged with their own base, what stays
    /// undecided as it was before, as git's recursive strategy does.
    pub(super) fn base(&self, bases: &[Oid], depth: usize) -> Result<Option<Oid>, SnapshotError> {
        let Some((first, rest)) = bases.split_first() else { return Ok(None) };
        let mut tree = self.tree(*first)?;
        let mut done = vec![*first];
        for next in rest {
            let common = super::history::bases(self.repository, *next, &done)?;
            // Histories that cross over and over end somewhere; beyond that, any of the bases serves.
            let common = if depth == 0 { common.into_iter().take(1).collect() } else { common };
            let common = self.base(&common, depth.saturating_sub(1))?;
            let names = ["one base".to_owned(), "another base".to_owned()];
            let label = |at: &crate::merge::At<'_>| crate::merge::Label {
                side: names[at.side.min(1)].clone(),
                by: None,
                when: None,
            };
            let step = self.merge(common, &[tree, self.tree(*next)?], &names, &label)?;
            tree = self.without_undecided(&step)?;
            done.push(*next);
        }
        Ok(Some(tree))
    }

    /// The tree of a commit.
    ///
    /// # Errors
    ///
    /// When the repository cannot be read.
    pub fn tree(&self, commit: Oid) -> Result<Oid, SnapshotError> {
        let commit = self.repository.find_commit(commit).map_err(SnapshotError::git("a commit"))?;
        Ok(commit.tree_id())
    }

    fn without_undecided(&self, step: &Step) -> Result<Oid, SnapshotError> {
        if step.undecided.is_empty() {
            return Ok(step.tree);
        }
        let mut files = (*self.files(Some(step.tree))?).clone();
        let decks: BTreeSet<&String> = step.undecided.iter().map(|undecided| &undecided.deck).collect();
        for deck in decks {
            let path = self.path_of(deck);
            let Some(file) = files.get(&path).copied() else { continue };
            let Some(parts) = self.outline(file)? else { continue };
            let mut parts = (*parts).clone();
            let is_open = |card: &str| step.undecided.iter().any(|open| open.deck == *deck && open.card == card);
            if is_open("") {
                parts.fields.retain(|field| field.name != "undecided");
            }
            for card in parts.cards.iter_mut().filter(|card| is_open(&card.id)) {
                card.fields.retain(|field| field.name != "undecided");
                card.raw.clear();
            }
            let id = self.repository.blob(deck_text(&parts).as_bytes()).map_err(SnapshotError::git("a deck"))?;
            files.insert(path, File { id, ..file });
        }
        tree_of(self.repository, &files)
    }
}

/// The parts of a deck.
fn parts_of(bytes: &[u8]) -> Option<Arc<DeckText>> {
    std::str::from_utf8(bytes).ok().and_then(outline).map(Arc::new)
}

/// The decks that are merged card by card.
#[derive(Default)]
struct Changed {
    names: BTreeSet<String>,
    base: Decks,
    sides: Vec<Decks>,
}
