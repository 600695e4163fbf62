//! Replacing a file whole or not at all: written beside its place, synced, moved into it.
//!
//! Every change takes a [`step`] first, which is where tests let it fail.

use std::io::Write;
use std::path::Path;

use super::SnapshotError;
use super::step::step;

/// Puts `bytes` into `path`, creating folders as needed. Killed at any moment, the file is the old one
/// or the new one.
///
/// # Errors
///
/// When the disk says no; the old file is then untouched.
pub fn replace(path: &Path, bytes: &[u8]) -> Result<(), SnapshotError> {
    replace_as_io(path, bytes).map_err(failed(path))
}

/// The same without waiting for the disk, for what git holds too or reads at once. The program may be
/// killed at any moment; only when the machine itself stops may the file be neither, as with git's own.
///
/// # Errors
///
/// When the disk says no; the old file is then untouched.
pub fn hand_over(path: &Path, bytes: &[u8]) -> Result<(), SnapshotError> {
    beside(path, bytes).and_then(|beside| take_place(beside, path)).map_err(failed(path))
}

/// Puts `text` in the place of a file whose text was read as `read`. A file that holds anything else, since
/// it is not saved as UTF-8 or somebody has written to it in the meantime, is left as it is.
///
/// # Errors
///
/// When the file holds anything else, or the disk says no.
pub fn replace_text(path: &Path, read: &str, text: &str) -> Result<(), SnapshotError> {
    let failed = |source| SnapshotError::File { path: path.display().to_string(), source };
    if std::fs::read(path).map_err(failed)? != read.as_bytes() {
        let why = "it is not saved as UTF-8, or was changed just now; it is left as it is";
        return Err(failed(std::io::Error::other(why)));
    }
    replace(path, text.as_bytes())
}

/// Puts `bytes` into a new file `path`, creating folders as needed, and says whether it did: a file
/// that is there already is left as it is. Killed at any moment, there is no file or the whole one.
///
/// # Errors
///
/// When the disk says no.
pub fn create(path: &Path, bytes: &[u8]) -> Result<bool, SnapshotError> {
    create_as_io(path, bytes).map_err(failed(path))
}

/// Takes a file out; one that is not there is out already.
///
/// # Errors
///
/// When the disk says no.
pub fn remove(path: &Path) -> Result<(), SnapshotError> {
    let removed = step().and_then(|()| std::fs::remove_file(path));
    match removed {
        Err(error) if error.kind() != std::io::ErrorKind::NotFound => Err(failed(path)(error)),
        _ => Ok(()),
    }
}

/// Gives a file or folder another name, in one move.
///
/// # Errors
///
/// When the disk says no; the old name then stands.
pub fn rename(from: &Path, to: &Path) -> Result<(), SnapshotError> {
    step().and_then(|()| std::fs::rename(from, to)).map_err(failed(from))?;
    sync_folder(to);
    Ok(())
}

fn failed(path: &Path) -> impl FnOnce(std::io::Error) -> SnapshotError {
    let path = path.display().to_string();
    |source| SnapshotError::Write { path, source }
}

fn replace_as_io(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let beside = beside(path, bytes)?;
    beside.as_file().sync_all()?;
    take_place(beside, path)?;
    sync_folder(path);
    Ok(())
}

fn take_place(beside: tempfile::NamedTempFile, path: &Path) -> std::io::Result<()> {
    step()?;
    beside.persist(path).map_err(|error| error.error)?;
    Ok(())
}

fn create_as_io(path: &Path, bytes: &[u8]) -> std::io::Result<bool> {
    if std::fs::symlink_metadata(path).is_ok() {
        return Ok(false);
    }
    let beside = beside(path, bytes)?;
    beside.as_file().sync_all()?;
    step()?;
    match beside.persist_noclobber(path) {
        Ok(_) => sync_folder(path),
        Err(error) if error.error.kind() == std::io::ErrorKind::AlreadyExists => return Ok(false),
        Err(error) => return Err(error.error),
    }
    Ok(true)
}

/// A file beside `path` that holds `bytes`.
fn beside(path: &Path, bytes: &[u8]) -> std::io::Result<tempfile::NamedTempFile> {
    step()?;
    std::fs::create_dir_all(folder_of(path))?;
    sweep(folder_of(path));
    let mut beside = tempfile::Builder::new().prefix(PREFIX).suffix(SUFFIX).tempfile_in(folder_of(path))?;
    // While it is locked, nobody takes it for a leftover. Where files cannot be locked, so be it.
    _ = beside.as_file().try_lock();
    let (start, rest) = bytes.split_at(bytes.len() / 2);
    beside.write_all(start)?;
    step()?;
    beside.write_all(rest)?;
    beside.as_file().set_permissions(permissions(path)?)?;
    Ok(beside)
}

/// What files in the making are called.
const PREFIX: &str = ".deckle-";
const SUFFIX: &str = ".part";

/// Takes out what a program that was killed left in the making: such a file is locked by nobody.
fn sweep(folder: &Path) {
    for entry in std::fs::read_dir(folder).into_iter().flatten().filter_map(Result::ok) {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        if name.starts_with(PREFIX)
            && name.ends_with(SUFFIX)
            && std::fs::File::open(entry.path()).is_ok_and(|file| file.try_lock().is_ok())
        {
            _ = std::fs::remove_file(entry.path());
        }
    }
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
    fn what_a_killed_program_left_is_swept_and_what_is_in_the_making_stays() {
        let folder = tempfile::tempdir().expect("a folder");
        let at = |name: &str| folder.path().join(name);
        for name in [".deckle-a.part", ".deckle-b.part", ".deckle-c"] {
            std::fs::write(at(name), "half").expect("written");
        }
        let making = std::fs::File::open(at(".deckle-b.part")).expect("there");
        making.try_lock().expect("locked");
        replace(&at("cards.yaml"), b"whole").expect("written");
        assert!(!at(".deckle-a.part").exists());
        assert!(at(".deckle-b.part").exists() && at(".deckle-c").exists());
    }

    #[test]
    fn files_are_renamed_and_taken_out() {
        let folder = tempfile::tempdir().expect("a folder");
        let (one, other) = (folder.path().join("one"), folder.path().join("other"));
        replace(&one, b"text").expect("written");
        rename(&one, &other).expect("renamed");
        assert!(rename(&one, &other).is_err());
        assert_eq!(std::fs::read(&other).expect("there"), b"text");
        remove(&other).expect("removed");
        remove(&other).expect("nothing to remove");
        assert!(!other.exists());
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
