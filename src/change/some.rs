//! A review of which only the decks that differ are read.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;
use std::sync::mpsc::channel;

use rayon::prelude::*;

use super::apart::apart;
use super::beside;
use super::compare::changes;
use super::model::Changes;
use super::review::Review;
use crate::check::Report;
use crate::deck::department::{MAX_TEXT, deck_of, join, read_text};
use crate::deck::{Deck, Department, Settings, read_deck};
use crate::place::SourceFile;
use crate::snapshot::{Kind, Snapshot, differing};

impl Review {
    /// The review of two snapshots of which the reports are known, when only decks that are in both differ; `None`
    /// where the whole has to be read.
    pub fn of_decks(before: &dyn Snapshot, now: &dyn Snapshot, old: &Report, new: &Report) -> Option<Self> {
        let (mut changes, mut part) = changed(before, now)?;
        if changes.cards().any(|(_, card)| stands_twice(new, &card.id)) {
            return None;
        }
        part.notes = notes(now, &part)?;
        beside::add(&mut changes, &part);
        Some(Self::of(changes, old, new))
    }
}

/// What changed between two snapshots, when only decks that are in both differ; `None` where the whole has to be
/// read.
pub fn changes_of_decks(before: &dyn Snapshot, now: &dyn Snapshot) -> Option<Changes> {
    changed(before, now).map(|(changes, _)| changes)
}

/// What changed, and the cards that changed as they are now, with others of their decks.
fn changed(before: &dyn Snapshot, now: &dyn Snapshot) -> Option<(Changes, Department)> {
    let (texts, (before, now)) = read_in_short(before, now)?;
    if may_be_found_again(&before, &now) {
        // Which card is which may then hang on the cards around it.
        let (before, now) = in_full(&texts);
        return Some((changes(&before, &now), now));
    }
    Some((changes(&before, &now), now))
}

/// A deck's name, and its text before and now.
type Texts = (String, SourceFile, SourceFile);

/// What was, and what is now.
type Both = (Department, Department);

/// The decks that differ: their texts, and what was read without the cards that both versions have alike. While one
/// is taken from the repository, others are read.
fn read_in_short(before: &dyn Snapshot, now: &dyn Snapshot) -> Option<(Vec<Arc<Texts>>, Both)> {
    let (sender, read) = channel();
    let texts = rayon::in_place_scope(|scope| {
        let mut texts = Vec::new();
        for path in differing(before, now)? {
            let name = deck_of(&path)?.to_owned();
            let text = Arc::new((name, sound_text(before, &path)?, sound_text(now, &path)?));
            texts.push(Arc::clone(&text));
            let sender = sender.clone();
            scope.spawn(move |_| _ = sender.send(in_short(&text)));
        }
        Some(texts)
    })?;
    drop(sender);
    Some((texts, parts(read.into_iter().unzip())))
}

/// The text of a file that is there and nothing but well saved.
fn sound_text(snapshot: &dyn Snapshot, path: &str) -> Option<SourceFile> {
    text_if_there(snapshot, path)?
}

/// The same, and nothing of a file that is not there; `None` for one that is not well saved.
fn text_if_there(snapshot: &dyn Snapshot, path: &str) -> Option<Option<SourceFile>> {
    let mut found = Vec::new();
    let Ok(file) = read_text(snapshot, path, Kind::File { size: 0 }, &mut found) else { return Some(None) };
    file.filter(|file| found.is_empty() && file.text.len() as u64 <= MAX_TEXT).map(Some)
}

/// A deck without the cards that both versions have alike.
fn in_short((name, before, now): &Texts) -> (Deck, Deck) {
    match apart(&before.text, &now.text) {
        Some((short, other)) => (deck(name, before, &short), deck(name, now, &other)),
        None => (deck(name, before, &before.text), deck(name, now, &now.text)),
    }
}

/// The whole decks.
fn in_full(texts: &[Arc<Texts>]) -> Both {
    let read = |text: &Arc<Texts>| {
        let (name, before, now) = &**text;
        (deck(name, before, &before.text), deck(name, now, &now.text))
    };
    parts(texts.par_iter().map(read).unzip())
}

fn deck(name: &str, file: &SourceFile, text: &str) -> Deck {
    read_deck(name, Arc::new(SourceFile::new(Arc::clone(&file.path), text)))
}

fn parts((before, now): (Vec<Deck>, Vec<Deck>)) -> Both {
    let part = |mut decks: Vec<Deck>| {
        decks.sort_by(|one, other| one.name.cmp(&other.name));
        let settings = Settings::default_in(Arc::new(SourceFile::new(crate::deck::settings::PATH, "")));
        Department::of_parts(settings, decks, BTreeMap::new(), BTreeMap::new())
    };
    (part(before), part(now))
}

/// Whether some ids are only in the one, and others only in the other: a card may have got another id.
fn may_be_found_again(before: &Department, now: &Department) -> bool {
    let ids = |department: &Department| -> BTreeSet<String> {
        department.cards().map(|(_, card)| card.id.value.to_string()).collect()
    };
    let (before, now) = (ids(before), ids(now));
    before.difference(&now).next().is_some() && now.difference(&before).next().is_some()
}

/// Whether two cards have this id.
fn stands_twice(report: &Report, id: &str) -> bool {
    report.findings.iter().any(|finding| finding.rule == "duplicate-id" && finding.card.as_deref() == Some(id))
}

/// The notes that the cards name as their sources.
fn notes(snapshot: &dyn Snapshot, department: &Department) -> Option<BTreeMap<String, Arc<SourceFile>>> {
    let sources = department.cards().flat_map(|(deck, card)| {
        let files = card.questions.iter().filter_map(|question| question.source.as_ref()?.value.split_once('#'));
        files.filter_map(move |(file, _)| join(&deck.folder(), file))
    });
    let paths: BTreeSet<String> = sources.filter(|path| path.ends_with(".md")).collect();
    let mut notes = BTreeMap::new();
    for path in paths {
        if let Some(file) = text_if_there(snapshot, &path)? {
            // What is no plain file, such as a link, is looked at with the whole.
            let file = Some(file).filter(|file| file.text.contains('\n'))?;
            notes.insert(path, Arc::new(file));
        }
    }
    Some(notes)
}
