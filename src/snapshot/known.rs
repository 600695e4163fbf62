//! What git's index knows of the files in the working folder: which of them are as they were when their
//! content was last read, so that their object ids hold without reading them again.

use std::collections::BTreeMap;
use std::fs::Metadata;

use git2::{IndexTime, Oid, Repository};

/// The index's entries by path from the top of the department.
#[derive(Debug)]
pub struct Known {
    files: BTreeMap<String, Stat>,
    /// When the index was written: what changed later, or in that same moment, is not known.
    written: (i64, i64),
}

/// When, where and how large a file was.
#[derive(Debug, PartialEq, Eq)]
struct Stat {
    id: Oid,
    modified: (i64, i64),
    changed: (i64, i64),
    inode: u32,
    size: u32,
}

impl Known {
    /// The index of `repository` for the department in its folder `prefix`; nothing when it cannot be read.
    pub fn read(repository: &Repository, prefix: &str) -> Option<Self> {
        let mut index = repository.index().ok()?;
        index.read(false).ok()?;
        let written = modified(&std::fs::metadata(index.path()?).ok()?)?;
        let time = |time: IndexTime| (i64::from(time.seconds()), i64::from(time.nanoseconds()));
        let ordinary = index.iter().filter(|entry| (entry.flags >> 12) & 3 == 0);
        let files = ordinary.filter_map(|entry| {
            let path = String::from_utf8(entry.path).ok()?.strip_prefix(prefix)?.to_owned();
            let (modified, changed) = (time(entry.mtime), time(entry.ctime));
            Some((path, Stat { id: entry.id, modified, changed, inode: entry.ino, size: entry.file_size }))
        });
        Some(Self { files: files.collect(), written })
    }

    /// The id of a file's content when the file is the one that the index has seen.
    pub fn id(&self, path: &str, metadata: &Metadata) -> Option<Oid> {
        let stat = self.files.get(path)?;
        let now = stat_of(stat.id, metadata)?;
        (*stat == now && now.modified < self.written).then_some(stat.id)
    }
}

#[cfg(unix)]
fn stat_of(id: Oid, metadata: &Metadata) -> Option<Stat> {
    use std::os::unix::fs::MetadataExt;
    // The index keeps the lower 32 bits of these.
    let (inode, size) = (metadata.ino() as u32, metadata.size() as u32);
    let changed = (metadata.ctime(), metadata.ctime_nsec());
    Some(Stat { id, modified: modified(metadata)?, changed, inode, size })
}

#[cfg(not(unix))]
fn stat_of(_: Oid, _: &Metadata) -> Option<Stat> {
    None
}

fn modified(metadata: &Metadata) -> Option<(i64, i64)> {
    let since = metadata.modified().ok()?.duration_since(std::time::UNIX_EPOCH).ok()?;
    Some((i64::try_from(since.as_secs()).ok()?, i64::from(since.subsec_nanos())))
}
