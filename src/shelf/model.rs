//! What a shelf knows, as `shelf.json` holds it (`schema/shelf.schema.json`).

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use super::current::year_groups;
use crate::pack::{Edition, PackFile, is_plain, is_slug, parse_tag_name, tag_name, zip_name};

/// The version of the format of `shelf.json`.
pub const FORMAT: u32 = 1;

/// A shelf.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Shelf {
    /// The version of the format.
    pub format: u32,
    /// The feed's own name for life, `urn:uuid:…`.
    pub id: String,
    /// The subject, as the newest edition has it.
    pub department: String,
    /// The school, as the newest edition has it.
    pub school: String,
    /// What each year group should revise from.
    pub current: Vec<Current>,
    /// All editions, by year group, term and number.
    pub editions: Vec<Entry>,
}

/// What a year group should revise from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Current {
    /// The year group.
    pub year: u8,
    /// The page that always shows it.
    pub page: String,
    /// The tag of its current pack; nothing when all of its editions are withdrawn.
    pub tag: Option<String>,
}

/// An edition on the shelf.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// Its tag.
    pub tag: String,
    /// The subject.
    pub department: String,
    /// The school.
    pub school: String,
    /// The year group.
    pub year: u8,
    /// The term with its year.
    pub term: String,
    /// The day on which the term starts.
    pub term_starts: String,
    /// Its number.
    pub edition: u32,
    /// The commit that it was built from.
    pub commit: String,
    /// When it was tagged.
    pub released: String,
    /// How many cards it has.
    pub cards: usize,
    /// Its topics, in teaching order.
    pub topics: Vec<TopicLine>,
    /// Its folder on the shelf.
    pub folder: String,
    /// The zip in that folder.
    pub zip: PackFile,
    /// The files of the zip, which lie in that folder too.
    pub files: Vec<PackFile>,
    /// What is different from the edition before; nothing for the first.
    pub since: Option<Since>,
    /// Whether and why it is withdrawn.
    pub withdrawn: Option<Withdrawal>,
    /// When it was withdrawn before and taken back, the first time first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub restored: Vec<Restored>,
}

/// A topic of an edition.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TopicLine {
    /// What it is called.
    pub title: String,
    /// How many cards of it are in the edition.
    pub cards: usize,
}

/// What is different from the edition before.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Since {
    /// The number of the edition before.
    pub edition: u32,
    /// The cards of which the question or the answer was put right.
    pub corrected: Vec<Correction>,
    /// How many cards say the same in other words.
    pub reworded: usize,
    /// How many differ in something else.
    pub otherwise: usize,
    /// How many are new.
    pub new: usize,
    /// How many are no longer there.
    pub taken_out: usize,
    /// How many are in another topic.
    pub moved: usize,
}

/// A card that was put right.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Correction {
    /// Its number.
    pub number: usize,
    /// Its number in the edition before.
    pub before: usize,
    /// Its id.
    pub id: String,
    /// Its topic.
    pub topic: String,
    /// What it asks.
    pub question: String,
    /// What was put right.
    pub fields: Vec<FieldCorrection>,
}

/// A field of a card that was put right.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FieldCorrection {
    /// What it is called on the printed card.
    pub what: String,
    /// What it said.
    pub was: Option<String>,
    /// What it says.
    pub is: Option<String>,
}

/// That an edition is not to be used any more.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Withdrawal {
    /// When, by RFC 3339.
    pub on: String,
    /// Why.
    pub reason: String,
}

/// That an edition was withdrawn for a time.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Restored {
    /// How it was withdrawn.
    pub withdrawn: Withdrawal,
    /// Since when it may be used again, by RFC 3339.
    pub on: String,
    /// Why.
    pub reason: Option<String>,
}

impl Shelf {
    /// The shelf that holds these editions.
    pub(super) fn new(id: String, mut editions: Vec<Entry>) -> Self {
        editions.sort_by(|a, b| a.place().cmp(&b.place()));
        let newest = editions.iter().max_by_key(|entry| (moment(&entry.released), entry.place()));
        let (department, school) =
            newest.map(|entry| (entry.department.clone(), entry.school.clone())).unwrap_or_default();
        let current = year_groups(&editions).iter().map(Current::of).collect();
        Self { format: FORMAT, id, department, school, current, editions }
    }

    /// The shelf that a `shelf.json` describes, or what is wrong with it. It lies where others may write,
    /// so whatever leads to a file on the shelf must be what a publication writes.
    pub fn read(bytes: &[u8]) -> Result<Self, String> {
        #[derive(Deserialize)]
        struct Formatted {
            format: u32,
        }
        let format = serde_json::from_slice::<Formatted>(bytes).map_err(|error| error.to_string())?.format;
        if format != FORMAT {
            return Err(format!("it has format {format}, and this program reads format {FORMAT}"));
        }
        let shelf: Self = serde_json::from_slice(bytes).map_err(|error| error.to_string())?;
        if shelf.id.strip_prefix("urn:uuid:").is_none_or(|id| uuid::Uuid::try_parse(id).is_err()) {
            return Err(format!("`{}` is no name of a shelf", shelf.id.escape_debug()));
        }
        shelf.editions.iter().try_for_each(Entry::sound)?;
        // The rest follows from the editions.
        let shelf = Self::new(shelf.id, shelf.editions);
        if let Some(twice) = shelf.editions.windows(2).find(|two| two[0].tag == two[1].tag) {
            return Err(format!("it has {} twice", twice[0].tag));
        }
        Ok(shelf)
    }

    /// It as JSON, with a last line end.
    pub(super) fn json(&self) -> String {
        crate::report::json::pretty(self)
    }
}

impl Current {
    fn of(group: &super::current::YearGroup<'_>) -> Self {
        Self { year: group.year, page: group.page(), tag: group.current.map(|entry| entry.tag.clone()) }
    }
}

impl Entry {
    /// The term in words: `autumn 2026`.
    pub fn term_in_words(&self) -> String {
        self.term.replace('-', " ")
    }

    /// Where it stands in the list.
    fn place(&self) -> (u8, &str, &str, u32) {
        (self.year, &self.term_starts, &self.term, self.edition)
    }

    fn sound(&self) -> Result<(), String> {
        let wrong = |what: &str| Err(format!("{} has {what}", self.tag.escape_debug()));
        if parse_tag_name(&self.tag).is_none()
            || !is_slug(&self.term)
            || self.tag != tag_name(self.year, &self.term, self.edition)
        {
            return wrong("another year group, term or number than its tag");
        }
        if self.folder != folder_of(self.year, &self.term, self.edition) {
            return wrong("another folder than its own");
        }
        let zip = zip_name(&self.department, self.year, &self.term, Edition::Number(self.edition));
        if self.zip.name != zip || self.files.iter().any(|file| !is_plain(&file.name)) {
            return wrong("a file with a name that no pack has");
        }
        let before = self.restored.iter().flat_map(|restored| [&restored.withdrawn.on, &restored.on]);
        let moments = self.withdrawn.iter().map(|withdrawal| &withdrawal.on).chain(before).chain([&self.released]);
        if moments.into_iter().any(|text| moment(text).is_none()) {
            return wrong("a date that is none");
        }
        Ok(())
    }
}

/// The folder of an edition on the shelf.
pub(super) fn folder_of(year: u8, term: &str, edition: u32) -> String {
    format!("year-{year}/{term}/edition-{edition}")
}

/// The moment that a date of RFC 3339 names.
pub(super) fn moment(date: &str) -> Option<Timestamp> {
    date.parse().ok()
}
