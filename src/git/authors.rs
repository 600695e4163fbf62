//! Who wrote a value, and when.

use git2::{Oid, Repository, Sort};

use crate::deck::Value;
use crate::deck::outline::outline;

/// How many commits are looked at for one value.
const LOOKED_AT: usize = 300;

/// A person and a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Author {
    /// The name in the commit.
    pub name: String,
    /// The day, as `2026-11-25`, where the author was.
    pub when: String,
}

/// The author of the newest commit up to `tip` in which a field of a card got the value that it has at
/// `tip`; an empty card stands for the deck itself, and the field `card` for the card as a whole.
///
/// `path` is from the top of the repository. When no commit can be told, the author of `tip`.
pub fn author_of(repository: &Repository, tip: Oid, path: &str, card: &str, field: &str) -> Option<Author> {
    author_since(repository, tip, |commit| value_at(repository, commit, path, card, field))
}

/// The author of the newest commit up to `tip` that made the file what it is there, or took it out.
pub fn newest_change(repository: &Repository, tip: Oid, path: &str) -> Option<Author> {
    author_since(repository, tip, |commit| {
        let tree = repository.find_commit(commit).ok()?.tree().ok()?;
        Some(tree.get_path(std::path::Path::new(path)).ok()?.id())
    })
}

/// The author of the newest commit since which `value` is what it is at `tip`.
fn author_since<T: PartialEq>(repository: &Repository, tip: Oid, value: impl Fn(Oid) -> Option<T>) -> Option<Author> {
    let newest = value(tip);
    let mut walk = repository.revwalk().ok()?;
    walk.set_sorting(Sort::TOPOLOGICAL | Sort::TIME).ok()?;
    walk.push(tip).ok()?;
    for id in walk.take(LOOKED_AT) {
        let commit = repository.find_commit(id.ok()?).ok()?;
        let before: Vec<Option<T>> = commit.parent_ids().map(&value).collect();
        let here = value(commit.id());
        if here == newest && !before.contains(&here) {
            return Some(author(&commit));
        }
    }
    repository.find_commit(tip).ok().map(|commit| author(&commit))
}

/// Whose name a commit bears, and of which day it is.
pub fn author(commit: &git2::Commit<'_>) -> Author {
    let signature = commit.author();
    let offset =
        jiff::tz::Offset::from_seconds(signature.when().offset_minutes() * 60).unwrap_or(jiff::tz::Offset::UTC);
    let day = jiff::Timestamp::from_second(signature.when().seconds())
        .map(|time| offset.to_datetime(time).date().to_string());
    Author { name: String::from_utf8_lossy(signature.name_bytes()).into_owned(), when: day.unwrap_or_default() }
}

fn value_at(repository: &Repository, commit: Oid, path: &str, card: &str, field: &str) -> Option<Value> {
    let tree = repository.find_commit(commit).ok()?.tree().ok()?;
    let blob = tree.get_path(std::path::Path::new(path)).ok()?.to_object(repository).ok()?.into_blob().ok()?;
    let deck = outline(std::str::from_utf8(blob.content()).ok()?)?;
    if card.is_empty() {
        return deck.fields.iter().find(|known| known.name == field).map(|known| known.value.clone());
    }
    let card = deck.card(card)?;
    if field == "card" { Some(Value::Map(card.values())) } else { card.value(field).cloned() }
}
