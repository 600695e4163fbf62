//! Sameness measured on labelled pairs: the hand-written groups of `tests/data/same.txt`, and moulds
//! filled from open data, of which two fillings are never the same.

use super::{Posed, similar_questions};
use std::collections::BTreeSet;
use std::io::Write;

/// A question, its answer and the group of those that ask the same.
type Labelled = (String, String, usize);

fn read(text: &str) -> Vec<Labelled> {
    let text: String = text.lines().filter(|line| !line.starts_with('#')).map(|line| format!("{line}\n")).collect();
    let groups = text.split("\n\n").enumerate();
    groups
        .flat_map(|(group, lines)| {
            let labelled = move |line: &str| {
                line.split_once(" | ").map(|(question, answer)| (question.to_string(), answer.to_string(), group))
            };
            lines.lines().filter_map(labelled).collect::<Vec<_>>()
        })
        .collect()
}

fn moulds() -> Vec<Labelled> {
    let rows = |text: &'static str| {
        text.lines().filter(|line| !line.starts_with('#')).map(|line| line.split(',').collect::<Vec<_>>())
    };
    let mut out = Vec::new();
    let mut group = 1_000;
    let mut add = |questions: &[String], answer: &str| {
        out.extend(questions.iter().map(|question| (question.clone(), answer.to_string(), group)));
        group += 1;
    };
    for row in rows(include_str!("../../../tests/data/facts/countries.csv")) {
        let (name, capital) = (row[0], row[1]);
        add(
            &[
                format!("What is the capital of {name}?"),
                format!("Name the capital city of {name}."),
                format!("Which city is the capital of {name}?"),
            ],
            capital,
        );
        add(
            &[format!("How many people live in {name}?"), format!("What is the number of people who live in {name}?")],
            row[3],
        );
        add(&[format!("On which continent is {name}?"), format!("Name the continent where {name} is.")], row[4]);
        add(&[format!("What is the area of {name} in square kilometres?")], row[2]);
    }
    for row in rows(include_str!("../../../tests/data/facts/elements.csv")) {
        add(
            &[format!("What is the symbol of {}?", row[0]), format!("Give the chemical symbol for {}.", row[0])],
            row[1],
        );
        add(
            &[
                format!("What is the atomic number of {}?", row[0]),
                format!("State the atomic number of the element {}.", row[0]),
            ],
            row[2],
        );
        add(
            &[
                format!("Which element has the symbol {}?", row[1]),
                format!("Name the element whose symbol is {}.", row[1]),
            ],
            row[0],
        );
    }
    out
}

#[test]
fn the_same_is_found_and_moulds_are_not() {
    for (name, all) in [("written", read(include_str!("../../../tests/data/same.txt"))), ("moulds", moulds())] {
        let (precision, recall) = measured(name, &all);
        assert!(precision >= 0.98 && recall >= 0.95, "{name}: precision {precision}, recall {recall}");
    }
}

/// Sets that were written before they were measured; what is asked of them is what they came to.
#[test]
fn held_out_questions_are_judged_as_well_as_they_were() {
    let one = include_str!("../../../tests/data/same-held-out-1.txt");
    let two = include_str!("../../../tests/data/same-held-out-2.txt");
    let three = include_str!("../../../tests/data/same-held-out-3.txt");
    let four = include_str!("../../../tests/data/same-held-out-4.txt");
    let five = include_str!("../../../tests/data/same-held-out-5.txt");
    for (name, text, precise, least) in [
        ("held-out questions 1", one, 0.98, 0.86),
        ("held-out questions 2", two, 0.98, 0.88),
        ("held-out questions 3", three, 0.98, 0.82),
        ("held-out questions 4", four, 0.98, 0.85),
        ("held-out questions 5", five, 0.98, 0.93),
    ] {
        let (precision, recall) = measured(name, &read(text));
        assert!(precision >= precise && recall >= least, "{name}: {precision}, {recall}");
    }
}

/// Precision and recall over pairs, which it prints with what went wrong.
fn measured(name: &str, all: &[Labelled]) -> (f64, f64) {
    let posed: Vec<Posed<'_>> =
        all.iter().map(|(question, answer, _)| Posed { question, answer: vec![answer], accept: vec![] }).collect();
    let found: BTreeSet<(usize, usize)> =
        similar_questions(&posed[..]).iter().map(|pair| (pair.one, pair.other)).collect();
    let pairs = |at: usize| (at + 1..all.len()).map(move |other| (at, other));
    let same: BTreeSet<(usize, usize)> =
        (0..all.len()).flat_map(pairs).filter(|(one, other)| all[*one].2 == all[*other].2).collect();
    let right = found.intersection(&same).count() as f64;
    let (precision, recall) = (right / found.len() as f64, right / same.len() as f64);
    let show = |(one, other): &(usize, usize)| format!("    {} | {}\n", all[*one].0, all[*other].0);
    let wrong: String = found.difference(&same).take(24).map(show).collect();
    let missed: String = same.difference(&found).take(48).map(show).collect();
    let out = format!(
        "\nsameness, {name}: {} questions, precision {precision:.4}, recall {recall:.4}\n  wrong\n{wrong}  missed\n{missed}",
        all.len()
    );
    let _ = std::io::stderr().write_all(out.as_bytes());
    (precision, recall)
}
