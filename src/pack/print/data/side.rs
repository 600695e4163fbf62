//! A side of a card.

use std::collections::BTreeMap;
use std::sync::Arc;

use serde::Serialize;

use super::colours;
use super::pictures::{PictureData, PictureNames};
use super::runs::{Run, Runs, is_from_right, letters, literal, runs, unbroken};
use crate::pack::model::{PackCard, PackQuestion, Side, Tier};
use crate::pack::print::job::{Job, Kind};
use crate::pack::print::options::Backs;
use crate::report::counted;

/// A side of a card.
#[derive(Debug, Serialize)]
pub struct SideData {
    /// Its left edge on the sheet, in millimetres.
    pub x: f64,
    /// Its upper edge.
    pub y: f64,
    /// The card's number.
    pub number: usize,
    /// The side in a word.
    pub side: &'static str,
    /// The topic.
    pub topic: String,
    /// `core` or `extension`.
    pub tier: &'static str,
    /// The colour of the band.
    pub band: String,
    /// The colour of the text on it.
    pub ink: String,
    /// What is asked or answered.
    pub parts: Vec<Part>,
    /// The pictures on this side.
    pub pictures: Vec<PictureData>,
    /// For practical work.
    pub caution: Option<Runs>,
    /// Small print, line by line.
    pub small: Vec<String>,
    /// What cannot be broken over two lines.
    pub unbroken: Vec<Run>,
    /// About how many letters there are.
    pub letters: usize,
    /// Whether the text runs from right to left.
    pub from_right: bool,
    /// Whether it is ruled instead of printed.
    pub ruled: bool,
}

/// One of the connected questions, or its answer.
#[derive(Debug, Serialize)]
pub struct Part {
    /// The text, or the points of a list.
    pub points: Vec<Runs>,
    /// Whether the points are numbered.
    pub ordered: bool,
}

/// Makes sides.
pub struct Sides<'a> {
    job: &'a Job<'a>,
    numbers: BTreeMap<&'a str, usize>,
    names: PictureNames<'a>,
    /// By card, what it replaces.
    replaces: BTreeMap<usize, String>,
    line: String,
}

impl<'a> Sides<'a> {
    /// For the cards of `job`.
    pub fn new(job: &'a Job<'a>) -> Self {
        let numbers = job.pack.cards.iter().map(|card| (card.id.as_str(), card.number)).collect();
        let names = PictureNames::new(job.department, job.cards.iter().flat_map(|card| &card.pictures));
        Self { job, numbers, names, replaces: replaces(job), line: super::front::line(job.pack) }
    }

    /// The pictures by the names that sides give them.
    pub fn pictures(&self) -> BTreeMap<String, Arc<[u8]>> {
        self.names.bytes()
    }

    /// A side of a card at a place of the sheet.
    pub fn side(&self, card: &PackCard, side: Side, (x, y): (f64, f64)) -> SideData {
        let ruled = side == Side::Answer && self.job.options.backs == Backs::Blank;
        let parts: Vec<Part> = card.questions.iter().map(|question| part(question, side)).collect();
        let (band, ink) = colours(self.job.pack, &card.deck);
        let texts = || parts.iter().flat_map(|part| &part.points);
        SideData {
            x,
            y,
            number: card.number,
            side: side.word(),
            topic: card.topic.clone(),
            tier: card.tier.word(),
            band: band.to_owned(),
            ink: ink.to_owned(),
            pictures: if ruled { Vec::new() } else { self.names.shown(&card.pictures, side) },
            caution: card.caution.as_deref().map(runs),
            small: self.small(card, side, ruled),
            unbroken: texts().flat_map(unbroken).collect(),
            letters: texts().map(letters).sum(),
            from_right: texts().next().is_some_and(is_from_right),
            ruled,
            parts,
        }
    }

    /// The small print: what to know first, what else there is, and which pack it is.
    fn small(&self, card: &PackCard, side: Side, ruled: bool) -> Vec<String> {
        let mut hints = Vec::new();
        hints.extend(self.replaces.get(&card.number).cloned());
        match side {
            Side::Question => hints.extend(self.linked("Know first", &card.needs)),
            Side::Answer => hints.extend(self.linked("See also", &card.see)),
        }
        if card.both_ways && !ruled {
            hints.push("both ways: turn it over and ask back".to_owned());
        }
        if ruled {
            hints.extend(sections(card));
        }
        [hints.join(" · "), self.line.clone()].into_iter().filter(|line| !line.is_empty()).collect()
    }

    /// The numbers of cards; of those in other packs, their topics.
    fn linked(&self, title: &str, ids: &[String]) -> Option<String> {
        let mut numbers: Vec<usize> = ids.iter().filter_map(|id| self.numbers.get(id.as_str()).copied()).collect();
        numbers.sort_unstable();
        let mut named: Vec<String> = numbers.iter().map(usize::to_string).collect();
        for id in ids.iter().filter(|id| !self.numbers.contains_key(id.as_str())) {
            let Some((deck, _)) = self.job.department.card(id) else { continue };
            let topic = deck.topic().split_whitespace().collect::<Vec<_>>().join(" ");
            let topic = match deck.year {
                Some((year, _)) if year != self.job.pack.year => format!("{topic} (year {year})"),
                _ => topic,
            };
            if !named.contains(&topic) {
                named.push(topic);
            }
        }
        (!named.is_empty()).then(|| format!("{title}: {}", named.join(", ")))
    }
}

fn replaces(job: &Job<'_>) -> BTreeMap<usize, String> {
    let Kind::Corrections { edition, replaces } = job.kind else { return BTreeMap::new() };
    let line = |before: &usize| format!("Replaces card {before} of edition {edition}");
    job.cards.iter().zip(replaces).map(|(card, before)| (card.number, line(before))).collect()
}

fn part(question: &PackQuestion, side: Side) -> Part {
    match side {
        Side::Question => Part { points: vec![asked(question)], ordered: false },
        Side::Answer => {
            Part { points: question.answer.iter().map(|point| runs(point)).collect(), ordered: question.ordered }
        }
    }
}

/// What is asked, with how much is asked for.
pub fn asked(question: &PackQuestion) -> Runs {
    let mut asked = runs(&question.question);
    if question.answer.len() > 1 {
        let count = counted(question.answer.len(), "point", "points");
        let order = if question.ordered { ", in order" } else { "" };
        asked.extend(literal(" "));
        asked.push(Run::Hint { text: format!("({count}{order})") });
    }
    asked
}

/// The sections of the notes in which the answers are found.
fn sections(card: &PackCard) -> Option<String> {
    let sources = card.questions.iter().filter_map(|question| question.source.as_deref());
    let mut named: Vec<String> =
        sources.filter_map(|source| Some(source.split_once('#')?.1.replace('-', " "))).collect();
    named.dedup();
    (!named.is_empty()).then(|| format!("In the notes: {}", named.join(", ")))
}

/// How far a pupil goes with it.
pub fn is_core(card: &PackCard) -> bool {
    card.tier == Tier::Core
}
