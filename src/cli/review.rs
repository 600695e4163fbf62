//! `deckle review`.

use clap::{Args, ValueEnum};
use git2::{Oid, Repository};

use super::error::CliError;
use super::world::World;
use super::{Outcome, output};
use crate::change::Review;
use crate::deck::Department;
use crate::git::site::Site;
use crate::report::{json, review};
use crate::snapshot::{CommitSnapshot, Snapshot, SnapshotError};

/// Show what a proposal changes, card by card, and what it brings in and clears among the findings
///
/// Without a range: what this branch adds to the main branch; on the main branch itself, what is
/// not committed yet.
#[derive(Debug, Args)]
pub struct Arguments {
    /// `BASE..HEAD`, from where they parted; or one commit, against the one before it.
    #[arg(value_name = "BASE..HEAD")]
    range: Option<String>,
    /// What is staged for the next commit.
    #[arg(long, conflicts_with = "range")]
    staged: bool,
    /// How to show it.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Format {
    /// For people.
    Text,
    /// For programs, by schema/review.schema.json.
    Json,
}

/// Two departments, and of what the difference is.
struct Pair {
    before: Department,
    now: Department,
    what: String,
}

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let site = world.site()?;
    let Pair { before, now, what } = match &arguments.range {
        _ if arguments.staged => staged(&site)?,
        Some(range) => named(&site, range)?,
        None => this_branch(&site)?,
    };
    let result = Review::new(&before, &now);
    output::result(&match arguments.format {
        Format::Text => review::review(&result, &what, world.width()),
        Format::Json => json::pretty(&result),
    })?;
    Ok(if result.brings_in_errors() { Outcome::Findings } else { Outcome::Fine })
}

fn staged(site: &Site) -> Result<Pair, CliError> {
    Ok(Pair { before: head(site)?, now: read(&site.staged()?)?, what: "what is staged".to_owned() })
}

fn named(site: &Site, range: &str) -> Result<Pair, CliError> {
    let repository = site.repository()?;
    let (base, head) = match range.split_once("..") {
        Some((base, head)) => {
            let or_head = |name: &str| if name.is_empty() { "HEAD".to_owned() } else { name.to_owned() };
            let (base, head) =
                (commit(repository, &or_head(base))?, commit(repository, &or_head(head.trim_start_matches('.')))?);
            // What the base went on to do since they parted is not the proposal's.
            (Some(repository.merge_base(base, head).unwrap_or(base)), head)
        }
        None => {
            let head = commit(repository, range)?;
            (repository.find_commit(head).ok().and_then(|commit| commit.parent_id(0).ok()), head)
        }
    };
    between(site, base, head, range)
}

fn this_branch(site: &Site) -> Result<Pair, CliError> {
    let repository = site.repository()?;
    let tip = commit(repository, "HEAD")?;
    let branch = repository.head().ok().and_then(|head| head.shorthand().ok().map(str::to_owned)).unwrap_or_default();
    let main = main_branch(repository).filter(|(name, id)| *name != branch && *id != tip);
    match main {
        Some((name, id)) => {
            let base = repository.merge_base(id, tip).ok();
            between(site, base, tip, &format!("what {branch} adds to {name}"))
        }
        None => {
            Ok(Pair { before: head(site)?, now: read(&*site.here()?)?, what: "what is not committed yet".to_owned() })
        }
    }
}

/// The main branch: `main`, `master`, or what the remote calls its own.
fn main_branch(repository: &Repository) -> Option<(String, Oid)> {
    let names = ["main", "master", "origin/HEAD", "origin/main", "origin/master"];
    names.iter().find_map(|name| Some(((*name).to_owned(), commit(repository, name).ok()?)))
}

fn between(site: &Site, base: Option<Oid>, head: Oid, what: &str) -> Result<Pair, CliError> {
    let repository = site.repository()?;
    let at = |id: Oid| -> Result<Department, CliError> {
        read(&CommitSnapshot::new(repository, &id.to_string(), &site.prefix)?)
    };
    let before = match base {
        Some(base) => at(base)?,
        None => Department::read(&crate::snapshot::EmptySnapshot)?,
    };
    Ok(Pair { before, now: at(head)?, what: what.to_owned() })
}

fn head(site: &Site) -> Result<Department, CliError> {
    match site.at("HEAD") {
        Ok(snapshot) => read(&snapshot),
        Err(_) => Ok(Department::read(&crate::snapshot::EmptySnapshot)?),
    }
}

fn read(snapshot: &dyn Snapshot) -> Result<Department, CliError> {
    Ok(Department::read(snapshot)?)
}

fn commit(repository: &Repository, name: &str) -> Result<Oid, CliError> {
    let object = repository.revparse_single(name).and_then(|object| object.peel_to_commit());
    Ok(object.map_err(SnapshotError::git(format!("`{name}`")))?.id())
}
