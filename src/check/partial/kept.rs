//! What is kept of the check of a whole department.

use std::collections::BTreeMap;

use super::super::policy::Waived;
use super::shares::Shares;
use crate::finding::Finding;
use crate::snapshot::Kind;
use crate::source::Weights;
use crate::text::{self, KeptQuestions, OwnPosed};

/// What was kept of the check of a whole department. Nothing is said where that cannot be read.
pub trait Kept: KeptQuestions + Sync {
    /// What there is on one page.
    fn overview(&self) -> &Overview;
    /// The decks that share something, in order.
    fn decks_with(&self, share: u64) -> Option<Vec<u32>>;
    /// What a deck may share.
    fn shares(&self, deck: u32) -> Option<Shares>;
    /// The ids of a deck's cards.
    fn ids(&self, deck: u32) -> Option<Vec<String>>;
    /// One of the questions that are compared.
    fn question(&self, number: u32) -> Option<KeptQuestion>;
    /// The weights of the words in the notes.
    fn weights(&self) -> Option<Weights>;
}

/// What is kept on one page: the decks, and all that was found.
#[derive(Clone, Debug, Default)]
pub struct Overview {
    /// The decks, by name.
    pub decks: Vec<KeptDeck>,
    /// All files.
    pub files: BTreeMap<String, Kind>,
    /// What was found, before levels and waivers.
    pub findings: Vec<Finding>,
    /// What was found of the names of files.
    pub strays: Vec<Finding>,
    /// The waivers of all cards, each with the number of its deck.
    pub waivers: Vec<(u32, Waived)>,
    /// The ids in parts of decks that could not be read.
    pub lost_ids: Vec<(u32, String)>,
}

/// A deck.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct KeptDeck {
    /// Its name.
    pub name: String,
    /// Its year group.
    pub year: Option<u8>,
    /// How many cards it has.
    pub cards: u32,
    /// The number of the first of its questions that are compared; with the next deck's, where they end.
    pub first_question: u32,
}

impl Overview {
    /// The number of a deck.
    pub fn number(&self, name: &str) -> Option<u32> {
        self.decks.binary_search_by(|deck| deck.name.as_str().cmp(name)).ok().map(|at| at as u32)
    }

    /// The deck of one of the questions that are compared.
    pub(super) fn deck_of_question(&self, question: u32) -> u32 {
        self.decks.partition_point(|deck| deck.first_question <= question).saturating_sub(1) as u32
    }
}

/// One of the questions that are compared: of those with one form, the first of each year group.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct KeptQuestion {
    /// The number of its card in the deck, and its own on the card.
    pub at: (u32, u32),
    /// All that counts when it is compared.
    pub said: Said,
}

/// All that counts when a question is compared with another.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Said {
    /// Its form, as a number.
    pub form: u64,
    /// Whether the order of its answer's points counts.
    pub ordered: bool,
    /// Whether its answer is a list.
    pub listed: bool,
    /// As it is posed.
    pub posed: OwnPosed,
}

/// All that is to be kept of the check of a whole department.
#[derive(Clone, Debug, Default)]
pub struct Record {
    /// What is kept on one page.
    pub overview: Overview,
    /// What each deck may share.
    pub shares: Vec<Shares>,
    /// The ids of each deck's cards.
    pub ids: Vec<Vec<String>>,
    /// The questions that are compared.
    pub questions: Vec<KeptQuestion>,
    /// What they have in common.
    pub common: text::Record,
    /// The pairs of them that ask the same.
    pub pairs: Vec<(u32, u32)>,
    /// The weights of the words in the notes.
    pub weights: Vec<u8>,
}
