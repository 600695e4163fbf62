//! Where the department is: its top folder, and the repository around it when there is one.

use std::path::{Path, PathBuf};

use git2::{Index, Oid, Repository};

use crate::snapshot::{CommitSnapshot, FolderSnapshot, IndexSnapshot, Snapshot, SnapshotError};

/// What git hands to its hooks through the environment.
#[derive(Clone, Debug, Default)]
pub struct GitEnvironment {
    /// `GIT_DIR` is set: the repository is named by the environment.
    pub from_environment: bool,
    /// `GIT_INDEX_FILE`: the index that the commit is made from.
    pub index_file: Option<PathBuf>,
}

/// A department's place on disk and in its repository.
pub struct Site {
    /// The folder that holds `decks/`; none in a bare repository.
    pub root: Option<PathBuf>,
    /// The repository.
    pub repository: Option<Repository>,
    /// The department's folder in the repository: empty, or ending in `/`.
    pub prefix: String,
    index_file: Option<PathBuf>,
}

/// Why there is no department.
#[derive(Debug, thiserror::Error)]
pub enum SiteError {
    /// No `decks` folder here or above.
    #[error("there is no department in {0} or above it")]
    NoDepartment(String),
    /// No repository where one is needed.
    #[error("{0} is not in a git repository")]
    NoRepository(String),
    /// Git or the disk says no.
    #[error(transparent)]
    Snapshot(#[from] SnapshotError),
    /// The `git` program says no.
    #[error(transparent)]
    Git(#[from] super::GitError),
}

impl Site {
    /// Finds the department that `folder` is in: the nearest folder at or above it that holds
    /// `decks/department.yaml`, else the top of the repository or the nearest folder with `decks/`.
    ///
    /// # Errors
    ///
    /// When there is neither such a folder nor a bare repository.
    pub fn find(folder: &Path, environment: &GitEnvironment) -> Result<Self, SiteError> {
        let shown = || folder.display().to_string();
        let folder = folder.canonicalize().map_err(|source| SnapshotError::File { path: shown(), source })?;
        let repository = open(&folder, environment);
        if let Some(bare) = repository.as_ref().filter(|repository| repository.is_bare()) {
            // A folder above a bare repository is none of its own, even if it holds decks.
            let is_inside = environment.from_environment || folder.starts_with(canonical(bare.path()));
            if is_inside {
                let index_file = environment.index_file.clone();
                return Ok(Self { root: None, repository, prefix: String::new(), index_file });
            }
        }
        let top = repository.as_ref().and_then(|repository| repository.workdir()).map(canonical);
        let within = |path: &&Path| top.as_ref().is_none_or(|top| path.starts_with(top));
        let settled =
            folder.ancestors().take_while(within).find(|path| path.join(crate::deck::settings::PATH).is_file());
        let loose = || folder.ancestors().take_while(within).find(|path| path.join("decks").is_dir());
        let root = settled.or_else(loose).map(Path::to_path_buf).or(top.clone());
        let bare = repository.as_ref().is_some_and(Repository::is_bare);
        let has_decks = root.as_ref().is_some_and(|root| root.join("decks").is_dir());
        // A commit may hold the decks that the folder lost.
        let had_decks =
            || repository.as_ref().is_some_and(|repository| repository.revparse_single("HEAD:decks").is_ok());
        if !bare && !has_decks && !had_decks() {
            return Err(SiteError::NoDepartment(shown()));
        }
        let prefix = match (&root, &top) {
            (Some(root), Some(top)) => prefix(root, top),
            _ => String::new(),
        };
        Ok(Self { root, repository, prefix, index_file: environment.index_file.clone() })
    }

    /// The repository.
    ///
    /// # Errors
    ///
    /// When there is none.
    pub fn repository(&self) -> Result<&Repository, SiteError> {
        let shown = || self.root.as_ref().map(|root| root.display().to_string()).unwrap_or_default();
        self.repository.as_ref().ok_or_else(|| SiteError::NoRepository(shown()))
    }

    /// The folder that holds `decks/`.
    ///
    /// # Errors
    ///
    /// In a bare repository, which has no working folder.
    pub fn root(&self) -> Result<&Path, SiteError> {
        self.root.as_deref().ok_or_else(|| SiteError::NoDepartment("this bare repository".to_owned()))
    }

    /// The working folder; in a bare repository, its `HEAD`.
    ///
    /// # Errors
    ///
    /// When neither can be read.
    pub fn here(&self) -> Result<Box<dyn Snapshot + '_>, SiteError> {
        match &self.root {
            Some(root) => Ok(Box::new(match &self.repository {
                Some(repository) if !repository.is_bare() => {
                    FolderSnapshot::in_repository(root, repository, &self.prefix)
                }
                _ => FolderSnapshot::new(root),
            })),
            None => Ok(Box::new(self.at("HEAD")?)),
        }
    }

    /// The department at a commit.
    ///
    /// # Errors
    ///
    /// When there is no repository, or `rev` names nothing in it.
    pub fn at(&self, rev: &str) -> Result<CommitSnapshot<'_>, SiteError> {
        Ok(CommitSnapshot::new(self.repository()?, rev, &self.prefix)?)
    }

    /// The index: what the next commit will hold.
    ///
    /// # Errors
    ///
    /// When there is no repository or its index cannot be read.
    pub fn staged(&self) -> Result<IndexSnapshot<'_>, SiteError> {
        let repository = self.repository()?;
        match &self.index_file {
            Some(_) => Ok(IndexSnapshot::of_index(repository, &self.next_index()?, &self.prefix)?),
            None => Ok(IndexSnapshot::new(repository, &self.prefix)?),
        }
    }

    /// The index that the next commit is made from.
    ///
    /// # Errors
    ///
    /// When there is no repository or its index cannot be read.
    pub fn next_index(&self) -> Result<Index, SiteError> {
        let index = match &self.index_file {
            Some(path) => Index::open(path),
            None => self.repository()?.index(),
        };
        Ok(index.map_err(SnapshotError::git("the index"))?)
    }

    /// The commits that the next commit will stand on: `HEAD`, and in the middle of a merge what is
    /// being merged. None before the first commit.
    ///
    /// # Errors
    ///
    /// When there is no repository.
    pub fn parents(&self) -> Result<Vec<Oid>, SiteError> {
        let repository = self.repository()?;
        let head = repository.head().ok().and_then(|head| head.peel_to_commit().ok()).map(|commit| commit.id());
        let merging = std::fs::read_to_string(repository.path().join("MERGE_HEAD")).unwrap_or_default();
        let merging = merging.lines().filter_map(|line| Oid::from_str(line.trim()).ok());
        Ok(head.into_iter().chain(merging).collect())
    }
}

impl std::fmt::Debug for Site {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Site").field("root", &self.root).field("prefix", &self.prefix).finish_non_exhaustive()
    }
}

fn open(folder: &Path, environment: &GitEnvironment) -> Option<Repository> {
    if environment.from_environment
        && let Ok(repository) = Repository::open_from_env()
    {
        return Some(repository);
    }
    Repository::discover(folder).ok()
}

fn canonical(path: &Path) -> PathBuf {
    path.canonicalize().unwrap_or_else(|_| path.to_path_buf())
}

/// `root` below `top`, with `/` between folders and at the end.
fn prefix(root: &Path, top: &Path) -> String {
    let below = root.strip_prefix(top).unwrap_or(Path::new(""));
    below.components().map(|part| format!("{}/", part.as_os_str().to_string_lossy())).collect()
}
