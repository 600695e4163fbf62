//! What rules may look at.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::repeats::{Repeat, repeats};
use super::rule::Rule;
use crate::deck::{Card, Deck, Department, Question, Settings};
use crate::finding::{Finding, Related};
use crate::notes::Notes;
use crate::place::Span;

/// A department with what the rules share: its notes, read, and the questions that are asked twice.
#[derive(Debug)]
pub struct Context<'a> {
    /// The department.
    pub department: &'a Department,
    /// The notes by path.
    pub notes: BTreeMap<&'a str, Notes>,
    /// The questions that are asked again.
    pub(super) repeats: Vec<Repeat<'a>>,
}

impl<'a> Context<'a> {
    /// Reads the notes of `department`.
    pub fn new(department: &'a Department) -> Self {
        let notes = department.notes.par_iter().map(|(path, file)| (path.as_str(), Notes::read(&file.text)));
        Self { department, notes: notes.collect(), repeats: repeats(department) }
    }

    /// The settings.
    pub fn settings(&self) -> &'a Settings {
        &self.department.settings
    }

    /// All cards, as rules see them.
    pub fn cards(&self) -> impl Iterator<Item = CardView<'_>> {
        self.department.cards().map(|(deck, card)| CardView { context: self, deck, card })
    }
}

/// A deck within its department.
#[derive(Clone, Copy, Debug)]
pub struct DeckView<'a> {
    /// The department.
    pub context: &'a Context<'a>,
    /// The deck.
    pub deck: &'a Deck,
}

impl DeckView<'_> {
    /// A finding of `rule` at `span` of the deck's file.
    pub fn finding(&self, rule: &Rule, span: Span, message: impl Into<String>) -> Finding {
        rule.finding(self.deck.file.place(span), message).in_deck(&self.deck.name)
    }
}

/// A card within its deck.
#[derive(Clone, Copy, Debug)]
pub struct CardView<'a> {
    /// The department.
    pub context: &'a Context<'a>,
    /// The card's deck.
    pub deck: &'a Deck,
    /// The card.
    pub card: &'a Card,
}

impl<'a> CardView<'a> {
    /// A finding of `rule` about `field` at `span` of the deck's file.
    pub fn finding(&self, rule: &Rule, span: Span, field: impl Into<String>, message: impl Into<String>) -> Finding {
        let place = self.deck.file.place(span);
        rule.finding(place, message).in_deck(&self.deck.name).on_card(&self.card.id).in_field(field)
    }

    /// This card as a second place of another finding.
    pub fn related(&self, span: Span, message: impl Into<String>) -> Related {
        Related {
            place: self.deck.file.place(span),
            deck: Some(self.deck.name.clone()),
            card: (!self.card.id.is_empty()).then(|| self.card.id.value.clone()),
            message: message.into(),
        }
    }

    /// The year group of the deck.
    pub fn year(&self) -> Option<u8> {
        self.deck.year.map(|(year, _)| year)
    }

    /// The questions that have text.
    pub fn asked(&self) -> impl Iterator<Item = &'a Question> {
        self.card.questions.iter().filter(|question| !question.question.is_empty())
    }

    /// `deck/card` in words, for messages about another card.
    pub fn name(&self) -> String {
        format!("`{}` in {}", self.card.id.value, self.deck.name)
    }
}
