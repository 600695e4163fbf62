//! Why there are no questions for a day, in words for the teacher who asked.

use jiff::civil::Date;

use crate::finding::Finding;

/// Why there are no questions.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NoQuiz {
    /// There is no such year group.
    #[error("there is no year {year} here; the settings have {}", in_words(.known))]
    UnknownYear {
        /// What was asked for.
        year: u8,
        /// The year groups there are.
        known: Vec<u8>,
    },
    /// The scheme has no day for any topic of that year.
    #[error("the scheme does not say on which day a topic of year {0} is taught")]
    NoDays(u8),
    /// Nothing is taught before that day.
    #[error("nothing of year {year} is taught before {}: {topic} is the first, on {}", day(*.on), day(*.first))]
    NotYet {
        /// The year group.
        year: u8,
        /// What was asked for.
        on: Date,
        /// What is taught first.
        topic: String,
        /// When.
        first: Date,
        /// The first school day with something to ask.
        from: Option<Date>,
    },
    /// There is no school on that day, nor on the days around it.
    #[error("there is no school on {}{}", day(*.on), because(.why))]
    NoSchool {
        /// What was asked for.
        on: Date,
        /// The holiday, when it has a name.
        why: Option<String>,
        /// The next day with school.
        from: Option<Date>,
    },
    /// All cards of what was taught have errors.
    #[error("the cards of year {year} that were taught before {} all have errors", day(*.on))]
    AllWrong {
        /// The year group.
        year: u8,
        /// What was asked for.
        on: Date,
    },
    /// The settings have errors, and the scheme in them chooses the cards.
    #[error("decks/department.yaml has errors; put them right and commit first")]
    Settings(Vec<Finding>),
}

impl NoQuiz {
    /// What to do about it.
    pub fn help(&self) -> String {
        match self {
            NoQuiz::UnknownYear { .. } => "ask for one of these with `--year`".to_owned(),
            NoQuiz::NoDays(_) => {
                "write `taught_on:` behind its topics under `scheme:` in decks/department.yaml, and commit".to_owned()
            }
            NoQuiz::NotYet { from: Some(from), .. } | NoQuiz::NoSchool { from: Some(from), .. } => {
                format!("there are questions from {} on: `--on {from}`", day(*from))
            }
            NoQuiz::NotYet { from: None, .. } | NoQuiz::NoSchool { from: None, .. } => {
                "no school day is left after it; are the terms in decks/department.yaml complete?".to_owned()
            }
            NoQuiz::AllWrong { .. } => "`deckle check` shows them".to_owned(),
            NoQuiz::Settings(_) => "`deckle check` shows them, and says what to write instead".to_owned(),
        }
    }
}

/// `Wednesday 25 November 2026`.
pub fn day(day: Date) -> String {
    day.strftime("%A %-d %B %Y").to_string()
}

fn in_words(years: &[u8]) -> String {
    match years {
        [] => "no year groups".to_owned(),
        [one] => format!("year {one}"),
        [first @ .., last] => {
            let first: Vec<String> = first.iter().map(u8::to_string).collect();
            format!("years {} and {last}", first.join(", "))
        }
    }
}

fn because(why: &Option<String>) -> String {
    why.as_ref().map(|why| format!(" ({why})")).unwrap_or_default()
}
