//! The labelled benchmark of drift: cards made from open data and from the project's own sentences,
//! each against many edits of its notes, labelled as keeping the fact or changing it. Counted by kind
//! of edit: in how many there is an error, in how many a doubt that asks a person to look, and in how
//! many neither. A changed fact is seen when there is one of both; an error on a kept fact is a false
//! alarm, and a doubt on one costs somebody a look.
//!
//! `cargo test --lib source::benchmark -- --nocapture` prints the tables.

mod facts;
mod general;
mod held_out;
mod makers;
mod prose;
mod relocation;
mod tally;

use self::general::general;
use self::tally::Tally;

use super::{AllNotes, Asked, Cited, Judgement, judge};
use crate::notes::Notes;
use rayon::prelude::*;

/// One card with its sentence and the edits of it.
pub(super) struct Case {
    question: String,
    points: Vec<String>,
    ordered: bool,
    sentence: String,
    /// What the notes say at first, where the quote is only a clause of it.
    around: Option<String>,
    heading: String,
    /// Sentences of the same mould, which stand in other sections.
    siblings: Vec<String>,
    edits: Vec<Edit>,
}

/// One edit of the sentence.
#[derive(Clone)]
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

fn judged(case: &Case, notes: &str) -> Vec<Judgement> {
    let all_notes = AllNotes::new([("notes.md".to_string(), Notes::read(notes))]);
    let anchor = crate::notes::anchor_of(&case.heading);
    let asked = Asked {
        question: &case.question,
        points: case.points.iter().map(String::as_str).collect(),
        ordered: case.ordered,
        ..Asked::default()
    };
    let card =
        Cited { file: Some("notes.md"), anchor: Some(&anchor), quotes: vec![&case.sentence], asked: vec![asked] };
    judge(&card, &all_notes)
}

/// What was found of a case: unedited, and after each edit.
struct Outcome {
    sound: bool,
    edits: Vec<Judged>,
}

/// How far what was found makes a person look.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Seen {
    Error,
    Doubt,
    Silent,
}

impl Seen {
    fn of(found: &[Judgement]) -> Seen {
        match found {
            _ if found.iter().any(Judgement::is_error) => Seen::Error,
            _ if found.iter().any(|found| found.state == super::State::Doubtful) => Seen::Doubt,
            _ => Seen::Silent,
        }
    }
}

/// One edit with what was found, and the first judgement in short.
struct Judged {
    kind: String,
    changes: bool,
    text: String,
    seen: Seen,
    found: String,
}

fn outcome(case: &Case, edits: &[(Edit, String)]) -> Outcome {
    let sound = judged(case, &notes(case, case.around.as_deref().unwrap_or(&case.sentence)))
        .iter()
        .all(|found| found.state == super::State::Supported);
    let edits = edits.iter().map(|(edit, notes)| {
        let found = judged(case, notes);
        let shown = found.first().map(|found| (found.state, found.differences.first().cloned()));
        Judged {
            kind: edit.kind.clone(),
            changes: edit.changes,
            text: edit.text.clone(),
            seen: Seen::of(&found),
            found: format!("{shown:?}"),
        }
    });
    Outcome { sound, edits: edits.collect() }
}

/// The edits of a case's own, with the notes that each of them makes.
fn own(case: &Case) -> Vec<(Edit, String)> {
    case.edits.iter().map(|edit| (edit.clone(), notes(case, &edit.text))).collect()
}

fn measured(cases: &[Case], edits: impl Fn(&Case) -> Vec<(Edit, String)> + Sync) -> Tally {
    let outcomes: Vec<Outcome> = cases.par_iter().map(|case| outcome(case, &edits(case))).collect();
    Tally::of(cases, outcomes)
}

#[test]
fn changed_facts_are_seen_and_kept_facts_are_left_alone() {
    let mut cases = makers::cases();
    cases.extend(prose::cases());
    let tally = measured(&cases, |case| own(case).into_iter().chain(general(case)).collect());
    tally.report("the labelled benchmark");
    assert!(tally.unsound.is_empty(), "unedited: {:?}", tally.unsound);
    assert!(tally.cards >= 2_000, "{} cards", tally.cards);
    assert!(tally.kinds() >= 30, "{} kinds", tally.kinds());
    assert!(tally.recall() >= 0.99, "recall {}", tally.recall());
    assert!(tally.certain_recall() >= 0.99, "recall at the level of errors {}", tally.certain_recall());
    assert!(tally.false_alarms() <= 0.02, "false alarms {}", tally.false_alarms());
    assert!(tally.needless_doubts() <= 0.05, "doubts on kept facts {}", tally.needless_doubts());
}
