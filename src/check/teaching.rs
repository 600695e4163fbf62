//! When decks are taught, by the scheme of work.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::deck::Settings;

/// The decks of the scheme with the time they are taught.
#[derive(Debug)]
pub struct Teaching<'a> {
    lessons: BTreeMap<&'a str, When>,
}

/// When a deck is taught for the first time.
#[derive(Clone, Copy, Debug)]
struct When {
    day: Option<Date>,
    term: Option<Date>,
    place: usize,
}

impl<'a> Teaching<'a> {
    /// What the scheme says.
    pub fn of(settings: &'a Settings) -> Self {
        let mut lessons = BTreeMap::new();
        for (place, lesson) in settings.scheme.iter().enumerate() {
            let term = settings.terms_named(&lesson.term).first().map(|term| term.starts);
            lessons.entry(lesson.deck.value.as_str()).or_insert(When { day: lesson.taught_on, term, place });
        }
        Self { lessons }
    }

    /// Whether `deck` is taught after `other`: by day, else by term, else by their order in the
    /// scheme; never when one of them is not in the scheme.
    pub fn is_later(&self, deck: &str, other: &str) -> bool {
        let (Some(deck), Some(other)) = (self.lessons.get(deck), self.lessons.get(other)) else { return false };
        if let (Some(day), Some(other)) = (deck.day, other.day) {
            return day > other;
        }
        match (deck.term, other.term) {
            (Some(term), Some(other)) if term != other => term > other,
            _ => deck.place > other.place,
        }
    }
}
