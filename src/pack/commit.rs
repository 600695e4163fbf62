//! Reading the department, and where a pack comes from, at a commit.

use git2::{Commit, Repository, Time};
use jiff::Timestamp;
use jiff::tz::{Offset, TimeZone};

use super::content::Origin;
use super::edition::Edition;
use super::error::ReleaseError;
use crate::deck::Department;
use crate::snapshot::{CommitSnapshot, SnapshotError};

/// The department at a commit.
pub(super) fn read(repository: &Repository, commit: &Commit<'_>, prefix: &str) -> Result<Department, ReleaseError> {
    Ok(Department::read(&CommitSnapshot::of_tree(repository, commit.tree_id(), prefix))?)
}

/// The department in the folder `prefix` of the repository at the commit `rev`, and that commit's full id.
///
/// # Errors
///
/// When there is no such commit, or it cannot be read.
pub fn department_at(repository: &Repository, prefix: &str, rev: &str) -> Result<(Department, String), SnapshotError> {
    let commit = commit(repository, rev)?;
    let department = Department::read(&CommitSnapshot::of_tree(repository, commit.tree_id(), &folder(prefix)))?;
    Ok((department, commit.id().to_string()))
}

/// The commit that `rev` names.
pub(super) fn commit<'r>(repository: &'r Repository, rev: &str) -> Result<Commit<'r>, SnapshotError> {
    let object = repository.revparse_single(rev).map_err(SnapshotError::git(format!("`{rev}`")))?;
    object.peel_to_commit().map_err(SnapshotError::git(format!("`{rev}`")))
}

/// A folder of the repository: empty, or ending in `/`.
pub(super) fn folder(prefix: &str) -> String {
    match prefix.trim_matches('/') {
        "" => String::new(),
        folder => format!("{folder}/"),
    }
}

/// Where a pack of that commit comes from.
pub(super) fn origin(commit: &Commit<'_>, edition: Edition) -> Origin {
    Origin { edition, commit: commit.id().to_string(), released: timestamp(commit.time()) }
}

/// A commit's or tag's date by RFC 3339, in the time zone in which it was made.
pub fn timestamp(time: Time) -> String {
    // Years that do not take four digits, and zones further than a day away, nobody commits in.
    let seconds = time.seconds().clamp(0, 253_402_000_000);
    let timestamp = Timestamp::from_second(seconds).unwrap_or(Timestamp::UNIX_EPOCH);
    let offset = Offset::from_seconds(time.offset_minutes().saturating_mul(60)).unwrap_or(Offset::UTC);
    timestamp.to_zoned_datetime(TimeZone::fixed(offset)).strftime("%Y-%m-%dT%H:%M:%S%:z").to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_are_those_of_the_commit() {
        assert_eq!(timestamp(Time::new(1_795_600_800, 60)), "2026-11-25T11:00:00+01:00");
        assert_eq!(timestamp(Time::new(1_795_600_800, -330)), "2026-11-25T04:30:00-05:30");
        assert_eq!(timestamp(Time::new(-1, 0)), "1970-01-01T00:00:00+00:00");
        assert_eq!(timestamp(Time::new(i64::MAX, i32::MAX)).len(), 25);
    }

    #[test]
    fn folders_end_in_a_stroke() {
        assert_eq!([folder(""), folder("/"), folder("a/b"), folder("a/b/")], ["", "", "a/b/", "a/b/"]);
    }
}
