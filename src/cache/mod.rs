//! What the checks found before, kept by content under the git folder: a department that was judged once
//! is not judged again while nothing in it has changed.
//!
//! The key is made of git's own object ids, the program and the format. What is kept is never trusted:
//! a file that is cut short, changed or of another program counts as missing. It may be deleted at any
//! time. Several processes may use it at once: a file is written beside its place and moved into it.

pub mod index;
mod stored;

use std::path::{Path, PathBuf};
use std::time::SystemTime;

use sha2::{Digest, Sha256};

use crate::check::partial::{check_part, check_recorded};
use crate::check::{Report, check};
use crate::deck::Department;
use crate::deck::department::deck_of;
use crate::snapshot::{Snapshot, SnapshotError};
use index::Index;

/// How many reports are kept.
const MAX_FILES: usize = 48;

/// The largest report that is kept, in bytes.
const MAX_FILE: usize = 8 * 1024 * 1024;

/// When more decks differ than so many and an eighth of all, the whole is checked.
const FEW: usize = 8;

/// The name of the folder, with the version of the format.
const FOLDER: &str = "deckle/cache-v1";

/// A folder of kept reports.
#[derive(Clone, Debug)]
pub struct Cache {
    folder: PathBuf,
    index: PathBuf,
    program: String,
}

impl Cache {
    /// The cache in git's own folder `git`, for what `program` finds: its version and whatever else tells
    /// one build from another.
    pub fn new(git: &Path, program: impl Into<String>) -> Self {
        Self { folder: git.join(FOLDER), index: index::path(git), program: program.into() }
    }

    /// The report on `snapshot`: the one that was kept, else that of `judge`, which is then kept.
    ///
    /// # Errors
    ///
    /// Those of `judge`. That a report cannot be kept is no error.
    pub fn report<E>(&self, snapshot: &dyn Snapshot, judge: impl FnOnce() -> Result<Report, E>) -> Result<Report, E> {
        let Some(identity) = snapshot.identity() else { return judge() };
        let path = self.folder.join(self.name(&identity));
        if let Some(report) = read(&path) {
            return Ok(report);
        }
        let report = judge()?;
        // The files may have changed while they were judged.
        if snapshot.identity().as_ref() == Some(&identity) {
            self.keep(&path, &report);
        }
        Ok(report)
    }

    /// The report on `snapshot`: the one that was kept; else, where a department is known of which few decks differ,
    /// with only these checked anew; else on the whole, of which, if it is to be `kept`, a check of a few decks finds
    /// what it needs.
    ///
    /// # Errors
    ///
    /// When the snapshot cannot be read.
    pub fn check(&self, snapshot: &dyn Snapshot, kept: bool) -> Result<Report, SnapshotError> {
        self.report(snapshot, || match self.check_part(snapshot) {
            Some(report) => Ok(report),
            None => self.check_whole(snapshot, kept),
        })
    }

    fn check_part(&self, snapshot: &dyn Snapshot) -> Option<Report> {
        let opened = Index::open(&self.index, &self.program)?;
        let changed = opened.differing(snapshot)?;
        let few = changed.len() <= FEW + opened.listing.files.len() / 8;
        let are_decks = few && changed.iter().all(|path| deck_of(path).is_some());
        if are_decks { check_part(&opened.index()?, snapshot, &changed) } else { None }
    }

    fn check_whole(&self, snapshot: &dyn Snapshot, kept: bool) -> Result<Report, SnapshotError> {
        let listing = kept.then(|| snapshot.listing()).flatten();
        let department = Department::read(snapshot)?;
        let Some(listing) = listing else {
            let report = check(&department);
            department.drop_beside();
            return Ok(report);
        };
        let (report, record) = check_recorded(&department);
        if let Some(record) = record.filter(|_| snapshot.listing().as_ref() == Some(&listing)) {
            index::keep(&self.index, &self.program, &listing, &record);
        }
        Ok(report)
    }

    fn name(&self, identity: &str) -> String {
        hex(&Sha256::digest(format!("{}\0{identity}", self.program)))
    }

    /// A disk that is full or may not be written costs time at the next run and nothing else.
    fn keep(&self, path: &Path, report: &Report) {
        let payload = stored::write(report);
        if payload.len() > MAX_FILE {
            return;
        }
        let bytes = [hex(&Sha256::digest(&payload)).as_bytes(), b"\n", &payload].concat();
        let kept = std::fs::create_dir_all(&self.folder).and_then(|()| {
            let beside = tempfile::NamedTempFile::new_in(&self.folder)?;
            std::fs::write(beside.path(), &bytes)?;
            beside.persist(path).map_err(|error| error.error)
        });
        if kept.is_ok() {
            self.forget_oldest();
        }
    }

    fn forget_oldest(&self) {
        let Ok(entries) = std::fs::read_dir(&self.folder) else { return };
        let dated = |entry: std::fs::DirEntry| Some((entry.metadata().ok()?.modified().ok()?, entry.path()));
        let mut files: Vec<(SystemTime, PathBuf)> = entries.filter_map(Result::ok).filter_map(dated).collect();
        files.sort();
        let surplus = files.len().saturating_sub(MAX_FILES);
        files.iter().take(surplus).for_each(|(_, path)| _ = std::fs::remove_file(path));
    }
}

/// The report in a file; nothing unless every byte is as it was written.
fn read(path: &Path) -> Option<Report> {
    let bytes = std::fs::read(path).ok().filter(|bytes| bytes.len() <= MAX_FILE + 65)?;
    let (digest, payload) = bytes.split_at_checked(65)?;
    let sound = digest[..64] == *hex(&Sha256::digest(payload)).as_bytes() && digest[64] == b'\n';
    if sound { stored::read(payload) } else { None }
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::snapshot::{Entry, SnapshotError};

    #[derive(Debug)]
    struct Named(&'static str);

    impl Snapshot for Named {
        fn files(&self) -> Result<Vec<Entry>, SnapshotError> {
            Ok(Vec::new())
        }

        fn read(&self, path: &str) -> Result<Vec<u8>, SnapshotError> {
            crate::snapshot::EmptySnapshot.read(path)
        }

        fn identity(&self) -> Option<String> {
            Some(self.0.to_owned())
        }
    }

    /// How many decks the report has: of a kept one, or `otherwise`.
    fn decks(cache: &Cache, name: &'static str, otherwise: usize) -> usize {
        let report = cache.report(&Named(name), || Ok::<_, ()>(Report::new(Vec::new(), otherwise, 0)));
        report.expect("judged").summary.decks
    }

    fn files(folder: &Path) -> Vec<PathBuf> {
        let entries = std::fs::read_dir(folder.join(FOLDER)).expect("a folder");
        entries.map(|entry| entry.expect("readable").path()).collect()
    }

    #[test]
    fn a_report_is_kept_for_its_content_and_its_program() {
        let git = tempfile::tempdir().expect("a folder");
        let cache = Cache::new(git.path(), "1");
        assert_eq!((decks(&cache, "a", 1), decks(&cache, "a", 2), decks(&cache, "b", 3)), (1, 1, 3));
        assert_eq!(decks(&Cache::new(git.path(), "2"), "a", 4), 4);
    }

    #[test]
    fn a_file_that_is_not_whole_counts_as_missing() {
        let git = tempfile::tempdir().expect("a folder");
        let cache = Cache::new(git.path(), "1");
        assert_eq!(decks(&cache, "a", 1), 1);
        let path = files(git.path()).pop().expect("it was kept");
        let whole = std::fs::read(&path).expect("readable");
        for at in 0..whole.len() {
            let mut changed = whole.clone();
            changed[at] ^= 1;
            std::fs::write(&path, &changed).expect("written");
            assert!(read(&path).is_none(), "byte {at}");
            std::fs::write(&path, &whole[..at]).expect("written");
            assert!(read(&path).is_none(), "cut at {at}");
        }
        assert_eq!(decks(&cache, "a", 7), 7, "judged anew, and kept again");
        assert_eq!(decks(&cache, "a", 8), 7);
    }

    #[test]
    fn no_more_than_so_many_are_kept() {
        let git = tempfile::tempdir().expect("a folder");
        for number in 0..MAX_FILES + 9 {
            decks(&Cache::new(git.path(), number.to_string()), "a", 1);
        }
        assert_eq!(files(git.path()).len(), MAX_FILES);
    }

    #[test]
    fn a_folder_that_cannot_be_written_costs_nothing_but_time() {
        let git = tempfile::tempdir().expect("a folder");
        std::fs::write(git.path().join("deckle"), "in the way").expect("written");
        assert_eq!(decks(&Cache::new(git.path(), "1"), "a", 5), 5);
    }
}
