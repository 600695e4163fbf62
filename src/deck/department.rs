//! The whole repository as it stands in one snapshot: settings, decks, notes, pictures.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use rayon::prelude::*;

use super::by_id::ById;
use super::card::Card;
use super::encoding::{Decoded, Saved, decode};
use super::marks::first_side;
use super::settings::{self, Settings, read_settings};
use super::stray::strays;
use super::{Deck, read_deck};
use crate::finding::{Finding, Level};
use crate::place::{Place, SourceFile, Span};
use crate::snapshot::{Kind, Snapshot, SnapshotError};

/// The name of a deck's file.
pub const CARDS: &str = "cards.yaml";

/// The largest deck, notes or settings file that is read, in bytes.
pub const MAX_TEXT: u64 = 16 * 1024 * 1024;

/// The largest picture that is looked into, in bytes.
pub const MAX_PICTURE: u64 = 8 * 1024 * 1024;

/// The most dots a picture may have: more than any camera or screen in a school shows, and few enough to be
/// opened on a pupil's device.
pub const MAX_PIXELS: u64 = 50_000_000;

/// The most cards a deck may have: more than a year's topics, few enough for every editor and page.
pub const MAX_CARDS: usize = 2_000;

/// The most letters a field may have: more than ten printed pages.
pub const MAX_FIELD: usize = 40_000;

/// The department in one snapshot.
#[derive(Debug)]
pub struct Department {
    /// The settings.
    pub settings: Settings,
    /// The decks, by name.
    pub decks: Vec<Deck>,
    /// Everything under `decks/`, by path, with its kind.
    pub files: BTreeMap<String, Kind>,
    /// The notes by path.
    pub notes: BTreeMap<String, Arc<SourceFile>>,
    /// The pictures that cards show, by path; those that are missing or too large are not in it.
    pub pictures: BTreeMap<String, Arc<[u8]>>,
    /// What was found while reading files.
    pub findings: Vec<Finding>,
    /// What is wrong with the names and kinds of files.
    pub strays: Vec<Finding>,
    by_id: ById,
    left_out: BTreeSet<String>,
}

impl Department {
    /// Reads the department in `snapshot`.
    ///
    /// # Errors
    ///
    /// When the snapshot itself cannot be read; mistakes in its files are findings.
    pub fn read(snapshot: &dyn Snapshot) -> Result<Self, SnapshotError> {
        let files: BTreeMap<String, Kind> =
            snapshot.files()?.into_iter().map(|entry| (entry.path, entry.kind)).collect();
        let (texts, found) = read_texts(snapshot, &files)?;
        let mut department = Self::from_texts(texts, files);
        department.findings.extend(found);
        department.strays = strays(&department.files, &department.shown());
        department.read_pictures(snapshot)?;
        Ok(department)
    }

    /// A department of nothing but these decks.
    pub fn of_decks(decks: Vec<(String, Arc<SourceFile>)>) -> Self {
        let files = decks
            .iter()
            .map(|(_, file)| (file.path.to_string(), Kind::File { size: file.text.len() as u64 }))
            .collect();
        let texts = decks.iter().map(|(_, file)| SourceFile::new(Arc::clone(&file.path), Arc::clone(&file.text)));
        Self::from_texts(texts.collect(), files)
    }

    /// Reads the department whose text files are `texts`; pictures are not looked into.
    fn from_texts(texts: Vec<SourceFile>, files: BTreeMap<String, Kind>) -> Self {
        let mut settings_file = None;
        let mut notes = BTreeMap::new();
        let mut deck_files = Vec::new();
        for text in texts.into_iter().map(Arc::new) {
            match deck_of(&text.path) {
                _ if &*text.path == settings::PATH => settings_file = Some(text),
                Some(name) => deck_files.push((name.to_owned(), text)),
                None => _ = notes.insert(text.path.to_string(), text),
            }
        }
        // By name, not by path: `rivers-2` stands before `rivers/` among paths.
        deck_files.sort_by(|(one, _), (other, _)| one.cmp(other));
        let decks: Vec<Deck> = deck_files.into_par_iter().map(|(name, file)| read_deck(&name, file)).collect();
        let mut findings = Vec::new();
        let settings = match settings_file {
            Some(file) => read_settings(file),
            None => {
                // Where `decks` itself is a link, that is what is wrong.
                findings.extend((!files.contains_key("decks")).then(no_settings));
                Settings::default_in(Arc::new(SourceFile::new(settings::PATH, "")))
            }
        };
        Self { findings, ..Self::of_parts(settings, decks, notes, files) }
    }

    /// A department of these decks, which stand in the order of their names, and notes; pictures are not looked
    /// into.
    pub fn of_parts(
        settings: Settings,
        decks: Vec<Deck>,
        notes: BTreeMap<String, Arc<SourceFile>>,
        files: BTreeMap<String, Kind>,
    ) -> Self {
        let by_id = ById::of(&decks);
        let (pictures, left_out) = (BTreeMap::new(), BTreeSet::new());
        Self { settings, decks, files, notes, pictures, findings: Vec::new(), strays: Vec::new(), by_id, left_out }
    }

    /// The paths of all pictures that cards show.
    fn shown(&self) -> BTreeSet<String> {
        let pictures = self.cards().flat_map(|(deck, card)| card.pictures.iter().map(move |picture| (deck, picture)));
        pictures.filter_map(|(deck, picture)| join(&deck.folder(), &picture.file)).collect()
    }

    /// Reads the pictures that cards show.
    ///
    /// # Errors
    ///
    /// When one of them cannot be read.
    pub fn read_pictures(&mut self, snapshot: &dyn Snapshot) -> Result<(), SnapshotError> {
        for path in self.shown() {
            let readable = matches!(self.files.get(&path), Some(Kind::File { size }) if *size <= MAX_PICTURE);
            if readable {
                let bytes = snapshot.read(&path)?;
                self.pictures.insert(path, bytes.into());
            }
        }
        Ok(())
    }

    /// Drops it without letting anybody wait: of a large department that takes a while, and most programs end
    /// with it.
    pub fn drop_beside(self) {
        rayon::spawn(move || drop(self));
    }

    /// The card of that id, with its deck. Of two cards with one id, the first.
    pub fn card(&self, id: &str) -> Option<(&Deck, &Card)> {
        self.by_id.card(&self.decks, id)
    }

    /// All cards with their decks, in order.
    pub fn cards(&self) -> impl Iterator<Item = (&Deck, &Card)> {
        self.decks.iter().flat_map(|deck| deck.cards.iter().map(move |card| (deck, card)))
    }

    /// The same department, a part of a larger one, told which cards may stand in the rest of it.
    #[must_use]
    pub fn without_cards(self, left_out: BTreeSet<String>) -> Self {
        Self { left_out, ..self }
    }

    /// Whether a card of that id may stand in a part of the department that is not here.
    pub fn is_left_out(&self, id: &str) -> bool {
        self.left_out.contains(id)
    }

    /// Whether a card of that id stood in a part of a deck that could not be read.
    pub fn is_lost(&self, id: &str) -> bool {
        self.decks.iter().any(|deck| deck.lost_ids.iter().any(|lost| lost == id))
    }

    /// The deck of that name.
    pub fn deck(&self, name: &str) -> Option<&Deck> {
        self.decks.binary_search_by(|deck| deck.name.as_str().cmp(name)).ok().map(|at| &self.decks[at])
    }
}

/// `file` as named in `folder`, from the top of the department; `None` when it leaves `decks/`.
pub fn join(folder: &str, file: &str) -> Option<String> {
    if file.starts_with('/') || file.contains(['\\', '\0', ':']) {
        return None;
    }
    if !file.contains('/') && !matches!(file, "" | "." | "..") && folder.starts_with("decks/") {
        return Some(format!("{folder}/{file}"));
    }
    let mut parts: Vec<&str> = folder.split('/').collect();
    for part in file.split('/') {
        match part {
            "" | "." => {}
            ".." => _ = parts.pop()?,
            part => parts.push(part),
        }
    }
    (parts.first() == Some(&"decks")).then(|| parts.join("/"))
}

/// A path that leaves the department only because `\` stands between its folders, with `/` in its place.
pub fn with_slashes(folder: &str, file: &str) -> Option<String> {
    let slashed = file.replace('\\', "/");
    (slashed != file && join(folder, &slashed).is_some()).then_some(slashed)
}

/// The deck whose file this is.
pub fn deck_of(path: &str) -> Option<&str> {
    path.strip_prefix("decks/")?.strip_suffix(CARDS)?.strip_suffix('/')
}

/// Whether a file is read as text: settings, decks, notes.
pub(super) fn is_text(path: &str) -> bool {
    path == settings::PATH || deck_of(path).is_some() || path.ends_with(".md")
}

/// All texts among `files`, in the order of their paths, and what is wrong with them as a whole.
fn read_texts(
    snapshot: &dyn Snapshot,
    files: &BTreeMap<String, Kind>,
) -> Result<(Vec<SourceFile>, Vec<Finding>), SnapshotError> {
    let wanted: Vec<_> = files.iter().filter(|(path, _)| is_text(path)).collect();
    let read = |snapshot: &dyn Snapshot, path: &str, kind: Kind| {
        let mut found = Vec::new();
        read_text(snapshot, path, kind, &mut found).map(|text| (text, found))
    };
    let taken: Vec<(Option<SourceFile>, Vec<Finding>)> = match snapshot.side_by_side() {
        Some(snapshot) => {
            wanted.par_iter().map(|(path, kind)| read(snapshot, path, **kind)).collect::<Result<_, _>>()?
        }
        None => wanted.iter().map(|(path, kind)| read(snapshot, path, **kind)).collect::<Result<_, _>>()?,
    };
    let (texts, found): (Vec<_>, Vec<_>) = taken.into_iter().unzip();
    Ok((texts.into_iter().flatten().collect(), found.concat()))
}

/// The text of a file, as far as it is one; what is wrong with it as a whole is added to `found`.
///
/// # Errors
///
/// When the snapshot cannot be read.
pub fn read_text(
    snapshot: &dyn Snapshot,
    path: &str,
    kind: Kind,
    found: &mut Vec<Finding>,
) -> Result<Option<SourceFile>, SnapshotError> {
    let refuse = |message: &str, help: &str| {
        Finding::new("unreadable", Level::Error, Place::top_of(path), message).help(help).about(message)
    };
    match kind {
        Kind::File { size } if size <= MAX_TEXT => {}
        Kind::File { .. } => {
            found.push(refuse("this file is larger than any deck or notes", "split it into smaller topics"));
            return Ok(None);
        }
        // Told with the other files that are passed over.
        Kind::Misnamed => return Ok(None),
        Kind::Link => {
            found.push(refuse("this is a link to another file", "put the file itself here"));
            return Ok(None);
        }
    }
    let (text, saved, at) = match decode(snapshot.read(path)?) {
        Decoded::Sound(text) => return Ok(Some(unmarked(SourceFile::new(path, text), found))),
        Decoded::Otherwise { text, saved, at } => (text, saved, at),
        Decoded::NoText => {
            let mut finding = refuse("this file holds no text", "put a text file saved as UTF-8 in its place");
            finding.deck = deck_of(path).map(str::to_owned);
            found.push(finding);
            return Ok(None);
        }
    };
    let file = SourceFile::new(path, text);
    let message = match saved {
        Saved::Utf16 => "this file is saved as UTF-16, not as UTF-8",
        Saved::OneByte => "some letters in this file cannot be read: it is not saved as UTF-8",
    };
    let mut finding = refuse(message, "open it in your editor and save it with the encoding UTF-8");
    finding.place = file.place(Span::at(at));
    finding.deck = deck_of(path).map(str::to_owned);
    found.push(finding);
    Ok(Some(file))
}

/// Notes or settings without git's marks, which are told once: all that is read into them would be told
/// again as headings and fields that nobody wrote.
fn unmarked(file: SourceFile, found: &mut Vec<Finding>) -> SourceFile {
    // A deck's reader takes its own out.
    if deck_of(&file.path).is_some() {
        return file;
    }
    let Some((text, at)) = first_side(&file.text) else { return file };
    let message = "git left two people's versions here, line by line";
    let help = "keep the right one of the two, or a text of both, and take the lines with <<<<<<<, ======= and >>>>>>> out; \
                then `git add` the file";
    let finding = Finding::new("unreadable", Level::Error, file.place(Span::at(at)), message);
    found.push(finding.help(help).about(message));
    SourceFile::new(Arc::clone(&file.path), text)
}

fn no_settings() -> Finding {
    Finding::new("missing-field", Level::Error, Place::top_of(settings::PATH), "the department has no settings file")
        .help("write `decks/department.yaml` with `department:`, `school:` and `years:`, or run `deckle start`")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decks_are_found_by_name_beside_one_that_begins_alike() {
        let names = ["year-8/rivers", "year-8/rivers-2", "year-8/rivers/upper"];
        let texts = names.iter().map(|name| SourceFile::new(format!("decks/{name}/{CARDS}"), "title: x\n"));
        let mut texts: Vec<_> = texts.collect();
        texts.sort_by(|one, other| one.path.cmp(&other.path));
        let department = Department::from_texts(texts, BTreeMap::new());
        for name in names {
            assert_eq!(department.deck(name).map(|deck| deck.name.as_str()), Some(name));
        }
    }

    #[test]
    fn paths_stay_in_the_department() {
        assert_eq!(
            join("decks/year-8/rivers", "pictures/a.svg").as_deref(),
            Some("decks/year-8/rivers/pictures/a.svg")
        );
        assert_eq!(join("decks/year-8/rivers", "../coasts/notes.md").as_deref(), Some("decks/year-8/coasts/notes.md"));
        assert_eq!(with_slashes("decks/year-8/rivers", "pictures\\a.svg").as_deref(), Some("pictures/a.svg"));
        for path in ["pictures/a.svg", "C:\\a.svg", "\\a.svg", "\\\\server\\a.svg", "..\\..\\..\\a.svg"] {
            assert_eq!(with_slashes("decks/year-8/rivers", path), None, "{path}");
        }
        for path in ["../../../etc/passwd", "/etc/passwd", "C:\\x", "..\\x", "c:x", "../../../decks2/x"] {
            assert_eq!(join("decks/year-8/rivers", path), None, "{path}");
        }
    }
}
