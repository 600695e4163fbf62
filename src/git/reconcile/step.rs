//! One merge of trees in memory: decks card by card, everything else as git merges it.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use git2::{MergeFileInput, MergeFileOptions, MergeOptions, Oid, Repository};

use super::files::{File, Files, content, files_of, tree_of};
use crate::deck::department::deck_of;
use crate::deck::outline::{DeckText, deck_text, outline};
use crate::deck::settings;
use crate::merge::{Decks, DepartmentLabels, MergedDepartment, Renamed, Undecided, merge_departments, merge_settings};
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
    pub repository: &'r Repository,
    /// The department's folder in the repository: empty, or ending in `/`.
    pub prefix: &'r str,
    outlines: RefCell<BTreeMap<Oid, Option<Arc<DeckText>>>>,
}

impl<'r> Merger<'r> {
    pub fn new(repository: &'r Repository, prefix: &'r str) -> Self {
        Self { repository, prefix, outlines: RefCell::default() }
    }

    /// The deck whose file this is.
    pub fn deck_at<'a>(&self, path: &'a [u8]) -> Option<&'a str> {
        deck_of(std::str::from_utf8(path).ok()?.strip_prefix(self.prefix)?)
    }

    /// The path of a deck's file in the repository.
    pub fn path_of(&self, deck: &str) -> Vec<u8> {
        format!("{}decks/{deck}/{}", self.prefix, crate::deck::department::CARDS).into_bytes()
    }

    /// The parts of a deck; `None` when it cannot be read as one.
    pub fn outline(&self, file: File) -> Result<Option<Arc<DeckText>>, SnapshotError> {
        if !file.is_ordinary() {
            return Ok(None);
        }
        if let Some(known) = self.outlines.borrow().get(&file.id) {
            return Ok(known.clone());
        }
        let bytes = content(self.repository, file)?;
        let read = std::str::from_utf8(&bytes).ok().and_then(outline).map(Arc::new);
        self.outlines.borrow_mut().insert(file.id, read.clone());
        Ok(read)
    }

    /// Merges `sides` with their common `base`; `names` are for the lines between which a conflict
    /// stands in a text.
    pub fn merge(
        &self,
        base: Option<Oid>,
        sides: &[Oid],
        names: &[String],
        labels: &DepartmentLabels<'_>,
    ) -> Result<Step, SnapshotError> {
        let base_files = files_of(self.repository, base)?;
        let files: Result<Vec<Files>, SnapshotError> =
            sides.iter().map(|side| files_of(self.repository, Some(*side))).collect();
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
        let tree = tree_of(self.repository, &result)?;
        let MergedDepartment { undecided, renamed, .. } = merged;
        Ok(Step { tree, undecided, renamed, conflicts })
    }

    /// The decks that differ anywhere and can be read everywhere.
    fn decks(&self, base: &Files, sides: &[Files]) -> Result<Changed, SnapshotError> {
        let mut names: BTreeSet<String> = BTreeSet::new();
        for side in sides {
            names.extend(self.differing(base, side));
        }
        let mut changed = Changed::default();
        let all: Vec<&Files> = std::iter::once(base).chain(sides).collect();
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
    pub fn differing(&self, one: &Files, other: &Files) -> BTreeSet<String> {
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

    /// Merges files one side after another as git merges them.
    fn fold(
        &self,
        base: &Files,
        sides: &[Files],
        names: &[String],
        conflicts: &mut BTreeMap<Vec<u8>, Conflict>,
    ) -> Result<Files, SnapshotError> {
        let mut done = sides[0].clone();
        let mut done_name = names[0].clone();
        for (number, side) in sides.iter().enumerate().skip(1) {
            if side == base || *side == done {
                continue;
            }
            if done == *base {
                done.clone_from(side);
            } else {
                let pair = Pair { number, names: [&done_name, &names[number]] };
                done = self.two(base, &done, side, &pair, conflicts)?;
            }
            done_name = format!("{done_name}, {}", names[number]);
        }
        Ok(done)
    }

    fn two(
        &self,
        base: &Files,
        ours: &Files,
        theirs: &Files,
        pair: &Pair<'_>,
        conflicts: &mut BTreeMap<Vec<u8>, Conflict>,
    ) -> Result<Files, SnapshotError> {
        let what = || SnapshotError::git("files to merge");
        let [base_tree, our_tree, their_tree] = [base, ours, theirs].map(|files| tree_of(self.repository, files));
        let find = |tree: Oid| self.repository.find_tree(tree).map_err(what());
        let (base_tree, our_tree, their_tree) = (find(base_tree?)?, find(our_tree?)?, find(their_tree?)?);
        let mut options = MergeOptions::new();
        options.find_renames(true);
        let index = self.repository.merge_trees(&base_tree, &our_tree, &their_tree, Some(&options)).map_err(what())?;
        let mut result = Files::new();
        for entry in index.iter().filter(|entry| entry.flags >> 12 & 3 == 0) {
            result.insert(entry.path, File { mode: entry.mode, id: entry.id });
        }
        for conflict in index.conflicts().map_err(what())? {
            let conflict = conflict.map_err(what())?;
            let versions = [conflict.ancestor, conflict.our, conflict.their]
                .map(|entry| entry.map(|entry| (entry.path, File { mode: entry.mode, id: entry.id })));
            self.decide(versions, pair, &mut result, conflicts)?;
        }
        Ok(result)
    }

    /// What stands in the working folder for a file that both changed, and whether it is in conflict.
    fn decide(
        &self,
        versions: [Option<(Vec<u8>, File)>; 3],
        pair: &Pair<'_>,
        result: &mut Files,
        conflicts: &mut BTreeMap<Vec<u8>, Conflict>,
    ) -> Result<(), SnapshotError> {
        let path = versions[1].iter().chain(&versions[2]).chain(&versions[0]).map(|(path, _)| path.clone()).next();
        let Some(path) = path else { return Ok(()) };
        let same_place = versions.iter().flatten().all(|(other, _)| *other == path);
        let stages = versions.each_ref().map(|version| version.as_ref().map(|(_, file)| *file));
        if let ([base, Some(ours), Some(theirs)], true) = (stages, same_place)
            && let Some(text) = self.texts(&path, base, ours, theirs, pair)?
        {
            let id = self.repository.blob(&text.bytes).map_err(SnapshotError::git("a merged file"))?;
            result.insert(path.clone(), File { mode: ours.mode, id });
            if !text.clean {
                conflicts.entry(path).or_insert(Conflict { stages, side: pair.number, marked: true });
            }
            return Ok(());
        }
        // Nothing to put between markers: what is there stays, ours first.
        for (stage, version) in versions.iter().enumerate().rev() {
            let Some((path, file)) = version else { continue };
            if stage > 0 {
                result.insert(path.clone(), *file);
            }
            let conflict =
                conflicts.entry(path.clone()).or_insert(Conflict { side: pair.number, ..Conflict::default() });
            conflict.stages[stage] = conflict.stages[stage].or(Some(*file));
        }
        Ok(())
    }

    /// Two texts with their base: by key for the settings, else with markers; `None` for what is no text.
    fn texts(
        &self,
        path: &[u8],
        base: Option<File>,
        ours: File,
        theirs: File,
        pair: &Pair<'_>,
    ) -> Result<Option<Text>, SnapshotError> {
        if !ours.is_ordinary() || !theirs.is_ordinary() || base.is_some_and(|base| !base.is_ordinary()) {
            return Ok(None);
        }
        let base = base.map(|base| content(self.repository, base)).transpose()?.unwrap_or_default();
        let (ours, theirs) = (content(self.repository, ours)?, content(self.repository, theirs)?);
        if [&base, &ours, &theirs].iter().any(|bytes| bytes.contains(&0)) {
            return Ok(None);
        }
        if path == format!("{}{}", self.prefix, settings::PATH).as_bytes()
            && let (Ok(base), Ok(ours), Ok(theirs)) =
                (std::str::from_utf8(&base), std::str::from_utf8(&ours), std::str::from_utf8(&theirs))
            && let Some(text) = merge_settings(base, &[ours, theirs])
        {
            return Ok(Some(Text { bytes: text.into_bytes(), clean: true }));
        }
        let what = || SnapshotError::git("a file to merge");
        let input = |bytes| {
            let mut input = MergeFileInput::new();
            input.content(bytes);
            input
        };
        let (base, ours, theirs) = (input(&base), input(&ours), input(&theirs));
        let mut options = MergeFileOptions::new();
        options.our_label(pair.names[0].as_str()).their_label(pair.names[1].as_str());
        let merged = git2::merge_file(&base, &ours, &theirs, Some(&mut options)).map_err(what())?;
        Ok(Some(Text { bytes: merged.content().to_vec(), clean: merged.is_automergeable() }))
    }

    /// The tree of commits that are one base together: merged with their own base, what stays
    /// undecided as it was before, as git's recursive strategy does.
    pub fn base(&self, bases: &[Oid], depth: usize) -> Result<Option<Oid>, SnapshotError> {
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
    pub fn tree(&self, commit: Oid) -> Result<Oid, SnapshotError> {
        let commit = self.repository.find_commit(commit).map_err(SnapshotError::git("a commit"))?;
        Ok(commit.tree_id())
    }

    fn without_undecided(&self, step: &Step) -> Result<Oid, SnapshotError> {
        if step.undecided.is_empty() {
            return Ok(step.tree);
        }
        let mut files = files_of(self.repository, Some(step.tree))?;
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

/// The decks that are merged card by card.
#[derive(Default)]
struct Changed {
    names: BTreeSet<String>,
    base: Decks,
    sides: Vec<Decks>,
}

/// The two sides of a merge of files.
struct Pair<'a> {
    number: usize,
    names: [&'a String; 2],
}

/// A merged text.
struct Text {
    bytes: Vec<u8>,
    clean: bool,
}
