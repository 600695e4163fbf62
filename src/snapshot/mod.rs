//! The department as it stands in the working folder, in git's index, or at a commit.
//!
//! Knows nothing of cards: files and their bytes, all paths from the top of the department with
//! `/` between folders.

mod commit;
mod folder;
mod index;
mod known;
pub mod step;
pub mod write;

use std::collections::{BTreeMap, BTreeSet};

use git2::{Oid, Repository};

pub use commit::{CommitSnapshot, differing as differing_trees};
pub use folder::FolderSnapshot;
pub use index::IndexSnapshot;

/// What a path holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A file of that many bytes.
    File {
        /// Its size.
        size: u64,
    },
    /// A symbolic link, or anything else that is not a file.
    Link,
    /// Anything whose name is not UTF-8; its path shows what can be shown of it, and it cannot be read.
    Misnamed,
}

/// A file of the department.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// From the top of the department.
    pub path: String,
    /// What it is.
    pub kind: Kind,
}

/// A department as it stands somewhere.
pub trait Snapshot: std::fmt::Debug {
    /// All files under `decks/`, sorted by path; `decks` itself when it is a link, which is not followed.
    ///
    /// # Errors
    ///
    /// When the folder or repository cannot be read.
    fn files(&self) -> Result<Vec<Entry>, SnapshotError>;

    /// The bytes of a file.
    ///
    /// # Errors
    ///
    /// When there is no such file or it cannot be read.
    fn read(&self, path: &str) -> Result<Vec<u8>, SnapshotError>;

    /// The same snapshot, where several threads may read it at once.
    fn side_by_side(&self) -> Option<&(dyn Snapshot + Sync)> {
        None
    }

    /// What tells all files under `decks/`, with what they hold, from any others; the same content may have
    /// two identities, but no identity stands for two contents. `None` where it is not known.
    fn identity(&self) -> Option<String> {
        None
    }

    /// All files with what tells what each holds from anything else, without reading them; `None` where that is
    /// not known.
    fn listing(&self) -> Option<Listing> {
        None
    }

    /// Git's tree of all files, with the repository that holds it; `None` where there is none.
    fn tree_of_decks(&self) -> Option<(&Repository, Oid)> {
        None
    }
}

/// The files that both snapshots have and that hold something else; `None` when one has files that the other has
/// not, or that is not known without reading them.
pub fn differing(one: &dyn Snapshot, other: &dyn Snapshot) -> Option<BTreeSet<String>> {
    match (one.tree_of_decks(), other.tree_of_decks()) {
        (Some((repository, one)), Some((_, other))) => commit::differing(repository, one, other),
        _ => one.listing()?.differing(&other.listing()?),
    }
}

/// The files of a snapshot with the identities of what they hold.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Listing {
    /// Where identities hold: only those from one store are to be compared.
    pub store: String,
    /// The identity of what each file holds, by path.
    pub files: BTreeMap<String, String>,
    /// Git's tree of all files, when it was made from one.
    pub tree: Option<String>,
}

impl Listing {
    /// The files that both have and that hold something else; `None` when one has files that the other has not,
    /// or one of them is no ordinary file.
    pub fn differing(&self, other: &Listing) -> Option<BTreeSet<String>> {
        if self.store != other.store || self.files.len() != other.files.len() {
            return None;
        }
        let is_ordinary = |id: &str| id.starts_with("100");
        let mut differing = BTreeSet::new();
        for ((path, one), (other_path, other)) in self.files.iter().zip(&other.files) {
            if path != other_path {
                return None;
            }
            if one != other {
                differing.insert(path.clone());
                if !is_ordinary(one) || !is_ordinary(other) {
                    return None;
                }
            }
        }
        Some(differing)
    }
}

/// A department in which there is nothing yet: what stands before the first commit.
#[derive(Clone, Copy, Debug)]
pub struct EmptySnapshot;

impl Snapshot for EmptySnapshot {
    fn files(&self) -> Result<Vec<Entry>, SnapshotError> {
        Ok(Vec::new())
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SnapshotError> {
        let source = std::io::Error::from(std::io::ErrorKind::NotFound);
        Err(SnapshotError::File { path: path.to_owned(), source })
    }
}

/// Why a snapshot could not be read.
#[derive(Debug, thiserror::Error)]
pub enum SnapshotError {
    /// A file or folder cannot be read.
    #[error("{path} cannot be read: {source}")]
    File {
        /// Which.
        path: String,
        /// Why.
        source: std::io::Error,
    },
    /// Git cannot read it.
    #[error("git cannot read {what}: {}", source.message())]
    Git {
        /// What.
        what: String,
        /// Why.
        source: git2::Error,
    },
    /// A clone with the newest part of the history alone does not have it.
    #[error(
        "{0} is not in this clone, which holds only the newest part of the history; `git fetch --unshallow` brings the rest"
    )]
    Cut(String),
    /// A path that is not UTF-8, where files are put together.
    #[error("a file name in `{0}` is not UTF-8; rename it")]
    Name(String),
    /// A file cannot be written, renamed or taken out.
    #[error("{path} cannot be written: {source}; it is left as it was")]
    Write {
        /// Which.
        path: String,
        /// Why.
        source: std::io::Error,
    },
}

impl SnapshotError {
    /// An error of git while reading `what`.
    pub fn git(what: impl Into<String>) -> impl FnOnce(git2::Error) -> Self {
        let what = what.into();
        |source| Self::Git { what, source }
    }

    /// A commit that `repository` cannot find under the name `rev`.
    pub fn commit(repository: &git2::Repository, rev: &str) -> impl FnOnce(git2::Error) -> Self {
        let (what, cut) = (format!("`{rev}`"), repository.is_shallow());
        move |source| if cut { Self::Cut(what) } else { Self::Git { what, source } }
    }
}
