//! The topics of a year group, from the department.

use super::{Limits, Plan, SchoolDays, Topic, spread};
use crate::deck::Department;
use crate::pack::choose;

/// The topics of a year group with the plan of their checks, over all terms: what was taught late in
/// one term comes back in the next.
pub fn of_year(department: &Department, year: u8) -> (Vec<Topic>, Plan) {
    let settings = &department.settings;
    let topics = topics_of(department, year);
    let days = SchoolDays::new(&settings.terms, &settings.holidays);
    let plan = spread(&topics, &days, &Limits::of(department));
    (topics, plan)
}

/// The topics of a year group in the order of terms and of the scheme, with the cards that its packs
/// hold; those without a card that is ready are left out.
pub fn topics_of(department: &Department, year: u8) -> Vec<Topic> {
    let mut terms: Vec<_> = department.settings.terms.iter().collect();
    terms.sort_by_key(|term| term.starts);
    let mut topics: Vec<Topic> = Vec::new();
    // A term that cannot be told from another, or that has nothing of this year, has no pack either.
    for chosen in terms.iter().filter_map(|term| choose(department, year, &term.slug()).ok()) {
        for (lesson, deck) in &chosen.decks {
            let cards = chosen.cards.iter().filter(|(of, _)| of.name == deck.name);
            let cards: Vec<usize> = cards.map(|(_, card)| card.questions.len()).collect();
            if !cards.is_empty() {
                topics.push(Topic {
                    term: chosen.term.clone(),
                    deck: deck.name.clone(),
                    title: deck.topic().split_whitespace().collect::<Vec<_>>().join(" "),
                    taught_on: lesson.taught_on,
                    cards,
                });
            }
        }
    }
    topics
}

impl Limits {
    /// What the department's settings say.
    pub fn of(department: &Department) -> Self {
        let settings = &department.settings;
        Self {
            minutes: settings.session.minutes,
            seconds_for_a_question: settings.limits.seconds_for_a_question,
            review_days: settings.session.review_days.clone(),
        }
    }
}
