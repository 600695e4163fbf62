//! Why there is no release.

use std::path::PathBuf;

use super::choose::ChooseError;
use crate::finding::{Finding, Level};
use crate::snapshot::SnapshotError;

/// Why there is no release.
#[derive(Debug, thiserror::Error)]
pub enum ReleaseError {
    /// The commit cannot be read, or a file cannot be written.
    #[error(transparent)]
    Snapshot(#[from] SnapshotError),
    /// There is nothing to release.
    #[error(transparent)]
    Choose(#[from] ChooseError),
    /// The chosen decks have findings of level error.
    #[error("{}", in_words(.0))]
    Findings(Vec<Finding>),
    /// The commit is older than the newest edition.
    #[error("this commit is older than {tag}; a new edition would take its corrections back")]
    Older {
        /// The tag of the newest edition.
        tag: String,
    },
    /// The edition before cannot be read, so there is nothing to compare with.
    #[error("the edition before, {tag}, cannot be read: {why}")]
    EditionBefore {
        /// Its tag.
        tag: String,
        /// Why.
        why: String,
    },
    /// Another file stands where the pack should go.
    #[error("{} is there already and is another file; move it away, or choose another folder", .path.display())]
    Occupied {
        /// Where.
        path: PathBuf,
    },
    /// Another release is being made in this repository.
    #[error("another release is being made in this repository; try again when it is done")]
    Busy,
    /// The tag cannot be set. The zip is there, whole; releasing again finishes the job.
    #[error("the pack is in {}, but the tag {tag} cannot be set: {why}", .path.display())]
    Tag {
        /// Its name.
        tag: String,
        /// Where the zip is.
        path: PathBuf,
        /// Why.
        why: String,
    },
    /// No tag of an edition.
    #[error("`{0}` is no tag of an edition; they look like packs/year-8/autumn-2026/1")]
    NoEdition(String),
    /// The zip is not a pack of this department.
    #[error("this pack cannot be printed: {0}")]
    NoPack(String),
    /// The zip cannot be made.
    #[error("the zip cannot be made: {0}")]
    Zip(String),
}

fn in_words(findings: &[Finding]) -> String {
    match findings.iter().filter(|finding| finding.level == Level::Error).count() {
        1 => "the cards of this pack have an error; put it right and commit first".to_owned(),
        count => format!("the cards of this pack have {count} errors; put them right and commit first"),
    }
}
