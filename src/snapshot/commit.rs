//! A commit, or any other tree that git holds; also in a bare repository.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use git2::{ObjectType, Oid, Repository};

use super::{Entry, Kind, Listing, Snapshot, SnapshotError};

/// The department as it stands in one of git's trees.
pub struct CommitSnapshot<'r> {
    repository: &'r Repository,
    tree: Oid,
    prefix: String,
}

impl<'r> CommitSnapshot<'r> {
    /// The department at the commit, tag or branch `rev`, whose top is the folder `prefix` of the
    /// repository (empty, or ending in `/`).
    ///
    /// # Errors
    ///
    /// When `rev` names nothing that holds files.
    pub fn new(repository: &'r Repository, rev: &str, prefix: &str) -> Result<Self, SnapshotError> {
        let object = repository.revparse_single(rev).map_err(SnapshotError::commit(repository, rev))?;
        let tree = object.peel_to_tree().map_err(SnapshotError::git(format!("`{rev}`")))?;
        Ok(Self::of_tree(repository, tree.id(), prefix))
    }

    /// The department in the tree `tree`.
    pub fn of_tree(repository: &'r Repository, tree: Oid, prefix: &str) -> Self {
        Self { repository, tree, prefix: prefix.to_owned() }
    }

    /// The tree's id.
    pub fn tree(&self) -> Oid {
        self.tree
    }
}

impl std::fmt::Debug for CommitSnapshot<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("CommitSnapshot").field("tree", &self.tree).field("prefix", &self.prefix).finish_non_exhaustive()
    }
}

impl Snapshot for CommitSnapshot<'_> {
    fn files(&self) -> Result<Vec<Entry>, SnapshotError> {
        let what = || SnapshotError::git("the commit's files");
        let top = self.repository.find_tree(self.tree).map_err(what())?;
        let folder = format!("{}decks", self.prefix);
        let Ok(decks) = top.get_path(std::path::Path::new(&folder)) else { return Ok(Vec::new()) };
        if decks.kind() != Some(ObjectType::Tree) {
            return Ok(vec![Entry { path: "decks".to_owned(), kind: Kind::Link }]);
        }
        let odb = self.repository.odb().map_err(what())?;
        let mut entries = Vec::new();
        walk(self.repository, decks.id(), |path, is_named, entry| {
            let kind = if is_named { kind(&odb, entry.filemode(), entry.id()) } else { Kind::Misnamed };
            entries.push(Entry { path, kind });
        })
        .map_err(what())?;
        entries.sort_by(|a, b| a.path.cmp(&b.path));
        Ok(entries)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SnapshotError> {
        let what = || SnapshotError::git(format!("`{path}`"));
        let tree = self.repository.find_tree(self.tree).map_err(what())?;
        let entry = tree.get_path(std::path::Path::new(&format!("{}{path}", self.prefix))).map_err(what())?;
        let blob = self.repository.find_blob(entry.id()).map_err(what())?;
        Ok(blob.content().to_vec())
    }

    /// Git's own id of the tree.
    fn identity(&self) -> Option<String> {
        let top = self.repository.find_tree(self.tree).ok()?;
        let decks = top.get_path(std::path::Path::new(&format!("{}decks", self.prefix))).ok()?;
        Some(format!("tree {} {:o}", decks.id(), decks.filemode()))
    }

    fn listing(&self) -> Option<Listing> {
        let (repository, decks) = self.tree_of_decks()?;
        let mut files = BTreeMap::new();
        walk(repository, decks, |path, is_named, entry| {
            files.insert(path, listed(is_named, entry.filemode(), entry.id()));
        })
        .ok()?;
        Some(Listing { store: GIT.to_owned(), files, tree: Some(decks.to_string()) })
    }

    fn tree_of_decks(&self) -> Option<(&Repository, Oid)> {
        let top = self.repository.find_tree(self.tree).ok()?;
        let decks = top.get_path(std::path::Path::new(&format!("{}decks", self.prefix))).ok()?;
        (decks.kind() == Some(ObjectType::Tree)).then(|| (self.repository, decks.id()))
    }
}

/// The files in two trees of all files, as [`super::differing`] gives them; what is the same in both is not looked
/// into.
pub fn differing(repository: &Repository, one: Oid, other: Oid) -> Option<BTreeSet<String>> {
    let mut differing = BTreeSet::new();
    let mut open = vec![("decks".to_owned(), one, other)];
    while let Some((folder, one, other)) = open.pop() {
        if one == other {
            continue;
        }
        let (one, other) = (repository.find_tree(one).ok()?, repository.find_tree(other).ok()?);
        if one.len() != other.len() {
            return None;
        }
        for (one, other) in one.iter().zip(other.iter()).filter(|(one, other)| {
            one.id() != other.id() || one.name_bytes() != other.name_bytes() || one.filemode() != other.filemode()
        }) {
            let name = std::str::from_utf8(one.name_bytes()).ok().filter(|_| one.name_bytes() == other.name_bytes())?;
            let path = format!("{folder}/{name}");
            match (one.kind()?, other.kind()?) {
                (ObjectType::Tree, ObjectType::Tree) => open.push((path, one.id(), other.id())),
                (ObjectType::Blob, ObjectType::Blob) if [&one, &other].iter().all(|file| is_ordinary(file)) => {
                    differing.insert(path);
                }
                _ => return None,
            }
        }
    }
    Some(differing)
}

fn is_ordinary(entry: &git2::TreeEntry<'_>) -> bool {
    entry.filemode() & 0o170_000 == 0o100_000
}

/// Where git's object ids hold.
pub(super) const GIT: &str = "git";

/// What tells what an entry holds.
pub(super) fn listed(is_named: bool, mode: i32, id: Oid) -> String {
    if is_named { format!("{mode:o} {id}") } else { format!("misnamed {mode:o} {id}") }
}

/// Calls `look` with every file in the tree `decks`: its path, whether that is all of it, and its entry.
fn walk(
    repository: &Repository,
    decks: Oid,
    mut look: impl FnMut(String, bool, &git2::TreeEntry<'_>),
) -> Result<(), git2::Error> {
    let mut open = vec![("decks".to_owned(), true, decks)];
    while let Some((folder, is_named, id)) = open.pop() {
        for entry in &repository.find_tree(id)? {
            let name = String::from_utf8_lossy(entry.name_bytes());
            let is_named = is_named && matches!(name, Cow::Borrowed(_));
            let path = format!("{folder}/{name}");
            match entry.kind() {
                Some(ObjectType::Tree) => open.push((path, is_named, entry.id())),
                _ => look(path, is_named, &entry),
            }
        }
    }
    Ok(())
}

/// What an entry of a tree or of the index is; only ordinary files are files.
pub(super) fn kind(odb: &git2::Odb<'_>, mode: i32, id: Oid) -> Kind {
    if mode & 0o170_000 != 0o100_000 {
        return Kind::Link;
    }
    odb.read_header(id).map_or(Kind::Link, |(size, _)| Kind::File { size: size as u64 })
}
