//! Whose a value is: the branch, and who wrote it and when.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::Tip;
use super::files::Files;
use super::step::Merger;
use crate::deck::Value;
use crate::deck::outline::DeckText;
use crate::git::authors::author_of;
use crate::merge::{At, Label};
use crate::snapshot::SnapshotError;

/// Tells whose a value is.
pub struct Labeller<'m, 'r> {
    merger: &'m Merger<'r>,
    tips: &'m [Tip],
}

impl<'m, 'r> Labeller<'m, 'r> {
    pub fn new(merger: &'m Merger<'r>, tips: &'m [Tip]) -> Self {
        Self { merger, tips }
    }

    /// The label of a value that stands on a side which came of the tips `members`: the names of those
    /// that have it so.
    pub fn label(&self, members: &[usize], at: &At<'_>) -> Label {
        let mut found: Vec<(usize, Option<String>)> = Vec::new();
        for member in members {
            let deck = self.deck_with(*member, at).unwrap_or_default();
            if members.len() == 1 || self.has(*member, deck.as_deref(), at).unwrap_or_default() {
                found.push((*member, deck));
            }
        }
        if found.is_empty() {
            found.extend(members.iter().map(|member| (*member, None)));
        }
        let (mut sides, mut people, mut days) = (BTreeSet::new(), BTreeSet::new(), BTreeSet::new());
        for (member, deck) in found {
            let tip = &self.tips[member];
            sides.insert(tip.name.clone());
            let path = super::files::shown(&self.merger.path_of(deck.as_deref().unwrap_or(at.deck)));
            // A card came into its deck with its id.
            let field = if at.field == "deck" && !at.card.is_empty() { "id" } else { at.field };
            if let Some(author) = author_of(self.merger.repository, tip.id, &path, at.card, field) {
                people.insert(author.name);
                days.insert(author.when);
            }
        }
        let joined = |names: BTreeSet<String>| names.into_iter().collect::<Vec<_>>().join(", ");
        let some = |names: BTreeSet<String>| (!names.is_empty()).then(|| joined(names));
        Label { side: joined(sides), by: some(people), when: some(days) }
    }

    /// The deck of a tip in which the card stands, or the deck itself.
    fn deck_with(&self, member: usize, at: &At<'_>) -> Result<Option<String>, SnapshotError> {
        let files = self.files(member)?;
        let there = |deck: &str| -> Result<bool, SnapshotError> {
            Ok(self.outline(&files, deck)?.is_some_and(|parts| at.card.is_empty() || parts.card(at.card).is_some()))
        };
        if there(at.deck)? {
            return Ok(Some(at.deck.to_owned()));
        }
        let first = self.files(0)?;
        for deck in self.merger.differing(&first, &files) {
            if !at.card.is_empty() && there(&deck)? {
                return Ok(Some(deck));
            }
        }
        Ok(None)
    }

    /// Whether a tip has the value.
    fn has(&self, member: usize, deck: Option<&str>, at: &At<'_>) -> Result<bool, SnapshotError> {
        let Some(deck) = deck else { return Ok(at.value.is_none()) };
        if at.field == "deck" {
            return Ok(at.value.map(Value::line).as_deref() == Some(deck));
        }
        let files = self.files(member)?;
        let Some(parts) = self.outline(&files, deck)? else { return Ok(false) };
        let card = parts.card(at.card);
        let fields = card.map_or(parts.fields.as_slice(), |card| card.fields.as_slice());
        if at.field == "card" {
            return Ok(card.is_some() == at.value.is_some());
        }
        Ok(fields.iter().find(|field| field.name == at.field).map(|field| &field.value) == at.value)
    }

    fn files(&self, member: usize) -> Result<Arc<Files>, SnapshotError> {
        self.merger.files(Some(self.merger.tree(self.tips[member].id)?))
    }

    fn outline(&self, files: &Files, deck: &str) -> Result<Option<Arc<DeckText>>, SnapshotError> {
        let file = files.get(&self.merger.path_of(deck)).copied();
        Ok(file.map(|file| self.merger.outline(file)).transpose()?.flatten())
    }
}
