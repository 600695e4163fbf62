//! `calendar.ics`: the checks of the pack's topics, for any calendar (RFC 5545).
//!
//! - A check lasts all day and blocks none of it (`TRANSP:TRANSPARENT`). A time of day would be a guess
//!   about each pupil's evening, and would need the rules of a time zone.
//! - The identifiers stay the same through all editions and `SEQUENCE` is the number of the edition, so
//!   a new edition moves what an earlier one put into a calendar. A preview has 0: it never moves what
//!   was released.
//! - There is no `METHOD`: with one, calendars take the file for an invitation (RFC 5546).
//! - Where the scheme gives no day for any topic, a journal entry says so: a calendar without any entry
//!   is not valid.

mod lines;

use jiff::Timestamp;
use jiff::civil::Date;
use lines::Lines;

use super::PackInput;
use crate::finding::Finding;
use crate::pack::Pack;
use crate::plan::{self, Check, Limits, Topic};

pub(super) fn write(input: &PackInput<'_>) -> Result<Vec<u8>, Vec<Finding>> {
    let (topics, plan) = plan::of_year(input.department, input.pack.year);
    let limits = Limits::of(input.department);
    let mut calendar = Calendar { input, limits, lines: Lines::default() };
    calendar.head();
    let own = |check: &&Check| topics[check.topic].term == input.pack.term;
    let mut checks = plan.checks.iter().filter(own).peekable();
    if checks.peek().is_none() {
        calendar.no_dates();
    }
    checks.for_each(|check| calendar.event(&topics[check.topic], check));
    calendar.lines.plain("END:VCALENDAR");
    Ok(calendar.lines.into_bytes())
}

struct Calendar<'a> {
    input: &'a PackInput<'a>,
    limits: Limits,
    lines: Lines,
}

impl Calendar<'_> {
    fn head(&mut self) {
        let pack = self.input.pack;
        let name = format!("{}, year {}, {}", pack.department, pack.year, pack.term_in_words());
        self.lines.plain("BEGIN:VCALENDAR");
        self.lines.plain("VERSION:2.0");
        self.lines.plain("PRODID:-//deckle//revision calendar//EN");
        self.lines.plain("CALSCALE:GREGORIAN");
        self.lines.text("NAME", &name);
        self.lines.text("X-WR-CALNAME", &name);
    }

    fn event(&mut self, topic: &Topic, check: &Check) {
        let pack = self.input.pack;
        self.lines.plain("BEGIN:VEVENT");
        self.stamp(&plan::uid(self.input.department, pack.year, topic, check));
        self.lines.plain(&format!("DTSTART;VALUE=DATE:{}", date(check.day)));
        // The day after the last, which the last day of all does not have.
        if let Ok(end) = check.day.tomorrow() {
            self.lines.plain(&format!("DTEND;VALUE=DATE:{}", date(end)));
        }
        self.lines.text("SUMMARY", &summary(pack, topic, check));
        self.lines.text("DESCRIPTION", &self.description(topic, check));
        self.lines.text("CATEGORIES", &topic.title);
        self.lines.plain("TRANSP:TRANSPARENT");
        self.lines.plain("END:VEVENT");
    }

    fn description(&self, topic: &Topic, check: &Check) -> String {
        let numbers = self.input.pack.cards.iter().filter(|card| card.deck == topic.deck).map(|card| card.number);
        let numbers: Vec<usize> = numbers.skip(check.cards.start).take(check.cards.len()).collect();
        let minutes = self.limits.seconds(check.questions).div_ceil(60);
        let questions = if check.questions == 1 { "question" } else { "questions" };
        format!(
            "{} {questions}, about {minutes} min.\n{} of the pack, {}.",
            check.questions,
            ranges(&numbers),
            self.input.pack.edition
        )
    }

    fn no_dates(&mut self) {
        self.lines.plain("BEGIN:VJOURNAL");
        let pack = self.input.pack;
        let topic = Topic {
            term: pack.term.clone(),
            deck: String::new(),
            title: String::new(),
            taught_on: None,
            cards: Vec::new(),
        };
        let day = pack.released.get(..10).and_then(|day| day.parse().ok()).unwrap_or(Date::ZERO);
        let check =
            Check { day, topic: 0, number: 0, after: 0, due: day, part: 0, parts: 0, cards: 0..0, questions: 0 };
        self.stamp(&plan::uid(self.input.department, pack.year, &topic, &check));
        self.lines.plain(&format!("DTSTART;VALUE=DATE:{}", date(day)));
        self.lines.text("SUMMARY", "The scheme of work gives no day for the topics of this pack.");
        self.lines.plain("END:VJOURNAL");
    }

    fn stamp(&mut self, uid: &str) {
        let pack = self.input.pack;
        let released: Timestamp = pack.released.parse().unwrap_or(Timestamp::UNIX_EPOCH);
        self.lines.plain(&format!("UID:{uid}"));
        self.lines.plain(&format!("DTSTAMP:{}", released.strftime("%Y%m%dT%H%M%SZ")));
        self.lines.plain(&format!("SEQUENCE:{}", pack.edition.number().unwrap_or(0)));
    }
}

fn date(day: Date) -> String {
    day.strftime("%Y%m%d").to_string()
}

fn summary(pack: &Pack, topic: &Topic, check: &Check) -> String {
    let part = if check.parts > 1 { format!(", part {} of {}", check.part, check.parts) } else { String::new() };
    format!("{}: {}{part} (day {})", pack.department, topic.title, check.after)
}

/// `Card 4`, or `Cards 1 to 12, 15`.
fn ranges(numbers: &[usize]) -> String {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for &number in numbers {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == number => *last = number,
            _ => runs.push((number, number)),
        }
    }
    let run = |(first, last): &(usize, usize)| {
        if first == last { first.to_string() } else { format!("{first} to {last}") }
    };
    let word = if numbers.len() == 1 { "Card" } else { "Cards" };
    format!("{word} {}", runs.iter().map(run).collect::<Vec<_>>().join(", "))
}

#[cfg(test)]
mod tests;
