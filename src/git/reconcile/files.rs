//! The files of a tree by path, and back.

use std::collections::BTreeMap;

use git2::{Index, IndexEntry, IndexTime, Oid, Repository};

use crate::snapshot::SnapshotError;

/// Files of a whole repository: path, mode and content. Paths need not be UTF-8.
pub type Files = BTreeMap<Vec<u8>, File>;

/// A file of a tree.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct File {
    /// Git's mode.
    pub mode: u32,
    /// Its content.
    pub id: Oid,
}

impl File {
    /// An ordinary file.
    pub const ORDINARY: u32 = 0o100_644;

    /// Whether it is a file with content, not a link or another repository.
    pub fn is_ordinary(self) -> bool {
        self.mode & 0o170_000 == 0o100_000
    }
}

/// The files of the tree `tree`; none for no tree.
pub fn files_of(repository: &Repository, tree: Option<Oid>) -> Result<Files, SnapshotError> {
    let Some(tree) = tree else { return Ok(Files::new()) };
    let what = || SnapshotError::git("a commit's files");
    let tree = repository.find_tree(tree).map_err(what())?;
    let mut index = Index::new().map_err(what())?;
    index.read_tree(&tree).map_err(what())?;
    Ok(index.iter().map(|entry| (entry.path, File { mode: entry.mode, id: entry.id })).collect())
}

/// A tree of these files.
pub fn tree_of(repository: &Repository, files: &Files) -> Result<Oid, SnapshotError> {
    let what = || SnapshotError::git("the merged files");
    let mut index = Index::new().map_err(what())?;
    for (path, file) in files {
        index.add(&entry(path, *file, 0)).map_err(what())?;
    }
    index.write_tree_to(repository).map_err(what())
}

/// An entry of an index at a stage: 0, or in a conflict 1 for the base, 2 for ours, 3 for theirs.
pub fn entry(path: &[u8], file: File, stage: u16) -> IndexEntry {
    let zero = IndexTime::new(0, 0);
    IndexEntry {
        ctime: zero,
        mtime: zero,
        dev: 0,
        ino: 0,
        mode: file.mode,
        uid: 0,
        gid: 0,
        file_size: 0,
        id: file.id,
        flags: stage << 12,
        flags_extended: 0,
        path: path.to_vec(),
    }
}

/// The content of a file.
pub fn content(repository: &Repository, file: File) -> Result<Vec<u8>, SnapshotError> {
    let blob = repository.find_blob(file.id).map_err(SnapshotError::git("a file"))?;
    Ok(blob.content().to_vec())
}

/// A path as people read it.
pub fn shown(path: &[u8]) -> String {
    String::from_utf8_lossy(path).into_owned()
}
