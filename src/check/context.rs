//! What rules may look at.

use std::collections::BTreeSet;

use rayon::join;
use rayon::prelude::*;
use thin_vec::ThinVec;

use super::cited::section_of;
use super::repeats::{Keyed, Repeat, keyed, repeats};
use super::rule::Rule;
use super::similar::{Alike, alike, noted};
use super::sourced::{Judged, judged, of_card};
use crate::deck::{Card, Deck, Department, Question, Settings, Text};
use crate::finding::{Finding, Related};
use crate::notes::Notes;
use crate::place::Span;
use crate::source::{AllNotes, Place, State, Weights};
use crate::text;

/// A department with what the rules share: its notes, read, and the questions that are asked twice.
#[derive(Debug)]
pub struct Context<'a> {
    /// The department.
    pub department: &'a Department,
    /// The notes, read.
    pub all_notes: AllNotes,
    /// What became of the cards' quotes, by deck and card, where not all of them stand.
    pub(super) judged: Vec<Vec<ThinVec<Judged>>>,
    /// The questions that are asked again.
    pub(super) repeats: Vec<Repeat<'a>>,
    /// The questions that are asked again in other words.
    pub(super) alike: Vec<Alike<'a>>,
    /// The ids of cards in a part of the department that is not here, as far as they are needed.
    pub(super) ids_elsewhere: Vec<String>,
    /// The decks that are not judged.
    beside: BTreeSet<String>,
}

impl<'a> Context<'a> {
    /// Reads the notes of `department`.
    pub fn new(department: &'a Department) -> Self {
        Self::made(department, alike)
    }

    /// The same; `note` is told which questions were compared, what they have in common, and which pairs of
    /// them ask the same.
    pub(super) fn noting(
        department: &'a Department,
        note: impl FnOnce(&[&Keyed<'a>], text::Record, Vec<(u32, u32)>) + Send,
    ) -> Self {
        Self::made(department, |keyed, weights| noted(keyed, weights, note))
    }

    fn made(department: &'a Department, alike: impl FnOnce(&[Keyed<'a>], &Weights) -> Vec<Alike<'a>> + Send) -> Self {
        let notes: Vec<_> =
            department.notes.par_iter().map(|(path, file)| (path.clone(), Notes::read(&file.text))).collect();
        let all_notes = AllNotes::new(notes);
        // Made before the threads judge, which all need them.
        let (weights, keyed) = join(|| all_notes.weights(), || keyed(department));
        let (judged, (repeats, alike)) =
            join(|| judged(department, &all_notes, |_| true), || join(|| repeats(&keyed), || alike(&keyed, weights)));
        Self { department, all_notes, judged, repeats, alike, ids_elsewhere: Vec::new(), beside: BTreeSet::new() }
    }

    /// A part of a department with its notes and the questions alike in other words, of which only some decks
    /// are judged: the others stand beside them.
    pub(super) fn of_part(
        department: &'a Department,
        all_notes: AllNotes,
        alike: Vec<Alike<'a>>,
        ids_elsewhere: Vec<String>,
        is_judged: impl Fn(&Deck) -> bool + Sync,
    ) -> Self {
        let repeats = repeats(&keyed(department));
        let judged = judged(department, &all_notes, &is_judged);
        let beside = department.decks.iter().filter(|deck| !is_judged(deck)).map(|deck| deck.name.clone()).collect();
        Self { department, all_notes, judged, repeats, alike, ids_elsewhere, beside }
    }

    /// Drops the whole without letting anybody wait for it.
    pub(super) fn drop_beside(self) {
        let Self { all_notes, judged, .. } = self;
        rayon::spawn(move || drop((all_notes, judged)));
    }

    /// Whether a deck is not judged itself.
    pub(super) fn is_beside(&self, deck: &Deck) -> bool {
        self.beside.contains(&deck.name)
    }

    /// The ids of all cards, wherever they are.
    pub(super) fn ids(&self) -> impl Iterator<Item = &str> {
        let here = self.department.cards().map(|(_, card)| card.id.value.as_str());
        here.chain(self.ids_elsewhere.iter().map(String::as_str))
    }

    /// The settings.
    pub fn settings(&self) -> &'a Settings {
        &self.department.settings
    }

    /// What became of a card's quotes in the notes.
    pub(crate) fn judged_of(&self, deck: &Deck, card: &Card) -> Vec<Judged> {
        of_card(deck, card, &self.all_notes)
    }

    /// All cards, as rules see them.
    pub fn cards(&self) -> impl Iterator<Item = CardView<'_>> {
        self.department.cards().map(|(deck, card)| CardView { context: self, deck, card })
    }
}

/// The number of `deck` when it is one of `decks`, and no copy.
fn place_among(decks: &[Deck], deck: &Deck) -> Option<usize> {
    let bytes = std::ptr::from_ref(deck).addr().checked_sub(decks.as_ptr().addr())?;
    let at = bytes / size_of::<Deck>();
    decks.get(at).is_some_and(|other| std::ptr::eq(other, deck)).then_some(at)
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
    /// What became of the card's quotes in the notes; nothing when all of them stand and hold the answers.
    pub(super) fn judged(&self) -> &'a [Judged] {
        // Decks stand by name and cards by place, so both are found quickly.
        let decks = &self.context.department.decks;
        let deck = place_among(decks, self.deck)
            .or_else(|| decks.binary_search_by(|deck| deck.name.cmp(&self.deck.name)).ok());
        let card = self.deck.cards.partition_point(|card| card.span.start() < self.card.span.start());
        deck.and_then(|deck| self.context.judged.get(deck)?.get(card)).map_or(&[], ThinVec::as_slice)
    }

    /// Whether a quote that leans on `source` was found elsewhere: then `moved-quote` says where, and
    /// what is wrong with the source need not be said as well.
    pub(super) fn has_moved(&self, source: &Text) -> bool {
        self.judged().iter().any(|judged| {
            judged.judgement.state == State::Moved && self.card.source_of(judged.question(self.card)) == Some(source)
        })
    }

    /// A passage of the notes as a second place of a finding.
    pub(super) fn in_notes(&self, place: &Place, message: &str) -> Option<Related> {
        let file = self.context.department.notes.get(&place.file)?;
        let place = file.place(Span::new(place.span.start, place.span.end));
        Some(Related { place, deck: None, card: None, message: message.to_owned() })
    }

    /// The notes file and section that a question names.
    pub(super) fn section_named(&self, question: &Question) -> Option<(String, String)> {
        section_of(self.deck, self.card, question)
    }

    /// Whether a text stands on one line as it reads, quotes aside, so that it can be replaced where it
    /// stands.
    pub(super) fn is_typed_plainly(&self, text: &Text) -> bool {
        let written = text.span.of(&self.deck.file.text);
        let before = self.deck.file.text[..text.span.start()].trim_end_matches(' ');
        !written.contains('\n') && !before.ends_with('\n') && !written.is_empty()
    }

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
            card: (!self.card.id.is_empty()).then(|| self.card.id.value.to_string()),
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
