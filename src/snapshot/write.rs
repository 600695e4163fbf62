//! Replacing a file whole or not at all: written beside its place, synced, moved into it.

use std::io::Write;
use std::path::Path;

use super::SnapshotError;

/// Puts `bytes` into `path`, creating folders as needed. Killed at any moment, the file is the old one
/// or the new one.
///
/// # Errors
///
/// When the disk says no; the old file is then untouched.
pub fn replace(path: &Path, bytes: &[u8]) -> Result<(), SnapshotError> {
    replace_as_io(path, bytes).map_err(|source| SnapshotError::File { path: path.display().to_string(), source })
}

/// Puts `bytes` into a new file `path`, creating folders as needed, and says whether it did: a file
/// that is there already is left as it is. Killed at any moment, there is no file or the whole one.
///
/// # Errors
///
/// When the disk says no.
pub fn create(path: &Path, bytes: &[u8]) -> Result<bool, SnapshotError> {
    create_as_io(path, bytes).map_err(|source| SnapshotError::File { path: path.display().to_string(), source })
}

fn replace_as_io(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    beside(path, bytes)?.persist(path).map_err(|error| error.error)?;
    sync_folder(path);
    Ok(())
}

fn create_as_io(path: &Path, bytes: &[u8]) -> std::io::Result<bool> {
    if std::fs::symlink_metadata(path).is_ok() {
        return Ok(false);
    }
    match beside(path, bytes)?.persist_noclobber(path) {
        Ok(_) => sync_folder(path),
        Err(error) if error.error.kind() == std::io::ErrorKind::AlreadyExists => return Ok(false),
        Err(error) => return Err(error.error),
    }
    Ok(true)
}

/// A file beside `path` that holds `bytes`, on disk.
fn beside(path: &Path, bytes: &[u8]) -> std::io::Result<tempfile::NamedTempFile> {
    std::fs::create_dir_all(folder_of(path))?;
    let mut beside = tempfile::Builder::new().prefix(".deckle-").tempfile_in(folder_of(path))?;
    beside.write_all(bytes)?;
    beside.as_file().set_permissions(permissions(path)?)?;
    beside.as_file().sync_all()?;
    Ok(beside)
}

fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// The rename itself reaches the disk with the folder; where folders cannot be synced, so be it.
fn sync_folder(path: &Path) {
    if let Ok(folder) = std::fs::File::open(folder_of(path)) {
        _ = folder.sync_all();
    }
}

/// Those of the file that is replaced, else those of a new file.
fn permissions(path: &Path) -> std::io::Result<std::fs::Permissions> {
    if let Ok(old) = std::fs::metadata(path) {
        return Ok(old.permissions());
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        Ok(std::fs::Permissions::from_mode(0o644))
    }
    #[cfg(not(unix))]
    {
        let beside = tempfile::NamedTempFile::new()?;
        Ok(beside.as_file().metadata()?.permissions())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_replaced_whole_and_nothing_is_left_beside_it() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("a/b.yaml");
        replace(&path, b"one").expect("written");
        replace(&path, b"two").expect("written again");
        assert_eq!(std::fs::read(&path).expect("there"), b"two");
        assert_eq!(std::fs::read_dir(folder.path().join("a")).expect("folder").count(), 1);
    }

    #[test]
    fn a_new_file_takes_no_other_ones_place() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("a/b.zip");
        assert!(create(&path, b"one").expect("written"));
        assert!(!create(&path, b"two").expect("left alone"));
        assert_eq!(std::fs::read(&path).expect("there"), b"one");
        assert_eq!(std::fs::read_dir(folder.path().join("a")).expect("folder").count(), 1);
    }
}
