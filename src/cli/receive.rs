//! `deckle receive`: what the hook of a shared repository asks.

use std::io::Read;

use clap::Args;
use git2::{ObjectType, Oid, Repository};

use super::error::CliError;
use super::world::World;
use super::{Outcome, output};
use crate::cache::Cache;
use crate::check::{Report, brought_in};
use crate::git::site::Site;
use crate::pack::{differing_from_its_commit, not_released};
use crate::report::{counted, harmless, terminal};
use crate::snapshot::{CommitSnapshot, SnapshotError};

/// Judge what is pushed to a shared repository; git's pre-receive hook calls it
///
/// Reads git's lines from standard input: the old commit, the new one and the name that is to move.
#[derive(Debug, Args)]
#[command(hide = true)]
pub struct Arguments {}

/// Where editions are tagged.
const PACKS: &str = "refs/tags/packs/";

/// One line of what git hands to the hook.
struct Update {
    old: Option<Oid>,
    new: Option<Oid>,
    name: String,
}

pub fn run(_: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let site = world.site()?;
    let repository = site.repository()?;
    let mut lines = String::new();
    std::io::stdin().read_to_string(&mut lines)?;
    let main = main_branch(repository);
    let cache = world.cache(&site);
    let cache = cache.as_ref();
    let mut refused = false;
    let updates: Vec<Update> = lines.lines().filter_map(read).collect();
    let tag = |update: &Update| Some((update.name.strip_prefix("refs/tags/")?.to_owned(), update.new?));
    let tags: Vec<(String, Oid)> = updates.iter().filter_map(tag).collect();
    for update in updates {
        let well = if update.name == main {
            judge_branch(&site, cache, &update, world.width())?
        } else if update.name.starts_with(PACKS) {
            judge_tag(&site, cache, &update, &tags, world.width())?
        } else {
            true
        };
        refused |= !well;
    }
    if refused {
        output::note("Nothing was taken over here. Your commits are safe where you made them.");
    }
    Ok(if refused { Outcome::Findings } else { Outcome::Fine })
}

fn read(line: &str) -> Option<Update> {
    let mut parts = line.splitn(3, ' ');
    let id = |text: &str| Oid::from_str(text).ok().filter(|id| !id.is_zero());
    Some(Update { old: id(parts.next()?), new: id(parts.next()?), name: parts.next()?.to_owned() })
}

/// The branch that the repository itself stands on.
fn main_branch(repository: &Repository) -> String {
    let head = repository.find_reference("HEAD").ok();
    let target = head.as_ref().and_then(|head| head.symbolic_target().ok().flatten());
    target.unwrap_or("refs/heads/main").to_owned()
}

/// Whether the main branch may go to where it is pushed: only what that brings in counts.
fn judge_branch(site: &Site, cache: Option<&Cache>, update: &Update, width: usize) -> Result<bool, CliError> {
    let name = harmless(update.name.trim_start_matches("refs/heads/"));
    let Some(new) = update.new else { return Ok(true) };
    let report = new_findings(site, cache, update.old, new)?;
    if report.summary.errors == 0 {
        return Ok(true);
    }
    let errors = counted(report.summary.errors, "mistake", "mistakes");
    output::note(&format!("{errors} would come into `{name}` with what you are sending:\n"));
    say_errors(&report, width);
    output::note(&format!(
        "Put this right, commit, and push again. `deckle check --since origin/{name}` shows it too."
    ));
    Ok(false)
}

/// Whether a released edition may be tagged.
fn judge_tag(
    site: &Site,
    cache: Option<&Cache>,
    update: &Update,
    tags: &[(String, Oid)],
    width: usize,
) -> Result<bool, CliError> {
    let tag = update.name.trim_start_matches("refs/tags/");
    let shown = harmless(tag);
    if update.old.is_some() {
        output::note(&format!("`{shown}` is released already. A released edition is never changed or taken back;"));
        output::note("release a new one with `deckle release`.");
        return Ok(false);
    }
    let Some(new) = update.new else { return Ok(true) };
    match verify_tag(site, cache, tag, new, tags)? {
        TagVerdict::Sound => Ok(true),
        TagVerdict::Refused(why) => {
            output::note(&format!("`{shown}` is no released pack: {why}"));
            output::note("Make it with `deckle release`, which checks, numbers and tags it.");
            Ok(false)
        }
        TagVerdict::Another(differing) => {
            let files: Vec<String> = differing.iter().map(|name| format!("`{}`", harmless(name))).collect();
            output::note(&format!("`{shown}` is not what its commit gives: {} would be another.", files.join(", ")));
            output::note(&format!(
                "Make it with `deckle release`, by the version that is here ({}); it is built again here and compared.",
                env!("CARGO_PKG_VERSION")
            ));
            Ok(false)
        }
        TagVerdict::Mistakes(report) => {
            let errors = counted(report.summary.errors, "mistake", "mistakes");
            output::note(&format!("`{shown}` cannot be released: its cards have {errors}:\n"));
            say_errors(&report, width);
            Ok(false)
        }
    }
}

/// What an edition's tag is worth.
enum TagVerdict {
    Sound,
    Refused(String),
    /// Built again from its commit, these files are others.
    Another(Vec<String>),
    Mistakes(Report),
}

/// Whether a tag stands for an edition that may be released: made by a person, on a commit whose
/// cards have no errors, and the very pack that this commit gives.
fn verify_tag(
    site: &Site,
    cache: Option<&Cache>,
    tag: &str,
    id: Oid,
    tags: &[(String, Oid)],
) -> Result<TagVerdict, CliError> {
    let repository = site.repository()?;
    let object = repository.find_object(id, None).map_err(SnapshotError::git("the tag"))?;
    if object.kind() != Some(ObjectType::Tag) {
        return Ok(TagVerdict::Refused("nobody's name is on it".to_owned()));
    }
    let Ok(commit) = object.peel_to_commit() else {
        return Ok(TagVerdict::Refused("it does not stand for a commit".to_owned()));
    };
    let message = object.as_tag().and_then(|tag| Some(String::from_utf8_lossy(tag.message_bytes()?).into_owned()));
    if let Some(why) = not_released(tag, &message.unwrap_or_default(), commit.id()) {
        return Ok(TagVerdict::Refused(why.to_owned()));
    }
    let report = report_on(site, cache, commit.id())?;
    if report.summary.errors > 0 {
        return Ok(TagVerdict::Mistakes(report));
    }
    output::note(&format!("building `{}` again to compare it; a large pack takes a while", harmless(tag)));
    Ok(match differing_from_its_commit(repository, tag, id, tags) {
        Ok(differing) if differing.is_empty() => TagVerdict::Sound,
        Ok(differing) => TagVerdict::Another(differing),
        Err(error) => TagVerdict::Refused(format!("it cannot be built from its commit: {error}")),
    })
}

/// The findings that come in with `new`; nothing is looked at when no card or notes changed.
fn new_findings(site: &Site, cache: Option<&Cache>, old: Option<Oid>, new: Oid) -> Result<Report, CliError> {
    let Some(old) = old else { return report_on(site, cache, new) };
    if decks(site, old)? == decks(site, new)? {
        return Ok(Report::new(Vec::new(), 0, 0));
    }
    let now = report_on(site, cache, new)?;
    // Without errors there is nothing that could have come in.
    if now.summary.errors == 0 {
        return Ok(Report::new(Vec::new(), now.summary.decks, now.summary.cards));
    }
    let before = report_on(site, cache, old)?;
    Ok(Report::new(brought_in(&before.findings, &now.findings), now.summary.decks, now.summary.cards))
}

fn report_on(site: &Site, cache: Option<&Cache>, commit: Oid) -> Result<Report, CliError> {
    let repository = site.repository()?;
    let snapshot = CommitSnapshot::new(repository, &commit.to_string(), &site.prefix)?;
    super::check::report_on(&snapshot, cache, true)
}

/// The tree of all decks.
fn decks(site: &Site, commit: Oid) -> Result<Option<Oid>, CliError> {
    let repository = site.repository()?;
    let tree = repository.find_commit(commit).and_then(|commit| commit.tree());
    let tree = tree.map_err(SnapshotError::git("a commit"))?;
    let path = format!("{}decks", site.prefix);
    Ok(tree.get_path(std::path::Path::new(&path)).ok().map(|entry| entry.id()))
}

fn say_errors(report: &Report, width: usize) {
    let errors = report.findings.iter().filter(|finding| finding.level == crate::finding::Level::Error);
    errors.for_each(|finding| output::note(terminal::finding(finding, width).trim_end()));
    output::note("");
}
