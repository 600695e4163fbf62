//! An undecided field as people see it: its versions, who wrote them, and the notes beside them.

use super::Open;
use crate::deck::department::join;
use crate::deck::{Card, Deck, Department, Value};
use crate::git::conclude::Underway;
use crate::git::site::Site;
use crate::notes::Notes;
use crate::report::{harmless, reconcile};
use crate::source::{Statement, Weights, beside, supports};

/// One undecided field with its versions, the passage of the notes, and how to settle it.
pub fn shown(site: &Site, open: &Open) -> String {
    let mut text = described(site, open);
    if open.parted.is_none() {
        let (field, owner) = (harmless(&open.field), harmless(open.owner()));
        let sides = sides(open).join("|");
        let more = if open.stays_or_goes() { "" } else { "|both|TEXT" };
        text.push_str(&format!("  settle it: deckle settle {owner} {field} --take {sides}{more}\n\n"));
    }
    text
}

/// The same without how to settle it, for those who are asked.
pub fn described(site: &Site, open: &Open) -> String {
    if let Some(parted) = &open.parted {
        return super::parted::shown(open, parted);
    }
    let (field, owner) = (harmless(&open.field), harmless(open.owner()));
    let mut text = format!("{field} of `{owner}` in {}\n", harmless(&open.path));
    if !open.question.is_empty() && open.field != "question" {
        text.push_str(&format!("  question: {}\n", harmless(&open.question)));
    }
    if let Some(other) = stands_elsewhere(site, open) {
        text.push_str(&format!(
            "  whoever takes it out here moved it to {}, where it stands without what was changed here\n",
            harmless(&other)
        ));
        let merging = site.repository().is_ok_and(|repository| Underway::of(repository).word() == Some("merge"));
        text.push_str(if merging {
            "  to keep both: `git merge --abort`, then `deckle reconcile` with the same branch\n"
        } else {
            "  to keep both: take it out here, and write the change into that card\n"
        });
    }
    if let Some(now) = open.now.as_ref().filter(|_| open.field != "card") {
        text.push_str(&format!("  before:   {}\n", harmless(&now.line())));
    }
    let passage = passage(site, open);
    for version in &open.versions {
        let supported = passage.as_ref().and_then(|passage| support(open, version, passage)).unwrap_or_default();
        text.push_str(&format!("  {}{supported}\n", reconcile::version(version, &open.field)));
    }
    if let (Some(passage), Some(source)) = (&passage, &open.source) {
        text.push_str(&format!("  the notes ({}):\n    {}\n", harmless(source), harmless(passage)));
    }
    text
}

/// Another deck that has a card which stays or goes: git merges one file at a time and knows no moves.
fn stands_elsewhere(site: &Site, open: &Open) -> Option<String> {
    if open.field != "card" {
        return None;
    }
    let department = Department::read(&*site.here().ok()?).ok()?;
    let other = |(deck, card): &(&Deck, &Card)| card.id.value == open.card && *deck.file.path != *open.path;
    department.cards().find(other).map(|(deck, _)| deck.file.path.to_string())
}

/// The names of the versions, each once.
fn sides(open: &Open) -> Vec<String> {
    let side = |version: &Value| version.get("side").map(|side| harmless(&side.line()));
    let quoted = |side: String| if side.contains([' ', ',']) { format!("'{side}'") } else { side };
    open.versions.iter().filter_map(side).map(quoted).collect()
}

/// The keys for the versions: the first letter where those differ, else numbers.
fn key_of(open: &Open, at: usize) -> String {
    let first = |side: &str| side.trim_start_matches('\'').chars().next().unwrap_or('1');
    let sides = sides(open);
    let letters: std::collections::BTreeSet<char> = sides.iter().map(|side| first(side)).collect();
    let reserved = letters.iter().any(|letter| "bsuq".contains(*letter));
    if letters.len() == sides.len() && !reserved { first(&sides[at]).to_string() } else { (at + 1).to_string() }
}

/// What may be typed for which version.
pub fn keys(open: &Open) -> String {
    let named =
        sides(open).iter().enumerate().map(|(at, side)| format!("[{}] {side}", key_of(open, at))).collect::<Vec<_>>();
    named.join(", ")
}

/// The version that a key stands for.
pub fn side_of_key(open: &Open, key: &str) -> Option<String> {
    let at = (0..open.versions.len()).find(|at| key_of(open, *at) == key)?;
    open.versions[at].get("side").map(Value::line)
}

/// The passage of the notes that the card was made from.
fn passage(site: &Site, open: &Open) -> Option<String> {
    let (file, anchor) = open.source.as_deref()?.split_once('#')?;
    let path = join(&format!("decks/{}", open.deck), file)?;
    let text = std::fs::read_to_string(site.root().ok()?.join(path)).ok()?;
    let notes = Notes::read(&text);
    beside(notes.section(anchor)?, &open.said)
}

/// Which value the notes support, for answers.
fn support(open: &Open, version: &Value, passage: &str) -> Option<&'static str> {
    if open.field != "answer" {
        return None;
    }
    let value = version.get("value")?;
    let points = value.as_list().map_or_else(|| vec![value.line()], |points| points.iter().map(Value::line).collect());
    let statement = Statement { question: open.question.clone(), points, ..Statement::default() };
    let evidence = supports(&statement, passage, &Weights::default());
    Some(if evidence.holds() {
        "  <- the notes support this"
    } else if evidence.contradicted.is_empty() {
        "  (not found in the notes)"
    } else {
        "  (the notes say otherwise)"
    })
}
