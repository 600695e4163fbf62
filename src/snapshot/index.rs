//! Git's index: what the next commit will hold.

use std::borrow::Cow;
use std::collections::BTreeMap;

use git2::{Index, Oid, Repository};
use sha2::{Digest, Sha256};

use super::commit::{GIT, kind, listed};
use super::{Entry, Kind, Listing, Snapshot, SnapshotError};

/// The department as it stands in git's index.
///
/// Of a path in the middle of a merge, our side counts, else theirs.
pub struct IndexSnapshot<'r> {
    repository: &'r Repository,
    files: BTreeMap<String, Staged>,
}

/// An entry of the index.
#[derive(Clone, Copy, Debug)]
struct Staged {
    id: Oid,
    mode: i32,
    is_named: bool,
}

impl<'r> IndexSnapshot<'r> {
    /// The department in the repository's index, whose top is the folder `prefix` of the repository.
    ///
    /// # Errors
    ///
    /// When the index cannot be read.
    pub fn new(repository: &'r Repository, prefix: &str) -> Result<Self, SnapshotError> {
        let mut index = repository.index().map_err(SnapshotError::git("the index"))?;
        index.read(true).map_err(SnapshotError::git("the index"))?;
        Self::of_index(repository, &index, prefix)
    }

    /// The department in a given index.
    ///
    /// # Errors
    ///
    /// When git's store cannot be opened.
    pub fn of_index(repository: &'r Repository, index: &Index, prefix: &str) -> Result<Self, SnapshotError> {
        let mut files = BTreeMap::new();
        for entry in index.iter() {
            let folder = format!("{prefix}decks/");
            // `decks` itself is an entry only when it is no folder.
            if !entry.path.starts_with(folder.as_bytes()) && entry.path != folder.trim_end_matches('/').as_bytes() {
                continue;
            }
            let path = String::from_utf8_lossy(&entry.path[prefix.len()..]);
            // Stage 0 is the plain entry; in a merge 2 is ours and 3 theirs, and 1 the base.
            let stage = (entry.flags >> 12) & 3;
            if stage == 1 {
                continue;
            }
            let is_named = matches!(path, Cow::Borrowed(_));
            let staged = Staged { id: entry.id, mode: i32::try_from(entry.mode).unwrap_or_default(), is_named };
            files.entry(path.into_owned()).or_insert(staged);
        }
        Ok(Self { repository, files })
    }
}

impl std::fmt::Debug for IndexSnapshot<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("IndexSnapshot").field("files", &self.files.len()).finish_non_exhaustive()
    }
}

impl Snapshot for IndexSnapshot<'_> {
    fn files(&self) -> Result<Vec<Entry>, SnapshotError> {
        let odb = self.repository.odb().map_err(SnapshotError::git("the repository's store"))?;
        let kind = |path: &str, staged: &Staged| match staged.is_named {
            _ if path == "decks" => Kind::Link,
            true => kind(&odb, staged.mode, staged.id),
            false => Kind::Misnamed,
        };
        Ok(self.files.iter().map(|(path, staged)| Entry { path: path.clone(), kind: kind(path, staged) }).collect())
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SnapshotError> {
        let what = || SnapshotError::git(format!("`{path}`"));
        let staged =
            self.files.get(path).ok_or_else(|| git2::Error::from_str("there is no such file")).map_err(what())?;
        let blob = self.repository.find_blob(staged.id).map_err(what())?;
        Ok(blob.content().to_vec())
    }

    /// A digest of all paths with their object ids.
    fn identity(&self) -> Option<String> {
        let mut digest = Sha256::new();
        for (path, Staged { id, mode, is_named }) in &self.files {
            digest.update(format!("{path}\0{id} {mode:o} {is_named}\n"));
        }
        Some(format!("index {:?}", digest.finalize()))
    }

    fn listing(&self) -> Option<Listing> {
        let listed =
            |(path, staged): (&String, &Staged)| (path.clone(), listed(staged.is_named, staged.mode, staged.id));
        Some(Listing { store: GIT.to_owned(), files: self.files.iter().map(listed).collect(), tree: None })
    }
}
