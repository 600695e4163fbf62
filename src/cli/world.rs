//! What commands take from the world around them: folder, environment, clock. The library gets it
//! handed in and reads none of it.

use std::path::{Path, PathBuf};

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

    /// The department that this folder is in.
    pub fn site(&self) -> Result<Site, SiteError> {
        Site::find(self.folder(), &self.git_environment())
    }

    /// How wide lines may be.
    pub fn width(&self) -> usize {
        let columns = std::env::var("COLUMNS").ok().and_then(|columns| columns.parse().ok());
        columns.filter(|&columns| columns >= 40).unwrap_or(100)
    }

    /// A path given on the command line, from the top of the department.
    pub fn within(&self, root: &Path, path: &Path) -> Option<String> {
        let full = self.folder().join(path);
        let full = full.canonicalize().unwrap_or(full);
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
