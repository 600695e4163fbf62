//! Questions that are asked more than once in the department.

use std::cell::OnceCell;
use std::collections::BTreeMap;

use rayon::prelude::*;

use super::agree::Right;
use super::context::{CardView, Context};
use super::refers::refers_back;
use crate::deck::{Card, Deck, Department, Question};
use crate::text::normal;

/// A question with the card and deck it is on.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    /// The deck.
    pub deck: &'a Deck,
    /// The card.
    pub card: &'a Card,
    /// The question.
    pub question: &'a Question,
}

impl<'a> Asked<'a> {
    /// The card, as rules see it.
    pub fn view<'c>(&self, context: &'c Context<'c>) -> CardView<'c>
    where
        'a: 'c,
    {
        CardView { context, deck: self.deck, card: self.card }
    }
}

/// A question that is asked a second time.
#[derive(Clone, Debug)]
pub struct Repeat<'a> {
    /// Where it was asked first.
    pub first: Asked<'a>,
    /// Where it is asked again.
    pub again: Asked<'a>,
    /// Whether the answers differ.
    pub conflicting: bool,
    /// The normal form of the question.
    pub form: String,
}

impl Repeat<'_> {
    /// Whether one card asks both.
    pub fn on_one_card(&self) -> bool {
        std::ptr::eq(self.first.card, self.again.card)
    }
}

/// The questions asked again, in the order of the department.
///
/// Each is held against the first of its kind: for its answer against the first in the department,
/// for being asked at all against the first in its year group.
pub fn repeats(department: &Department) -> Vec<Repeat<'_>> {
    let decks = department.decks.par_iter().flat_map_iter(|deck| {
        let asked = deck
            .cards
            .iter()
            .flat_map(move |card| card.questions.iter().map(move |question| Asked { deck, card, question }));
        asked.filter(|asked| !asked.question.question.is_empty()).map(|asked| (key(asked), asked))
    });
    let mut groups: BTreeMap<String, Group<'_>> = BTreeMap::new();
    let mut repeats = Vec::new();
    for (key, asked) in decks.collect::<Vec<_>>().into_iter().filter(|(key, _)| !key.is_empty()) {
        if let Some(group) = groups.get_mut(&key) {
            repeats.extend(group.add(asked).map(|(first, conflicting)| Repeat {
                first,
                again: asked,
                conflicting,
                form: key,
            }));
        } else {
            groups.entry(key).or_default().add(asked);
        }
    }
    repeats
}

/// The questions of one normal form so far: the first with an answer, and the first of each year.
#[derive(Default)]
struct Group<'a> {
    answered: Option<First<'a>>,
    by_year: BTreeMap<u8, First<'a>>,
}

/// The first question of its kind, with what counts as right for it, worked out when it is asked for.
#[derive(Clone)]
struct First<'a> {
    asked: Asked<'a>,
    right: OnceCell<Right>,
}

impl<'a> Group<'a> {
    /// Takes in a question; the earlier one that it repeats, and whether their answers differ.
    fn add(&mut self, asked: Asked<'a>) -> Option<(Asked<'a>, bool)> {
        let again = First { asked, right: OnceCell::new() };
        let conflict = self.answered.as_ref().filter(|first| first.conflicts(&again)).map(|first| (first.asked, true));
        if self.answered.is_none() && again.is_answered() {
            self.answered = Some(again.clone());
        }
        let year = asked.deck.year.map(|(year, _)| year);
        let in_year = year.and_then(|year| self.by_year.get(&year)).map(|first| (first.asked, first.conflicts(&again)));
        if let Some(year) = year.filter(|_| in_year.is_none()) {
            self.by_year.insert(year, again);
        }
        conflict.or(in_year)
    }
}

impl First<'_> {
    fn is_answered(&self) -> bool {
        !self.asked.question.answer.points.is_empty()
    }

    fn right(&self) -> &Right {
        self.right.get_or_init(|| Right::of(self.asked.question))
    }

    fn conflicts(&self, other: &First<'_>) -> bool {
        self.is_answered() && other.is_answered() && !self.right().agrees(other.right())
    }
}

/// The form by which two questions are the same. One that leans on its card's own question is the
/// same only when that one is the same too.
pub fn key(asked: Asked<'_>) -> String {
    let form = normal(&asked.question.question);
    if form.is_empty() || !refers_back(asked.question) {
        return form;
    }
    format!("{} / {form}", normal(&asked.card.own().question))
}
