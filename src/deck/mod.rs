//! Cards, decks and the department: reading them with places, and editing their text without
//! touching the rest. Knows nothing of git and prints nothing.

pub mod again;
mod by_id;
pub mod card;
pub mod department;
mod encoding;
pub mod fields;
mod marks;
pub mod outline;
mod read;
pub mod settings;
mod stray;
mod tidy;
pub mod value;
pub mod write;
pub mod yaml;

use std::sync::Arc;

pub use card::{Answer, Card, Picture, Question, Text, Undecided, Version, Waiver};
pub use department::Department;
pub use read::{RESERVED, as_id, is_id, read_deck};
pub use settings::Settings;
pub use tidy::tidy;
pub use value::Value;

use crate::finding::Finding;
use crate::place::{SourceFile, Span};

/// The cards of one topic.
#[derive(Debug)]
pub struct Deck {
    /// The folder under `decks/`, such as `year-8/rivers`.
    pub name: String,
    /// Its `cards.yaml`.
    pub file: Arc<SourceFile>,
    /// The topic.
    pub title: Option<Text>,
    /// The year group, with its place.
    pub year: Option<(u8, Span)>,
    /// What two people changed in different ways about the deck itself.
    pub undecided: Vec<Undecided>,
    /// The cards, in order.
    pub cards: Vec<Card>,
    /// Ids in parts of the file that could not be read.
    pub lost_ids: Vec<String>,
    /// What was found while reading.
    pub findings: Vec<Finding>,
}

impl Deck {
    fn empty(file: &Arc<SourceFile>) -> Self {
        Self {
            name: String::new(),
            file: Arc::clone(file),
            title: None,
            year: None,
            undecided: Vec::new(),
            cards: Vec::new(),
            lost_ids: Vec::new(),
            findings: Vec::new(),
        }
    }

    /// The deck's folder from the top of the department, such as `decks/year-8/rivers`.
    pub fn folder(&self) -> String {
        format!("decks/{}", self.name)
    }

    /// The topic, or the folder's name where it is missing.
    pub fn topic(&self) -> &str {
        self.title.as_deref().unwrap_or(&self.name)
    }
}
