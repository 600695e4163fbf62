//! Putting a decision into the working folder, and taking it back.

use std::path::{Path, PathBuf};

use super::Open;
use crate::cli::error::CliError;
use crate::deck::department::CARDS;
use crate::deck::{Department, Value};
use crate::git::site::Site;
use crate::merge::{Choice, SettleError, chosen_deck, chosen_id, follow_id, move_card, settle};
use crate::snapshot::{SnapshotError, write};

/// How the files were before.
pub struct Before {
    /// `None` for a file that was not there.
    files: Vec<(PathBuf, Option<Vec<u8>>)>,
    /// A folder that got another name: the new one, the old one.
    folder: Option<(PathBuf, PathBuf)>,
}

impl Before {
    /// How these files are now.
    pub fn of(paths: impl Iterator<Item = PathBuf>) -> Result<Self, CliError> {
        let mut files = Vec::new();
        for path in paths {
            let bytes = match std::fs::read(&path) {
                Ok(bytes) => Some(bytes),
                Err(error) if error.kind() == std::io::ErrorKind::NotFound => None,
                Err(error) => return Err(CliError::new(format!("{} cannot be read: {error}", path.display()))),
            };
            files.push((path, bytes));
        }
        Ok(Self { files, folder: None })
    }

    /// The files and folders that were changed, from the top of the department.
    pub fn changed(&self, root: &Path) -> Vec<String> {
        let folders = self.folder.iter().flat_map(|(from, to)| [from, to]);
        let paths = self.files.iter().map(|(path, _)| path).chain(folders);
        let below = paths.filter_map(|path| path.strip_prefix(root).ok());
        let named = below.map(|path| path.iter().map(|part| part.to_string_lossy()).collect::<Vec<_>>().join("/"));
        named.filter(|path| path.starts_with("decks/")).collect()
    }

    fn texts(texts: Vec<(PathBuf, String)>) -> Self {
        let files = texts.into_iter().map(|(path, text)| (path, Some(text.into_bytes())));
        Self { files: files.collect(), folder: None }
    }

    /// Puts everything back.
    pub fn put_back(self) -> Result<(), SnapshotError> {
        if let Some((from, to)) = &self.folder {
            rename(from, to)?;
        }
        self.files.iter().try_for_each(|(path, bytes)| match bytes {
            Some(bytes) => write::replace(path, bytes),
            None => write::remove(path),
        })
    }
}

impl From<SettleError> for CliError {
    fn from(error: SettleError) -> Self {
        Self::new(error.to_string())
    }
}

/// Settles one field as `word` says.
pub fn take(site: &Site, open: &Open, word: &str) -> Result<Before, CliError> {
    let root = site.root()?;
    let path = root.join(&open.path);
    let choice = Choice::from_word(word, &Value::List(open.versions.clone()));
    if let Some(parted) = &open.parted {
        return super::parted::take(site, open, parted, &choice);
    }
    let text = read(&path, &open.path)?;
    let before = Before::texts;
    if open.field == "id" && !open.card.is_empty() {
        return rename_card(site, open, &text, &choice);
    }
    if open.field != "deck" {
        let settled = settle(&text, &open.card, &open.field, &choice)?;
        write::replace(&path, settled.as_bytes())?;
        return Ok(before(vec![(path, text)]));
    }
    match chosen_deck(&open.versions, &choice)? {
        Some(deck) if deck == open.deck => {
            write::replace(&path, settle(&text, &open.card, "deck", &choice)?.as_bytes())?;
            Ok(before(vec![(path, text)]))
        }
        Some(deck) if open.card.is_empty() => rename_deck(root, open, &path, text, &deck),
        Some(deck) => {
            let target = format!("decks/{deck}/{CARDS}");
            let target_path = root.join(&target);
            let there = read(&target_path, &target).map_err(|_| {
                CliError::new(format!("there is no deck `{deck}`")).help("name one of the decks listed")
            })?;
            let (left, moved) = move_card(&text, &there, &open.card)?;
            // The card stands in both for a moment rather than in none.
            write::replace(&target_path, moved.as_bytes())?;
            write::replace(&path, left.as_bytes())?;
            Ok(before(vec![(target_path, there), (path, text)]))
        }
        None => {
            let empty = crate::deck::outline::outline(&text).is_some_and(|deck| deck.cards.is_empty());
            if !empty {
                return Err(CliError::new(format!("there are cards in `{}`", open.deck))
                    .help("move or take out its cards first, or keep the deck"));
            }
            write::remove(&path)?;
            Ok(before(vec![(path, text)]))
        }
    }
}

/// Gives a card the id that was chosen, and links to it in all decks follow.
fn rename_card(site: &Site, open: &Open, text: &str, choice: &Choice) -> Result<Before, CliError> {
    let id = chosen_id(&open.versions, choice)?;
    let root = site.root()?;
    let department = Department::read(&*site.here()?)?;
    if id != open.card && department.cards().any(|(_, card)| card.id.value == id) {
        let error = CliError::new(format!("another card is called `{id}`"));
        return Err(error.help(format!("give it an id of its own: `deckle settle {} id --take TEXT`", open.card)));
    }
    let settled = settle(text, &open.card, "id", choice)?;
    let mut files = Vec::new();
    // Whoever is stopped in between finds the decision still to be made, and the links done.
    for deck in department.decks.iter().filter(|deck| *deck.file.path != *open.path) {
        let path = root.join(&*deck.file.path);
        let old = read(&path, &deck.file.path)?;
        if let Some(new) = follow_id(&old, &open.card, &id)? {
            write::replace(&path, new.as_bytes())?;
            files.push((path, old));
        }
    }
    let settled = follow_id(&settled, &open.card, &id)?.unwrap_or(settled);
    let path = root.join(&open.path);
    write::replace(&path, settled.as_bytes())?;
    files.push((path, text.to_owned()));
    Ok(Before::texts(files))
}

fn rename_deck(root: &Path, open: &Open, path: &Path, text: String, deck: &str) -> Result<Before, CliError> {
    let inside = crate::deck::department::join("decks", deck).filter(|path| path != "decks");
    let (from, to) = (root.join("decks").join(&open.deck), root.join("decks").join(deck));
    if inside.is_none() || to.exists() {
        let error = CliError::new(format!("the folder of `{}` cannot be called `{deck}`", open.deck));
        return Err(error.help("that name is taken or is none; name one of the folders listed"));
    }
    let settled = settle(&text, "", "deck", &Choice::Text(deck.to_owned()))?;
    // Whoever is stopped in between finds the decision still to be made, under the new name.
    rename(&from, &to)?;
    write::replace(&to.join(CARDS), settled.as_bytes())?;
    Ok(Before { folder: Some((to, from)), ..Before::texts(vec![(path.to_path_buf(), text)]) })
}

fn rename(from: &Path, to: &Path) -> Result<(), SnapshotError> {
    let failed = |source| SnapshotError::File { path: to.display().to_string(), source };
    if let Some(folder) = to.parent() {
        std::fs::create_dir_all(folder).map_err(failed)?;
    }
    write::rename(from, to)
}

fn read(path: &Path, shown: &str) -> Result<String, CliError> {
    std::fs::read_to_string(path).map_err(|error| CliError::new(format!("{shown} cannot be read: {error}")))
}
