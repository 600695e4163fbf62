//! The shape of what changed.

use serde::Serialize;

use super::effect::Effect;
use super::fields::FieldChange;
use super::words::Run;
use crate::deck::Value;

/// What changed between two departments.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Changes {
    /// The decks in which anything differs, by name.
    pub decks: Vec<DeckChange>,
    /// The sections of the notes that differ, by path and place.
    pub notes: Vec<NotesChange>,
    /// The pictures that look different under the same name, by path.
    pub pictures: Vec<PictureChange>,
    /// The settings that differ.
    pub settings: Vec<SettingChange>,
    /// How many files of notes and settings differ in layout alone.
    pub reformatted_files: usize,
}

/// What changed in one deck.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DeckChange {
    /// The deck, such as `year-8/rivers`.
    pub deck: String,
    /// Its topic.
    pub topic: String,
    /// Whether the deck itself came, went or got another name.
    pub state: DeckState,
    /// Its name before, when it got another one.
    pub from: Option<String>,
    /// What differs in its title and year group.
    pub fields: Vec<FieldChange>,
    /// The cards that differ: those that stand in it, in order, then those that are gone.
    pub cards: Vec<CardChange>,
    /// How many cards stand in another place, and differ in nothing else.
    pub reordered: usize,
    /// How many cards are written in another way and say the same.
    pub reformatted: usize,
    /// Whether nothing but comments, blank lines and the like differs.
    pub layout_only: bool,
}

/// What happened to a deck itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum DeckState {
    /// It is in both.
    Kept,
    /// It is new.
    Added,
    /// It is gone.
    Removed,
    /// Most of its cards came from a deck that is gone.
    Renamed,
}

/// What happened to one card.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CardChange {
    /// Its id; empty when it has none.
    pub id: String,
    /// What it asks, now or, when it is gone, before.
    pub question: String,
    /// What happened.
    pub what: What,
    /// The deck it came from, when it moved.
    pub from: Option<String>,
    /// The fields that differ, in the order of the table of fields; of a new or removed card, all.
    pub fields: Vec<FieldChange>,
    /// What an edit means to those who learn from the card; none for cards that were not edited.
    pub effect: Option<Effect>,
    /// The passage of the notes that it was made from, as they now stand; filled in by a review.
    pub passage: Option<Passage>,
}

/// A passage of the notes.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Passage {
    /// `file#section`, as the card names it.
    pub source: String,
    /// What it says.
    pub text: String,
}

/// What can happen to a card.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum What {
    /// It is new.
    Added,
    /// It is gone.
    Removed,
    /// Some of its fields differ.
    Edited,
    /// It stands in another deck.
    Moved,
    /// It stands in another deck, and some of its fields differ.
    MovedAndEdited,
}

/// A section of the notes that differs.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NotesChange {
    /// The file.
    pub path: String,
    /// The section; empty for the text before the first heading.
    pub anchor: String,
    /// Its heading.
    pub heading: String,
    /// What happened to it.
    pub state: NotesState,
    /// Its text, word by word, when it was edited.
    pub words: Vec<Run>,
    /// The ids of the cards that were made from it, as they now stand.
    pub cards: Vec<String>,
    /// How these cards stood to the notes, and stand to them; filled in by a review.
    pub leaning: Vec<Leaning>,
}

/// How a card stands to the notes that it was made from, before and now; the worst of its quotes and
/// answers counts. Nothing where the card was not there.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Leaning {
    /// The card.
    pub card: String,
    /// Before, such as `supported`.
    pub before: Option<&'static str>,
    /// Now, such as `contradicted`.
    pub now: Option<&'static str>,
}

/// What happened to a section.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum NotesState {
    /// It is new.
    Added,
    /// It is gone.
    Removed,
    /// It says something else.
    Edited,
}

/// A picture that looks different.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PictureChange {
    /// The file.
    pub path: String,
    /// The ids of the cards that show it.
    pub cards: Vec<String>,
    /// What that means to those who learn from these cards: another picture.
    pub effect: Effect,
}

/// A setting that differs.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SettingChange {
    /// Its name, such as `scheme`.
    pub key: String,
    /// What it said.
    pub before: Option<Value>,
    /// What it says.
    pub after: Option<Value>,
}

/// How many of what.
///
/// A card that was moved and edited counts as both.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Counts {
    /// New cards.
    pub added: usize,
    /// Cards that are gone.
    pub removed: usize,
    /// Cards with fields that differ.
    pub edited: usize,
    /// Cards in another deck.
    pub moved: usize,
    /// Edited cards of which a fact changed.
    pub facts: usize,
    /// Cards in another place of their deck.
    pub reordered: usize,
    /// Cards that are written in another way.
    pub reformatted: usize,
}

/// How much changed beside cards.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct BesideCards {
    /// Decks that came, went or got another name.
    pub decks: usize,
    /// Sections of the notes.
    pub notes: usize,
    /// Pictures that look different.
    pub pictures: usize,
    /// Settings.
    pub settings: usize,
}

impl Changes {
    /// Whether nothing at all changed.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// All cards that changed, with their decks' changes, in order.
    pub fn cards(&self) -> impl Iterator<Item = (&DeckChange, &CardChange)> {
        self.decks.iter().flat_map(|deck| deck.cards.iter().map(move |card| (deck, card)))
    }

    /// What changed beside cards, and how much.
    pub fn beside_cards(&self) -> BesideCards {
        BesideCards {
            decks: self.decks.iter().filter(|deck| deck.state != DeckState::Kept).count(),
            notes: self.notes.len(),
            pictures: self.pictures.len(),
            settings: self.settings.len(),
        }
    }

    /// How many of what.
    pub fn counts(&self) -> Counts {
        let mut counts = Counts::default();
        for deck in &self.decks {
            counts.reordered += deck.reordered;
            counts.reformatted += deck.reformatted;
        }
        for (_, card) in self.cards() {
            let what = card.what;
            counts.added += usize::from(what == What::Added);
            counts.removed += usize::from(what == What::Removed);
            counts.edited += usize::from(what.is_edit());
            counts.moved += usize::from(what.is_move());
            counts.facts += usize::from(card.effect == Some(Effect::Fact));
        }
        counts
    }
}

impl What {
    /// Whether fields differ.
    pub fn is_edit(self) -> bool {
        matches!(self, What::Edited | What::MovedAndEdited)
    }

    /// Whether it stands in another deck.
    pub fn is_move(self) -> bool {
        matches!(self, What::Moved | What::MovedAndEdited)
    }
}
