//! What a merge touches: the decks that are not the same everywhere, as departments of nothing else.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use git2::{ObjectType, Oid};
use rayon::prelude::*;

use super::Reconciled;
use super::files::{File, Files, shown};
use super::step::Merger;
use super::write::touched;
use crate::change::apart;
use crate::deck::department::{CARDS, join};
use crate::deck::outline::{CardText, DeckText};
use crate::deck::{Department, Value, settings};
use crate::place::SourceFile;
use crate::snapshot::{Entry, Kind, Snapshot, SnapshotError};

/// The files that a merge touches, in every version: those that differ, the decks around them with
/// their notes and pictures, and the notes elsewhere on which these decks lean.
///
/// What a combination brings in stands there: a card that is the same everywhere, with the same notes
/// and links, has the same findings everywhere.
pub struct Touched<'m, 'r> {
    merger: &'m Merger<'r>,
    /// Single files.
    paths: BTreeSet<Vec<u8>>,
    /// Folders with everything in them, each ending in `/`.
    folders: BTreeSet<Vec<u8>>,
    /// What cards in them link to and no version has in them.
    elsewhere: BTreeSet<String>,
}

impl std::fmt::Debug for Touched<'_, '_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Touched").field("paths", &self.paths.len()).field("folders", &self.folders).finish()
    }
}

impl<'m, 'r> Touched<'m, 'r> {
    /// What `merged` touches; `None` when decks that are the same everywhere have a part in what it
    /// brings in: with other settings, with notes that several branches wrote in, and with `needs`
    /// that several branches added to cards which were there, since those can close a circle anywhere.
    ///
    /// # Errors
    ///
    /// When the repository cannot be read.
    pub fn new(merger: &'m Merger<'r>, merged: &Reconciled) -> Result<Option<Self>, SnapshotError> {
        let mut versions = vec![Arc::clone(&merged.before)];
        for tip in &merged.branches {
            versions.push(merger.files(Some(merger.tree(tip.id)?))?);
        }
        let inside = format!("{}decks/", merger.prefix).into_bytes();
        let differing = versions.iter().flat_map(|version| touched(version, &merged.files));
        let paths: BTreeSet<Vec<u8>> = differing.filter(|path| path.starts_with(&inside)).collect();
        let is_mixed = |path: &Vec<u8>| {
            path.ends_with(b".md") && versions.iter().all(|version| version.get(path) != merged.files.get(path))
        };
        let settings = format!("{}{}", merger.prefix, settings::PATH).into_bytes();
        if paths.contains(&settings) || paths.iter().any(is_mixed) {
            return Ok(None);
        }
        let is_file = |path: &Vec<u8>| versions.iter().chain([&merged.files]).any(|files| files.contains_key(path));
        let folders = paths.iter().filter_map(|path| deck_around(path, is_file)).collect();
        let mut all = Self { merger, paths, folders, elsewhere: BTreeSet::new() };
        all.paths.insert(settings);
        let decks = all.decks(&versions, &merged.files)?;
        if may_close_a_circle(&decks) {
            return Ok(None);
        }
        all.add_sources(&decks);
        all.elsewhere = elsewhere(&decks);
        Ok(Some(all))
    }

    /// The touched part of the department in a tree.
    ///
    /// # Errors
    ///
    /// When the repository cannot be read.
    pub fn department(&self, tree: Oid) -> Result<Department, SnapshotError> {
        let files = self.merger.files(Some(tree))?;
        let mut part = BTreeMap::new();
        for (path, file) in files.iter().filter(|(path, _)| self.holds(path)) {
            let text = std::str::from_utf8(path).map_err(|_| SnapshotError::Name(shown(path)))?;
            part.extend(text.strip_prefix(self.merger.prefix).map(|path| (path.to_owned(), *file)));
        }
        let department = Department::read(&Part { merger: self.merger, files: part })?;
        Ok(department.without_cards(self.elsewhere.clone()))
    }

    fn holds(&self, path: &[u8]) -> bool {
        let ends = path.iter().enumerate().filter(|(_, byte)| **byte == b'/').map(|(at, _)| &path[..=at]);
        self.paths.contains(path) || ends.into_iter().any(|folder| self.folders.contains(folder))
    }

    /// The touched decks in each version, and at last in the result, by folder.
    fn decks(&self, versions: &[Arc<Files>], result: &Arc<Files>) -> Result<Vec<Vec<Cards>>, SnapshotError> {
        let mut all = Vec::new();
        for files in versions.iter().chain([result]) {
            let file =
                |folder: &Vec<u8>| Some((folder.clone(), *files.get(&[folder.as_slice(), CARDS.as_bytes()].concat())?));
            let found: Vec<(Vec<u8>, File)> = self.folders.iter().filter_map(file).collect();
            self.merger.read_ahead(found.iter().map(|(_, file)| *file))?;
            let mut decks = Vec::new();
            for (folder, file) in found {
                decks.extend(self.merger.outline(file)?.map(|deck| Cards { folder, deck }));
            }
            all.push(decks);
        }
        Ok(all)
    }

    /// Adds the notes that the decks name as their sources.
    fn add_sources(&mut self, decks: &[Vec<Cards>]) {
        for deck in decks.iter().flatten() {
            let Ok(folder) = std::str::from_utf8(&deck.folder) else { continue };
            let Some(folder) = folder.strip_prefix(self.merger.prefix) else { continue };
            let elsewhere = deck.deck.cards.iter().flat_map(sources).filter(|source| source.contains(".."));
            for source in elsewhere {
                let file = source.split('#').next().unwrap_or_default().trim();
                let path = join(folder.trim_end_matches('/'), file);
                self.paths.extend(path.map(|path| format!("{}{path}", self.merger.prefix).into_bytes()));
            }
        }
    }
}

/// A deck in one version.
struct Cards {
    folder: Vec<u8>,
    deck: Arc<DeckText>,
}

/// The folder of the deck in which a file stands.
fn deck_around(path: &[u8], is_file: impl Fn(&Vec<u8>) -> bool) -> Option<Vec<u8>> {
    let ends = path.iter().enumerate().rev().filter(|(_, byte)| **byte == b'/');
    let mut folders = ends.map(|(at, _)| &path[..=at]);
    folders.find(|folder| is_file(&[*folder, CARDS.as_bytes()].concat())).map(<[u8]>::to_vec)
}

/// What a card and the questions under `also` name as their sources.
fn sources(card: &CardText) -> impl Iterator<Item = &str> {
    let also = card.value("also").and_then(Value::as_list).into_iter().flatten();
    let also = also.filter_map(|question| question.get("source"));
    card.value("source").into_iter().chain(also).filter_map(Value::as_text)
}

/// Whether more than one version has `needs` of its own, still there in the result, on cards that it did
/// not add itself: only these can close a circle that no version has.
fn may_close_a_circle(decks: &[Vec<Cards>]) -> bool {
    let Some((result, versions)) = decks.split_last() else { return false };
    let needs = |decks: &[Cards]| -> BTreeSet<(String, String)> {
        let cards = decks.iter().flat_map(|deck| &deck.deck.cards);
        let of_card = |card: &CardText| {
            let needs = card.value("needs").and_then(Value::as_list).unwrap_or_default();
            let id = card.id.clone();
            needs.iter().filter_map(Value::as_text).map(move |need| (id.clone(), need.to_owned())).collect::<Vec<_>>()
        };
        cards.flat_map(of_card).collect()
    };
    let result = needs(result);
    let of_versions: Vec<BTreeSet<(String, String)>> =
        versions.iter().map(|version| needs(version).intersection(&result).cloned().collect()).collect();
    let mut times: BTreeMap<&str, usize> = BTreeMap::new();
    for id in versions.iter().flatten().flat_map(|deck| &deck.deck.cards).map(|card| card.id.as_str()) {
        *times.entry(id).or_default() += 1;
    }
    let is_own = |need: &(String, String)| {
        !of_versions.iter().all(|version| version.contains(need)) && times.get(need.0.as_str()).is_some_and(|&n| n > 1)
    };
    of_versions.iter().filter(|version| version.iter().any(is_own)).count() > 1
}

/// What cards link to and no version has in these decks: it stands in others, or nowhere in any version.
fn elsewhere(decks: &[Vec<Cards>]) -> BTreeSet<String> {
    let cards = || decks.iter().flatten().flat_map(|deck| &deck.deck.cards);
    let here: BTreeSet<&str> = cards().map(|card| card.id.as_str()).collect();
    let links =
        cards().flat_map(|card| ["needs", "see"].into_iter().filter_map(move |name| card.value(name)?.as_list()));
    let ids = links.flatten().filter_map(Value::as_text).filter(|id| !here.contains(id));
    ids.map(str::to_owned).collect()
}

/// Some files of a tree.
#[derive(Debug)]
struct Part<'m, 'r> {
    merger: &'m Merger<'r>,
    files: BTreeMap<String, File>,
}

impl Snapshot for Part<'_, '_> {
    fn files(&self) -> Result<Vec<Entry>, SnapshotError> {
        let what = || SnapshotError::git("a commit's files");
        let odb = self.merger.repository.odb().map_err(what())?;
        let entry = |(path, file): (&String, &File)| {
            let kind = match odb.read_header(file.id).map_err(what()) {
                _ if !file.is_ordinary() => Kind::Link,
                Ok((size, ObjectType::Blob)) => Kind::File { size: size as u64 },
                Ok(_) => Kind::Link,
                Err(error) => return Err(error),
            };
            Ok(Entry { path: path.clone(), kind })
        };
        self.files.iter().map(entry).collect()
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SnapshotError> {
        let file = self.files.get(path).ok_or_else(|| SnapshotError::Name(path.to_owned()))?;
        Ok(self.merger.content(*file)?.to_vec())
    }
}

/// The decks that differ between two commits, as departments of nothing else and without the cards
/// that both have alike; an empty one for no commit.
///
/// # Errors
///
/// When the repository cannot be read.
pub fn changed_decks(
    merger: &Merger<'_>,
    before: Option<Oid>,
    now: Oid,
) -> Result<(Department, Department), SnapshotError> {
    let before = merger.files(before.map(|commit| merger.tree(commit)).transpose()?)?;
    let now = merger.files(Some(merger.tree(now)?))?;
    let mut texts = Vec::new();
    for name in merger.differing(&before, &now) {
        let file = |files: &Files| files.get(&merger.path_of(&name)).copied().filter(|file| file.is_ordinary());
        let text = |files: &Files| file(files).map(|file| merger.content(file)).transpose();
        texts.push((name.clone(), text(&before)?, text(&now)?));
    }
    let decks = texts.into_par_iter().map(|(name, before, now)| {
        let text = |bytes: Option<Arc<[u8]>>| bytes.map(|bytes| String::from_utf8_lossy(&bytes).into_owned());
        let (before, now) = (text(before), text(now));
        let differing = before.as_deref().zip(now.as_deref()).and_then(|(before, now)| apart(before, now));
        let (before, now) = differing.map_or((before, now), |(before, now)| (Some(before), Some(now)));
        let path = format!("decks/{name}/{CARDS}");
        let deck = |text: String| (name.clone(), Arc::new(SourceFile::new(path.clone(), text)));
        (before.map(deck), now.map(deck))
    });
    let (before, now): (Vec<_>, Vec<_>) = decks.unzip();
    let department = |decks: Vec<Option<_>>| Department::of_decks(decks.into_iter().flatten().collect());
    Ok((department(before), department(now)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_needs_of_several_versions_can_close_a_circle() {
        let card = |id: &str, needs: &str| format!("  - id: {id}\n    needs: [{needs}]\n");
        let deck = |cards: &[String]| {
            let parts = crate::deck::outline::outline(&format!("cards:\n{}", cards.concat())).expect("readable");
            vec![Cards { folder: b"decks/a/".to_vec(), deck: Arc::new(parts) }]
        };
        let base = || deck(&[card("a", "x"), card("b", "x")]);
        let ours = || deck(&[card("a", "x, b"), card("b", "x")]);
        let theirs = || deck(&[card("a", "x"), card("b", "x, a")]);
        let both = || deck(&[card("a", "x, b"), card("b", "x, a")]);
        assert!(may_close_a_circle(&[base(), ours(), theirs(), both()]));
        assert!(!may_close_a_circle(&[base(), ours(), base(), ours()]));
        let new = |id: &str| deck(&[card("a", "x"), card("b", "x"), card(id, "a")]);
        assert!(!may_close_a_circle(&[base(), new("c"), new("d"), both()]));
    }
}
