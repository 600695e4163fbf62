//! Putting hooks and drivers into a clone, and taking out exactly what was put in.

use std::path::{Path, PathBuf};

use git2::Repository;

use super::git;
use super::site::{Site, SiteError};
use crate::snapshot::step::step;
use crate::snapshot::{SnapshotError, write};

/// The hooks, by name.
pub const HOOKS: &[(&str, &str)] = &[
    ("pre-commit", include_str!("../../hooks/pre-commit")),
    ("pre-merge-commit", include_str!("../../hooks/pre-merge-commit")),
    ("pre-push", include_str!("../../hooks/pre-push")),
    ("prepare-commit-msg", include_str!("../../hooks/prepare-commit-msg")),
];

/// The hook of a shared, bare repository: it judges what is pushed.
const SHARED_HOOK: (&str, &str) = ("pre-receive", include_str!("../../hooks/pre-receive"));

/// What a department's `.gitattributes` says: decks are merged and shown card by card.
pub const ATTRIBUTES: &str = "# Decks are merged and shown card by card; `deckle hooks` tells git how.\n\
                              cards.yaml merge=deckle diff=deckle\n";

/// A line that marks hooks as ours.
const MARK: &str = "deckle hooks";

/// Where the program is not on the path (a graphical git client may have another one), git's own
/// merge leaves both sides between its markers: a driver that cannot be run would drop one of them.
const MERGE_DRIVER: &str = "if command -v deckle >/dev/null 2>&1; then \
     deckle merge-driver %O %A %B --path %P --ours-name %X --theirs-name %Y; \
     else git merge-file -L ours -L before -L theirs %A %O %B; fi";

const DIFF_DRIVER: &str = "f() { if command -v deckle >/dev/null 2>&1; then deckle diff-driver \"$@\"; \
     else git --no-pager diff --no-index --no-ext-diff --no-textconv \"$2\" \"$5\"; true; fi; }; f";

const TEXT_DRIVER: &str =
    "f() { if command -v deckle >/dev/null 2>&1; then deckle diff-driver \"$1\"; else cat \"$1\"; fi; }; f";

/// Settings that git gets, besides the folder of the hooks.
const DRIVERS: &[(&str, &str)] = &[
    ("merge.deckle.name", "merge decks card by card"),
    ("merge.deckle.driver", MERGE_DRIVER),
    ("diff.deckle.command", DIFF_DRIVER),
    ("diff.deckle.textconv", TEXT_DRIVER),
    ("diff.deckle.xfuncname", "^(card [^ ]+)"),
];

const HOOKS_PATH: &str = "core.hooksPath";

/// What was done, a sentence each; and whether somebody's own hooks were in the way.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Done {
    /// Sentences.
    pub lines: Vec<String>,
    /// Somebody's own hooks were left as they are, so ours don't run.
    pub own_hooks: bool,
}

impl Done {
    fn say(&mut self, line: impl Into<String>) {
        self.lines.push(line.into());
    }
}

/// Installs hooks and drivers for the department at `site`.
///
/// # Errors
///
/// When there is no repository, or its settings cannot be written.
pub fn install(site: &Site) -> Result<Done, SiteError> {
    let repository = site.repository()?;
    let mut done = Done::default();
    if repository.is_bare() {
        install_shared(repository, &mut done)?;
        return Ok(done);
    }
    let mut config = local_config(repository)?;
    for (key, value) in DRIVERS {
        if config.get_string(key).ok().as_deref() != Some(value) {
            put_setting(&mut config, key, value)?;
        }
    }
    done.say("git merges and shows decks card by card (merge.deckle, diff.deckle)");
    install_attributes(site, repository, &mut done)?;
    install_hooks(site, repository, &mut config, &mut done)?;
    Ok(done)
}

/// Takes out what [`install`] put in, and nothing else.
///
/// # Errors
///
/// When there is no repository, or its settings cannot be written.
pub fn remove(site: &Site) -> Result<Done, SiteError> {
    let repository = site.repository()?;
    let mut done = Done::default();
    if repository.is_bare() {
        remove_shared(repository, &mut done)?;
        return Ok(done);
    }
    let config = local_config(repository)?;
    let ours: Vec<String> =
        [tracked_hooks(site), Some(private_folder(repository).display().to_string())].into_iter().flatten().collect();
    if config.get_string(HOOKS_PATH).is_ok_and(|path| ours.contains(&path)) {
        unset(repository, HOOKS_PATH)?;
        done.say("git no longer runs the department's hooks (core.hooksPath)");
    }
    let mut removed = false;
    for (key, value) in DRIVERS {
        if config.get_string(key).ok().as_deref() == Some(value) {
            unset(repository, key)?;
            removed = true;
        }
    }
    if removed {
        done.say("git merges and shows decks line by line again (merge.deckle, diff.deckle)");
    }
    let attributes = attributes_file(repository);
    let text = std::fs::read_to_string(&attributes).unwrap_or_default();
    if text.contains(ATTRIBUTES) {
        put(&attributes, &text.replace(ATTRIBUTES, ""))?;
        done.say("the line about decks is out of .git/info/attributes");
    }
    let private = private_folder(repository);
    if private.is_dir() {
        step()
            .and_then(|()| std::fs::remove_dir_all(&private))
            .map_err(|source| SnapshotError::Write { path: private.display().to_string(), source })?;
    }
    if done.lines.is_empty() {
        done.say("there was nothing to take out");
    }
    Ok(done)
}

/// Into a bare repository: one hook beside those that are there, and nothing else.
fn install_shared(repository: &Repository, done: &mut Done) -> Result<(), SiteError> {
    let path = shared_hook(repository);
    let there = std::fs::read_to_string(&path).ok();
    if there.as_deref() == Some(SHARED_HOOK.1) {
        done.say("git already judges here what is pushed");
        return Ok(());
    }
    if there.is_some_and(|text| !text.contains(MARK)) {
        done.own_hooks = true;
        done.say("your own pre-receive hook is left as it is, so the department's does not run");
        done.say("to have both, let it pass its input on to `deckle receive`");
        return Ok(());
    }
    put(&path, SHARED_HOOK.1)?;
    executable(&path)?;
    done.say("git judges here what is pushed, before anybody else gets it (hooks/pre-receive)");
    Ok(())
}

fn remove_shared(repository: &Repository, done: &mut Done) -> Result<(), SiteError> {
    let path = shared_hook(repository);
    if std::fs::read_to_string(&path).is_ok_and(|text| text.contains(MARK)) {
        write::remove(&path)?;
        done.say("git no longer judges here what is pushed (hooks/pre-receive)");
    } else {
        done.say("there was nothing to take out");
    }
    Ok(())
}

/// Where git looks for it.
fn shared_hook(repository: &Repository) -> PathBuf {
    let set = repository.config().ok().and_then(|config| config.get_path(HOOKS_PATH).ok());
    let folder = set.map_or_else(|| repository.path().join("hooks"), |set| repository.path().join(set));
    folder.join(SHARED_HOOK.0)
}

fn local_config(repository: &Repository) -> Result<git2::Config, SnapshotError> {
    let config = repository.config().map_err(SnapshotError::git("the settings"))?;
    config.open_level(git2::ConfigLevel::Local).map_err(SnapshotError::git("the settings"))
}

/// Writes a setting of this clone, which git does whole or not at all.
fn put_setting(config: &mut git2::Config, key: &str, value: &str) -> Result<(), SnapshotError> {
    step().map_err(|source| SnapshotError::Write { path: format!("git's setting {key}"), source })?;
    config.set_str(key, value).map_err(SnapshotError::git(format!("the setting {key}")))
}

/// Takes a setting out with its section's heading when nothing else is in it, which libgit2 leaves.
fn unset(repository: &Repository, key: &str) -> Result<(), SiteError> {
    git(repository.path(), &["config", "--local", "--unset-all", key])?;
    Ok(())
}

fn install_attributes(site: &Site, repository: &Repository, done: &mut Done) -> Result<(), SiteError> {
    let tracked = site.root.as_ref().map(|root| root.join(".gitattributes"));
    let tracked = tracked.and_then(|path| std::fs::read_to_string(path).ok()).unwrap_or_default();
    let path = attributes_file(repository);
    let own = std::fs::read_to_string(&path).unwrap_or_default();
    if !tracked.contains("merge=deckle") && !own.contains("merge=deckle") {
        let gap = if own.is_empty() || own.ends_with('\n') { "" } else { "\n" };
        put(&path, &format!("{own}{gap}{ATTRIBUTES}"))?;
        done.say("decks are named in .git/info/attributes, since .gitattributes does not name them");
    }
    Ok(())
}

fn install_hooks(
    site: &Site,
    repository: &Repository,
    config: &mut git2::Config,
    done: &mut Done,
) -> Result<(), SiteError> {
    let wanted = match tracked_hooks(site) {
        Some(path) => path,
        None => private_hooks(repository)?,
    };
    let set = repository.config().ok().and_then(|config| config.get_string(HOOKS_PATH).ok());
    if set.as_deref() == Some(wanted.as_str()) {
        done.say(format!("git already runs the hooks in `{wanted}`"));
        return Ok(());
    }
    let folder = hooks_folder(repository, set.as_deref());
    let own = own_hooks(&folder);
    if own.is_empty() && std::fs::read_to_string(folder.join("pre-commit")).is_ok_and(|text| text.contains(MARK)) {
        let shown = set.unwrap_or_default();
        done.say(format!("git already runs a department's hooks in `{shown}`; they check every department here"));
        return Ok(());
    }
    if !own.is_empty() {
        done.own_hooks = true;
        done.say(format!("your own hooks are left as they are ({}), so the department's do not run", own.join(", ")));
        done.say("to have both, add the line `deckle check --staged || exit 1` to your own pre-commit");
        return Ok(());
    }
    put_setting(config, HOOKS_PATH, &wanted)?;
    done.say(format!("git runs the hooks in `{wanted}`: each commit is checked (core.hooksPath)"));
    Ok(())
}

/// The department's own hooks folder, as git wants it: from the top of the working folder.
fn tracked_hooks(site: &Site) -> Option<String> {
    let root = site.root.as_ref()?;
    let hook = std::fs::read_to_string(root.join("hooks/pre-commit")).ok()?;
    hook.contains(MARK).then(|| format!("{}hooks", site.prefix))
}

/// Our hooks in the git folder, for a department that does not carry them.
fn private_hooks(repository: &Repository) -> Result<String, SnapshotError> {
    let folder = private_folder(repository);
    for (name, text) in HOOKS {
        let path = folder.join(name);
        put(&path, text)?;
        executable(&path)?;
    }
    Ok(folder.display().to_string())
}

fn private_folder(repository: &Repository) -> PathBuf {
    repository.commondir().join("deckle-hooks")
}

fn attributes_file(repository: &Repository) -> PathBuf {
    repository.commondir().join("info/attributes")
}

/// Where git looks for hooks now.
fn hooks_folder(repository: &Repository, set: Option<&str>) -> PathBuf {
    match set {
        Some(path) => repository.workdir().unwrap_or(repository.path()).join(path),
        None => repository.commondir().join("hooks"),
    }
}

/// Hooks of somebody's own that git runs now and would no longer run.
fn own_hooks(folder: &Path) -> Vec<String> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let names = entries.filter_map(|entry| entry.ok()?.file_name().into_string().ok());
    let mut own: Vec<String> = names.filter(|name| !name.ends_with(".sample") && !name.starts_with('.')).collect();
    // Hooks of another department in the same repository are nobody's own.
    own.retain(|name| !std::fs::read_to_string(folder.join(name)).is_ok_and(|text| text.contains(MARK)));
    own.sort();
    own
}

fn put(path: &Path, text: &str) -> Result<(), SnapshotError> {
    write::replace(path, text.as_bytes())
}

/// Makes a file one that can be run, where files have such a mark.
///
/// # Errors
///
/// When the disk says no.
pub fn executable(path: &Path) -> Result<(), SnapshotError> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = std::fs::Permissions::from_mode(0o755);
        step()
            .and_then(|()| std::fs::set_permissions(path, mode))
            .map_err(|source| SnapshotError::Write { path: path.display().to_string(), source })?;
    }
    #[cfg(not(unix))]
    {
        _ = path;
    }
    Ok(())
}
