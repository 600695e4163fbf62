//! The working folder, in a repository or not.

use std::path::{Path, PathBuf};

use walkdir::WalkDir;

use super::{Entry, Kind, Snapshot, SnapshotError};

/// The department as its files stand in a folder.
#[derive(Debug)]
pub struct FolderSnapshot {
    root: PathBuf,
}

impl FolderSnapshot {
    /// The department whose top folder is `root`, the one that holds `decks/`.
    pub fn new(root: impl Into<PathBuf>) -> Self {
        Self { root: root.into() }
    }

    fn entry(&self, found: &walkdir::DirEntry) -> Result<Option<Entry>, SnapshotError> {
        if found.file_type().is_dir() {
            return Ok(None);
        }
        let path = relative(&self.root, found.path())?;
        let kind = if found.file_type().is_file() {
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
}

fn relative(root: &Path, path: &Path) -> Result<String, SnapshotError> {
    let relative = path.strip_prefix(root).unwrap_or(path);
    let parts: Option<Vec<&str>> = relative.components().map(|part| part.as_os_str().to_str()).collect();
    parts
        .map(|parts| parts.join("/"))
        .ok_or_else(|| SnapshotError::Name(path.parent().unwrap_or(root).display().to_string()))
}

fn walk_error(path: &str, error: walkdir::Error) -> SnapshotError {
    let path = error.path().map_or_else(|| path.to_owned(), |path| path.display().to_string());
    SnapshotError::File { path, source: error.into() }
}
