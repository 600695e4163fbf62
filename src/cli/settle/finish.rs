//! After a decision: what the field says now, what is left, and the commit once nothing is.

use std::collections::BTreeSet;
use std::io::BufRead;

use super::marked::marked;
use super::take::Before;
use super::{Open, tell, undecided};
use crate::cli::error::CliError;
use crate::cli::{Outcome, output};
use crate::deck::department::deck_of;
use crate::deck::outline::outline;
use crate::git::conclude::{Underway, conclude};
use crate::git::parted::unmerged_files;
use crate::git::site::Site;
use crate::report::{counted, harmless};
use crate::snapshot::SnapshotError;

/// Says what the field is now and what is left to do.
pub fn said(site: &Site, settled: &Open) -> Result<Outcome, CliError> {
    say_value(site, settled)?;
    say_rest(site)
}

/// Says what is left to do.
pub fn say_rest(site: &Site) -> Result<Outcome, CliError> {
    let left = undecided(site)?;
    let marked = marked(site)?;
    tell(&marked)?;
    if left.is_empty() && !marked.is_empty() {
        return Ok(Outcome::Findings);
    }
    if left.is_empty() {
        let finish = Underway::of(site.repository()?).finish();
        output::result(&format!("nothing is undecided any more; finish with {finish}\n"))?;
    } else {
        say_left(left.len())?;
    }
    Ok(Outcome::Fine)
}

/// After a decision by `--take` on a terminal: says it, and offers the commit when it was the last.
pub fn settled(site: &Site, open: &Open, before: Before) -> Result<Outcome, CliError> {
    if !is_last(site)? {
        return said(site, open);
    }
    say_value(site, open)?;
    let mut lines = std::io::stdin().lock().lines();
    match offer(site, &[(open, &before)], &mut lines)? {
        Answer::Ended(outcome) => Ok(outcome),
        Answer::Undo => {
            before.put_back()?;
            output::result("taken back: it is undecided again\n")?;
            Ok(Outcome::Findings)
        }
    }
}

/// What was decided, and how the files were before.
pub type Decided<'a> = (&'a Open, &'a Before);

/// What came of the offer.
pub enum Answer {
    /// It was taken, or not.
    Ended(Outcome),
    /// The last decision is to be taken back.
    Undo,
}

/// Whether nothing is undecided any more.
pub fn is_last(site: &Site) -> Result<bool, CliError> {
    Ok(undecided(site)?.is_empty() && marked(site)?.is_empty())
}

/// Offers to commit what was decided. Files that git holds in several versions and that are no decks
/// are for their people to put right first.
pub fn offer(
    site: &Site,
    decided: &[Decided<'_>],
    lines: &mut impl Iterator<Item = std::io::Result<String>>,
) -> Result<Answer, CliError> {
    let underway = Underway::of(site.repository()?);
    let unmerged = unmerged_files(site)?;
    let others: Vec<&String> = unmerged.iter().filter(|path| deck_of(path).is_none()).collect();
    if !others.is_empty() {
        output::note("Everything about cards is decided. Git still holds several versions of:");
        others.iter().for_each(|path| output::note(&format!("  {}", harmless(path))));
        output::note(&format!("Put them right, `git add` them, and finish with {}.", underway.finish()));
        return Ok(Answer::Ended(Outcome::Findings));
    }
    let files = to_commit(site, decided, unmerged)?;
    let what = match underway.word() {
        Some("merge") => "Finish the merge with a commit now?".to_owned(),
        Some(word) => format!("Go on with the {word} now?"),
        None => format!("Commit {} now?", harmless(&files.join(", "))),
    };
    loop {
        output::note(&format!("Everything is decided. {what} [y]es, [N]o, [u]ndo the last:"));
        let Some(answer) = lines.next().transpose()? else { break };
        match answer.trim().to_lowercase().as_str() {
            "y" | "yes" => return commit(site, underway, &files, decided).map(Answer::Ended),
            "u" => return Ok(Answer::Undo),
            "" | "n" | "no" | "q" => break,
            _ => {}
        }
    }
    output::result(&format!("not committed; finish with {}\n", underway.finish()))?;
    Ok(Answer::Ended(Outcome::Fine))
}

/// What these decisions changed and the decks that git holds in several versions, as far as git or the
/// folder has them.
fn to_commit(site: &Site, decided: &[Decided<'_>], unmerged: BTreeSet<String>) -> Result<Vec<String>, CliError> {
    let root = site.root()?;
    let index = site.repository()?.index().map_err(SnapshotError::git("the index"))?;
    let is_known = |path: &String| {
        let whole = format!("{}{path}", site.prefix);
        root.join(path).exists() || index.find_prefix(&whole).is_ok()
    };
    let changed = decided.iter().flat_map(|(_, before)| before.changed(root));
    let changed: BTreeSet<String> = changed.chain(unmerged).filter(is_known).collect();
    Ok(changed.into_iter().collect())
}

fn commit(site: &Site, underway: Underway, files: &[String], decided: &[Decided<'_>]) -> Result<Outcome, CliError> {
    if !conclude(site, files, &message(decided))? {
        output::note(&format!(
            "Git did not commit; it says why above. Your decisions stand in the files: finish with {}.",
            underway.finish()
        ));
        return Ok(Outcome::Findings);
    }
    let repository = site.repository()?;
    let head = repository.head().ok().and_then(|head| head.peel_to_commit().ok());
    let head = head.map(|commit| {
        let subject = String::from_utf8_lossy(commit.summary_bytes().unwrap_or_default()).into_owned();
        format!("{} {}", &commit.id().to_string()[..10], harmless(&subject))
    });
    output::result(&format!("committed: {}\n", head.unwrap_or_default()))?;
    if Underway::of(repository) != Underway::Nothing {
        output::note("Git goes on and has stopped again: `git status` says where, `deckle settle` what is undecided.");
        return Ok(Outcome::Findings);
    }
    Ok(Outcome::Fine)
}

/// What a commit of decisions alone says.
fn message(decided: &[Decided<'_>]) -> String {
    let what: BTreeSet<String> =
        decided.iter().map(|(open, _)| format!("{} of {}", open.field, open.owner())).collect();
    let what: Vec<String> = what.into_iter().collect();
    match what.as_slice() {
        [one] => format!("Settle the {one}"),
        many => format!("Settle {}\n\n- {}", counted(many.len(), "field", "fields"), many.join("\n- ")),
    }
}

/// Says what a field is now.
pub fn say_value(site: &Site, settled: &Open) -> Result<(), CliError> {
    let value = value_now(site, settled)?;
    output::result(&format!("settled: {} of `{}` {value}\n", settled.field, harmless(settled.owner())))
}

fn say_left(left: usize) -> Result<(), CliError> {
    let left = counted(left, "undecided field is", "undecided fields are");
    output::result(&format!("{left} left; `deckle settle` lists them\n"))
}

/// What the field says now, in words.
fn value_now(site: &Site, settled: &Open) -> Result<String, CliError> {
    let path = site.root()?.join(&settled.path);
    if settled.field == "id" && !settled.card.is_empty() {
        return Ok("is decided, and links to it follow".to_owned());
    }
    if settled.parted.is_some() {
        return Ok(if path.exists() { "stays" } else { "is taken out" }.to_owned());
    }
    let text = std::fs::read_to_string(path).unwrap_or_default();
    let parts = outline(&text);
    let card = parts.as_ref().and_then(|parts| parts.card(&settled.card));
    let value = match (&settled.card, card) {
        (id, _) if id.is_empty() => {
            parts.as_ref().and_then(|parts| parts.fields.iter().find(|field| field.name == settled.field))
        }
        (_, Some(_)) if settled.field == "card" => return Ok("stays".to_owned()),
        (_, Some(card)) => card.field(&settled.field),
        (_, None) => return Ok("is taken out".to_owned()),
    };
    Ok(value.map_or("is taken out".to_owned(), |field| format!("is now: {}", harmless(&field.value.line()))))
}
