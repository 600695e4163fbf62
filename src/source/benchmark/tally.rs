//! What was found, counted by kind of edit.

use super::{Case, Outcome};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::io::Write as _;

/// How many edits of a kind there were, and in how many there is an error.
#[derive(Default)]
struct Count {
    all: usize,
    errors: usize,
    examples: Vec<String>,
}

/// The counts by kind of edit.
pub(super) struct Tally {
    pub(super) cards: usize,
    /// The sentences that have a finding before any edit.
    pub(super) unsound: Vec<String>,
    counts: BTreeMap<(bool, String), Count>,
}

/// How many examples of a kind are shown.
const SHOWN: usize = 3;

impl Tally {
    pub(super) fn of(cases: &[Case], outcomes: Vec<Outcome>) -> Tally {
        let mut out = Tally { cards: cases.len(), unsound: Vec::new(), counts: BTreeMap::new() };
        for (case, outcome) in cases.iter().zip(outcomes) {
            if !outcome.sound {
                out.unsound.push(case.sentence.clone());
            }
            for edit in outcome.edits {
                let count = out.counts.entry((edit.changes, edit.kind)).or_default();
                count.all += 1;
                count.errors += usize::from(edit.error);
                if edit.error != edit.changes && count.examples.len() < SHOWN {
                    let points = case.points.join("; ");
                    count.examples.push(format!(
                        "{} | {points} | {} -> {} {}",
                        case.question, case.sentence, edit.text, edit.found
                    ));
                }
            }
        }
        out
    }

    pub(super) fn kinds(&self) -> usize {
        self.counts.len()
    }

    /// The share of changed facts that are seen.
    pub(super) fn recall(&self) -> f64 {
        self.share(true)
    }

    /// The share of kept facts with an error.
    pub(super) fn false_alarms(&self) -> f64 {
        self.share(false)
    }

    fn share(&self, changes: bool) -> f64 {
        let (errors, all) = self.sum(changes);
        errors as f64 / all.max(1) as f64
    }

    fn sum(&self, changes: bool) -> (usize, usize) {
        let of = self.counts.iter().filter(|((kind, _), _)| *kind == changes);
        of.fold((0, 0), |sum, (_, count)| (sum.0 + count.errors, sum.1 + count.all))
    }

    /// Prints the table, with examples of what went wrong.
    pub(super) fn report(&self, name: &str) {
        let mut out = format!("\n{name}: {} cards, {} kinds of edit\n", self.cards, self.kinds());
        for ((changes, kind), count) in &self.counts {
            let label = if *changes { "changed" } else { "kept   " };
            let share = count.errors as f64 / count.all as f64;
            let _ = writeln!(out, "{label} {kind:32} {:6} edits, errors in {share:.4}", count.all);
            count.examples.iter().for_each(|example| out.push_str(&format!("        {example}\n")));
        }
        for (changes, label) in [(true, "changed facts seen"), (false, "false alarms on kept facts")] {
            let (errors, all) = self.sum(changes);
            let _ = writeln!(out, "{name}, {label}: {errors} of {all}, {:.4}", self.share(changes));
        }
        let _ = std::io::stderr().write_all(out.as_bytes());
    }
}
