//! What is undecided somewhere, found without reading a whole department.

use std::collections::BTreeSet;

use git2::Oid;

use super::site::{Site, SiteError};
use crate::deck::department::deck_of;
use crate::deck::outline::{FieldText, outline};
use crate::snapshot::{CommitSnapshot, Snapshot, SnapshotError, differing};

/// A field that somebody has to decide.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Open {
    /// The deck.
    pub deck: String,
    /// The card; empty for the deck itself.
    pub card: String,
    /// The field.
    pub field: String,
}

/// What is undecided at a commit.
///
/// # Errors
///
/// When there is no repository, or it cannot be read.
pub fn in_commit(site: &Site, commit: Oid) -> Result<BTreeSet<Open>, SiteError> {
    Ok(in_snapshot(&CommitSnapshot::new(site.repository()?, &commit.to_string(), &site.prefix)?)?)
}

/// What is undecided in a snapshot. Only decks in which the word stands are taken apart.
///
/// # Errors
///
/// When the snapshot cannot be read.
pub fn in_snapshot(snapshot: &dyn Snapshot) -> Result<BTreeSet<Open>, SnapshotError> {
    in_files(snapshot, snapshot.files()?.into_iter().map(|entry| entry.path))
}

/// What is undecided in `now` and was not `before`, and maybe more: where both have the same files, what stands in
/// those that are alike is left out without reading them.
///
/// # Errors
///
/// When the snapshot cannot be read.
pub fn since(before: &dyn Snapshot, now: &dyn Snapshot) -> Result<BTreeSet<Open>, SnapshotError> {
    match differing(before, now) {
        Some(differing) => in_files(now, differing),
        None => in_snapshot(now),
    }
}

fn in_files(snapshot: &dyn Snapshot, paths: impl IntoIterator<Item = String>) -> Result<BTreeSet<Open>, SnapshotError> {
    let mut open = BTreeSet::new();
    for path in paths {
        let Some(deck) = deck_of(&path) else { continue };
        let bytes = snapshot.read(&path)?;
        let Ok(text) = std::str::from_utf8(&bytes) else { continue };
        let Some(parts) = text.contains("undecided").then(|| outline(text)).flatten() else { continue };
        open.extend(fields(deck, "", &parts.fields));
        parts.cards.iter().for_each(|card| open.extend(fields(deck, &card.id, &card.fields)));
    }
    Ok(open)
}

fn fields(deck: &str, card: &str, fields: &[FieldText]) -> Vec<Open> {
    let undecided = fields.iter().find(|field| field.name == "undecided");
    let entries = undecided.and_then(|field| field.value.as_map()).into_iter().flatten();
    entries.map(|(field, _)| Open { deck: deck.to_owned(), card: card.to_owned(), field: field.clone() }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::snapshot::FolderSnapshot;

    #[test]
    fn of_cards_and_of_decks() {
        let folder = tempfile::tempdir().expect("a folder");
        let deck = folder.path().join("decks/year-8/rivers");
        std::fs::create_dir_all(&deck).expect("folders");
        let side = "{side: ours, value: a}, {side: theirs, value: b}";
        let text = format!(
            "title: T\nyear: 8\nundecided: {{title: [{side}]}}\ncards:\n  - id: x\n    question: Is it undecided?\n    answer: A\n  - id: y\n    question: Q\n    answer: A\n    undecided:\n      answer: [{side}]\n"
        );
        std::fs::write(deck.join("cards.yaml"), text).expect("written");
        let found = in_snapshot(&FolderSnapshot::new(folder.path())).expect("read");
        let found: Vec<_> = found.iter().map(|open| format!("{}/{}/{}", open.deck, open.card, open.field)).collect();
        assert_eq!(found, ["year-8/rivers//title", "year-8/rivers/y/answer"]);
    }
}
