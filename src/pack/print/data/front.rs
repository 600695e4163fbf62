//! The first pages: what it is, how to print it, how to revise with it, what is in it.

use serde::Serialize;

use super::BAND;
use super::side::is_core;
use crate::pack::model::{CAUTIONS, Pack, PackCard, Topic};
use crate::pack::print::job::{Job, Kind};
use crate::pack::print::options::{Backs, CardSize};
use crate::pack::print::sheet::Sheet;
use crate::report::{capital, counted, day_in_words};

/// The first pages.
#[derive(Debug, Serialize)]
pub struct Front {
    /// The school.
    pub school: String,
    /// The subject, or what the sheets are for.
    pub title: String,
    /// For whom and when.
    pub subtitle: String,
    /// Which edition, how many cards, from which commit.
    pub facts: Vec<String>,
    /// Headings with their paragraphs.
    pub sections: Vec<Section>,
    /// What is in it.
    pub topics: Vec<TopicData>,
    /// After how many days a card is asked again; no grid where there are none.
    pub days: Vec<u16>,
}

/// A heading with what stands below it.
#[derive(Debug, Serialize)]
pub struct Section {
    /// The heading.
    pub title: String,
    /// The points.
    pub points: Vec<String>,
}

/// A topic with the numbers of its cards.
#[derive(Debug, Serialize)]
pub struct TopicData {
    /// What it is called.
    pub title: String,
    /// The colour of its band.
    pub band: String,
    /// The colour of the text on it.
    pub ink: String,
    /// The day on which it is taught, in words.
    pub taught_on: String,
    /// Its cards as runs of numbers.
    pub span: String,
    /// How many go beyond the core.
    pub extension: usize,
    /// The numbers of its cards.
    pub numbers: Vec<usize>,
}

/// What the document is called.
pub fn title(job: &Job<'_>) -> String {
    let pack = job.pack;
    let pack_title = format!("{}, year {}, {}", pack.department, pack.year, pack.term_in_words());
    match job.kind {
        Kind::Cards { parts: 1, .. } => format!("Revision cards: {pack_title}"),
        Kind::Cards { part, parts } => format!("Revision cards: {pack_title}, part {part} of {parts}"),
        Kind::Corrections { .. } => format!("Corrections: {pack_title}"),
    }
}

/// The pack in a line.
pub fn line(pack: &Pack) -> String {
    format!("{}, year {}, {}, {}", pack.department, pack.year, pack.term_in_words(), pack.edition)
}

/// The first pages of a document.
pub fn front(job: &Job<'_>, sheet: &Sheet) -> Front {
    let pack = job.pack;
    let (subtitle, days) = match job.kind {
        Kind::Cards { parts: 1, .. } => (String::new(), pack.session.review_days.clone()),
        Kind::Cards { part, parts } => (format!(", part {part} of {parts}"), pack.session.review_days.clone()),
        Kind::Corrections { .. } => (String::new(), Vec::new()),
    };
    Front {
        school: pack.school.clone(),
        title: match job.kind {
            Kind::Cards { .. } => format!("{} revision cards", pack.department),
            Kind::Corrections { .. } => format!("Corrected {} cards", pack.department),
        },
        subtitle: format!("Year {}, {}{subtitle}", pack.year, pack.term_in_words()),
        facts: facts(job, sheet),
        sections: match job.kind {
            Kind::Cards { .. } => vec![printing(job, sheet), revising(job), cautions()],
            Kind::Corrections { edition, replaces } => vec![replacing(job, edition, replaces), printing(job, sheet)],
        },
        topics: topics(job),
        days,
    }
}

fn facts(job: &Job<'_>, sheet: &Sheet) -> Vec<String> {
    let pack = job.pack;
    let edition = pack.edition.to_string();
    let cards = counted(job.cards.len(), "card", "cards");
    let sheets = counted(job.cards.len().div_ceil(sheet.cards()), "sheet", "sheets");
    let day = day_in_words(pack.released.get(..10).unwrap_or_default());
    let commit = pack.commit.get(..12).unwrap_or(&pack.commit);
    vec![capital(&edition), format!("{cards} on {sheets}"), format!("from {day}, commit {commit}")]
}

fn printing(job: &Job<'_>, sheet: &Sheet) -> Section {
    let edge = job.options.flip.word();
    let (wide, high) = sheet.card;
    let cut = match job.options.card {
        CardSize::Standard | CardSize::Index => "Cut along the grey lines; the marks at the edges show where",
        CardSize::A7 | CardSize::A6 => "Cut along the grey lines; the outer edges of the paper are edges of cards",
    };
    let mut points = vec![
        format!("A4 paper, both sides, at actual size (100 %), turned on the {edge} edge."),
        format!("{cut}. Each card is {wide} × {high} mm."),
    ];
    if job.options.backs == Backs::Blank {
        points.push(
            "The answer sides are ruled: write each answer yourself from the notes, then check it with the list at the \
             end."
                .to_owned(),
        );
    }
    Section { title: "Print and cut".to_owned(), points }
}

fn revising(job: &Job<'_>) -> Section {
    let session = &job.pack.session;
    let days = in_words(&session.review_days);
    let mut points = vec![
        format!("Work in short sessions: at most {} minutes, then a break.", session.minutes),
        "Say or write the answer before you turn the card over.".to_owned(),
        "A card that you knew goes aside. One that you missed goes to the bottom of the pile and comes again before \
         you stop."
            .to_owned(),
    ];
    if !session.review_days.is_empty() {
        points.push(format!(
            "Come back to a card {days} after you first knew it, and tick its boxes in the grid. One that you know at \
             once every time leaves the pile."
        ));
    }
    points.push(
        "Cards marked “both ways” also work from the answer: turn the pile over and ask for the question.".to_owned(),
    );
    points.push("The small print names the cards to know first.".to_owned());
    Section { title: "Revise".to_owned(), points }
}

/// `1, 7 and 21 days`.
fn in_words(days: &[u16]) -> String {
    let numbers: Vec<String> = days.iter().map(u16::to_string).collect();
    match numbers.as_slice() {
        [] => String::new(),
        [one] if one == "1" => "1 day".to_owned(),
        [one] => format!("{one} days"),
        [first @ .., last] => format!("{} and {last} days", first.join(", ")),
    }
}

fn cautions() -> Section {
    let points = CAUTIONS.iter().map(|caution| (*caution).to_owned()).collect();
    Section { title: "Please note".to_owned(), points }
}

fn replacing(job: &Job<'_>, edition: u32, replaces: &[usize]) -> Section {
    let line = |(card, before): (&&PackCard, &usize)| {
        let now = if card.number == *before { String::new() } else { format!(" (now card {})", card.number) };
        format!("Replace card {before} of {}{now}.", card.topic)
    };
    let mut points: Vec<String> = job.cards.iter().zip(replaces).map(line).collect();
    points.push(format!(
        "The question or the answer was put right after edition {edition}. Throw the old card away, and learn the new \
         one again, even if you knew the old one."
    ));
    Section { title: "Replace these cards".to_owned(), points }
}

fn topics(job: &Job<'_>) -> Vec<TopicData> {
    let of = |topic: &Topic| {
        let cards = || job.cards.iter().filter(|card| card.deck == topic.deck);
        let numbers: Vec<usize> = cards().map(|card| card.number).collect();
        let colour = topic.colour.as_ref();
        TopicData {
            title: topic.title.clone(),
            band: colour.map_or(BAND.0, |colour| &colour.band).to_owned(),
            ink: colour.map_or(BAND.1, |colour| &colour.text).to_owned(),
            taught_on: topic.taught_on.as_deref().map(day_in_words).unwrap_or_default(),
            span: spans(&numbers),
            extension: cards().filter(|card| !is_core(card)).count(),
            numbers,
        }
    };
    job.pack.topics.iter().map(of).filter(|topic| !topic.numbers.is_empty()).collect()
}

/// `1–4, 7`.
fn spans(numbers: &[usize]) -> String {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for &number in numbers {
        match runs.last_mut() {
            Some(run) if run.1 + 1 == number => run.1 = number,
            _ => runs.push((number, number)),
        }
    }
    let run =
        |&(first, last): &(usize, usize)| if first == last { first.to_string() } else { format!("{first}–{last}") };
    runs.iter().map(run).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_and_days_are_put_together() {
        assert_eq!(spans(&[1, 2, 3, 7, 9, 10]), "1–3, 7, 9–10");
        assert_eq!(in_words(&[1, 7, 21]), "1, 7 and 21 days");
        assert_eq!([in_words(&[1]), in_words(&[3]), in_words(&[])], ["1 day", "3 days", ""]);
        assert_eq!(capital("edition 2"), "Edition 2");
    }
}
