//! The plan: on which day each topic of a year group comes back.
//!
//! Pure: topics with their days, the school's calendar and the limits in, a [`Plan`] out. Each topic is
//! asked again the session's `review_days` after it was taught. A check that would fall on a day without
//! school waits for the next school day; no day asks for more than one session holds, and what does not
//! fit waits, too. A topic that takes longer than a session is divided into parts of about one size.

mod days;
mod department;
mod part;
mod spread;
mod uid;

use jiff::civil::Date;

pub use days::SchoolDays;
pub use department::{of_year, topics_of};
pub use spread::spread;
pub use uid::uid;

/// What is to be planned for one year group.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Topic {
    /// The term of the scheme's line, such as `autumn-2026`.
    pub term: String,
    /// The deck, such as `year-8/rivers`.
    pub deck: String,
    /// What it is called.
    pub title: String,
    /// The day on which it is taught.
    pub taught_on: Option<Date>,
    /// How many questions each of its cards asks, in teaching order.
    pub cards: Vec<usize>,
}

impl Topic {
    /// How many questions all its cards ask.
    pub fn questions(&self) -> usize {
        self.cards.iter().sum()
    }
}

/// How much a pupil does in a day, and when a topic comes back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Limits {
    /// The longest session, in minutes.
    pub minutes: usize,
    /// How long one question takes.
    pub seconds_for_a_question: usize,
    /// After how many days a topic comes back.
    pub review_days: Vec<u16>,
}

impl Limits {
    /// How many questions fit into a session.
    pub fn questions(&self) -> usize {
        self.minutes.saturating_mul(60) / self.seconds_for_a_question.max(1)
    }

    /// How long that many questions take, in seconds.
    pub fn seconds(&self, questions: usize) -> usize {
        questions.saturating_mul(self.seconds_for_a_question)
    }
}

/// When each topic of a year group comes back.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Plan {
    /// The checks by day; those of one day in the order in which they fell due.
    pub checks: Vec<Check>,
    /// School days on which more falls due than a session holds, with the questions that fall due.
    pub crowded: Vec<(Date, usize)>,
    /// Cards that ask more than a session holds, which no day can take: topic and place of the card.
    pub too_long: Vec<(usize, usize)>,
    /// Topics for which the scheme gives no day.
    pub undated: Vec<usize>,
    /// Checks for which no school day is left: topic, and the number of the first check that is lost.
    pub unplaced: Vec<(usize, usize)>,
}

/// A topic, or a part of it, that comes back on a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Check {
    /// The day.
    pub day: Date,
    /// The place of the topic in what was planned.
    pub topic: usize,
    /// Which of the topic's checks this is, from 1.
    pub number: usize,
    /// After how many days it should come back.
    pub after: u16,
    /// The day on which that is, school or not.
    pub due: Date,
    /// The part of the topic, from 1.
    pub part: usize,
    /// How many parts there are.
    pub parts: usize,
    /// The cards of this part, by their places in the topic.
    pub cards: std::ops::Range<usize>,
    /// How many questions they ask.
    pub questions: usize,
}

#[cfg(test)]
mod tests;
