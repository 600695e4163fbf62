//! Which two departments are compared.

use git2::{Oid, Repository};

use crate::cli::error::CliError;
use crate::git::proposals::{Waiting, main_branch, proposal};
use crate::git::reviewed::{last_look, seen_tree};
use crate::git::site::Site;
use crate::report::counted;
use crate::report::day_in_words;
use crate::report::review::Heading;
use crate::snapshot::{CommitSnapshot, EmptySnapshot, Snapshot, SnapshotError};

/// Where two departments stand, and of what the difference is.
pub struct Pair<'s> {
    pub before: Box<dyn Snapshot + 's>,
    pub now: Box<dyn Snapshot + 's>,
    pub heading: Heading,
    /// The branch, when it is one that waits.
    pub proposal: Option<Waiting>,
}

pub fn staged(site: &Site) -> Result<Pair<'_>, CliError> {
    Ok(loose(head(site), Box::new(site.staged()?), "what is staged"))
}

pub fn uncommitted(site: &Site) -> Result<Pair<'_>, CliError> {
    Ok(loose(head(site), site.here()?, "what is not committed yet"))
}

fn loose<'s>(before: Box<dyn Snapshot + 's>, now: Box<dyn Snapshot + 's>, what: &str) -> Pair<'s> {
    Pair { before, now, heading: Heading::of(what), proposal: None }
}

/// A branch, two commits, or one.
pub fn named<'s>(site: &'s Site, range: &str, since_last: bool) -> Result<Pair<'s>, CliError> {
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
    Ok(loose(at_commit(site, base)?, at_commit(site, Some(head))?, range))
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

fn of_proposal(site: &Site, proposal: Waiting, since_last: bool) -> Result<Pair<'_>, CliError> {
    let repository = site.repository()?;
    let main = main_branch(repository).map(|(name, _)| name).unwrap_or_default();
    if proposal.base.is_none() && repository.is_shallow() {
        // All its cards would look new.
        return Err(SnapshotError::Cut(format!("where `{}` parted from `{main}`", proposal.name)).into());
    }
    let now = at_commit(site, Some(proposal.tip))?;
    let seen = last_look(repository, &proposal).filter(|_| since_last);
    let (before, what): (Box<dyn Snapshot + '_>, String) = match seen {
        Some(seen) => {
            let tree = seen_tree(repository, &site.prefix, seen, &proposal)?;
            let before = CommitSnapshot::of_tree(repository, tree, &site.prefix);
            (Box::new(before), format!("what is new on {} since your last look", proposal.name))
        }
        None => (at_commit(site, proposal.base)?, format!("what {} adds to {main}", proposal.name)),
    };
    let who = format!(
        "by {}, {}, {}",
        proposal.by.join(", "),
        day_in_words(&proposal.when),
        counted(proposal.commits, "commit", "commits")
    );
    let heading = Heading { what, about: vec![who], name: proposal.name.clone() };
    Ok(Pair { before, now, heading, proposal: Some(proposal) })
}

/// The department at a commit; an empty one where there is none.
pub fn at_commit(site: &Site, id: Option<Oid>) -> Result<Box<dyn Snapshot + '_>, CliError> {
    Ok(match id {
        Some(id) => Box::new(CommitSnapshot::new(site.repository()?, &id.to_string(), &site.prefix)?),
        None => Box::new(EmptySnapshot),
    })
}

fn head(site: &Site) -> Box<dyn Snapshot + '_> {
    match site.at("HEAD") {
        Ok(snapshot) => Box::new(snapshot),
        Err(_) => Box::new(EmptySnapshot),
    }
}

fn commit(repository: &Repository, name: &str) -> Result<Oid, CliError> {
    let object = repository.revparse_single(name).and_then(|object| object.peel_to_commit());
    Ok(object.map_err(SnapshotError::commit(repository, name))?.id())
}
