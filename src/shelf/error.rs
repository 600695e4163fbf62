//! Why the shelf was left as it is.

use std::path::PathBuf;

use crate::pack::NotReleased;
use crate::snapshot::SnapshotError;

/// Why the shelf was left as it is.
#[derive(Debug, thiserror::Error)]
pub enum ShelfError {
    /// A file cannot be read or written.
    #[error(transparent)]
    Snapshot(#[from] SnapshotError),
    /// A zip is not an edition as it was released.
    #[error("{name} was not put on the shelf: {why}")]
    NotReleased {
        /// Which, as it was named.
        name: String,
        /// Why.
        why: NotReleased,
    },
    /// There is a `shelf.json`, and it cannot be read.
    #[error("{} is not as this program writes it: {why}", .path.display())]
    List {
        /// Where.
        path: PathBuf,
        /// Why.
        why: String,
    },
    /// The folder holds something else already.
    #[error("{} is there already, and this folder is no shelf", .path.display())]
    Occupied {
        /// What is there.
        path: PathBuf,
    },
    /// The packs on the shelf come from another repository.
    #[error("this shelf holds the packs of {department}, {school}: {why}")]
    OtherDepartment {
        /// The subject.
        department: String,
        /// The school.
        school: String,
        /// How that is known.
        why: String,
    },
    /// An edition lies there under the same name with other bytes.
    #[error("{edition} is on the shelf already and is another one: {} differs", .path.display())]
    Other {
        /// Which, in words.
        edition: String,
        /// What differs.
        path: PathBuf,
    },
    /// An edition is no longer as it was put there.
    #[error("{edition} is no longer as it was put on the shelf: {} is gone or was changed", .path.display())]
    Changed {
        /// Which, in words.
        edition: String,
        /// What was changed.
        path: PathBuf,
    },
    /// Somebody else is at it.
    #[error("somebody else is publishing to this shelf just now; try again when that is done")]
    Busy,
    /// There is no shelf in the folder.
    #[error("{} is no shelf: there is no shelf.json in it", .0.display())]
    NoShelf(PathBuf),
    /// The edition to withdraw or to take back is not on the shelf.
    #[error("`{which}` is not on the shelf{}", there_are(.known))]
    NotThere {
        /// What was asked for.
        which: String,
        /// The editions that are there.
        known: Vec<String>,
    },
    /// It is withdrawn already, for another reason.
    #[error("{edition} was withdrawn already, on {on}: {reason}")]
    WithdrawnAlready {
        /// Which, in words.
        edition: String,
        /// The day.
        on: String,
        /// Why.
        reason: String,
    },
    /// It cannot be taken back, since it was never withdrawn.
    #[error("{edition} was never withdrawn: it is on the shelf as any other")]
    NeverWithdrawn {
        /// Which, in words.
        edition: String,
    },
    /// It cannot be taken back, since its files are not there as they were.
    #[error("{edition} cannot be taken back as it is: {} is gone or was changed", .path.display())]
    NotWhole {
        /// Which, in words.
        edition: String,
        /// What is gone or was changed.
        path: PathBuf,
    },
    /// No reason was given.
    #[error("a withdrawn edition is listed with the reason, so that pupils and colleagues understand; give one")]
    NoReason,
}

impl ShelfError {
    /// What to do about it, where that needs saying.
    pub fn help(&self) -> Option<&'static str> {
        match self {
            ShelfError::List { .. } => Some("put the last good copy back, or publish all packs to a new folder"),
            ShelfError::Occupied { .. } => Some("choose an empty folder, or a new one"),
            ShelfError::OtherDepartment { .. } => {
                Some("give each department a shelf of its own; if it is yours, fetch the tags with `git fetch --tags`")
            }
            ShelfError::Other { .. } => Some("editions never change: release a new edition and publish that"),
            ShelfError::Changed { .. } => Some("take that folder away and publish the edition's zip again"),
            ShelfError::NotWhole { .. } => {
                Some("take its folder away if it is still there, and name its zip: `--restore FILE.zip`")
            }
            _ => None,
        }
    }
}

fn there_are(known: &[String]) -> String {
    if known.is_empty() { String::new() } else { format!("; there are {}", known.join(", ")) }
}
