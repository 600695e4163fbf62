//! Going on with what git is in the middle of, once nothing is undecided any more: by git's own
//! commands, so that identity, signing and hooks are the user's own.

use git2::{Repository, RepositoryState};

use super::{GitError, git, git_seen};
use crate::git::site::{Site, SiteError};

/// What git is in the middle of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Underway {
    /// Nothing: a commit is a commit.
    Nothing,
    /// Nothing that git knows by name, but there are files in several versions, as `git stash pop` leaves them.
    PutBack,
    /// A merge.
    Merge,
    /// A rebase.
    Rebase,
    /// A cherry-pick.
    CherryPick,
    /// A revert.
    Revert,
}

impl Underway {
    /// What the repository is in the middle of.
    pub fn of(repository: &Repository) -> Self {
        match repository.state() {
            RepositoryState::Merge => Self::Merge,
            RepositoryState::Rebase | RepositoryState::RebaseInteractive | RepositoryState::RebaseMerge => Self::Rebase,
            RepositoryState::CherryPick | RepositoryState::CherryPickSequence => Self::CherryPick,
            RepositoryState::Revert | RepositoryState::RevertSequence => Self::Revert,
            _ if has_several_versions(repository) => Self::PutBack,
            _ => Self::Nothing,
        }
    }

    /// What people call it; none for nothing.
    pub fn word(self) -> Option<&'static str> {
        match self {
            Self::Nothing | Self::PutBack => None,
            Self::Merge => Some("merge"),
            Self::Rebase => Some("rebase"),
            Self::CherryPick => Some("cherry-pick"),
            Self::Revert => Some("revert"),
        }
    }

    /// The commands by which it is finished, as a person types them.
    pub fn finish(self) -> &'static str {
        match self {
            Self::Nothing | Self::Merge => "`git commit --all`",
            Self::PutBack => "`git add --all`; what was put aside is kept until `git stash drop`",
            Self::Rebase => "`git add --all` and `git rebase --continue`",
            Self::CherryPick => "`git add --all` and `git cherry-pick --continue`",
            Self::Revert => "`git add --all` and `git revert --continue`",
        }
    }
}

/// Whether the index, as git has just left it, holds files in several versions.
fn has_several_versions(repository: &Repository) -> bool {
    repository.index().is_ok_and(|mut index| index.read(false).is_ok() && index.has_conflicts())
}

/// Takes `files` and folders (from the top of the department) as they stand, and makes the commit that finishes
/// what is under way; without anything under way, a commit of those files alone with `message`. Gives
/// whether git did: a hook may say no.
///
/// # Errors
///
/// When git cannot be run, or refuses to take the files.
pub fn conclude(site: &Site, files: &[String], message: &str) -> Result<bool, SiteError> {
    let root = site.root()?;
    let files: Vec<&str> = files.iter().map(String::as_str).collect();
    let with = |command: &[&'_ str]| -> Vec<String> {
        command.iter().chain(["--"].iter()).chain(files.iter()).map(|part| (*part).to_owned()).collect()
    };
    let run = |arguments: Vec<String>| -> Result<bool, GitError> {
        git_seen(root, &arguments.iter().map(String::as_str).collect::<Vec<_>>())
    };
    if !files.is_empty() {
        let add = with(&["add", "--all"]);
        git(root, &add.iter().map(String::as_str).collect::<Vec<_>>())?;
    }
    let continued = |what: &str| git_seen(root, &["-c", "core.editor=true", what, "--continue"]);
    Ok(match Underway::of(site.repository()?) {
        Underway::Nothing | Underway::PutBack => run(with(&["commit", "--quiet", "--message", message]))?,
        Underway::Merge => git_seen(root, &["commit", "--quiet", "--no-edit"])?,
        Underway::Rebase => continued("rebase")?,
        Underway::CherryPick => continued("cherry-pick")?,
        Underway::Revert => continued("revert")?,
    })
}
