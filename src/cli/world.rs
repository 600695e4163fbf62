//! What commands take from the world around them: folder, environment, clock. The library gets it
//! handed in and reads none of it.

use std::path::{Path, PathBuf};

use super::error::CliError;
use crate::cache::Cache;
use crate::git::site::{GitEnvironment, Site, SiteError};

/// The world as a command finds it.
#[derive(Debug)]
pub struct World {
    folder: Option<PathBuf>,
}

impl World {
    pub fn new(folder: Option<PathBuf>) -> Self {
        Self { folder }
    }

    /// The folder to work in: that of `-C`, else the current one.
    pub fn folder(&self) -> &Path {
        self.folder.as_deref().unwrap_or(Path::new("."))
    }

    /// A path given on the command line.
    pub fn path(&self, path: &Path) -> PathBuf {
        self.folder.as_ref().map_or_else(|| path.to_path_buf(), |folder| folder.join(path))
    }

    /// The department that this folder is in.
    pub fn site(&self) -> Result<Site, SiteError> {
        Site::find(self.folder(), &self.git_environment())
    }

    /// What earlier runs of this very program kept under the repository's git folder.
    pub fn cache(&self, site: &Site) -> Option<Cache> {
        let git = site.repository.as_ref()?.commondir().to_path_buf();
        let program = std::fs::metadata(std::env::current_exe().ok()?).ok()?;
        let built = program.modified().ok()?.duration_since(std::time::UNIX_EPOCH).ok()?;
        Some(Cache::new(&git, format!("{} {} {built:?}", env!("CARGO_PKG_VERSION"), program.len())))
    }

    /// How wide lines may be.
    pub fn width(&self) -> usize {
        let columns = std::env::var("COLUMNS").ok().and_then(|columns| columns.parse().ok());
        columns.filter(|&columns| columns >= 40).unwrap_or(100)
    }

    /// The part of the department that paths on the command line name.
    pub fn wanted(&self, site: &Site, paths: &[PathBuf]) -> Result<Wanted, CliError> {
        let mut wanted = Vec::with_capacity(paths.len());
        for path in paths {
            let outside = || CliError::new(format!("{} is not in this department", path.display()));
            wanted.push(self.within(site.root()?, path).ok_or_else(outside)?);
        }
        Ok(Wanted(wanted))
    }

    /// A path given on the command line, from the top of the department.
    pub fn within(&self, root: &Path, path: &Path) -> Option<String> {
        let full = self.path(path);
        let full = full.canonicalize().or_else(|_| self.path(&slashed(path)).canonicalize()).unwrap_or(full);
        let below = full.strip_prefix(root).ok()?;
        Some(below.components().map(|part| part.as_os_str().to_string_lossy()).collect::<Vec<_>>().join("/"))
    }

    /// The commits that git says it is merging, which it hands to merge drivers in `GITHEAD_` variables.
    pub fn merged_heads(&self) -> Vec<git2::Oid> {
        let names = std::env::vars_os().filter_map(|(name, _)| name.into_string().ok());
        let mut ids: Vec<_> =
            names.filter_map(|name| git2::Oid::from_str(name.strip_prefix("GITHEAD_")?).ok()).collect();
        ids.sort();
        ids
    }

    fn git_environment(&self) -> GitEnvironment {
        GitEnvironment {
            from_environment: std::env::var_os("GIT_DIR").is_some(),
            index_file: std::env::var_os("GIT_INDEX_FILE").map(PathBuf::from),
        }
    }
}

/// A path as it is typed on other computers, with `\` between folders, as it is typed here.
pub fn slashed(path: &Path) -> PathBuf {
    path.to_str().map_or_else(|| path.to_path_buf(), |path| path.replace('\\', "/").into())
}

/// Files and folders of a department; all of it when none is named.
#[derive(Debug)]
pub struct Wanted(Vec<String>);

impl Wanted {
    /// Whether a path is, or is in, one of them.
    pub fn holds(&self, path: &str) -> bool {
        let under = |wanted: &String| {
            wanted.is_empty()
                || path.strip_prefix(wanted.as_str()).is_some_and(|rest| rest.is_empty() || rest.starts_with('/'))
        };
        self.0.is_empty() || self.0.iter().any(under)
    }
}
