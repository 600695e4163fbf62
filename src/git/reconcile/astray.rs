//! What git's own merge leaves behind. It shows the merge driver one deck at a time: a card that gets another
//! id takes the links in its own deck along, but not those in other decks; and of two new cards with one id in
//! two decks the driver never hears. What everything comes to together tells how they should be.

use std::collections::BTreeSet;

use git2::{Index, Oid, Repository};

use super::{Memory, Merger, ReconcileError, Reconciled, Tip, reconcile};
use crate::deck::Value;
use crate::deck::department::deck_of;
use crate::deck::outline::{CardText, DeckText, EditError, outline, set_field};
use crate::git::site::Site;
use crate::merge::{Label, merge_texts};
use crate::snapshot::{Snapshot, SnapshotError};

/// A field that did not follow.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Astray {
    /// The deck's file, from the top of the department.
    pub path: String,
    /// The card, by the id that it has there.
    pub card: String,
    /// `id`, `needs` or `see`.
    pub field: &'static str,
    /// The ids that stand there, each with the one that should.
    pub ids: Vec<(String, String)>,
    /// What the field should say.
    pub value: Value,
    /// Whether the deck is as git's merge left it, so that nobody can have meant it.
    pub as_git_left_it: bool,
}

/// The fields that do not follow in `snapshot`, which stands in the middle of a merge by git; none where there
/// is none.
///
/// # Errors
///
/// When the repository cannot be read.
pub fn astray_here(site: &Site, snapshot: &dyn Snapshot) -> Result<Vec<Astray>, ReconcileError> {
    let Some(repository) = site.repository.as_ref().filter(|repository| !repository.is_bare()) else {
        return Ok(Vec::new());
    };
    let heads = heads(repository);
    let [ours, theirs @ ..] = heads.as_slice() else { return Ok(Vec::new()) };
    if theirs.is_empty() {
        return Ok(Vec::new());
    }
    let tip = |id: &Oid| Tip { name: id.to_string(), id: *id };
    let odb = repository.odb().map_err(SnapshotError::git("the repository's store"))?;
    let _memory = Memory::new(&odb)?;
    let merger = Merger::new(repository, &site.prefix);
    let merged = match reconcile(&merger, &tip(ours), &theirs.iter().map(tip).collect::<Vec<_>>()) {
        Err(ReconcileError::Unrelated(..)) => None,
        merged => merged?,
    };
    Ok(merged.map(|merged| astray(&merger, &merged, snapshot)).transpose()?.unwrap_or_default())
}

/// Whether a deck in the index has an id that it has in none of the commits that are merged: only then can a
/// card have got one from the driver. Much quicker than looking for what did not follow.
///
/// # Errors
///
/// When the repository cannot be read.
pub fn has_new_ids(site: &Site, index: &Index) -> Result<bool, SnapshotError> {
    let Some(repository) = &site.repository else { return Ok(false) };
    let mut trees = Vec::new();
    for head in heads(repository) {
        let tree = repository.find_commit(head).and_then(|commit| commit.tree());
        trees.push(tree.map_err(SnapshotError::git("a commit"))?);
    }
    if trees.len() < 2 {
        return Ok(false);
    }
    let parts = |id: Oid| {
        let blob = repository.find_blob(id).ok()?;
        outline(std::str::from_utf8(blob.content()).ok()?)
    };
    for entry in index.iter() {
        let Some(path) = std::str::from_utf8(&entry.path).ok() else { continue };
        if path.strip_prefix(&*site.prefix).and_then(deck_of).is_none() {
            continue;
        }
        let there = trees.iter().filter_map(|tree| Some(tree.get_path(path.as_ref()).ok()?.id()));
        let there: Vec<Oid> = there.collect();
        if there.contains(&entry.id) {
            continue;
        }
        let known: Vec<DeckText> = there.into_iter().filter_map(parts).collect();
        let is_new = |card: &CardText| known.iter().all(|deck| deck.card(&card.id).is_none());
        if parts(entry.id).is_some_and(|deck| deck.cards.iter().any(is_new)) {
            return Ok(true);
        }
    }
    Ok(false)
}

/// Where the repository stands, and the commits that git is merging into it.
fn heads(repository: &Repository) -> Vec<Oid> {
    let head = repository.head().ok().and_then(|head| head.peel_to_commit().ok()).map(|commit| commit.id());
    let merging = match super::unfinished(repository) {
        super::Unfinished::Merge(heads) => heads,
        _ => Vec::new(),
    };
    head.into_iter().chain(merging).collect()
}

/// The fields that do not follow in `snapshot`, which holds what a merge of the same commits by git came to, by
/// deck and card. What was edited otherwise since then is let be.
///
/// # Errors
///
/// When the repository cannot be read.
fn astray(merger: &Merger<'_>, merged: &Reconciled, snapshot: &dyn Snapshot) -> Result<Vec<Astray>, SnapshotError> {
    let told_apart = merged.renamed.iter().map(|(_, from, to)| (from.as_str(), to.as_str()));
    let followed = merged.followed.iter().map(|(from, to)| (from.as_str(), to.as_str()));
    let pairs: BTreeSet<(&str, &str)> = told_apart.chain(followed).collect();
    let mut found = Vec::new();
    if pairs.is_empty() {
        return Ok(found);
    }
    for path in super::write::touched(&merged.before, &merged.files) {
        if merger.deck_at(&path).is_none() {
            continue;
        }
        let Some(file) = merged.files.get(&path) else { continue };
        let wanted = merger.outline(*file)?;
        let shown = String::from_utf8_lossy(&path);
        let below = shown.strip_prefix(merger.prefix).unwrap_or(&shown);
        let Some(text) = snapshot.read(below).ok().and_then(|bytes| String::from_utf8(bytes).ok()) else { continue };
        let (Some(wanted), Some(now)) = (wanted, outline(&text)) else { continue };
        let mut of_deck = in_deck(&now, &wanted, &pairs, below);
        if !of_deck.is_empty() && is_as_git_left_it(merger, merged, &path, &text)? {
            of_deck.iter_mut().for_each(|astray| astray.as_git_left_it = true);
        }
        found.extend(of_deck);
    }
    Ok(found)
}

/// The text of a deck in which these fields follow.
///
/// # Errors
///
/// When the deck cannot be read or has no such card.
pub fn follow_links(text: &str, of_deck: &[Astray]) -> Result<String, EditError> {
    let mut text = text.to_owned();
    // Cards are found by the ids that they have, so those change last.
    let (ids, links): (Vec<&Astray>, Vec<&Astray>) = of_deck.iter().partition(|astray| astray.field == "id");
    for astray in links.into_iter().chain(ids) {
        text = set_field(&text, &astray.card, astray.field, Some(&astray.value))?;
    }
    Ok(text)
}

fn in_deck(now: &DeckText, wanted: &DeckText, pairs: &BTreeSet<(&str, &str)>, path: &str) -> Vec<Astray> {
    let mut found = Vec::new();
    for wanted in &wanted.cards {
        let Some(card) = same_card(now, wanted, pairs) else { continue };
        let mut astray = |field, ids: Vec<(String, String)>, value| {
            let (path, card) = (path.to_owned(), card.id.clone());
            found.push(Astray { path, card, field, ids, value, as_git_left_it: false });
        };
        if card.id != wanted.id {
            astray("id", vec![(card.id.clone(), wanted.id.clone())], Value::from(wanted.id.as_str()));
        }
        for field in ["needs", "see"] {
            let links = |card| links(card, field);
            if let Some((ids, value)) = followed(&links(card), &links(wanted), pairs) {
                astray(field, ids, value);
            }
        }
    }
    found
}

/// The card as it stands now: by its id, or by the one that it should have lost.
fn same_card<'a>(now: &'a DeckText, wanted: &CardText, pairs: &BTreeSet<(&str, &str)>) -> Option<&'a CardText> {
    let asks_the_same = |card: &&CardText| card.value("question") == wanted.value("question");
    let once = |id: &str| {
        let mut cards = now.cards.iter().filter(|card| card.id == id);
        cards.next().filter(|_| cards.next().is_none())
    };
    let is_in_question = pairs.iter().any(|(from, to)| [*from, *to].contains(&wanted.id.as_str()));
    let by_id = once(&wanted.id).filter(|card| !is_in_question || asks_the_same(card));
    let before =
        || pairs.iter().filter(|(_, to)| *to == wanted.id).find_map(|(from, _)| once(from).filter(asks_the_same));
    by_id.or_else(before)
}

fn links<'a>(card: &'a CardText, field: &str) -> Vec<&'a str> {
    let links = card.value(field).and_then(Value::as_list).unwrap_or_default();
    links.iter().filter_map(Value::as_text).collect()
}

/// The links as they should be, where they differ by nothing but ids that did not follow.
fn followed(now: &[&str], wanted: &[&str], pairs: &BTreeSet<(&str, &str)>) -> Option<(Vec<(String, String)>, Value)> {
    let missing: Vec<&str> = wanted.iter().copied().filter(|link| !now.contains(link)).collect();
    let mut ids = Vec::new();
    let mut links: Vec<&str> = Vec::new();
    for link in now {
        let to = missing.iter().copied().filter(|to| pairs.contains(&(*link, *to)));
        let before = ids.len();
        ids.extend(to.map(|to| ((*link).to_owned(), to.to_owned())));
        links.extend(wanted.contains(link).then_some(*link));
        links.extend(missing.iter().copied().filter(|to| ids[before..].iter().any(|(_, new)| new == to)));
    }
    let same: BTreeSet<&str> = links.iter().copied().collect();
    let is_all = !ids.is_empty() && links.len() == same.len() && same == wanted.iter().copied().collect();
    is_all.then(|| (ids, Value::List(links.into_iter().map(Value::from).collect())))
}

/// Whether a deck is one side's, or what the driver makes of both.
fn is_as_git_left_it(merger: &Merger<'_>, merged: &Reconciled, path: &[u8], text: &str) -> Result<bool, SnapshotError> {
    let at = |commit: Oid| -> Result<Option<String>, SnapshotError> {
        let Some(file) = merger.files(Some(merger.tree(commit)?))?.get(path).copied() else { return Ok(None) };
        Ok(String::from_utf8(merger.content(file)?.to_vec()).ok())
    };
    let [ours, theirs] = [merged.into.id, merged.branches[0].id].map(at);
    let (ours, theirs) = (ours?, theirs?);
    if [&ours, &theirs].iter().any(|side| side.as_deref() == Some(text)) {
        return Ok(true);
    }
    let base = merger.repository.merge_base(merged.into.id, merged.branches[0].id).ok().map(at).transpose()?.flatten();
    let (Some(ours), Some(theirs)) = (ours, theirs) else { return Ok(false) };
    let label = |_: usize, _: &str, _: &str| Label::default();
    let by_driver = merge_texts(&base.unwrap_or_default(), &[&ours, &theirs], &label);
    Ok(by_driver.is_some_and(|merged| merged.undecided.is_empty() && merged.text == text))
}
