//! The questions that are compared, as they stand after some decks changed.

use std::collections::{BTreeMap, BTreeSet, HashSet};

use similar::{Algorithm, DiffOp, capture_diff_slices};

use super::super::repeats::keyed_of;
use super::Changed;
use super::kept::{Kept, KeptQuestion, Said};
use super::record::question;
use crate::deck::Deck;
use crate::text::{OwnPosed, Renewed, renewed};

/// The questions as they stand now, by numbers: those that were kept have the numbers that they are kept under,
/// behind them come the new ones.
pub struct Questions<'k> {
    kept: &'k dyn Kept,
    /// Of the decks with other questions than before, the numbers of their questions in order.
    decks: BTreeMap<u32, Vec<u32>>,
    /// Where the questions of these decks stand: deck, place in it, and what is known of each.
    places: BTreeMap<u32, (u32, u32, KeptQuestion)>,
    removed: BTreeSet<u32>,
    /// How the pairs that ask the same differ.
    pub renewed: Renewed,
    come: BTreeMap<u32, Vec<u32>>,
}

impl<'k> Questions<'k> {
    /// The questions of the department after the changes; `sharing` are the decks that share a form with the
    /// changed ones, read.
    pub fn new(kept: &'k dyn Kept, changed: &Changed, sharing: &BTreeMap<u32, &Deck>) -> Option<Self> {
        let mut questions = Self {
            kept,
            decks: BTreeMap::new(),
            places: BTreeMap::new(),
            removed: BTreeSet::new(),
            renewed: Renewed::default(),
            come: BTreeMap::new(),
        };
        let mut added = Vec::new();
        for (deck, now) in compared(kept, changed, sharing)? {
            questions.renew(deck, now, &mut added)?;
        }
        questions.renewed = renewed(kept, &questions.removed, &added, &|question| questions.place(question))?;
        for &(one, other) in &questions.renewed.come {
            questions.come.entry(one).or_default().push(other);
            questions.come.entry(other).or_default().push(one);
        }
        Some(questions)
    }

    /// Takes the questions of one deck as they stand now.
    fn renew(&mut self, deck: u32, now: Vec<KeptQuestion>, added: &mut Vec<OwnPosed>) -> Option<()> {
        let range = self.range(deck);
        let before: Option<Vec<KeptQuestion>> = range.clone().map(|number| self.kept.question(number)).collect();
        let before: Vec<Said> = before?.into_iter().map(|question| question.said).collect();
        let said: Vec<Said> = now.iter().map(|question| question.said.clone()).collect();
        let mut numbers: Vec<Option<u32>> = vec![None; now.len()];
        let mut stay: BTreeSet<u32> = BTreeSet::new();
        for operation in capture_diff_slices(Algorithm::Myers, &before, &said) {
            if let DiffOp::Equal { old_index, new_index, len } = operation {
                for at in 0..len {
                    let number = range.start + (old_index + at) as u32;
                    numbers[new_index + at] = Some(number);
                    stay.insert(number);
                }
            }
        }
        self.removed.extend(range.filter(|number| !stay.contains(number)));
        let mut list = Vec::with_capacity(now.len());
        for (at, (question, number)) in now.into_iter().zip(numbers).enumerate() {
            let number = number.unwrap_or_else(|| {
                added.push(question.said.posed.clone());
                self.kept.questions() + added.len() as u32 - 1
            });
            list.push(number);
            self.places.insert(number, (deck, at as u32, question));
        }
        self.decks.insert(deck, list);
        Some(())
    }

    fn range(&self, deck: u32) -> std::ops::Range<u32> {
        range(self.kept, deck)
    }

    /// The order of questions as they stand now.
    pub fn place(&self, question: u32) -> u64 {
        let (deck, at) = match self.places.get(&question) {
            Some((deck, at, _)) => (*deck, *at),
            None => {
                let deck = self.kept.overview().deck_of_question(question);
                (deck, question - self.range(deck).start)
            }
        };
        u64::from(deck) << 32 | u64::from(at)
    }

    /// The deck of a question.
    pub fn deck(&self, question: u32) -> u32 {
        (self.place(question) >> 32) as u32
    }

    /// The card of a question in its deck, and its number on the card.
    pub fn at(&self, question: u32) -> Option<(u32, u32)> {
        match self.places.get(&question) {
            Some((_, _, question)) => Some(question.at),
            None => self.kept.question(question).map(|question| question.at),
        }
    }

    /// The questions of a deck as they stand now.
    pub fn of_deck(&self, deck: u32) -> Vec<u32> {
        self.decks.get(&deck).cloned().unwrap_or_else(|| self.range(deck).collect())
    }

    /// The questions before this one that ask the same, in order.
    pub fn alike_before(&self, question: u32) -> Option<Vec<u32>> {
        let mut alike = if question < self.kept.questions() { self.kept.alike(question)? } else { Vec::new() };
        let is_gone = |other: u32| {
            let pair = (question.min(other), question.max(other));
            self.removed.contains(&other) || self.renewed.gone.contains(&pair)
        };
        alike.retain(|other| !is_gone(*other));
        alike.extend(self.come.get(&question).into_iter().flatten());
        alike.retain(|other| self.place(*other) < self.place(question));
        alike.sort_by_key(|other| self.place(*other));
        Some(alike)
    }
}

/// The numbers of the questions of a deck as they were kept.
pub fn range(kept: &dyn Kept, deck: u32) -> std::ops::Range<u32> {
    let decks = &kept.overview().decks;
    let first = |at: usize| decks.get(at).map_or(kept.questions(), |deck| deck.first_question);
    first(deck as usize)..first(deck as usize + 1)
}

/// The questions that are compared of the changed decks and of those that share a form with them: of those with
/// one form, the first of each year group.
fn compared(
    kept: &dyn Kept,
    changed: &Changed,
    sharing: &BTreeMap<u32, &Deck>,
) -> Option<BTreeMap<u32, Vec<KeptQuestion>>> {
    let shares = changed.before.values().chain(changed.now.values());
    let forms: HashSet<u64> = shares.flat_map(|shares| shares.groups.iter().copied()).collect();
    let mut seen: BTreeSet<(String, Option<u8>)> = BTreeSet::new();
    let mut compared = BTreeMap::new();
    let mut decks: BTreeMap<u32, &Deck> = changed.decks.iter().map(|(at, deck)| (*at, deck)).collect();
    decks.extend(sharing);
    for (number, deck) in decks {
        let mut before = BTreeSet::new();
        if !changed.decks.contains_key(&number) {
            for question in range(kept, number) {
                before.insert(kept.question(question)?.at);
            }
        }
        let mut questions = Vec::new();
        for keyed in keyed_of(deck) {
            let found = question(&keyed);
            let is_compared = match forms.contains(&found.said.form) {
                true => seen.insert((keyed.form(), deck.year.map(|(year, _)| year))),
                false => before.contains(&found.at),
            };
            if is_compared {
                questions.push(found);
            }
        }
        compared.insert(number, questions);
    }
    Some(compared)
}
