//! From the merged tree to the repository: what is in the way, the state of a merge as git knows it,
//! the commit.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use git2::{IndexEntry, ObjectType, Oid, Repository, Status};

use super::files::{File, Files, content, entry, shown};
use super::{ReconcileError, Reconciled, Stages};
use crate::git::{git, git_with};
use crate::snapshot::step::step;
use crate::snapshot::{SnapshotError, write};

/// Work that is not committed and that the merge would touch.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Blocked {
    /// Files with changes that are staged for the next commit: a merge would commit them with it.
    pub staged: Vec<String>,
    /// Files that the merge changes, with changes of your own.
    pub changed: Vec<String>,
}

impl Blocked {
    /// Whether nothing is in the way.
    pub fn is_empty(&self) -> bool {
        self.staged.is_empty() && self.changed.is_empty()
    }
}

/// What git is in the middle of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unfinished {
    /// Nothing.
    Nothing,
    /// A merge of these commits.
    Merge(Vec<Oid>),
    /// A rebase, a cherry-pick or the like.
    Other,
}

/// What git is in the middle of.
pub fn unfinished(repository: &Repository) -> Unfinished {
    match repository.state() {
        git2::RepositoryState::Clean => Unfinished::Nothing,
        git2::RepositoryState::Merge => {
            let text = std::fs::read_to_string(repository.path().join(MERGE_HEAD)).unwrap_or_default();
            Unfinished::Merge(text.lines().filter_map(|line| Oid::from_str(line.trim()).ok()).collect())
        }
        _ => Unfinished::Other,
    }
}

/// What would be overwritten. A file that already is as the merge will have it is not in the way, so
/// that a run that was stopped half-way can be run again.
///
/// # Errors
///
/// When the repository cannot be read.
pub fn blocked(repository: &Repository, merged: &Reconciled) -> Result<Blocked, SnapshotError> {
    let (old, new) = (&*merged.before, &*merged.files);
    let index = repository.index().map_err(SnapshotError::git("the index"))?;
    let mut blocked = Blocked::default();
    let mut staged: BTreeMap<Vec<u8>, Vec<File>> = BTreeMap::new();
    for entry in index.iter() {
        staged.entry(entry.path).or_default().push(File { mode: entry.mode, id: entry.id });
    }
    let paths: BTreeSet<&Vec<u8>> = staged.keys().chain(old.keys()).collect();
    for path in paths {
        let known = |files: &Files| match staged.get(path).map(Vec::as_slice) {
            None => !files.contains_key(path),
            Some([one]) => files.get(path) == Some(one),
            Some(_) => false,
        };
        let ours = staged.get(path).is_some_and(|entries| entries.len() > 1) && merged.stages.contains_key(path);
        if !known(old) && !known(new) && !ours {
            blocked.staged.push(shown(path));
        }
    }
    let Some(top) = repository.workdir() else { return Ok(blocked) };
    for path in touched(old, new) {
        if is_in_the_way(repository, top, &path, new.get(&path).copied(), old.get(&path).copied()) {
            blocked.changed.push(shown(&path));
        }
    }
    blocked.changed.retain(|path| !blocked.staged.contains(path));
    Ok(blocked)
}

fn is_in_the_way(repository: &Repository, top: &Path, path: &[u8], new: Option<File>, old: Option<File>) -> bool {
    let relative = as_path(path);
    let full = top.join(&relative);
    if full.symlink_metadata().is_err() {
        return false;
    }
    let id = Oid::hash_file(ObjectType::Blob, &full).ok();
    if id.is_some_and(|id| [new, old].iter().flatten().any(|file| file.id == id)) {
        return false;
    }
    let status = repository.status_file(&relative).unwrap_or(Status::CURRENT);
    status.intersects(Status::WT_NEW | Status::WT_MODIFIED | Status::WT_TYPECHANGE | Status::IGNORED)
}

/// The paths that differ.
pub(super) fn touched(old: &Files, new: &Files) -> Vec<Vec<u8>> {
    let paths: BTreeSet<&Vec<u8>> = old.keys().chain(new.keys()).collect();
    paths.into_iter().filter(|path| old.get(*path) != new.get(*path)).cloned().collect()
}

/// Goes on to the one branch, which already holds everything.
///
/// # Errors
///
/// When git says no.
pub fn fast_forward(repository: &Repository, merged: &Reconciled) -> Result<(), ReconcileError> {
    let top = repository.workdir().unwrap_or(repository.path());
    git(top, &["merge", "--quiet", "--ff-only", &merged.branches[0].id.to_string()])?;
    Ok(())
}

/// Puts the repository in the middle of the merge, as git itself would: what is merged, a message,
/// the working files, the index with its stages. Killed at any moment, running it again goes on.
///
/// # Errors
///
/// When git or the disk says no; what was written by then is taken back.
pub fn start_merge(repository: &Repository, merged: &Reconciled) -> Result<(), ReconcileError> {
    let (old, new) = (&*merged.before, &*merged.files);
    if let Err(error) = write_merge(repository, merged, old, new) {
        take_back(repository, old, new);
        return Err(error);
    }
    let top = repository.workdir().unwrap_or(repository.path());
    // Git notes sizes and times of the new files; what it says about files in conflict is no news.
    _ = git(top, &["update-index", "-q", "--refresh"]);
    Ok(())
}

fn write_merge(repository: &Repository, merged: &Reconciled, old: &Files, new: &Files) -> Result<(), ReconcileError> {
    let heads: String = merged.branches.iter().map(|tip| format!("{}\n", tip.id)).collect();
    let folder = repository.path();
    write::replace(&folder.join("ORIG_HEAD"), format!("{}\n", merged.into.id).as_bytes())?;
    write::replace(&folder.join(MERGE_MSG), message(merged).as_bytes())?;
    // The commit keeps what it goes into as its first parent, whatever the branches hold.
    write::replace(&folder.join(MERGE_MODE), b"no-ff")?;
    write::replace(&folder.join(MERGE_HEAD), heads.as_bytes())?;
    if let Some(top) = repository.workdir() {
        for path in touched(old, new) {
            put(repository, top, &path, new.get(&path).copied())?;
        }
    }
    Ok(write_index(repository, old, new, &merged.stages)?)
}

/// As it was before; what cannot be put back is left for `git merge --abort`.
fn take_back(repository: &Repository, old: &Files, new: &Files) {
    let folder = repository.path();
    let mut well = true;
    if let Some(top) = repository.workdir() {
        for path in touched(old, new) {
            well &= put(repository, top, &path, old.get(&path).copied()).is_ok();
        }
    }
    well &= write_index(repository, new, old, &BTreeMap::new()).is_ok();
    if well {
        for name in [MERGE_HEAD, MERGE_MODE, MERGE_MSG] {
            _ = write::remove(&folder.join(name));
        }
    }
}

/// What git is merging, how, and what it will say in the commit.
const MERGE_HEAD: &str = "MERGE_HEAD";
const MERGE_MODE: &str = "MERGE_MODE";
const MERGE_MSG: &str = "MERGE_MSG";

/// Makes the merge commit, through `git`: identity, signing and hooks are the user's own.
///
/// # Errors
///
/// When git or a hook says no; the merge is then still under way.
pub fn commit_merge(repository: &Repository) -> Result<Oid, ReconcileError> {
    let top = repository.workdir().unwrap_or(repository.path());
    git(top, &["commit", "--quiet", "--no-edit"])?;
    let head = repository.head().and_then(|head| head.peel_to_commit());
    Ok(head.map_err(SnapshotError::git("the new commit"))?.id())
}

/// Makes the merge commit on a branch that is not checked out, and moves the branch if nobody else
/// has in the meantime.
///
/// # Errors
///
/// When git says no; the branch is then as it was.
pub fn commit_to_branch(repository: &Repository, merged: &Reconciled, branch: &str) -> Result<Oid, ReconcileError> {
    let folder = repository.path();
    let id = if merged.fast_forward {
        merged.branches[0].id
    } else {
        let tree = merged.tree.to_string();
        let ids: Vec<String> =
            std::iter::once(&merged.into).chain(&merged.branches).map(|tip| tip.id.to_string()).collect();
        let mut arguments = vec!["commit-tree", tree.as_str()];
        arguments.extend(ids.iter().flat_map(|id| ["-p", id.as_str()]));
        // `git commit` signs by this setting by itself; `git commit-tree` wants to be told.
        if git(folder, &["config", "--type=bool", "commit.gpgSign"]).is_ok_and(|sign| sign == "true") {
            arguments.push("-S");
        }
        let written = git_with(folder, &arguments, &message(merged))?;
        Oid::from_str(&written).map_err(SnapshotError::git("the new commit"))?
    };
    let (reference, old) = (format!("refs/heads/{branch}"), merged.into.id.to_string());
    git(folder, &["update-ref", "-m", "deckle reconcile", &reference, &id.to_string(), &old])?;
    Ok(id)
}

/// As git words it.
fn message(merged: &Reconciled) -> String {
    let names: Vec<String> = merged.branches.iter().map(|tip| format!("'{}'", tip.name)).collect();
    let what = match names.as_slice() {
        [one] => format!("branch {one}"),
        [all @ .., last] => format!("branches {} and {last}", all.join(", ")),
        [] => String::new(),
    };
    let into = if matches!(merged.into.name.as_str(), "main" | "master") {
        String::new()
    } else {
        format!(" into {}", merged.into.name)
    };
    let mut message = format!("Merge {what}{into}\n");
    if !merged.stages.is_empty() {
        message.push_str("\n# Conflicts:\n");
        message.extend(merged.stages.keys().map(|path| format!("#\t{}\n", shown(path))));
    }
    message
}

/// Puts a file into the working folder, or takes it out with the folders that it leaves empty.
fn put(repository: &Repository, top: &Path, path: &[u8], file: Option<File>) -> Result<(), SnapshotError> {
    let full = top.join(as_path(path));
    let failed = |source| SnapshotError::File { path: shown(path), source };
    let Some(file) = file else {
        write::remove(&full)?;
        let folders = full.ancestors().skip(1).take_while(|folder| folder.starts_with(top) && *folder != top);
        for folder in folders {
            if std::fs::remove_dir(folder).is_err() {
                break;
            }
        }
        return Ok(());
    };
    match file.mode & 0o170_000 {
        0o100_000 => {
            write::hand_over(&full, &content(repository, file)?)?;
            set_executable(&full, file.mode & 0o111 != 0).map_err(failed)
        }
        0o120_000 => link(&full, &content(repository, file)?).map_err(failed),
        // Another repository within this one is left to its own commands.
        _ => Ok(()),
    }
}

#[cfg(unix)]
fn set_executable(path: &Path, executable: bool) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    let mode = std::fs::metadata(path)?.permissions().mode();
    let wanted = if executable { mode | (mode & 0o444) >> 2 } else { mode & !0o111 };
    if wanted == mode {
        return Ok(());
    }
    step()?;
    std::fs::set_permissions(path, std::fs::Permissions::from_mode(wanted))
}

#[cfg(not(unix))]
fn set_executable(_: &Path, _: bool) -> std::io::Result<()> {
    Ok(())
}

#[cfg(unix)]
fn link(path: &Path, target: &[u8]) -> std::io::Result<()> {
    use std::os::unix::ffi::OsStrExt;
    if let Some(folder) = path.parent() {
        std::fs::create_dir_all(folder)?;
    }
    step()?;
    _ = std::fs::remove_file(path);
    step()?;
    std::os::unix::fs::symlink(std::ffi::OsStr::from_bytes(target), path)
}

#[cfg(not(unix))]
fn link(path: &Path, target: &[u8]) -> std::io::Result<()> {
    std::fs::write(path, target)
}

/// The index of the merge: the new files, and the stages of those that somebody has to decide.
fn write_index(repository: &Repository, old: &Files, new: &Files, open: &Stages) -> Result<(), SnapshotError> {
    let what = || SnapshotError::git("the index");
    let mut index = repository.index().map_err(what())?;
    index.read(true).map_err(what())?;
    let unmerged: BTreeSet<Vec<u8>> = index.iter().filter(|entry| stage(entry) > 0).map(|entry| entry.path).collect();
    let mut paths: BTreeSet<Vec<u8>> = touched(old, new).into_iter().collect();
    paths.extend(open.keys().cloned());
    paths.extend(unmerged);
    for path in paths {
        for stage in 0..4 {
            // What is not there need not be removed.
            _ = index.remove(&as_path(&path), stage);
        }
        match open.get(&path) {
            Some(stages) => {
                for (stage, file) in (1_u16..).zip(stages) {
                    if let Some(file) = file {
                        index.add(&entry(&path, *file, stage)).map_err(what())?;
                    }
                }
            }
            None => {
                if let Some(file) = new.get(&path) {
                    index.add(&entry(&path, *file, 0)).map_err(what())?;
                }
            }
        }
    }
    step().map_err(|source| SnapshotError::File { path: "git's index".to_owned(), source })?;
    index.write().map_err(what())
}

fn stage(entry: &IndexEntry) -> u16 {
    entry.flags >> 12 & 3
}

#[cfg(unix)]
fn as_path(path: &[u8]) -> PathBuf {
    use std::os::unix::ffi::OsStrExt;
    std::ffi::OsStr::from_bytes(path).into()
}

#[cfg(not(unix))]
fn as_path(path: &[u8]) -> PathBuf {
    shown(path).into()
}
