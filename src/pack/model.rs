//! What a pack is, as every output gets it and as `pack.json` holds it (`schema/pack.schema.json`).

use std::collections::BTreeMap;

use indexmap::IndexMap;
use serde::{Deserialize, Serialize};

use super::edition::Edition;
use super::name::tag_name;

/// The version of the format of `pack.json`.
pub const FORMAT: u32 = 1;

/// What every pack says, once.
pub const CAUTIONS: &[&str] = &[
    "These cards support teaching. They do not replace the awarding body's current specification.",
    "Practical work follows the school's own risk assessment and the teacher in charge.",
    "Each picture keeps its own licence, named beside it.",
    "No pupil's name or mark is in this pack.",
];

/// What a year group holds in its hands for a term.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pack {
    /// The subject.
    pub department: String,
    /// The school.
    pub school: String,
    /// The year group.
    pub year: u8,
    /// The term with its year, such as `autumn-2026`.
    pub term: String,
    /// Its running number.
    pub edition: Edition,
    /// The full id of the commit that it was built from.
    pub commit: String,
    /// That commit's own date, by RFC 3339.
    pub released: String,
    /// The edition before.
    pub previous: Option<Previous>,
    /// How pupils revise.
    pub session: PackSession,
    /// The topics, in teaching order.
    pub topics: Vec<Topic>,
    /// The cards, in teaching order.
    pub cards: Vec<PackCard>,
    /// The edition in which a card's answer was last corrected, by card.
    pub corrected: BTreeMap<String, u32>,
}

impl Pack {
    /// The term in words: `autumn 2026`.
    pub fn term_in_words(&self) -> String {
        self.term.replace('-', " ")
    }
}

/// `pack.json`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Manifest {
    /// The version of the format.
    pub format: u32,
    /// The subject.
    pub department: String,
    /// The school.
    pub school: String,
    /// The year group.
    pub year: u8,
    /// The term with its year.
    pub term: String,
    /// Its running number.
    pub edition: Edition,
    /// The commit that it was built from.
    pub commit: String,
    /// That commit's own date.
    pub released: String,
    /// The edition before.
    pub previous: Option<Previous>,
    /// What every pack says.
    pub cautions: Vec<String>,
    /// How pupils revise.
    pub session: PackSession,
    /// The topics, in teaching order.
    pub topics: Vec<Topic>,
    /// The cards, in teaching order.
    pub cards: Vec<PackCard>,
    /// The other files of the pack.
    pub files: Vec<PackFile>,
}

/// An edition before this one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Previous {
    /// Its number.
    pub edition: u32,
    /// Its tag.
    pub tag: String,
    /// Its commit.
    pub commit: String,
}

impl Previous {
    /// The edition that `pack` is; none for a preview.
    pub(super) fn of(pack: &Pack) -> Option<Self> {
        let edition = pack.edition.number()?;
        Some(Self { edition, tag: tag_name(pack.year, &pack.term, edition), commit: pack.commit.clone() })
    }
}

/// How pupils revise.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PackSession {
    /// The longest session, in minutes.
    pub minutes: usize,
    /// After how many days a card is asked again.
    pub review_days: Vec<u16>,
}

/// A topic: the part of a deck that is in the pack.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Topic {
    /// The deck.
    pub deck: String,
    /// What it is called.
    pub title: String,
    /// The day on which it is taught.
    pub taught_on: Option<String>,
    /// Its colours; a plain band where there are none.
    pub colour: Option<PackColour>,
    /// How many of its cards are in the pack.
    pub cards: usize,
}

/// The colours of a topic, as `#rrggbb`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PackColour {
    /// The band.
    pub band: String,
    /// The text on it.
    pub text: String,
}

/// A card of a pack.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PackCard {
    /// Its place in the pack, from 1.
    pub number: usize,
    /// Its id.
    pub id: String,
    /// Its deck.
    pub deck: String,
    /// Its topic.
    pub topic: String,
    /// Whether it goes beyond the core.
    pub tier: Tier,
    /// Its own question, then the further ones.
    pub questions: Vec<PackQuestion>,
    /// Whether the answer may be given and the question asked for.
    pub both_ways: bool,
    /// Ids of cards to know first.
    pub needs: Vec<String>,
    /// Ids of connected cards.
    pub see: Vec<String>,
    /// Its pictures.
    pub pictures: Vec<PackPicture>,
    /// For practical work.
    pub caution: Option<String>,
    /// Free words.
    pub tags: Vec<String>,
    /// Rules that are waived, each with the reason.
    pub allow: IndexMap<String, String>,
}

impl PackCard {
    /// The card's own question.
    pub fn own(&self) -> Option<&PackQuestion> {
        self.questions.first()
    }

    /// What it asks first.
    pub fn question(&self) -> &str {
        self.own().map_or("", |own| &own.question)
    }
}

/// Whether a card belongs to what all pupils learn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Tier {
    /// For everybody.
    Core,
    /// Beyond that.
    Extension,
}

impl Tier {
    /// The word that pupils read.
    pub fn word(self) -> &'static str {
        match self {
            Tier::Core => "core",
            Tier::Extension => "extension",
        }
    }
}

/// A question with its answer.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PackQuestion {
    /// What is asked.
    pub question: String,
    /// The answer: one text, or the points of which all are asked for.
    pub answer: Vec<String>,
    /// Whether the order of the points counts.
    pub ordered: bool,
    /// Other wordings that count as right.
    pub accept: Vec<String>,
    /// The section of the notes: its own, else the card's.
    pub source: Option<String>,
    /// The passages it was made from.
    pub quote: Vec<String>,
}

/// A picture on a card.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PackPicture {
    /// Its file, from the top of the department.
    pub file: String,
    /// The side it stands on.
    pub side: Side,
    /// What it shows, for those who cannot see it.
    pub alt: Option<String>,
    /// Who made it.
    pub credit: Option<String>,
    /// Under which licence it may be used.
    pub licence: Option<String>,
    /// SHA-256 of the file; none when it could not be read.
    pub sha256: Option<String>,
}

/// A side of a card.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Side {
    /// The side that asks.
    Question,
    /// The side that answers.
    Answer,
}

impl Side {
    /// The word that people read.
    pub fn word(self) -> &'static str {
        match self {
            Side::Question => "question",
            Side::Answer => "answer",
        }
    }
}

/// A file of a pack.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PackFile {
    /// Its name; packs have no folders.
    pub name: String,
    /// SHA-256 in hexadecimal digits.
    pub sha256: String,
    /// Its size in bytes.
    pub size: u64,
}

impl Manifest {
    /// What `pack.json` says about `pack` and its other files.
    pub fn of(pack: &Pack, files: &[PackFile]) -> Self {
        let pack = pack.clone();
        Self {
            format: FORMAT,
            department: pack.department,
            school: pack.school,
            year: pack.year,
            term: pack.term,
            edition: pack.edition,
            commit: pack.commit,
            released: pack.released,
            previous: pack.previous,
            cautions: CAUTIONS.iter().map(|caution| (*caution).to_owned()).collect(),
            session: pack.session,
            topics: pack.topics,
            cards: pack.cards,
            files: files.to_vec(),
        }
    }
}
