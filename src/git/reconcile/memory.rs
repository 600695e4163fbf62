//! Objects kept in memory until they are wanted.

use git2::{Mempack, ObjectType, Odb, Oid, Repository};

use super::Reconciled;
use crate::snapshot::SnapshotError;
use crate::snapshot::step::step;

/// From when it is made, everything that libgit2 writes into the repository stays in memory.
pub struct Memory<'odb> {
    _pack: Mempack<'odb>,
}

impl std::fmt::Debug for Memory<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Memory").finish_non_exhaustive()
    }
}

impl<'odb> Memory<'odb> {
    /// Keeps what is written into `odb` in memory.
    ///
    /// # Errors
    ///
    /// When git says no.
    pub fn new(odb: &'odb Odb<'odb>) -> Result<Self, SnapshotError> {
        let pack = odb.add_new_mempack_backend(1_000).map_err(SnapshotError::git("the repository's store"))?;
        Ok(Self { _pack: pack })
    }

    /// Writes what the merge came to into the repository, so that `git` sees it; nothing of what was
    /// made on the way.
    ///
    /// # Errors
    ///
    /// When git or the disk says no. What was written by then is no harm: nothing names it.
    pub fn keep(&self, repository: &Repository, merged: &Reconciled) -> Result<(), SnapshotError> {
        let what = || SnapshotError::git("the repository's store");
        // Opened once more, since this one sees only what is on disk.
        let on_disk = Repository::open(repository.path()).map_err(what())?;
        let writer = Writer { from: repository.odb().map_err(what())?, to: on_disk.odb().map_err(what())?, repository };
        for file in merged.stages.values().flatten().flatten().filter(|file| file.is_ordinary()) {
            writer.object(file.id, ObjectType::Blob)?;
        }
        writer.tree(merged.tree)
    }
}

struct Writer<'a> {
    repository: &'a Repository,
    from: Odb<'a>,
    to: Odb<'a>,
}

impl Writer<'_> {
    /// The tree behind everything in it: once it is there, all of it is.
    fn tree(&self, id: Oid) -> Result<(), SnapshotError> {
        if self.to.exists(id) {
            return Ok(());
        }
        let tree = self.repository.find_tree(id).map_err(SnapshotError::git("the merged files"))?;
        for entry in &tree {
            match entry.kind() {
                Some(ObjectType::Tree) => self.tree(entry.id())?,
                Some(kind @ ObjectType::Blob) => self.object(entry.id(), kind)?,
                _ => {}
            }
        }
        self.object(id, ObjectType::Tree)
    }

    fn object(&self, id: Oid, kind: ObjectType) -> Result<(), SnapshotError> {
        let what = || SnapshotError::git("the repository's store");
        if !self.to.exists(id) {
            let object = self.from.read(id).map_err(what())?;
            step().map_err(|source| SnapshotError::File { path: "the repository's store".to_owned(), source })?;
            self.to.write(kind, object.data()).map_err(what())?;
        }
        Ok(())
    }
}
