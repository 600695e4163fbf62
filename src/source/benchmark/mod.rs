//! The labelled benchmark of drift: cards made from open data and from the project's own sentences,
//! each against many edits of its notes, labelled as keeping the fact or changing it. Counted by kind
//! of edit: how many changes are seen (an error), and how many kept facts raise a false alarm.
//!
//! `cargo test --lib source::benchmark -- --nocapture` prints the table.

mod facts;
mod makers;
mod prose;

use super::{Asked, Cited, Judgement, Library, judge};
use crate::notes::Notes;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::io::Write;

/// One card with its sentence and the edits of it.
pub(super) struct Case {
    question: String,
    points: Vec<String>,
    ordered: bool,
    sentence: String,
    heading: String,
    /// Sentences of the same mould, which stand in other sections.
    siblings: Vec<String>,
    edits: Vec<Edit>,
}

/// One edit of the sentence.
pub(super) struct Edit {
    kind: String,
    changes: bool,
    text: String,
}

fn kept(kind: &str, text: impl Into<String>) -> Edit {
    Edit { kind: kind.into(), changes: false, text: text.into() }
}

fn changed(kind: &str, text: impl Into<String>) -> Edit {
    Edit { kind: kind.into(), changes: true, text: text.into() }
}

const BEFORE: &str = "This page was read by the whole department.";
const AFTER: &str = "Pupils copy it into their books and learn it by heart.";

/// The notes of a case around its sentence.
fn notes(case: &Case, sentence: &str) -> String {
    let mut out = format!("# Notes\n\n## {}\n\n{BEFORE} {sentence} {AFTER}\n", case.heading);
    for (number, sibling) in case.siblings.iter().enumerate() {
        out.push_str(&format!("\n## Further {number}\n\n{sibling} It is asked every year.\n"));
    }
    out
}

/// Edits that any sentence can have.
fn general(case: &Case) -> Vec<(Edit, String)> {
    let sentence = &case.sentence;
    let whole = notes(case, sentence);
    let wrapped = sentence
        .split(' ')
        .enumerate()
        .map(|(at, word)| {
            format!(
                "{}{word}",
                if at == 0 {
                    ""
                } else if at % 4 == 0 {
                    "\n"
                } else {
                    " "
                }
            )
        })
        .collect::<String>();
    let longest = sentence
        .split(' ')
        .filter(|word| word.chars().all(char::is_alphabetic))
        .max_by_key(|word| word.len())
        .unwrap_or("");
    let strong =
        if longest.is_empty() { sentence.clone() } else { sentence.replacen(longest, &format!("**{longest}**"), 1) };
    let fancy = sentence.replace('\'', "’").replace(" a ", "\u{a0}\u{61}\u{a0}").replace("tion", "ti\u{ad}on");
    let open = sentence.trim_end_matches('.');
    let here = format!("{BEFORE} {sentence} {AFTER}");
    vec![
        (kept("re-wrapping", ""), notes(case, &wrapped)),
        (kept("markup", ""), notes(case, &strong)),
        (kept("quotes, spaces, soft hyphens", ""), notes(case, &fancy)),
        (
            kept("neighbouring edit", ""),
            whole
                .replace(BEFORE, "The whole department agreed on 3 pages.")
                .replace(AFTER, "There is no test on 12 May."),
        ),
        (kept("moved section", ""), whole.replace(&here, BEFORE) + &format!("\n## New place\n\n{sentence}\n")),
        (kept("renamed section", ""), whole.replacen(&format!("## {}", case.heading), "## Another name", 1)),
        (
            kept("merged with the next sentence", ""),
            whole.replace(
                &here,
                &format!("{BEFORE} {open}, and pupils copy it into their books and learn it by heart."),
            ),
        ),
        (kept("as a list item", ""), whole.replace(&here, &format!("{BEFORE}\n\n- {sentence}\n- {AFTER}"))),
        (changed("deleted", ""), whole.replace(&here, &format!("{BEFORE} {AFTER}"))),
        (changed("taken back", ""), notes(case, &format!("It is not true that {sentence}"))),
    ]
}

fn judged(case: &Case, notes: &str) -> Vec<Judgement> {
    let library = Library::new([("notes.md".to_string(), Notes::read(notes))]);
    let anchor = crate::notes::anchor_of(&case.heading);
    let asked = Asked {
        question: &case.question,
        points: case.points.iter().map(String::as_str).collect(),
        ordered: case.ordered,
        ..Asked::default()
    };
    let card =
        Cited { file: Some("notes.md"), anchor: Some(&anchor), quotes: vec![&case.sentence], asked: vec![asked] };
    judge(&card, &library)
}

#[derive(Default)]
struct Count {
    all: usize,
    errors: usize,
    examples: Vec<String>,
}

/// What was found of a case: unedited, and after each edit.
struct Outcome {
    sound: bool,
    edits: Vec<(Edit, bool, String)>,
}

fn outcome(case: &Case) -> Outcome {
    let sound = judged(case, &notes(case, &case.sentence)).iter().all(|found| found.state == super::State::Supported);
    let own = case.edits.iter().map(|edit| {
        (Edit { kind: edit.kind.clone(), changes: edit.changes, text: edit.text.clone() }, notes(case, &edit.text))
    });
    let edits = own.chain(general(case)).map(|(edit, notes)| {
        let found = judged(case, &notes);
        let shown = found.first().map(|found| (found.state, found.differences.first().cloned()));
        (edit, found.iter().any(Judgement::is_error), format!("{shown:?}"))
    });
    Outcome { sound, edits: edits.collect() }
}

#[test]
fn changed_facts_are_seen_and_kept_facts_are_left_alone() {
    let mut cases = makers::cases();
    cases.extend(prose::cases());
    let mut counts: BTreeMap<(bool, String), Count> = BTreeMap::new();
    let mut base_errors = Vec::new();
    let outcomes: Vec<Outcome> = cases.par_iter().map(outcome).collect();
    for (case, outcome) in cases.iter().zip(outcomes) {
        if !outcome.sound {
            base_errors.push(case.sentence.clone());
        }
        for (edit, error, found) in outcome.edits {
            let count = counts.entry((edit.changes, edit.kind)).or_default();
            count.all += 1;
            count.errors += usize::from(error);
            if error != edit.changes && count.examples.len() < 3 {
                count.examples.push(format!(
                    "{} | {} | {} -> {} {found}",
                    case.question,
                    case.points.join("; "),
                    case.sentence,
                    edit.text
                ));
            }
        }
    }
    report(&cases, &counts);
    assert!(
        base_errors.is_empty(),
        "unedited: {} of {}: {:?}",
        base_errors.len(),
        cases.len(),
        &base_errors[..base_errors.len().min(5)]
    );
    let share = |changes: bool| {
        let of = counts.iter().filter(|((kind, _), _)| *kind == changes);
        let (all, errors) = of.fold((0, 0), |sum, (_, count)| (sum.0 + count.all, sum.1 + count.errors));
        errors as f64 / all as f64
    };
    assert!(cases.len() >= 2_000, "{} cards", cases.len());
    assert!(counts.len() >= 30, "{} kinds", counts.len());
    assert!(share(true) >= 0.99, "recall {}", share(true));
    assert!(share(false) <= 0.02, "false alarms {}", share(false));
}

fn report(cases: &[Case], counts: &BTreeMap<(bool, String), Count>) {
    let mut out = format!("{} cards\n", cases.len());
    for ((changes, kind), count) in counts {
        let label = if *changes { "changed" } else { "kept   " };
        let share = count.errors as f64 / count.all as f64;
        out.push_str(&format!("{label} {kind:32} {:6} edits, errors in {share:.4}\n", count.all));
        count.examples.iter().for_each(|example| out.push_str(&format!("        {example}\n")));
    }
    for changes in [false, true] {
        let of = counts
            .iter()
            .filter(|((kind, _), _)| *kind == changes)
            .fold((0, 0), |sum, (_, count)| (sum.0 + count.all, sum.1 + count.errors));
        let label = if changes { "changed facts seen" } else { "false alarms on kept facts" };
        out.push_str(&format!("{label}: {} of {}, {:.4}\n", of.1, of.0, of.1 as f64 / of.0 as f64));
    }
    out.push_str(&format!("{} kinds of edit\n", counts.len()));
    let _ = std::io::stderr().write_all(out.as_bytes());
}
