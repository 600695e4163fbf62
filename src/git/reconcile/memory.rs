//! Objects kept in memory until they are wanted, then written as one pack.

use std::io::Write;

use git2::{Buf, Mempack, Odb, Repository};

use crate::snapshot::SnapshotError;

/// From when it is made, everything that libgit2 writes into the repository stays in memory.
pub struct Memory<'odb> {
    odb: &'odb Odb<'odb>,
    pack: Mempack<'odb>,
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
        Ok(Self { odb, pack })
    }

    /// Writes what is in memory into the repository, so that `git` sees it.
    ///
    /// # Errors
    ///
    /// When git or the disk says no; nothing is half written.
    pub fn keep(&self, repository: &Repository) -> Result<(), SnapshotError> {
        let what = || SnapshotError::git("the repository's store");
        let mut pack = Buf::new();
        self.pack.dump(repository, &mut pack).map_err(what())?;
        let mut writer = self.odb.packwriter().map_err(what())?;
        let failed = |source| SnapshotError::File { path: "the repository's store".to_owned(), source };
        writer.write_all(&pack).map_err(failed)?;
        writer.commit().map_err(what())?;
        self.pack.reset().map_err(what())
    }
}
