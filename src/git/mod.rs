//! What deckle asks of git: where the repository is, what is being merged, what to install in it.
//!
//! Reads through libgit2; whatever makes a commit goes through the `git` program, so that identity,
//! signing and hooks are the user's own.

pub mod authors;
pub mod conclude;
pub mod install;
pub mod open;
pub mod parted;
mod program;
pub mod proposals;
pub mod propose;
pub mod reconcile;
pub mod reviewed;
pub mod site;

pub use program::{GitError, git, git_in, git_seen, git_with};
