//! Ten questions for the start of a lesson: what was taught a day, a week and three weeks before, and
//! one from longer ago.
//!
//! Pure: a department and a day in, a [`Quiz`] out. The days are the session's `review_days`. A topic counts
//! as taught from its day in the scheme on, as in the plan, and what was taught on a day is the topic that
//! had begun last by then; so weekends and holidays in between need no thought. The same cards, day and
//! seed draw the same questions.

mod draw;
mod error;
mod piles;
mod taught;

use std::collections::BTreeSet;

use jiff::civil::Date;
use serde::Serialize;

use crate::check::check;
use crate::deck::{Department, settings};
use crate::finding::{Finding, Level};
use crate::pack::{PackCard, PackPicture, PackQuestion, Tier, pack_card};
use draw::{Drawn, draw};
pub use error::{NoQuiz, day};

/// How many questions there are, unless fewer were taught.
pub const QUESTIONS: usize = 10;

/// The version of the format of [`Quiz`] as JSON.
pub const FORMAT: u32 = 1;

/// Ten questions. As JSON it has the shape of `schema/quiz.schema.json`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Quiz {
    /// The version of the format.
    pub format: u32,
    /// The subject.
    pub department: String,
    /// The school.
    pub school: String,
    /// The year group.
    pub year: u8,
    /// The day of the lesson.
    pub on: Date,
    /// Which of the possible draws.
    pub seed: u64,
    /// The full id of the commit that the cards were read from.
    pub commit: String,
    /// The next day with school, when there is none on that day.
    pub no_school_until: Option<Date>,
    /// The questions, what was taught last first.
    pub questions: Vec<Asked>,
    /// Ids of cards that could have been drawn but have errors.
    pub left_out: Vec<String>,
}

/// A question that was drawn: a card's own.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Asked {
    /// Its number, from 1.
    pub number: usize,
    /// For which of the review days it was drawn; none for longer ago.
    pub days: Option<u16>,
    /// The day from which its topic is taught.
    pub taught_on: Date,
    /// Its topic.
    pub topic: String,
    /// Its deck.
    pub deck: String,
    /// Its card.
    pub card: String,
    /// Whether it goes beyond the core.
    pub tier: Tier,
    /// What is asked, with its answer.
    #[serde(flatten)]
    pub own: PackQuestion,
    /// Its pictures.
    pub pictures: Vec<PackPicture>,
    /// For practical work.
    pub caution: Option<String>,
}

/// Ten questions for a lesson of `year` on the day `on`; `commit` is the one that the department was
/// read from.
///
/// # Errors
///
/// When nothing was taught by then, there is no school around that day, or the settings have errors.
pub fn quiz(department: &Department, commit: &str, year: u8, on: Date, seed: u64) -> Result<Quiz, NoQuiz> {
    let findings = check(department).findings;
    let errors = || findings.iter().filter(|finding| finding.level == Level::Error);
    let in_settings: Vec<Finding> =
        errors().filter(|finding| &*finding.place.path == settings::PATH).cloned().collect();
    if !in_settings.is_empty() {
        return Err(NoQuiz::Settings(in_settings));
    }
    let no_school_until = taught::school(department, on)?;
    let taught = taught::before(department, year, on)?;
    let wrong: BTreeSet<&str> = errors().filter_map(|finding| finding.card.as_deref()).collect();
    let piles = piles::Piles::new(&taught, &department.settings.session.review_days, on, &wrong);
    let drawn = draw(&piles, QUESTIONS, &format!("{year}/{on}/{seed}"));
    if drawn.is_empty() {
        return Err(NoQuiz::AllWrong { year, on });
    }
    let named = |text: &Option<crate::deck::Text>| one_line(text.as_deref().unwrap_or_default());
    Ok(Quiz {
        format: FORMAT,
        department: named(&department.settings.department),
        school: named(&department.settings.school),
        year,
        on,
        seed,
        commit: commit.to_owned(),
        no_school_until,
        questions: drawn.iter().enumerate().filter_map(|(at, drawn)| asked(department, at + 1, drawn)).collect(),
        left_out: piles.left_out,
    })
}

fn asked(department: &Department, number: usize, drawn: &Drawn<'_>) -> Option<Asked> {
    let card = pack_card(department, drawn.deck, drawn.card, number);
    let PackCard { deck, id, topic, tier, questions, pictures, caution, .. } = card;
    let (days, taught_on, own) = (drawn.days, drawn.taught_on, questions.into_iter().next()?);
    Some(Asked { number, days, taught_on, topic, deck, card: id, tier, own, pictures, caution })
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests;
