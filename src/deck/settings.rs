//! `decks/department.yaml`: who the department is, its limits, terms and scheme of work.
//!
//! Everything but the first three fields has a default; see [`Settings::default`] and [`Limits::default`].

mod read;

use std::collections::BTreeMap;
use std::sync::Arc;

use jiff::civil::Date;

pub use read::read_settings;

use super::card::Text;
use crate::finding::{Finding, Level};
use crate::place::{SourceFile, Span};

/// Where the settings stand, from the top of the department.
pub const PATH: &str = "decks/department.yaml";

/// How much may stand on a card, a section and a deck.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// Words on one side of a card (Unicode words). Common practice: one fact, a few connected ones.
    pub words_on_a_side: usize,
    /// Questions on a card, its own counted.
    pub questions_on_a_card: usize,
    /// Points in a list answer.
    pub points_in_an_answer: usize,
    /// Words in a section of the notes. Common practice: no more than about a page at a time.
    pub words_in_a_section: usize,
    /// How long a pupil takes for one question, for telling how long a deck takes.
    pub seconds_for_a_question: usize,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            words_on_a_side: 40,
            questions_on_a_card: 3,
            points_in_an_answer: 5,
            words_in_a_section: 450,
            seconds_for_a_question: 30,
        }
    }
}

/// How pupils revise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Session {
    /// The longest session, in minutes. Common practice.
    pub minutes: usize,
    /// After how many days a card is asked again. Common practice.
    pub review_days: Vec<u16>,
}

impl Default for Session {
    fn default() -> Self {
        Self { minutes: 20, review_days: vec![1, 7, 21] }
    }
}

/// How cards are printed when nobody asks for anything else, in the words of `deckle print`; `None` for
/// what the program does by itself.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Printing {
    /// How large a card is: one of [`PAPERS`].
    pub paper: Option<&'static str>,
    /// On which edge the printers turn the paper: one of [`FLIPS`].
    pub flip: Option<&'static str>,
}

/// How large cards can be.
pub const PAPERS: &[&str] = &["standard", "a7", "a6", "index"];

/// On which edge printers turn the paper.
pub const FLIPS: &[&str] = &["long", "short"];

/// A term of the school year.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Term {
    /// Its name, such as `autumn`.
    pub name: Text,
    /// First day.
    pub starts: Date,
    /// Last day.
    pub ends: Date,
}

impl Term {
    /// The name with the year in which it starts, as packs carry it: `autumn-2026`.
    pub fn slug(&self) -> String {
        format!("{}-{}", super::as_id(&self.name), self.starts.year())
    }
}

/// Days without school.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Holiday {
    /// Its name.
    pub name: String,
    /// First day.
    pub starts: Date,
    /// Last day.
    pub ends: Date,
}

/// One line of the scheme of work: which deck is taught when.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lesson {
    /// The deck, such as `year-8/rivers`.
    pub deck: Text,
    /// The term, by name or by name and year.
    pub term: Text,
    /// The day on which it is taught.
    pub taught_on: Option<Date>,
}

/// The colour of a topic's band, and of the text on it, as `#rrggbb`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Colour {
    /// The band.
    pub band: Text,
    /// The text on it; white unless it is given.
    pub text: Text,
}

/// The settings of a department.
#[derive(Debug)]
pub struct Settings {
    /// The file they stand in.
    pub file: Arc<SourceFile>,
    /// The subject, such as `Geography`.
    pub department: Option<Text>,
    /// The school's name.
    pub school: Option<Text>,
    /// The year groups.
    pub years: Vec<u8>,
    /// The terms, in the order written.
    pub terms: Vec<Term>,
    /// Days without school.
    pub holidays: Vec<Holiday>,
    /// How much may stand where.
    pub limits: Limits,
    /// How pupils revise.
    pub session: Session,
    /// How cards are printed.
    pub print: Printing,
    /// Colours by deck or by topic.
    pub colours: Vec<(Text, Colour)>,
    /// The scheme of work, in teaching order.
    pub scheme: Vec<Lesson>,
    /// E-mail addresses of those who release.
    pub leads: Vec<Text>,
    /// Levels that differ from a rule's own; `None` switches the rule off.
    pub policy: BTreeMap<String, Policy>,
    /// What was found while reading.
    pub findings: Vec<Finding>,
}

/// The department's own level for a rule.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Policy {
    /// The level, or `None` for off.
    pub level: Option<Level>,
    /// Where the rule is named.
    pub span: Span,
}

impl Settings {
    /// The settings of a department that has not written any.
    pub fn default_in(file: Arc<SourceFile>) -> Self {
        Self {
            file,
            department: None,
            school: None,
            years: Vec::new(),
            terms: Vec::new(),
            holidays: Vec::new(),
            limits: Limits::default(),
            session: Session::default(),
            print: Printing::default(),
            colours: Vec::new(),
            scheme: Vec::new(),
            leads: Vec::new(),
            policy: BTreeMap::new(),
            findings: Vec::new(),
        }
    }

    /// The place of a deck in the scheme of work, from 0; `None` when it is not in it.
    pub fn teaching_place(&self, deck: &str) -> Option<usize> {
        self.scheme.iter().position(|lesson| lesson.deck.value == deck)
    }

    /// The colours of a deck: those given for the deck, else for its last folder, else for its topic.
    pub fn colour_of(&self, deck: &str, topic: &str) -> Option<&Colour> {
        let last = deck.rsplit('/').next().unwrap_or(deck);
        [deck, last, topic].iter().find_map(|name| {
            self.colours.iter().find(|(key, _)| key.value.eq_ignore_ascii_case(name)).map(|(_, colour)| colour)
        })
    }

    /// The terms that `name` may mean: `autumn` (any year) or `autumn-2026`.
    pub fn terms_named(&self, name: &str) -> Vec<&Term> {
        let wanted = super::as_id(name);
        let named = |term: &&Term| super::as_id(&term.name) == wanted || term.slug() == wanted;
        self.terms.iter().filter(named).collect()
    }
}
