//! What became of each card's quotes in the notes: judged once for all rules that ask.

use std::collections::{BTreeMap, BTreeSet};

use rayon::prelude::*;
use thin_vec::ThinVec;

use super::cited::cited;
use super::context::CardView;
use crate::deck::{Card, Deck, Department, Question, Text};
use crate::notes::Notes;
use crate::place::Span;
use crate::source::{AllNotes, Asked, Cited, Judgement, Place, State, judge};

/// A judgement, with the question and the quote that it is about.
#[derive(Clone, Debug)]
pub struct Judged {
    /// The number of the question on the card; none for a quote of the whole card.
    pub question: Option<usize>,
    /// The number of the quote in its question's list.
    pub quote: Option<usize>,
    /// What was found.
    pub judgement: Judgement,
    /// Whether the cited section is there; a quote cannot be expected in a section that is not.
    pub section_is_there: bool,
}

/// The judgements on all cards of each deck, in order; none for a card of which everything stands, as
/// nearly all do, nor for a deck that is not wanted.
pub fn judged(
    department: &Department,
    all_notes: &AllNotes,
    is_wanted: impl Fn(&Deck) -> bool + Sync,
) -> Vec<Vec<ThinVec<Judged>>> {
    // Made before the threads start, which all need it.
    all_notes.weights();
    let doubtful = |deck: &Deck, card: &Card| {
        let judged = of_card(deck, card, all_notes);
        let stands = judged.iter().all(|judged| judged.judgement.state == State::Supported);
        if stands { ThinVec::new() } else { judged.into() }
    };
    let of_deck = |deck: &Deck| match is_wanted(deck) {
        true => deck.cards.par_iter().map(|card| doubtful(deck, card)).collect(),
        false => Vec::new(),
    };
    department.decks.par_iter().map(of_deck).collect()
}

/// The worst that was found for each of the `wanted` cards, by id.
pub fn states(department: &Department, wanted: &BTreeSet<String>) -> BTreeMap<String, State> {
    let notes = department.notes.par_iter().map(|(path, file)| (path.clone(), Notes::read(&file.text)));
    let all_notes = AllNotes::new(notes.collect::<Vec<_>>());
    all_notes.weights();
    let cards: Vec<(&Deck, &Card)> = department.cards().filter(|(_, card)| wanted.contains(&*card.id)).collect();
    let state = |(deck, card): &(&Deck, &Card)| {
        let worst = of_card(deck, card, &all_notes).into_iter().map(|judged| judged.judgement.state);
        (card.id.value.to_string(), worst.max_by_key(|state| state.gravity()).unwrap_or(State::Uncited))
    };
    cards.par_iter().map(state).collect()
}

/// The judgements on a card. Questions that name a source of their own are judged against that, the others
/// against the card's.
pub fn of_card(deck: &Deck, card: &Card, all_notes: &AllNotes) -> Vec<Judged> {
    let shared: Vec<usize> =
        (0..card.questions.len()).filter(|&at| at == 0 || card.questions[at].source.is_none()).collect();
    let own = (1..card.questions.len()).filter(|&at| card.questions[at].source.is_some()).map(|at| vec![at]);
    let mut judged = Vec::new();
    for numbers in std::iter::once(shared).chain(own) {
        judged.extend(of_questions(deck, card, &numbers, all_notes));
    }
    judged
}

fn of_questions(deck: &Deck, card: &Card, numbers: &[usize], all_notes: &AllNotes) -> Vec<Judged> {
    let Some(source) = card.source_of(&card.questions[numbers[0]]) else { return Vec::new() };
    let named = cited(deck, source);
    let whole = numbers[0] == 0;
    let asked = |&at: &usize| {
        let question = &card.questions[at];
        Asked {
            question: &question.question,
            points: texts(&question.answer.points),
            ordered: question.answer.ordered,
            accept: texts(&question.accept),
            // The card's own quotes hold for all its questions.
            quotes: if at == 0 { Vec::new() } else { texts(&question.quotes) },
        }
    };
    let request = Cited {
        file: named.path.as_deref(),
        anchor: named.section,
        quotes: if whole { texts(&card.own().quotes) } else { Vec::new() },
        asked: numbers.iter().map(asked).collect(),
    };
    if request.quotes.is_empty() && request.asked.iter().all(|asked| asked.quotes.is_empty()) {
        return Vec::new();
    }
    let notes = named.path.as_deref().and_then(|path| all_notes.notes(path));
    let section_is_there = notes.is_some_and(|notes| notes.section(named.section.unwrap_or_default()).is_some());
    let with_place = |judgement: Judgement| Judged {
        question: judgement.question.map(|at| numbers[at]),
        quote: judgement.quote,
        judgement,
        section_is_there,
    };
    judge(&request, all_notes).into_iter().map(with_place).collect()
}

fn texts(texts: &[Text]) -> Vec<&str> {
    texts.iter().map(|text| text.value.as_str()).collect()
}

impl Judged {
    /// The question that it is about, else the card's own.
    pub fn question<'a>(&self, card: &'a Card) -> &'a Question {
        &card.questions[self.question.unwrap_or(0).min(card.questions.len() - 1)]
    }

    /// The quote that it is about.
    pub fn quote<'a>(&self, card: &'a Card) -> Option<&'a Text> {
        self.question(card).quotes.get(self.quote?)
    }

    /// Where a finding about it is shown: at the quote, else at the answer.
    pub fn span(&self, card: &Card) -> Span {
        self.quote(card).map_or(self.question(card).answer.span, |quote| quote.span)
    }
}

/// The section of a place as a card of `deck` names it in `source`.
pub fn as_source(view: &CardView<'_>, place: &Place) -> String {
    source_in(&view.deck.folder(), place)
}

/// The section of a place as `source` names it in a deck in `folder`.
pub fn source_in(folder: &str, place: &Place) -> String {
    format!("{}#{}", relative(folder, &place.file), place.anchor)
}

/// The way from a folder to a file, both from the top of the department.
fn relative(folder: &str, file: &str) -> String {
    let from: Vec<&str> = folder.split('/').collect();
    let to: Vec<&str> = file.split('/').collect();
    let shared = from.iter().zip(&to).take_while(|(a, b)| a == b).count();
    let up = vec![".."; from.len() - shared];
    up.into_iter().chain(to[shared..].iter().copied()).collect::<Vec<_>>().join("/")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_way_to_notes() {
        assert_eq!(relative("decks/year-8/rivers", "decks/year-8/rivers/notes.md"), "notes.md");
        assert_eq!(relative("decks/year-8/rivers", "decks/year-9/notes.md"), "../../year-9/notes.md");
    }
}
