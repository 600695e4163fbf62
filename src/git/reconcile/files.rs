//! The files of a tree by path, and back.

use std::collections::BTreeMap;

use git2::build::TreeUpdateBuilder;
use git2::{Delta, FileMode, Index, IndexEntry, IndexTime, Oid, Repository};

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

/// The same, from the files of another tree: only folders that differ are read.
pub fn files_like(repository: &Repository, tree: Oid, known: (Oid, &Files)) -> Result<Files, SnapshotError> {
    let what = || SnapshotError::git("a commit's files");
    let find = |tree: Oid| repository.find_tree(tree).map_err(what());
    let diff = repository.diff_tree_to_tree(Some(&find(known.0)?), Some(&find(tree)?), None).map_err(what())?;
    let mut files = known.1.clone();
    // What became a file of another kind is both taken out and put in.
    for delta in diff.deltas().filter(|delta| delta.status() != Delta::Added) {
        files.remove(delta.old_file().path_bytes().unwrap_or_default());
    }
    for file in diff.deltas().filter(|delta| delta.status() != Delta::Deleted).map(|delta| delta.new_file()) {
        let path = file.path_bytes().unwrap_or_default().to_vec();
        files.insert(path, File { mode: file.mode().into(), id: file.id() });
    }
    Ok(files)
}

/// A tree of `files`, made from another tree whose folders it shares where it can be.
pub fn tree_like(repository: &Repository, files: &Files, known: (Oid, &Files)) -> Result<Oid, SnapshotError> {
    let (tree, known) = known;
    let mut update = TreeUpdateBuilder::new();
    // Only new content of files that both have: what git says of that is simple.
    let mut is_simple = files.len() == known.len();
    for ((path, file), (old_path, old)) in files.iter().zip(known).filter(|(new, old)| new != old) {
        let mode = match file.mode {
            0o100_644 => FileMode::Blob,
            0o100_755 => FileMode::BlobExecutable,
            _ => FileMode::Unreadable,
        };
        is_simple = is_simple && path == old_path && old.is_ordinary() && mode != FileMode::Unreadable;
        if is_simple {
            update.upsert(path.as_slice(), file.id, mode);
        }
    }
    if !is_simple {
        return tree_of(repository, files);
    }
    let what = || SnapshotError::git("the merged files");
    let tree = repository.find_tree(tree).map_err(what())?;
    update.create_updated(repository, &tree).map_err(what())
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
