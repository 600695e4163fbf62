//! What comes of putting branches together, for people.

use super::{counted, harmless, terminal};
use crate::change::Counts;
use crate::deck::Value;
use crate::finding::Finding;

/// What is to be shown.
#[derive(Clone, Debug)]
pub struct Shown<'a> {
    /// How it ended.
    pub state: State,
    /// Where everything goes.
    pub into: &'a str,
    /// The commit that holds everything.
    pub commit: Option<&'a str>,
    /// The branches with what they do; none for those that bring nothing.
    pub branches: Vec<(&'a str, Option<&'a Counts>)>,
    /// What somebody has to decide.
    pub undecided: Vec<Open<'a>>,
    /// Files that could not be merged: path, branch, whether both stand in it between markers.
    pub conflicts: Vec<(&'a str, &'a str, bool)>,
    /// Cards that got a free id: branch, from, to.
    pub renamed: Vec<(&'a str, &'a str, &'a str)>,
    /// Findings of the combination.
    pub brought_in: &'a [Finding],
}

/// Something undecided.
#[derive(Clone, Copy, Debug)]
pub struct Open<'a> {
    /// The deck.
    pub deck: &'a str,
    /// The card; empty for the deck itself.
    pub card: &'a str,
    /// The field.
    pub field: &'a str,
    /// The versions as they stand on the card.
    pub versions: &'a [Value],
}

/// How it ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// All of it is there already.
    Nothing,
    /// Only shown.
    DryRun,
    /// One commit holds all.
    Merged,
    /// In the middle of the merge, for somebody to decide.
    Stopped,
    /// Nothing was written, although something should.
    Refused,
}

/// What each branch does and what is left to decide.
pub fn summary(shown: &Shown<'_>, width: usize) -> String {
    let bringing = shown.branches.iter().filter(|(_, counts)| counts.is_some()).count();
    let mut text = format!("{} into {}\n", counted(bringing, "proposal", "proposals"), harmless(shown.into));
    for (name, counts) in &shown.branches {
        text.push_str(&format!(
            "  {}: {}\n",
            harmless(name),
            counts.map_or("all of it is there already".to_owned(), in_words)
        ));
    }
    for (branch, from, to) in &shown.renamed {
        text.push_str(&format!(
            "two new cards were called `{}`; the one of {} is now `{}`, and its links follow\n",
            harmless(from),
            harmless(branch),
            harmless(to)
        ));
    }
    if !shown.undecided.is_empty() {
        let number = counted(shown.undecided.len(), "field is", "fields are");
        text.push_str(&format!("\n{number} undecided:\n"));
        shown.undecided.iter().for_each(|open| text.push_str(&undecided(open)));
    }
    if !shown.conflicts.is_empty() {
        let number = counted(shown.conflicts.len(), "file was", "files were");
        text.push_str(&format!("\n{number} changed in different ways that cannot be put together:\n"));
        for (path, with, marked) in &shown.conflicts {
            let how = if *marked {
                "both texts stand in it, between lines of < and >".to_owned()
            } else {
                format!(
                    "it is as it was here; for the other one: git checkout {} -- {}",
                    harmless(with),
                    harmless(path)
                )
            };
            text.push_str(&format!("  {} ({how})\n", harmless(path)));
        }
    }
    if !shown.brought_in.is_empty() {
        text.push_str("\neach proposal is clean of these, but together they bring in:\n");
        for finding in shown.brought_in {
            text.push_str(&terminal::finding(finding, width));
        }
    }
    text
}

/// How it ended and what to do next.
pub fn ending(shown: &Shown<'_>) -> String {
    let into = harmless(shown.into);
    match shown.state {
        State::Nothing => format!("nothing to do: {into} holds all of it already\n"),
        State::DryRun => "\nnothing was written (--dry-run)\n".to_owned(),
        State::Merged => {
            let commit = shown.commit.map(|commit| &commit[..commit.len().min(10)]).unwrap_or_default();
            format!("\nput together in one commit on {into}: {commit}\n")
        }
        State::Stopped => {
            let mut text = "\nnothing is committed yet; git is in the middle of the merge\n".to_owned();
            if !shown.undecided.is_empty() {
                text.push_str("  decide: deckle settle\n");
            }
            if !shown.conflicts.is_empty() {
                text.push_str("  put the files named above right\n");
            }
            if shown.undecided.is_empty() && shown.conflicts.is_empty() {
                text.push_str("  put right what the proposals bring in together\n");
            }
            text.push_str("  finish: git add --all, then git commit\n  or take everything back: git merge --abort\n");
            text
        }
        State::Refused => {
            "\nnothing was written: this has to be decided in a clone with a working folder, by `deckle reconcile` there\n"
                .to_owned()
        }
    }
}

fn in_words(counts: &Counts) -> String {
    let parts =
        [(counts.added, "added"), (counts.edited, "edited"), (counts.moved, "moved"), (counts.removed, "removed")];
    let parts: Vec<String> =
        parts.iter().filter(|(number, _)| *number > 0).map(|(number, what)| format!("{number} {what}")).collect();
    if parts.is_empty() {
        "no cards changed, but other files: notes, pictures or settings".to_owned()
    } else {
        format!("cards: {}", parts.join(", "))
    }
}

fn undecided(open: &Open<'_>) -> String {
    let owner = if open.card.is_empty() { open.deck } else { open.card };
    let mut text = format!("  {} of `{}` in {}\n", harmless(open.field), harmless(owner), harmless(open.deck));
    for version in open.versions {
        text.push_str(&format!("    {}\n", self::version(version, open.field)));
    }
    text.push_str(&format!("    settle it: deckle settle {} {}\n", harmless(owner), harmless(open.field)));
    text
}

/// One version in a line: whose it is, what it says, who wrote it and when.
pub fn version(version: &Value, field: &str) -> String {
    let part = |name: &str| version.get(name).map(|value| harmless(&value.line())).unwrap_or_default();
    let who = [part("by"), part("when")].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ");
    let who = if who.is_empty() { String::new() } else { format!(" ({who})") };
    let value = match (version.get("value"), field) {
        (Some(_), "card") => "keeps the card, edited".to_owned(),
        (Some(value), "deck") => format!("puts it into {}", harmless(&value.line())),
        (Some(value), _) => harmless(&value.line()),
        (None, "card") => "takes the card out".to_owned(),
        (None, "deck") => "takes the deck out".to_owned(),
        (None, _) => "takes it out".to_owned(),
    };
    format!("{:9} {value}{who}", part("side") + ":")
}
