//! Plans: when each topic of a year group comes back.

use jiff::civil::Date;
use serde::Serialize;

use super::json;
use super::words::{counted, harmless};
use crate::deck::Department;
use crate::plan::{Check, Limits, Plan, Topic, of_year, uid};

/// The plan of one year group, for a report.
#[derive(Debug)]
pub struct YearPlan<'d> {
    department: &'d Department,
    year: u8,
    /// Only topics of this term.
    term: Option<String>,
    topics: Vec<Topic>,
    plan: Plan,
}

impl<'d> YearPlan<'d> {
    /// The plan of a year group, made over all terms; only the topics of `term` are shown.
    pub fn new(department: &'d Department, year: u8, term: Option<String>) -> Self {
        let (topics, plan) = of_year(department, year);
        Self { department, year, term, topics, plan }
    }

    /// Whether there is nothing to show.
    pub fn is_empty(&self) -> bool {
        !(0..self.topics.len()).any(|topic| self.shows(topic))
    }

    fn shows(&self, topic: usize) -> bool {
        self.term.as_ref().is_none_or(|term| self.topics[topic].term == *term)
    }

    fn checks(&self) -> impl Iterator<Item = &Check> {
        self.plan.checks.iter().filter(|check| self.shows(check.topic))
    }

    /// The checks of each day.
    fn days(&self) -> Vec<(Date, Vec<&Check>)> {
        let mut days: Vec<(Date, Vec<&Check>)> = Vec::new();
        for check in self.checks() {
            match days.last_mut() {
                Some((day, checks)) if *day == check.day => checks.push(check),
                _ => days.push((check.day, vec![check])),
            }
        }
        days
    }

    /// The crowded days between the first and the last day that is shown.
    fn crowded(&self) -> impl Iterator<Item = (Date, usize)> {
        let days: Vec<Date> = self.checks().flat_map(|check| [check.due, check.day]).collect();
        let (first, last) = (days.iter().min().copied(), days.iter().max().copied());
        let within = move |day: Date| first.is_some_and(|first| first <= day) && last.is_some_and(|last| day <= last);
        self.plan.crowded.iter().copied().filter(move |(day, _)| within(*day))
    }
}

/// The plans as a text for people.
pub fn text(plans: &[YearPlan<'_>], limits: &Limits) -> String {
    plans.iter().map(|plan| year_text(plan, limits)).collect::<Vec<_>>().join("\n")
}

fn year_text(plan: &YearPlan<'_>, limits: &Limits) -> String {
    let minutes = |questions: usize| limits.seconds(questions).div_ceil(60);
    let term = plan.term.as_ref().map(|term| format!(", {}", term.replace('-', " "))).unwrap_or_default();
    let mut text = format!(
        "year {}{term}: sessions of at most {} min, {} s a question\n",
        plan.year, limits.minutes, limits.seconds_for_a_question
    );
    for (day, checks) in plan.days() {
        let whole = minutes(checks.iter().map(|check| check.questions).sum());
        let names: Vec<String> = checks.iter().map(|check| named(&plan.topics[check.topic], check)).collect();
        text.push_str(&format!("  {}  {whole:>3} min  {}\n", in_words(day), names.join("; ")));
    }
    for (day, questions) in plan.crowded() {
        let (due, limit) = (minutes(questions), limits.minutes);
        text.push_str(&format!(
            "  too much for one day: {due} min fall due on {}, and {limit} fit; the rest waits for the next school days\n",
            in_words(day)
        ));
    }
    for &(topic, card) in plan.plan.too_long.iter().filter(|(topic, _)| plan.shows(*topic)) {
        let title = harmless(&plan.topics[topic].title);
        text.push_str(&format!("  too long for any session: card {} of {title}\n", card + 1));
    }
    for &(topic, number) in plan.plan.unplaced.iter().filter(|(topic, _)| plan.shows(*topic)) {
        let title = harmless(&plan.topics[topic].title);
        text.push_str(&format!(
            "  no school day is left for {title} from check {number} on; are the terms complete?\n"
        ));
    }
    for &topic in plan.plan.undated.iter().filter(|topic| plan.shows(**topic)) {
        let Topic { title, deck, .. } = &plan.topics[topic];
        text.push_str(&format!(
            "  no day for {}: write `taught_on:` behind `deck: {}` in the scheme\n",
            harmless(title),
            harmless(deck)
        ));
    }
    text
}

fn named(topic: &Topic, check: &Check) -> String {
    let part = if check.parts > 1 { format!(", part {} of {}", check.part, check.parts) } else { String::new() };
    let waits =
        if check.day == check.due { String::new() } else { format!(", due {}", check.due.strftime("%a %-d %b")) };
    let questions = counted(check.questions, "question", "questions");
    format!("{} (day {}{part}{waits}; {questions})", harmless(&topic.title), check.after)
}

fn in_words(day: Date) -> String {
    day.strftime("%a %d %b %Y").to_string()
}

/// The plans as JSON, by `schema/plan.schema.json`.
pub fn as_json(plans: &[YearPlan<'_>], limits: &Limits) -> String {
    json::pretty(&PlanJson {
        format: 1,
        session: SessionJson {
            minutes: limits.minutes,
            seconds_for_a_question: limits.seconds_for_a_question,
            review_days: &limits.review_days,
        },
        years: plans.iter().map(|plan| year_json(plan, limits)).collect(),
    })
}

#[derive(Serialize)]
struct PlanJson<'a> {
    format: u8,
    session: SessionJson<'a>,
    years: Vec<YearJson<'a>>,
}

#[derive(Serialize)]
struct SessionJson<'a> {
    minutes: usize,
    seconds_for_a_question: usize,
    review_days: &'a [u16],
}

#[derive(Serialize)]
struct YearJson<'a> {
    year: u8,
    term: Option<&'a str>,
    days: Vec<DayJson<'a>>,
    crowded: Vec<CrowdedJson>,
    too_long: Vec<CardJson<'a>>,
    unplaced: Vec<UnplacedJson<'a>>,
    undated: Vec<TopicJson<'a>>,
}

#[derive(Serialize)]
struct DayJson<'a> {
    day: Date,
    questions: usize,
    seconds: usize,
    checks: Vec<CheckJson<'a>>,
}

#[derive(Serialize)]
struct CheckJson<'a> {
    uid: String,
    #[serde(flatten)]
    topic: TopicJson<'a>,
    number: usize,
    after: u16,
    due: Date,
    part: usize,
    parts: usize,
    questions: usize,
}

#[derive(Serialize)]
struct TopicJson<'a> {
    deck: &'a str,
    title: &'a str,
    term: &'a str,
}

#[derive(Serialize)]
struct CrowdedJson {
    day: Date,
    questions: usize,
    seconds: usize,
}

#[derive(Serialize)]
struct CardJson<'a> {
    #[serde(flatten)]
    topic: TopicJson<'a>,
    card: usize,
}

#[derive(Serialize)]
struct UnplacedJson<'a> {
    #[serde(flatten)]
    topic: TopicJson<'a>,
    number: usize,
}

fn year_json<'a>(plan: &'a YearPlan<'_>, limits: &Limits) -> YearJson<'a> {
    let topic = |at: usize| {
        let Topic { deck, title, term, .. } = &plan.topics[at];
        TopicJson { deck, title, term }
    };
    let check = |check: &Check| CheckJson {
        uid: uid(plan.department, plan.year, &plan.topics[check.topic], check),
        topic: topic(check.topic),
        number: check.number,
        after: check.after,
        due: check.due,
        part: check.part,
        parts: check.parts,
        questions: check.questions,
    };
    let day = |(day, checks): (Date, Vec<&Check>)| {
        let questions = checks.iter().map(|check| check.questions).sum();
        DayJson { day, questions, seconds: limits.seconds(questions), checks: checks.into_iter().map(check).collect() }
    };
    let crowded = |(day, questions)| CrowdedJson { day, questions, seconds: limits.seconds(questions) };
    let found = &plan.plan;
    YearJson {
        year: plan.year,
        term: plan.term.as_deref(),
        days: plan.days().into_iter().map(day).collect(),
        crowded: plan.crowded().map(crowded).collect(),
        too_long: (found.too_long.iter().filter(|(at, _)| plan.shows(*at)))
            .map(|&(at, card)| CardJson { topic: topic(at), card: card + 1 })
            .collect(),
        unplaced: (found.unplaced.iter().filter(|(at, _)| plan.shows(*at)))
            .map(|&(at, number)| UnplacedJson { topic: topic(at), number })
            .collect(),
        undated: found.undated.iter().filter(|at| plan.shows(**at)).map(|&at| topic(at)).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::change::support::{department, files};

    fn geography(taught_on: &str) -> Department {
        let settings = format!(
            "department: Geography\nschool: Ambleford Quay School\nyears: [8]\nsession: {{minutes: 1}}\n\
            terms:\n  - {{name: autumn, starts: 2026-09-02, ends: 2026-10-16}}\n\
            scheme:\n  - {{deck: rivers, term: autumn{taught_on}}}\n  - {{deck: coasts, term: autumn, taught_on: 2026-09-25}}\n"
        );
        let deck = |id: &str, cards: usize| {
            let card = |at| format!("  - {{id: {id}-{at}, question: Q{at}, answer: A}}\n");
            format!("title: The {id}\nyear: 8\ncards:\n{}", (0..cards).map(card).collect::<String>())
        };
        department(&files(&[
            ("decks/department.yaml", &settings),
            ("decks/rivers/cards.yaml", &deck("rivers", 3)),
            ("decks/coasts/cards.yaml", &deck("coasts", 2)),
        ]))
    }

    #[test]
    fn days_topics_and_minutes_are_shown_and_what_is_too_much() {
        let department = geography(", taught_on: 2026-09-24");
        let plan = YearPlan::new(&department, 8, Some("autumn-2026".to_owned()));
        let expected = "year 8, autumn 2026: sessions of at most 1 min, 30 s a question
  Fri 25 Sep 2026    1 min  The rivers (day 1, part 1 of 2; 2 questions)
  Mon 28 Sep 2026    1 min  The rivers (day 1, part 2 of 2, due Fri 25 Sep; 1 question)
  Tue 29 Sep 2026    1 min  The coasts (day 1, due Sat 26 Sep; 2 questions)
";
        let text = text(&[plan], &Limits::of(&department));
        assert!(text.starts_with(expected), "{text}");
        assert!(text.contains("  too much for one day: 2 min fall due on Fri 25 Sep 2026, and 1 fit;"), "{text}");
        assert!(text.contains("no school day is left for The coasts from check 3 on"), "{text}");
    }

    #[test]
    fn a_deck_without_a_day_is_named() {
        let department = geography("");
        let plan = YearPlan::new(&department, 8, None);
        let text = text(&[plan], &Limits::of(&department));
        assert!(
            text.ends_with("  no day for The rivers: write `taught_on:` behind `deck: rivers` in the scheme\n"),
            "{text}"
        );
        assert!(YearPlan::new(&department, 9, None).is_empty());
    }

    #[test]
    fn json_keeps_to_its_schema() {
        let schema: serde_json::Value = serde_json::from_str(include_str!("../../schema/plan.schema.json")).unwrap();
        let validator = jsonschema::draft202012::new(&schema).unwrap();
        for taught_on in ["", ", taught_on: 2026-09-24"] {
            let department = geography(taught_on);
            let plans =
                [YearPlan::new(&department, 8, Some("autumn-2026".to_owned())), YearPlan::new(&department, 8, None)];
            let json: serde_json::Value = serde_json::from_str(&as_json(&plans, &Limits::of(&department))).unwrap();
            let errors: Vec<String> = validator.iter_errors(&json).map(|error| error.to_string()).collect();
            assert!(errors.is_empty(), "{errors:#?}\n{json:#}");
            assert_eq!(json["years"][0]["term"], "autumn-2026");
        }
    }
}
