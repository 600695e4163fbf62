//! Checking a whole department and keeping what a later check of a part needs.

use super::super::context::Context;
use super::super::policy::waivers;
use super::super::repeats::{Asked, Keyed};
use super::super::run::{Report, found, judged};
use super::super::similar;
use super::kept::{KeptDeck, KeptQuestion, Overview, Record, Said};
use super::shares::{self, Shares};
use crate::deck::department::{deck_of, join};
use crate::deck::{Department, Text};
use crate::snapshot::Kind;
use crate::text::OwnPosed;
use rayon::prelude::*;

/// The report of [`super::super::check`], and what is to be kept; nothing of a department that is out of the
/// ordinary.
pub fn check_recorded(department: &Department) -> (Report, Option<Record>) {
    let mut questions = Vec::new();
    let mut record = Record::default();
    let context = Context::noting(department, |asked, common, pairs| {
        questions = asked.iter().map(|keyed| (deck_number(department, &keyed.asked), question(keyed))).collect();
        (record.common, record.pairs) = (common, pairs);
    });
    let mut findings = found(&context, |_| true);
    let waivers = waivers(&context);
    if is_odd(department) {
        let decks = (department.decks.len(), department.cards().count());
        return (judged(context.settings(), &waivers, findings, decks), None);
    }
    record.overview = overview(department, &questions);
    record.questions = questions.into_iter().map(|(_, question)| question).collect();
    record.overview.findings = findings.clone();
    record.overview.findings.retain(|finding| !department.strays.contains(finding));
    record.overview.waivers = numbered(department, &waivers);
    record.shares = department.decks.par_iter().map(Shares::of).collect();
    let ids = |deck: &crate::deck::Deck| deck.cards.iter().map(|card| card.id.value.to_string()).collect();
    record.ids = department.decks.iter().map(ids).collect();
    record.weights = context.all_notes.weights().to_bytes();
    findings.shrink_to_fit();
    let decks = (department.decks.len(), department.cards().count());
    (judged(context.settings(), &waivers, findings, decks), Some(record))
}

/// Whether there are links among the files, or a deck is shown as a picture: then more hangs on a deck than is
/// kept of it.
fn is_odd(department: &Department) -> bool {
    let shown = || {
        department.cards().flat_map(|(deck, card)| {
            card.pictures.iter().filter_map(move |picture| join(&deck.folder(), &picture.file))
        })
    };
    department.files.values().any(|kind| !matches!(kind, Kind::File { .. }))
        || shown().any(|path| deck_of(&path).is_some())
}

fn overview(department: &Department, questions: &[(u32, KeptQuestion)]) -> Overview {
    let deck = |(at, deck): (usize, &crate::deck::Deck)| KeptDeck {
        name: deck.name.clone(),
        year: deck.year.map(|(year, _)| year),
        cards: deck.cards.len() as u32,
        first_question: questions.partition_point(|(number, _)| (*number as usize) < at) as u32,
    };
    let decks = || department.decks.iter().enumerate();
    Overview {
        decks: decks().map(deck).collect(),
        files: department.files.clone(),
        strays: department.strays.clone(),
        lost_ids: decks().flat_map(|(at, deck)| deck.lost_ids.iter().map(move |id| (at as u32, id.clone()))).collect(),
        ..Overview::default()
    }
}

/// The waivers, each with the number of its deck.
fn numbered(
    department: &Department,
    waivers: &[super::super::policy::Waived],
) -> Vec<(u32, super::super::policy::Waived)> {
    let number = |waiver: &super::super::policy::Waived| {
        let deck = waiver.otherwise.deck.as_deref().unwrap_or_default();
        department.decks.binary_search_by(|other| other.name.as_str().cmp(deck)).unwrap_or_default() as u32
    };
    waivers.iter().map(|waiver| (number(waiver), waiver.clone())).collect()
}

fn deck_number(department: &Department, asked: &Asked<'_>) -> u32 {
    department.decks.binary_search_by(|deck| deck.name.cmp(&asked.deck.name)).unwrap_or_default() as u32
}

/// What is kept of a question that is compared.
pub(super) fn question(keyed: &Keyed<'_>) -> KeptQuestion {
    let Asked { deck, card, question } = keyed.asked;
    let card_at = deck.cards.iter().position(|other| std::ptr::eq(other, card));
    let question_at = card.questions.iter().position(|other| std::ptr::eq(other, question));
    let texts = |texts: &[Text]| texts.iter().map(|text| text.value.to_string()).collect();
    let posed = OwnPosed {
        question: similar::text(keyed).into_owned(),
        answer: texts(&question.answer.points),
        accept: texts(&question.accept),
    };
    let (ordered, listed) = (question.answer.ordered, question.answer.listed);
    let said = Said { form: shares::form(&keyed.form()), ordered, listed, posed };
    KeptQuestion { at: (card_at.unwrap_or_default() as u32, question_at.unwrap_or_default() as u32), said }
}
