//! A department in memory.

use std::collections::BTreeMap;

use deckle::snapshot::{Entry, Kind, Snapshot, SnapshotError};

/// Files by path, with what they hold.
#[derive(Clone, Debug, Default)]
pub struct MemorySnapshot {
    files: BTreeMap<String, (Kind, Vec<u8>)>,
}

impl MemorySnapshot {
    /// Puts a file in.
    pub fn put(&mut self, path: &str, bytes: impl Into<Vec<u8>>) {
        let bytes = bytes.into();
        self.files.insert(path.to_owned(), (Kind::File { size: bytes.len() as u64 }, bytes));
    }

    /// Puts something in that says of itself to be of `kind`.
    pub fn put_as(&mut self, path: &str, kind: Kind) {
        self.files.insert(path.to_owned(), (kind, Vec::new()));
    }

    /// The text of a file.
    pub fn text(&self, path: &str) -> Option<&str> {
        std::str::from_utf8(&self.files.get(path)?.1).ok()
    }
}

impl Snapshot for MemorySnapshot {
    fn files(&self) -> Result<Vec<Entry>, SnapshotError> {
        Ok(self.files.iter().map(|(path, (kind, _))| Entry { path: path.clone(), kind: *kind }).collect())
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SnapshotError> {
        let missing = || SnapshotError::File { path: path.to_owned(), source: std::io::ErrorKind::NotFound.into() };
        self.files.get(path).map(|(_, bytes)| bytes.clone()).ok_or_else(missing)
    }
}
