//! The proposals that wait for the lead: branches with commits that the main branch does not have.

use std::collections::BTreeMap;

use git2::{BranchType, Oid, Repository, Sort};

use super::authors::author;
use crate::snapshot::SnapshotError;

/// A branch that is not merged.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Waiting {
    /// Its name: of a local branch, else with the shared repository that it is in, such as `origin/rivers`.
    pub name: String,
    /// The name under which the lead's looks at it are remembered; the same for a local branch and
    /// the one of that name in `origin`.
    pub key: String,
    /// Its newest commit.
    pub tip: Oid,
    /// Where it parted from the main branch; none when they have no history in common.
    pub base: Option<Oid>,
    /// Who made its commits, in the order in which they joined in.
    pub by: Vec<String>,
    /// The day of its newest commit, as `2026-11-25`.
    pub when: String,
    /// How many commits it has that the main branch does not have.
    pub commits: usize,
}

/// The main branch, with its commit: `main`, `master`, or what a shared repository calls its own.
pub fn main_branch(repository: &Repository) -> Option<(String, Oid)> {
    mains(repository).into_iter().next()
}

/// Where the main branch stands, here and in the shared repository, ours first.
fn mains(repository: &Repository) -> Vec<(String, Oid)> {
    let names = ["main", "master", "origin/HEAD", "origin/main", "origin/master"];
    let commit = |name: &str| Some(repository.revparse_single(name).ok()?.peel_to_commit().ok()?.id());
    names.iter().filter_map(|name| Some(((*name).to_owned(), commit(name)?))).collect()
}

/// All branches with commits that no main branch has; who has waited longest comes first.
///
/// A local branch and one of the same name in a shared repository are one proposal where one of them
/// holds the other.
///
/// # Errors
///
/// When the repository cannot be read.
pub fn waiting(repository: &Repository) -> Result<Vec<Waiting>, SnapshotError> {
    let mains = mains(repository);
    let mut found: BTreeMap<String, Vec<(String, Oid)>> = BTreeMap::new();
    for branch in repository.branches(None).map_err(SnapshotError::git("the branches"))? {
        let (branch, kind) = branch.map_err(SnapshotError::git("the branches"))?;
        let Some(name) = branch.name().ok().flatten().map(str::to_owned) else { continue };
        let Ok(tip) = branch.get().peel_to_commit() else { continue };
        let is_main = mains.iter().any(|(main, _)| *main == name) || name.ends_with("/HEAD");
        if !is_main && !is_merged(repository, tip.id(), &mains)? {
            let key = key(&name, kind);
            found.entry(key).or_default().push((name, tip.id()));
        }
    }
    let mut all = Vec::new();
    for (key, branches) in found {
        for (name, tip) in newest(repository, branches)? {
            all.push(described(repository, name, key.clone(), tip, &mains)?);
        }
    }
    all.sort_by(|one, other| one.when.cmp(&other.when).then_with(|| one.name.cmp(&other.name)));
    Ok(all)
}

/// The branch of that name, local or in a shared repository, as a proposal; `None` when there is no
/// such branch, or it is the main one.
///
/// # Errors
///
/// When the repository cannot be read.
pub fn proposal(repository: &Repository, name: &str) -> Result<Option<Waiting>, SnapshotError> {
    let mains = mains(repository);
    for (candidate, kind) in [
        (name.to_owned(), BranchType::Local),
        (name.to_owned(), BranchType::Remote),
        (format!("origin/{name}"), BranchType::Remote),
    ] {
        let Ok(branch) = repository.find_branch(&candidate, kind) else { continue };
        let Ok(tip) = branch.get().peel_to_commit() else { continue };
        if mains.iter().any(|(main, _)| *main == candidate) {
            return Ok(None);
        }
        let key = key(&candidate, kind);
        return described(repository, candidate, key, tip.id(), &mains).map(Some);
    }
    Ok(None)
}

fn key(name: &str, kind: BranchType) -> String {
    let own = (kind == BranchType::Remote).then(|| name.strip_prefix("origin/")).flatten();
    own.unwrap_or(name).to_owned()
}

fn is_merged(repository: &Repository, tip: Oid, mains: &[(String, Oid)]) -> Result<bool, SnapshotError> {
    for (_, main) in mains {
        if holds(repository, *main, tip)? {
            return Ok(true);
        }
    }
    Ok(false)
}

fn holds(repository: &Repository, one: Oid, other: Oid) -> Result<bool, SnapshotError> {
    Ok(one == other || repository.graph_descendant_of(one, other).map_err(SnapshotError::git("the history"))?)
}

/// Those that no other of them holds; of two that are the same, the local one.
fn newest(repository: &Repository, branches: Vec<(String, Oid)>) -> Result<Vec<(String, Oid)>, SnapshotError> {
    let mut kept: Vec<(String, Oid)> = Vec::new();
    for (at, (name, tip)) in branches.iter().enumerate() {
        let mut held = false;
        for (other_at, (_, other)) in branches.iter().enumerate() {
            held = held || other_at != at && (other != tip || other_at < at) && holds(repository, *other, *tip)?;
        }
        if !held {
            kept.push((name.clone(), *tip));
        }
    }
    Ok(kept)
}

fn described(
    repository: &Repository,
    name: String,
    key: String,
    tip: Oid,
    mains: &[(String, Oid)],
) -> Result<Waiting, SnapshotError> {
    let what = || SnapshotError::git("the history");
    let base = mains.first().and_then(|(_, main)| repository.merge_base(*main, tip).ok());
    let mut walk = repository.revwalk().map_err(what())?;
    walk.set_sorting(Sort::TOPOLOGICAL | Sort::REVERSE).map_err(what())?;
    walk.push(tip).map_err(what())?;
    for (_, main) in mains {
        walk.hide(*main).map_err(what())?;
    }
    let (mut by, mut commits): (Vec<String>, usize) = (Vec::new(), 0);
    for id in walk {
        let commit = repository.find_commit(id.map_err(what())?).map_err(what())?;
        commits += 1;
        let name = author(&commit).name;
        if !by.contains(&name) {
            by.push(name);
        }
    }
    let newest = author(&repository.find_commit(tip).map_err(what())?);
    if by.is_empty() {
        by.push(newest.name);
    }
    Ok(Waiting { name, key, tip, base, by, when: newest.when, commits })
}
