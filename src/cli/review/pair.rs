//! Which two departments are compared.

use git2::{Oid, Repository};

use crate::cli::error::CliError;
use crate::deck::Department;
use crate::git::proposals::{Waiting, main_branch, proposal};
use crate::git::reviewed::{last_look, seen_tree};
use crate::git::site::Site;
use crate::report::counted;
use crate::report::review::{Heading, day};
use crate::snapshot::{CommitSnapshot, EmptySnapshot, Snapshot, SnapshotError};

/// Two departments, and of what the difference is.
pub struct Pair {
    pub before: Department,
    pub now: Department,
    pub heading: Heading,
    /// The branch, when it is one that waits.
    pub proposal: Option<Waiting>,
}

pub fn staged(site: &Site) -> Result<Pair, CliError> {
    Ok(loose(head(site)?, read(&site.staged()?)?, "what is staged"))
}

pub fn uncommitted(site: &Site) -> Result<Pair, CliError> {
    Ok(loose(head(site)?, read(&*site.here()?)?, "what is not committed yet"))
}

fn loose(before: Department, now: Department, what: &str) -> Pair {
    Pair { before, now, heading: Heading::of(what), proposal: None }
}

/// A branch, two commits, or one.
pub fn named(site: &Site, range: &str, since_last: bool) -> Result<Pair, CliError> {
    let repository = site.repository()?;
    if let Some(proposal) = branch_of(repository, range)? {
        return of_proposal(site, proposal, since_last);
    }
    if since_last {
        return Err(CliError::new(format!("`{range}` is no branch that could be merged into the main branch"))
            .help("name a branch; `deckle review` lists those that wait"));
    }
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
    let before = base.map_or_else(|| Ok(Department::read(&EmptySnapshot)?), |base| at_commit(site, base))?;
    Ok(loose(before, at_commit(site, head)?, range))
}

/// The proposal that a name stands for: a branch, or `main..branch`.
fn branch_of(repository: &Repository, range: &str) -> Result<Option<Waiting>, CliError> {
    let main = main_branch(repository).map(|(name, _)| name).unwrap_or_default();
    let name = match range.split_once("..") {
        Some((base, head)) if base == main => head.trim_start_matches('.'),
        Some(_) => return Ok(None),
        None => range,
    };
    Ok(proposal(repository, name)?)
}

fn of_proposal(site: &Site, proposal: Waiting, since_last: bool) -> Result<Pair, CliError> {
    let repository = site.repository()?;
    let main = main_branch(repository).map(|(name, _)| name).unwrap_or_default();
    let now = at_commit(site, proposal.tip)?;
    let seen = last_look(repository, &proposal).filter(|_| since_last);
    let (before, what) = match seen {
        Some(seen) => {
            let tree = seen_tree(repository, &site.prefix, seen, &proposal)?;
            let before = read(&CommitSnapshot::of_tree(repository, tree, &site.prefix))?;
            (before, format!("what is new on {} since your last look", proposal.name))
        }
        None => {
            let before = proposal.base.map_or_else(|| Ok(Department::read(&EmptySnapshot)?), |id| at_commit(site, id));
            (before?, format!("what {} adds to {main}", proposal.name))
        }
    };
    let who = format!(
        "by {}, {}, {}",
        proposal.by.join(", "),
        day(&proposal.when),
        counted(proposal.commits, "commit", "commits")
    );
    let heading = Heading { what, about: vec![who], name: proposal.name.clone() };
    Ok(Pair { before, now, heading, proposal: Some(proposal) })
}

pub fn at_commit(site: &Site, id: Oid) -> Result<Department, CliError> {
    read(&CommitSnapshot::new(site.repository()?, &id.to_string(), &site.prefix)?)
}

fn head(site: &Site) -> Result<Department, CliError> {
    match site.at("HEAD") {
        Ok(snapshot) => read(&snapshot),
        Err(_) => Ok(Department::read(&EmptySnapshot)?),
    }
}

fn read(snapshot: &dyn Snapshot) -> Result<Department, CliError> {
    Ok(Department::read(snapshot)?)
}

fn commit(repository: &Repository, name: &str) -> Result<Oid, CliError> {
    let object = repository.revparse_single(name).and_then(|object| object.peel_to_commit());
    Ok(object.map_err(SnapshotError::git(format!("`{name}`")))?.id())
}
