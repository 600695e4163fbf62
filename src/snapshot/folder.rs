//! The working folder, in a repository or not.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use git2::{ObjectType, Odb, Oid, Repository};
use rayon::prelude::*;
use sha2::{Digest, Sha256};
use walkdir::WalkDir;

use super::commit::GIT;
use super::known::Known;
use super::{Entry, Kind, Listing, Snapshot, SnapshotError};
use crate::deck::department::{MAX_PICTURE, MAX_TEXT};

/// The department as its files stand in a folder.
#[derive(Debug)]
pub struct FolderSnapshot {
    root: PathBuf,
    known: Option<Known>,
    store: Option<PathBuf>,
}

impl FolderSnapshot {
    /// The department whose top folder is `root`, the one that holds `decks/`.
    pub fn new(root: impl Into<PathBuf>) -> Self {
        Self { root: root.into(), known: None, store: None }
    }

    /// The same in the working folder of `repository`, whose index tells which files have not changed;
    /// the department is in its folder `prefix`.
    pub fn in_repository(root: impl Into<PathBuf>, repository: &Repository, prefix: &str) -> Self {
        // What a filter makes of a file is not what git holds of it.
        let store = (!has_filters(repository)).then(|| repository.path().to_path_buf());
        Self { root: root.into(), known: Known::read(repository, prefix), store }
    }

    /// The id that git has for the very bytes of a file.
    fn id_of_bytes(&self, known: &Known, odb: &Odb<'_>, path: &str) -> Option<Oid> {
        let full = self.root.join(path);
        let metadata = std::fs::symlink_metadata(&full).ok()?;
        let has_size = |id: &Oid| odb.read_header(*id).is_ok_and(|(size, _)| size as u64 == metadata.len());
        known.id(path, &metadata).filter(has_size).or_else(|| {
            let bytes = std::fs::read(&full).ok()?;
            Oid::hash_object(ObjectType::Blob, &bytes).ok()
        })
    }

    /// The id of a file's content, from the index or from the file itself.
    fn id(&self, known: &Known, path: &str) -> Option<Oid> {
        let full = self.root.join(path);
        let metadata = std::fs::symlink_metadata(&full).ok()?;
        known.id(path, &metadata).or_else(|| {
            let bytes = std::fs::read(&full).ok()?;
            Oid::hash_object(ObjectType::Blob, &bytes).ok()
        })
    }

    fn entry(&self, found: &walkdir::DirEntry) -> Result<Option<Entry>, SnapshotError> {
        if found.file_type().is_dir() {
            return Ok(None);
        }
        let (path, is_named) = relative(&self.root, found.path());
        let kind = if !is_named {
            Kind::Misnamed
        } else if found.file_type().is_file() {
            let size = found.metadata().map_err(|error| walk_error(&path, error))?.len();
            Kind::File { size }
        } else {
            Kind::Link
        };
        Ok(Some(Entry { path, kind }))
    }
}

impl Snapshot for FolderSnapshot {
    fn files(&self) -> Result<Vec<Entry>, SnapshotError> {
        let decks = self.root.join("decks");
        if decks.is_symlink() {
            return Ok(vec![Entry { path: "decks".to_owned(), kind: Kind::Link }]);
        }
        if !decks.is_dir() {
            return Ok(Vec::new());
        }
        let mut entries = Vec::new();
        for found in WalkDir::new(&decks).follow_links(false).sort_by_file_name() {
            let found = found.map_err(|error| walk_error("decks", error))?;
            entries.extend(self.entry(&found)?);
        }
        entries.sort_by(|a, b| a.path.cmp(&b.path));
        Ok(entries)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SnapshotError> {
        std::fs::read(self.root.join(path)).map_err(|source| SnapshotError::File { path: path.to_owned(), source })
    }

    fn side_by_side(&self) -> Option<&(dyn Snapshot + Sync)> {
        Some(self)
    }

    /// A digest of all paths with their sizes and the ids of what they hold. The size is that on disk, so
    /// that content which git stores with other line ends is not taken for what it stores.
    fn identity(&self) -> Option<String> {
        let known = self.known.as_ref()?;
        let entries = self.files().ok()?;
        let ids: Option<Vec<String>> = entries
            .par_iter()
            .map(|Entry { path, kind }| match kind {
                Kind::Link => Some(format!("{path}\0link\n")),
                Kind::Misnamed => Some(format!("{path}\0misnamed\n")),
                Kind::File { size } if *size > MOST_HASHED => Some(format!("{path}\0{size}\n")),
                Kind::File { size } => Some(format!("{path}\0{size} {}\n", self.id(known, path)?)),
            })
            .collect();
        Some(format!("folder {:?}", Sha256::digest(ids?.concat())))
    }

    /// Files whose size is that of what git holds have not got other line ends.
    fn listing(&self) -> Option<Listing> {
        let known = self.known.as_ref()?;
        let repository = Repository::open(self.store.as_ref()?).ok()?;
        let odb = repository.odb().ok()?;
        let mut files = BTreeMap::new();
        for Entry { path, kind } in self.files().ok()? {
            let id = match kind {
                Kind::File { .. } => format!("100644 {}", self.id_of_bytes(known, &odb, &path)?),
                Kind::Link | Kind::Misnamed => return None,
            };
            files.insert(path, id);
        }
        Some(Listing { store: GIT.to_owned(), files, tree: None })
    }
}

/// Whether git is told of programs that change files on their way into the folder.
fn has_filters(repository: &Repository) -> bool {
    let filters =
        |config: git2::Config| config.entries(Some("^filter\\.")).is_ok_and(|mut found| found.next().is_some());
    repository.config().map_or(true, filters)
}

/// A larger file is never read, whatever it holds.
const MOST_HASHED: u64 = if MAX_TEXT > MAX_PICTURE { MAX_TEXT } else { MAX_PICTURE };

/// The path from `root`, and whether it is all of it: names need not be UTF-8.
fn relative(root: &Path, path: &Path) -> (String, bool) {
    let relative = path.strip_prefix(root).unwrap_or(path);
    let parts: Vec<_> = relative.components().map(|part| part.as_os_str().to_string_lossy()).collect();
    (parts.join("/"), relative.to_str().is_some())
}

fn walk_error(path: &str, error: walkdir::Error) -> SnapshotError {
    let path = error.path().map_or_else(|| path.to_owned(), |path| path.display().to_string());
    SnapshotError::File { path, source: error.into() }
}
