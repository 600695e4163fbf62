//! Which branches bring something, what they started from, and in which groups they are merged.

use git2::{Oid, Repository};

use super::Tip;
use crate::snapshot::SnapshotError;

/// The branches that bring something: not those that are in `head` or in another of them already.
pub fn independent(repository: &Repository, head: Oid, branches: &[Tip]) -> Result<Vec<Tip>, SnapshotError> {
    let contains = |one: Oid, other: Oid| {
        if one == other { Ok(true) } else { repository.graph_descendant_of(one, other) }
    };
    let mut kept: Vec<Tip> = Vec::new();
    for (at, tip) in branches.iter().enumerate() {
        let mut known = contains(head, tip.id).map_err(SnapshotError::git("the history"))?;
        for (other_at, other) in branches.iter().enumerate() {
            // Of two names for one commit the first counts.
            let counts = other.id != tip.id || other_at < at;
            known = known
                || counts && other_at != at && contains(other.id, tip.id).map_err(SnapshotError::git("the history"))?;
        }
        if !known {
            kept.push(tip.clone());
        }
    }
    Ok(kept)
}

/// A group of branches that parted from what is merged so far, and from each other, at one point.
#[derive(Debug)]
pub struct Group {
    /// Where they parted; several commits after merges this way and that.
    pub bases: Vec<Oid>,
    /// The branches, by their place in the list.
    pub members: Vec<usize>,
}

/// The next group of `rest` to merge into what `done` came to; the same in whatever order the
/// branches are given. Empty bases when they have no history in common.
pub fn next_group(repository: &Repository, done: &[Oid], rest: &[usize], tips: &[Tip]) -> Result<Group, SnapshotError> {
    let mut sorted: Vec<usize> = rest.to_vec();
    sorted.sort_by_key(|at| tips[*at].id);
    let mut group: Option<Group> = None;
    for at in sorted {
        let bases = bases(repository, tips[at].id, done)?;
        match &mut group {
            None => group = Some(Group { bases, members: vec![at] }),
            Some(group) if group.bases == bases => {
                let mut alike = true;
                for member in &group.members {
                    alike = alike && self::bases(repository, tips[at].id, &[tips[*member].id])? == bases;
                }
                if alike {
                    group.members.push(at);
                }
            }
            Some(_) => {}
        }
    }
    Ok(group.unwrap_or(Group { bases: Vec::new(), members: Vec::new() }))
}

/// The best common ancestors of a commit and what `others` came to together.
pub fn bases(repository: &Repository, tip: Oid, others: &[Oid]) -> Result<Vec<Oid>, SnapshotError> {
    let all: Vec<Oid> = std::iter::once(tip).chain(others.iter().copied()).collect();
    match repository.merge_bases_many(&all) {
        Ok(found) => {
            let mut bases: Vec<Oid> = found.iter().copied().collect();
            bases.sort();
            Ok(bases)
        }
        Err(error) if error.code() == git2::ErrorCode::NotFound => Ok(Vec::new()),
        Err(error) => Err(SnapshotError::git("the history")(error)),
    }
}
