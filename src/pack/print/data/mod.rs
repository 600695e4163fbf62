//! What the template gets: typed data, every text of a card as literal runs.

pub mod formula;
mod front;
pub mod pictures;
pub mod runs;
pub mod side;

use std::collections::BTreeMap;
use std::sync::Arc;

use serde::Serialize;

use super::job::{Job, Kind};
use super::options::Backs;
use super::sheet::Sheet;
use crate::pack::model::{Pack, PackCard, PackQuestion, Side, Topic};
use front::Front;
use runs::Runs;
pub use side::SideData;

/// The colours of a topic that the settings give none.
pub const BAND: (&str, &str) = ("#1f5f5b", "#ffffff");

/// A whole document.
#[derive(Debug, Serialize)]
pub struct Document {
    /// Its title.
    pub title: String,
    /// Year, month and day of the commit.
    pub date: Option<(i32, u8, u8)>,
    /// The pack in a line, for the edges of sheets.
    pub line: String,
    /// The first pages.
    pub front: Front,
    /// The paper of sheets, in millimetres.
    pub paper: (f64, f64),
    /// The size of a card, in millimetres.
    pub card: (f64, f64),
    /// Where the sheets are cut, from the left.
    pub down: Vec<f64>,
    /// Where the sheets are cut, from the top.
    pub across: Vec<f64>,
    /// How a printer has to turn the paper.
    pub flip: &'static str,
    /// The sheets.
    pub sheets: Vec<SheetData>,
    /// The answers, topic by topic.
    pub answers: Vec<TopicAnswers>,
}

/// A sheet of cards.
#[derive(Debug, Serialize)]
pub struct SheetData {
    /// Its number, from 1.
    pub number: usize,
    /// The question sides.
    pub front: Vec<SideData>,
    /// The answer sides, in the order of the question sides.
    pub back: Vec<SideData>,
}

/// The answers of a topic.
#[derive(Debug, Serialize)]
pub struct TopicAnswers {
    /// The topic.
    pub title: String,
    /// Its cards.
    pub cards: Vec<CardAnswers>,
}

/// The answers of a card.
#[derive(Debug, Serialize)]
pub struct CardAnswers {
    /// Its number.
    pub number: usize,
    /// The answers of its questions.
    pub answers: Vec<Listed>,
    /// Other wordings that count as right.
    pub accept: Vec<Runs>,
}

/// The answer to one question, in the list.
#[derive(Debug, Serialize)]
pub struct Listed {
    /// Its points.
    pub points: Vec<Runs>,
    /// Whether their order counts.
    pub ordered: bool,
    /// Whether they run from right to left.
    pub from_right: bool,
}

/// The document with the pictures that it shows, by the names that stand in it.
pub fn document(job: &Job<'_>) -> (Document, BTreeMap<String, Arc<[u8]>>) {
    let pack = job.pack;
    let sheet = Sheet::new(job.options.card, job.options.flip);
    let sides = side::Sides::new(job);
    let document = Document {
        title: front::title(job),
        date: date(&pack.released),
        line: front::line(pack),
        front: front::front(job, &sheet),
        paper: sheet.paper,
        card: sheet.card,
        down: sheet.cuts_down(),
        across: sheet.cuts_across(),
        flip: job.options.flip.word(),
        sheets: sheets(job, &sheet, &sides),
        answers: answers(job),
    };
    (document, sides.pictures())
}

fn sheets(job: &Job<'_>, sheet: &Sheet, sides: &side::Sides<'_>) -> Vec<SheetData> {
    let of = |(at, cards): (usize, &[&PackCard])| SheetData {
        number: at + 1,
        front: (cards.iter().enumerate())
            .map(|(place, card)| sides.side(card, Side::Question, sheet.front(place)))
            .collect(),
        back: (cards.iter().enumerate())
            .map(|(place, card)| sides.side(card, Side::Answer, sheet.back(place)))
            .collect(),
    };
    job.cards.chunks(sheet.cards()).enumerate().map(of).collect()
}

/// The answer list; corrections have none, unless the backs are blank.
fn answers(job: &Job<'_>) -> Vec<TopicAnswers> {
    if matches!(job.kind, Kind::Corrections { .. }) && job.options.backs == Backs::Answers {
        return Vec::new();
    }
    let of = |topic: &Topic| TopicAnswers {
        title: topic.title.clone(),
        cards: job.cards.iter().filter(|card| card.deck == topic.deck).map(|card| card_answers(card)).collect(),
    };
    job.pack.topics.iter().map(of).filter(|topic| !topic.cards.is_empty()).collect()
}

fn card_answers(card: &PackCard) -> CardAnswers {
    let listed = |question: &PackQuestion| {
        let points: Vec<Runs> = question.answer.iter().map(|point| runs::runs(point)).collect();
        Listed { ordered: question.ordered, from_right: points.first().is_some_and(runs::is_from_right), points }
    };
    CardAnswers {
        number: card.number,
        answers: card.questions.iter().map(listed).collect(),
        accept: card.questions.iter().flat_map(|question| &question.accept).map(|text| runs::runs(text)).collect(),
    }
}

/// Year, month and day at the beginning of a date by RFC 3339.
fn date(released: &str) -> Option<(i32, u8, u8)> {
    let mut parts = released.get(..10)?.split('-');
    Some((parts.next()?.parse().ok()?, parts.next()?.parse().ok()?, parts.next()?.parse().ok()?))
}

/// The colours of a card's topic.
fn colours<'p>(pack: &'p Pack, deck: &str) -> (&'p str, &'p str) {
    let colour = pack.topics.iter().find(|topic| topic.deck == deck).and_then(|topic| topic.colour.as_ref());
    colour.map_or(BAND, |colour| (colour.band.as_str(), colour.text.as_str()))
}
