//! What the lead has looked at: for each proposal, the commit of the last look, in a reference of its
//! own under `refs/deckle/reviewed/`. Nothing of it is in the working folder, and git neither pushes
//! nor fetches it by itself.

use git2::{Oid, Repository};

use super::proposals::{Waiting, waiting};
use super::reconcile::{Merger, Tip, reconcile};
use crate::snapshot::SnapshotError;
use crate::snapshot::step::step;

/// Where the looks are remembered.
pub const REVIEWED: &str = "refs/deckle/reviewed/";

/// The commit of the proposal at the last look that was remembered.
pub fn last_look(repository: &Repository, proposal: &Waiting) -> Option<Oid> {
    let reference = repository.find_reference(&format!("{REVIEWED}{}", proposal.key)).ok()?;
    Some(reference.peel_to_commit().ok()?.id())
}

/// Remembers the proposal as it is now, and forgets proposals that wait no longer.
///
/// # Errors
///
/// When git says no; what was remembered then stands.
pub fn remember(repository: &Repository, proposal: &Waiting) -> Result<(), SnapshotError> {
    let what = || SnapshotError::git("what you looked at");
    let failed = |source| SnapshotError::File { path: REVIEWED.to_owned(), source };
    let known: Vec<String> = waiting(repository)?.into_iter().map(|waiting| waiting.key).collect();
    let names: Vec<String> = {
        let all = repository.references_glob(&format!("{REVIEWED}*")).map_err(what())?;
        all.filter_map(|reference| reference.ok()?.name().ok().map(str::to_owned)).collect()
    };
    for name in names {
        let key = name.trim_start_matches(REVIEWED);
        if key != proposal.key && !known.iter().any(|known| known == key) {
            step().map_err(failed)?;
            repository.find_reference(&name).and_then(|mut old| old.delete()).map_err(what())?;
        }
    }
    step().map_err(failed)?;
    let name = format!("{REVIEWED}{}", proposal.key);
    repository.reference(&name, proposal.tip, true, "deckle review").map_err(what())?;
    Ok(())
}

/// The tree against which to show what is new since `seen`: what was looked at, with what the main
/// branch has done since and the proposal took in. Without a clean answer, the commit as it was.
///
/// # Errors
///
/// When the repository cannot be read.
pub fn seen_tree(repository: &Repository, prefix: &str, seen: Oid, proposal: &Waiting) -> Result<Oid, SnapshotError> {
    let seen_commit = repository.find_commit(seen).map_err(SnapshotError::git("what you looked at"))?;
    let Some(base) = proposal.base else { return Ok(seen_commit.tree_id()) };
    let into = Tip { name: "what you looked at".to_owned(), id: seen };
    let main = Tip { name: "the main branch".to_owned(), id: base };
    match reconcile(&Merger::new(repository, prefix), &into, &[main]) {
        Ok(Some(merged)) if merged.is_clean() => Ok(merged.tree),
        _ => Ok(seen_commit.tree_id()),
    }
}
