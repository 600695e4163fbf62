//! What was taught before a day, and whether there is school on it.

use std::collections::BTreeMap;

use jiff::civil::{Date, Weekday};

use super::error::NoQuiz;
use super::one_line;
use crate::deck::{Card, Deck, Department};
use crate::pack::choose;
use crate::plan::SchoolDays;

/// The topics that are taught from one day on, with their cards that are ready, in teaching order.
pub(super) struct Taught<'d> {
    /// The day.
    pub on: Date,
    /// The cards.
    pub cards: Vec<(&'d Deck, &'d Card)>,
}

/// Whether there is school on `on`: nothing when there is. A weekend within term has the next day with
/// school, since there may be a class all the same.
///
/// # Errors
///
/// In holidays and between terms.
pub(super) fn school(department: &Department, on: Date) -> Result<Option<Date>, NoQuiz> {
    let settings = &department.settings;
    let days = SchoolDays::new(&settings.terms, &settings.holidays);
    let from = days.from(on);
    if from == Some(on) {
        return Ok(None);
    }
    let holiday = settings.holidays.iter().find(|holiday| holiday.starts <= on && on <= holiday.ends);
    let in_term = settings.terms.iter().any(|term| term.starts <= on && on <= term.ends);
    let weekend = matches!(on.weekday(), Weekday::Saturday | Weekday::Sunday);
    if weekend && in_term && holiday.is_none() {
        return Ok(from);
    }
    let named = holiday.map(|holiday| one_line(&holiday.name)).filter(|name| !name.is_empty());
    let why = named.or_else(|| (!in_term).then(|| "no term".to_owned()));
    Err(NoQuiz::NoSchool { on, why, from })
}

/// What the scheme teaches the year group before `on`, by day; never nothing.
///
/// # Errors
///
/// When there is nothing.
pub(super) fn before(department: &Department, year: u8, on: Date) -> Result<Vec<Taught<'_>>, NoQuiz> {
    let settings = &department.settings;
    if !settings.years.contains(&year) {
        return Err(NoQuiz::UnknownYear { year, known: settings.years.clone() });
    }
    let mut all = by_day(department, year);
    let later = all.split_off(&on);
    if !all.is_empty() {
        return Ok(all.into_iter().map(|(on, cards)| Taught { on, cards }).collect());
    }
    let Some((first, cards)) = later.into_iter().next() else { return Err(NoQuiz::NoDays(year)) };
    let days = SchoolDays::new(&settings.terms, &settings.holidays);
    let topic = cards.first().map_or_else(String::new, |(deck, _)| one_line(deck.topic()));
    Err(NoQuiz::NotYet { year, on, topic, first, from: days.after(first) })
}

fn by_day(department: &Department, year: u8) -> BTreeMap<Date, Vec<(&Deck, &Card)>> {
    let terms = department.settings.terms.iter().map(|term| term.slug());
    // A term that cannot be told from another, or that has nothing of this year, has no pack either.
    let chosen = terms.filter_map(|term| choose(department, year, &term).ok());
    let mut by_day: BTreeMap<Date, Vec<(&Deck, &Card)>> = BTreeMap::new();
    for chosen in chosen {
        for (lesson, deck) in &chosen.decks {
            let cards: Vec<_> = chosen.cards.iter().filter(|(of, _)| of.name == deck.name).copied().collect();
            if let (Some(day), false) = (lesson.taught_on, cards.is_empty()) {
                by_day.entry(day).or_default().extend(cards);
            }
        }
    }
    by_day
}
