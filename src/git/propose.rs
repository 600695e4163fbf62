//! Making a proposal of the working folder's changes: staged aside first, so that nothing is changed
//! before it has been checked, then committed through `git`.

use std::path::{Path, PathBuf};

use git2::{BranchType, Oid, Repository};

use super::proposals::main_branch;
use super::{GitError, git, git_in};
use crate::snapshot::{SnapshotError, write};

/// Why there is no proposal.
#[derive(Debug, thiserror::Error)]
pub enum ProposeError {
    /// Git says no before anything is changed.
    #[error(transparent)]
    Git(#[from] GitError),
    /// Git, or a hook, says no to the commit.
    #[error("the commit was refused: {0}")]
    Commit(String),
    /// The repository cannot be read.
    #[error(transparent)]
    Snapshot(#[from] SnapshotError),
}

/// Changes that are ready to be committed, staged in an index of their own.
#[derive(Debug)]
pub struct Proposal {
    root: PathBuf,
    folder: String,
    tree: Oid,
    before: Option<Oid>,
}

impl Proposal {
    /// Stages everything in `folder` (from the top of the working folder) beside what is staged
    /// already, in an index that nobody else sees.
    ///
    /// # Errors
    ///
    /// When git or the disk says no.
    pub fn prepare(repository: &Repository, root: &Path, folder: &str) -> Result<Self, ProposeError> {
        let failed = |source| SnapshotError::File { path: "git's index".to_owned(), source };
        let scratch = tempfile::tempdir().map_err(failed)?;
        let index = scratch.path().join("index");
        let own = repository.path().join("index");
        if own.is_file() {
            std::fs::copy(&own, &index).map_err(failed)?;
        }
        let top = repository.workdir().unwrap_or(root).to_path_buf();
        let aside = [("GIT_INDEX_FILE", index.as_path())];
        git_in(&top, &["add", "--all", "--", folder], &aside)?;
        let tree = git_in(&top, &["write-tree"], &aside)?;
        let tree = Oid::from_str(&tree).map_err(SnapshotError::git("what is staged"))?;
        let before = repository.head().ok().and_then(|head| head.peel_to_tree().ok()).map(|tree| tree.id());
        Ok(Self { root: top, folder: folder.to_owned(), tree, before })
    }

    /// Whether nothing differs from the last commit.
    pub fn is_empty(&self) -> bool {
        self.before == Some(self.tree)
    }

    /// What would be committed.
    pub fn tree(&self) -> Oid {
        self.tree
    }

    /// Commits it on `branch`, which is made when it is not the `current` one. When git or a hook says
    /// no, branch and index are as they were.
    ///
    /// # Errors
    ///
    /// When git or a hook says no.
    pub fn commit(
        &self,
        repository: &Repository,
        branch: &str,
        current: &str,
        message: &str,
    ) -> Result<(), ProposeError> {
        let path = repository.path().join("index");
        let index = std::fs::read(&path).ok();
        let committed = self.try_to_commit(branch, current, message);
        if committed.is_err() {
            if branch != current {
                // The files are the same on both, so only the name goes back.
                _ = git(&self.root, &["symbolic-ref", "HEAD", &format!("refs/heads/{current}")]);
                _ = git(&self.root, &["update-ref", "-d", &format!("refs/heads/{branch}")]);
            }
            match index {
                Some(bytes) => write::replace(&path, &bytes)?,
                None => write::remove(&path)?,
            }
        }
        committed.map_err(|error| match error {
            GitError::Refused { message, .. } => ProposeError::Commit(message),
            error => ProposeError::Git(error),
        })
    }

    fn try_to_commit(&self, branch: &str, current: &str, message: &str) -> Result<(), GitError> {
        if branch != current {
            git(&self.root, &["switch", "--quiet", "--create", branch])?;
        }
        git(&self.root, &["add", "--all", "--", &self.folder])?;
        git(&self.root, &["commit", "--quiet", "--message", message])?;
        Ok(())
    }
}

/// Whether a proposal went to a shared repository.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Sent {
    /// There is none.
    NoRemote,
    /// To that one.
    To(String),
    /// It, or the way there, says no.
    Refused {
        /// Which.
        remote: String,
        /// What git says.
        message: String,
    },
}

/// Sends a branch to the repository that the main branch comes from, else to the first one known.
///
/// # Errors
///
/// When there is no `git`, or the repository cannot be read.
pub fn send(repository: &Repository, root: &Path, branch: &str) -> Result<Sent, ProposeError> {
    let Some(remote) = remote(repository)? else { return Ok(Sent::NoRemote) };
    match git(root, &["push", "--quiet", "--set-upstream", &remote, branch]) {
        Ok(_) => Ok(Sent::To(remote)),
        Err(GitError::Refused { message, .. }) => Ok(Sent::Refused { remote, message }),
        Err(error) => Err(error.into()),
    }
}

/// Whether a branch has commits that neither the main branch nor the shared repository has, as far as is
/// known here; never when there is none.
///
/// # Errors
///
/// When the repository cannot be read.
pub fn is_unsent(repository: &Repository, branch: &str) -> Result<bool, SnapshotError> {
    let Some(remote) = remote(repository)? else { return Ok(false) };
    let tip = |name: &str| repository.find_reference(name).ok()?.peel_to_commit().ok().map(|commit| commit.id());
    let Some(here) = tip(&format!("refs/heads/{branch}")) else { return Ok(false) };
    let known = [
        Some(format!("refs/remotes/{remote}/{branch}")),
        main_branch(repository).map(|(name, _)| format!("refs/heads/{name}")),
    ];
    let holds = |there: Oid| there == here || repository.graph_descendant_of(there, here).unwrap_or_default();
    Ok(!known.into_iter().flatten().filter_map(|name| tip(&name)).any(holds))
}

fn remote(repository: &Repository) -> Result<Option<String>, SnapshotError> {
    let upstream = ["main", "master"].iter().find_map(|name| {
        repository.find_branch(name, BranchType::Local).ok()?;
        let name = repository.branch_upstream_remote(&format!("refs/heads/{name}")).ok()?;
        name.as_str().ok().map(str::to_owned)
    });
    if upstream.is_some() {
        return Ok(upstream);
    }
    let names = repository.remotes().map_err(SnapshotError::git("the shared repositories"))?;
    let mut names: Vec<String> = names.iter().filter_map(|name| name.ok().flatten().map(str::to_owned)).collect();
    names.sort_by_key(|name| (name != "origin", name.clone()));
    Ok(names.into_iter().next())
}
