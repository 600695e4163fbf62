//! Which sections of the notes changed, and which cards lean on them.

use std::collections::{BTreeMap, BTreeSet};

use super::model::{NotesChange, NotesState};
use super::renames::renamed_path;
use super::words::runs;
use crate::deck::Department;
use crate::deck::department::join;
use crate::notes::{Notes, Section};

/// The sections that differ as they are read, by path and place; and how many files differ in nothing
/// but their markup.
pub(super) fn changes(
    before: &Department,
    now: &Department,
    renames: &BTreeMap<&str, &str>,
) -> (Vec<NotesChange>, usize) {
    let was: BTreeMap<String, &str> =
        before.notes.iter().map(|(path, file)| (renamed_path(path, renames), &*file.text)).collect();
    let paths: BTreeSet<&str> = was.keys().chain(now.notes.keys()).map(String::as_str).collect();
    let mut changes = Vec::new();
    let mut reformatted = 0;
    for path in paths {
        let (old, new) = (was.get(path).copied(), now.notes.get(path).map(|file| &*file.text));
        if old == new {
            continue;
        }
        let found = of_file(path, old.unwrap_or_default(), new.unwrap_or_default());
        reformatted += usize::from(found.is_empty());
        changes.extend(found);
    }
    if !changes.is_empty() {
        lean(&mut changes, now);
    }
    (changes, reformatted)
}

fn of_file(path: &str, before: &str, now: &str) -> Vec<NotesChange> {
    let (before, now) = (Notes::read(before), Notes::read(now));
    let mut changes = Vec::new();
    for section in now.sections() {
        match before.section(&section.anchor) {
            None => changes.push(change(path, section, NotesState::Added)),
            Some(old) if says(old) != says(section) => {
                let words = runs(&says(old), &says(section));
                changes.push(NotesChange { words, ..change(path, section, NotesState::Edited) });
            }
            Some(_) => {}
        }
    }
    let gone = before.sections().iter().filter(|section| now.section(&section.anchor).is_none());
    changes.extend(gone.map(|section| change(path, section, NotesState::Removed)));
    changes
}

/// Heading and text as they are read.
fn says(section: &Section) -> String {
    let gap = if section.heading.is_empty() || section.as_text().is_empty() { "" } else { "\n" };
    format!("{}{gap}{}", section.heading, section.as_text())
}

fn change(path: &str, section: &Section, state: NotesState) -> NotesChange {
    NotesChange {
        path: path.to_owned(),
        anchor: section.anchor.clone(),
        heading: section.heading.clone(),
        state,
        words: Vec::new(),
        cards: Vec::new(),
        leaning: Vec::new(),
    }
}

/// Adds the cards that were made from the sections.
fn lean(changes: &mut [NotesChange], now: &Department) {
    let mut leaning: BTreeMap<(String, String), Vec<String>> = BTreeMap::new();
    for (deck, card) in now.cards() {
        let mut seen = BTreeSet::new();
        for source in card.questions.iter().filter_map(|question| card.source_of(question)) {
            let (file, anchor) = source.split_once('#').unwrap_or((source, ""));
            let Some(path) = join(&deck.folder(), file) else { continue };
            let place = (path, anchor.to_owned());
            if !card.id.is_empty() && seen.insert(place.clone()) {
                leaning.entry(place).or_default().push(card.id.value.to_string());
            }
        }
    }
    for change in changes {
        let place = (change.path.clone(), change.anchor.clone());
        change.cards = leaning.get(&place).cloned().unwrap_or_default();
    }
}
