//! Quizzes of small departments.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::date;

use super::*;
use crate::change::support::{department, files};

const SETTINGS: &str = "department: Geography\nschool: Ambleford Quay School\nyears: [8, 9]\nterms:\n  \
    - {name: autumn, starts: 2026-09-02, ends: 2026-12-18}\n  - {name: spring, starts: 2027-01-05, ends: 2027-03-25}\n\
    holidays:\n  - {name: Autumn half term, starts: 2026-10-26, ends: 2026-10-30}\nscheme:\n";

/// A topic of year 8 with eight cards; those named in `more` have the lines given there.
fn deck(name: &str, more: &BTreeMap<String, &str>) -> String {
    let words = ["delta", "spit", "levee", "gorge", "arch", "stack", "cave", "bar"];
    let card = |(at, word): (usize, &&str)| {
        let id = format!("{name}-{at}");
        let more = more.get(&id).copied().unwrap_or_default();
        format!(
            "  - id: {id}\n    question: Which {word} is number {at} of {name}?\n    answer: The {name} of {word} {at}\n{more}"
        )
    };
    let cards: String = words.iter().enumerate().map(card).collect();
    format!("title: Topic {name}\nyear: 8\ncards:\n{cards}")
}

/// Year 8: topics of eight cards each, in autumn, on the given days.
fn scheme_with(days: &[(&str, &str)], more: &[(&str, &'static str)]) -> Department {
    let more = more.iter().map(|(id, lines)| ((*id).to_owned(), *lines)).collect();
    let lesson = |(name, day): &(&str, &str)| {
        let day = if day.is_empty() { String::new() } else { format!(", taught_on: {day}") };
        format!("  - {{deck: {name}, term: autumn{day}}}\n")
    };
    let settings = SETTINGS.to_owned() + &days.iter().map(lesson).collect::<String>();
    let decks = days.iter().map(|(name, _)| (format!("decks/{name}/cards.yaml"), deck(name, &more).into_bytes()));
    let settings = ("decks/department.yaml".to_owned(), settings.into_bytes());
    department(&std::iter::once(settings).chain(decks).collect())
}

const FOUR: [(&str, &str); 4] = [("a", "2026-09-07"), ("b", "2026-11-02"), ("c", "2026-11-16"), ("d", "2026-11-23")];

fn on(department: &Department, day: Date) -> Result<Quiz, NoQuiz> {
    quiz(department, "0123", 8, day, 1)
}

fn ids(quiz: &Quiz) -> BTreeSet<&str> {
    quiz.questions.iter().map(|asked| asked.card.as_str()).collect()
}

/// How many questions come from which pile and deck.
fn counts(quiz: &Quiz) -> BTreeMap<(Option<u16>, &str), usize> {
    let mut counts = BTreeMap::new();
    quiz.questions.iter().for_each(|asked| *counts.entry((asked.days, asked.deck.as_str())).or_default() += 1);
    counts
}

#[test]
fn three_come_from_each_of_the_days_and_one_from_longer_ago() {
    let department = scheme_with(&FOUR, &[]);
    let quiz = on(&department, date(2026, 11, 24)).expect("taught");
    let expected = [((None, "a"), 1), ((Some(1), "d"), 3), ((Some(7), "c"), 3), ((Some(21), "b"), 3)];
    assert_eq!(counts(&quiz), BTreeMap::from(expected));
    assert_eq!(quiz.questions.iter().map(|asked| asked.number).collect::<Vec<_>>(), (1..=10).collect::<Vec<_>>());
    assert_eq!(quiz.questions.iter().map(|asked| asked.taught_on).collect::<BTreeSet<_>>().len(), 4);
    assert!(quiz.questions.is_sorted_by(|one, next| one.taught_on >= next.taught_on), "the newest come first");
    assert!(quiz.left_out.is_empty() && quiz.no_school_until.is_none());
}

#[test]
fn the_same_day_and_seed_draw_the_same_and_others_differ() {
    let department = scheme_with(&FOUR, &[]);
    let drawn = |day, seed| quiz(&department, "0123", 8, date(2026, 11, day), seed).expect("taught");
    assert_eq!(drawn(24, 1), drawn(24, 1));
    assert_ne!(ids(&drawn(24, 1)), ids(&drawn(24, 2)));
    assert_ne!(ids(&drawn(24, 1)), ids(&drawn(25, 1)));
}

#[test]
fn another_card_in_the_department_changes_one_question_at_most() {
    let (before, after) = (
        scheme_with(&FOUR, &[]),
        scheme_with(
            &FOUR,
            &[("d-7", "  - id: d-new\n    question: How is a lagoon closed off?\n    answer: By a growing ridge\n")],
        ),
    );
    let day = date(2026, 11, 24);
    let (before, after) = (on(&before, day).expect("taught"), on(&after, day).expect("taught"));
    assert!(ids(&before).intersection(&ids(&after)).count() >= 9);
}

#[test]
fn a_topic_that_lasts_weeks_is_asked_more_of_and_each_card_once() {
    let department = scheme_with(&[("a", "2026-09-07"), ("b", "2026-09-14")], &[]);
    let quiz = on(&department, date(2026, 12, 1)).expect("taught");
    assert_eq!((ids(&quiz).len(), quiz.questions.len()), (10, 10));
    assert_eq!(quiz.questions.iter().filter(|asked| asked.deck == "b").count(), 8);
    assert_eq!(quiz.questions.iter().filter(|asked| asked.days.is_none()).count(), 2, "the rest is from longer ago");
}

#[test]
fn two_topics_of_one_day_are_both_asked_of() {
    let department = scheme_with(&[("a", "2026-09-07"), ("b", "2026-11-16"), ("c", "2026-11-16")], &[]);
    let drawn = (1..=8).map(|seed| quiz(&department, "0123", 8, date(2026, 11, 17), seed).expect("taught"));
    let decks: BTreeSet<String> =
        drawn.flat_map(|quiz| quiz.questions).filter(|asked| asked.days == Some(1)).map(|asked| asked.deck).collect();
    assert_eq!(decks.into_iter().collect::<Vec<_>>(), ["b", "c"]);
}

#[test]
fn what_was_taught_between_the_days_comes_before_more_of_long_ago() {
    let days = [("a", "2026-09-07"), ("b", "2026-11-02"), ("c", "2026-11-09"), ("d", "2026-11-16")];
    let drafts: Vec<(String, &str)> = ["b", "d"]
        .iter()
        .flat_map(|deck| (1..8).map(move |at| (format!("{deck}-{at}"), "    draft: true\n")))
        .collect();
    let drafts: Vec<(&str, &str)> = drafts.iter().map(|(id, lines)| (id.as_str(), *lines)).collect();
    let department = scheme_with(&days, &drafts);
    // One day and seven days before, d was taught; 21 days before, b.
    let quiz = on(&department, date(2026, 11, 24)).expect("taught");
    assert_eq!(quiz.questions.iter().filter(|asked| asked.deck == "c").count(), 7);
    assert_eq!(quiz.questions.iter().filter(|asked| asked.deck == "a").count(), 1);
}

#[test]
fn cards_beyond_the_core_are_asked_when_there_are_no_others() {
    let beyond: Vec<(String, &str)> = (0..6).map(|at| (format!("a-{at}"), "    tier: extension\n")).collect();
    let beyond: Vec<(&str, &str)> = beyond.iter().map(|(id, lines)| (id.as_str(), *lines)).collect();
    let department = scheme_with(&[("a", "2026-09-07")], &beyond);
    let quiz = on(&department, date(2026, 9, 8)).expect("taught");
    assert_eq!(quiz.questions.len(), 8);
    let few = scheme_with(&[("a", "2026-09-07"), ("b", "2026-09-08")], &beyond);
    let quiz = on(&few, date(2026, 9, 9)).expect("taught");
    let extension: Vec<_> = quiz.questions.iter().filter(|asked| asked.tier == Tier::Extension).collect();
    assert!(extension.is_empty(), "{extension:?}");
}

#[test]
fn early_in_the_year_there_are_fewer_and_before_it_is_said_from_when() {
    let department = scheme_with(&[("a", "2026-09-11"), ("b", "2026-11-02")], &[]);
    assert_eq!(on(&department, date(2026, 9, 14)).expect("taught").questions.len(), 8);
    let error = on(&department, date(2026, 9, 11)).expect_err("nothing yet");
    assert_eq!(
        error.to_string(),
        "nothing of year 8 is taught before Friday 11 September 2026: Topic a is the first, on Friday 11 September 2026"
    );
    assert_eq!(error.help(), "there are questions from Monday 14 September 2026 on: `--on 2026-09-14`");
    let undated = scheme_with(&[("a", "")], &[]);
    assert_eq!(on(&undated, date(2026, 9, 14)), Err(NoQuiz::NoDays(8)));
    assert_eq!(quiz(&department, "0123", 9, date(2026, 9, 14), 1), Err(NoQuiz::NoDays(9)));
    let unknown = quiz(&department, "0123", 7, date(2026, 9, 14), 1).expect_err("no such year");
    assert_eq!(unknown.to_string(), "there is no year 7 here; the settings have years 8 and 9");
}

#[test]
fn days_without_school_are_told() {
    let department = scheme_with(&FOUR, &[]);
    let saturday = on(&department, date(2026, 11, 28)).expect("there may be a class all the same");
    assert_eq!((saturday.no_school_until, saturday.questions.len()), (Some(date(2026, 11, 30)), 10));
    let told = |day: Date| on(&department, day).map_err(|error| (error.to_string(), error.help())).expect_err("none");
    let from = |day: &str, date: &str| format!("there are questions from {day} on: `--on {date}`");
    let half_term = "there is no school on Wednesday 28 October 2026 (Autumn half term)";
    assert_eq!(told(date(2026, 10, 28)), (half_term.to_owned(), from("Monday 2 November 2026", "2026-11-02")));
    // The weekend before a holiday belongs to no holiday that is written down, but to the term.
    assert_eq!(on(&department, date(2026, 10, 24)).expect("drawn").no_school_until, Some(date(2026, 11, 2)));
    let winter = "there is no school on Tuesday 22 December 2026 (no term)";
    assert_eq!(told(date(2026, 12, 22)), (winter.to_owned(), from("Tuesday 5 January 2027", "2027-01-05")));
    assert!(told(date(2027, 7, 1)).1.starts_with("no school day is left after it"));
    // Over a weekend and over holidays, what was taught last is still what was taught the day before.
    let monday = on(&department, date(2027, 1, 5)).expect("taught");
    assert!(counts(&monday).contains_key(&(Some(1), "d")));
}

#[test]
fn cards_with_errors_are_not_asked() {
    let more = [("a-0", "    pictures:\n      - {file: gone.svg, alt: A wave on a beach}\n")];
    let department = scheme_with(&[("a", "2026-09-07")], &more);
    let quiz = on(&department, date(2026, 10, 1)).expect("taught");
    assert_eq!((quiz.questions.len(), quiz.left_out.as_slice()), (7, ["a-0".to_owned()].as_slice()));
    let settings = files(&[("decks/department.yaml", "department: G\nschool: S\nyears: [8]\nscheme: no\n")]);
    let error = on(&super::tests::department(&settings), date(2026, 10, 1)).expect_err("what is taught is unknown");
    assert!(matches!(&error, NoQuiz::Settings(findings) if findings.len() == 1), "{error:?}");
}

#[test]
fn a_quiz_keeps_to_its_schema() {
    let schema: serde_json::Value = serde_json::from_str(include_str!("../../schema/quiz.schema.json")).expect("JSON");
    let schema = jsonschema::validator_for(&schema).expect("a schema");
    let pictured = [("d-1", "    caution: Not alone.\n    tags: [x]\n")];
    let quiz = on(&scheme_with(&FOUR, &pictured), date(2026, 11, 28)).expect("taught");
    let value = serde_json::to_value(&quiz).expect("it serialises");
    let errors: Vec<String> = schema.iter_errors(&value).map(|error| error.to_string()).collect();
    assert!(errors.is_empty(), "{errors:?}");
    for (at, wrong) in [("/on", serde_json::json!("today")), ("/questions/0/answer", serde_json::json!("text"))] {
        let mut value = value.clone();
        *value.pointer_mut(at).expect("it is there") = wrong;
        assert!(!schema.is_valid(&value), "{at}");
    }
}
