//! Questions that are asked more than once in the department.

use std::cell::OnceCell;
use std::collections::{BTreeMap, HashSet};
use std::hash::BuildHasher;

use foldhash::fast::RandomState;
use foldhash::quality::FixedState;
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
pub fn repeats<'a>(keyed: &[Keyed<'a>]) -> Vec<Repeat<'a>> {
    let mut once: HashSet<u64, RandomState> = HashSet::with_capacity_and_hasher(keyed.len(), RandomState::default());
    let twice: HashSet<u64, RandomState> =
        keyed.iter().map(|keyed| keyed.digest).filter(|digest| !once.insert(*digest)).collect();
    drop(once);
    let mut groups: BTreeMap<String, Group<'a>> = BTreeMap::new();
    let mut repeats = Vec::new();
    for keyed in keyed.iter().filter(|keyed| twice.contains(&keyed.digest)) {
        let form = keyed.form();
        let found = groups.entry(form.clone()).or_default().add(keyed.asked);
        repeats.extend(found.map(|(first, conflicting)| Repeat { first, again: keyed.asked, conflicting, form }));
    }
    repeats
}

/// A question with the form by which it is the same as another.
#[derive(Debug)]
pub struct Keyed<'a> {
    /// A digest of its form, which would be long to keep: forms of two digests differ, those of one nearly
    /// always are the same.
    pub digest: u64,
    /// Whether it leans on the card's own question.
    pub leans: bool,
    /// The question.
    pub asked: Asked<'a>,
}

/// All questions of a department that have a form, in order.
pub fn keyed(department: &Department) -> Vec<Keyed<'_>> {
    department.decks.par_iter().flat_map_iter(keyed_of).collect()
}

/// All questions of a deck that have a form, in order.
pub fn keyed_of(deck: &Deck) -> impl Iterator<Item = Keyed<'_>> {
    all_asked(deck).filter_map(Keyed::of)
}

fn all_asked(deck: &Deck) -> impl Iterator<Item = Asked<'_>> {
    let asked = deck
        .cards
        .iter()
        .flat_map(move |card| card.questions.iter().map(move |question| Asked { deck, card, question }));
    asked.filter(|asked| !asked.question.question.is_empty())
}

impl<'a> Keyed<'a> {
    /// The question, when it has a form.
    pub fn of(asked: Asked<'a>) -> Option<Keyed<'a>> {
        let leans = refers_back(asked.question);
        let form = form(asked, leans);
        (!form.is_empty()).then(|| Keyed { digest: FixedState::default().hash_one(&form), leans, asked })
    }

    /// The form by which it is the same as another.
    pub fn form(&self) -> String {
        form(self.asked, self.leans)
    }

    /// Whether it is the same question as another.
    pub fn is_same(&self, other: &Keyed<'_>) -> bool {
        self.digest == other.digest && self.form() == other.form()
    }
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
fn form(asked: Asked<'_>, leans: bool) -> String {
    let form = normal(&asked.question.question);
    if form.is_empty() || !leans {
        return form;
    }
    format!("{} / {form}", normal(&asked.card.own().question))
}
