//! What was found, counted by kind of edit.

use super::{Case, Outcome, Seen};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::io::Write as _;

/// How many edits of a kind there were, and what was seen of them.
#[derive(Clone, Copy, Default)]
struct Count {
    all: usize,
    errors: usize,
    doubts: usize,
}

impl Count {
    fn add(self, other: Count) -> Count {
        Count { all: self.all + other.all, errors: self.errors + other.errors, doubts: self.doubts + other.doubts }
    }

    fn share(self, part: usize) -> f64 {
        part as f64 / self.all.max(1) as f64
    }
}

/// The counts by kind of edit.
pub(super) struct Tally {
    pub(super) cards: usize,
    /// The sentences that have a finding before any edit.
    pub(super) unsound: Vec<String>,
    counts: BTreeMap<(bool, String), (Count, Vec<String>)>,
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
                let wanted = if edit.changes { Seen::Error } else { Seen::Silent };
                let (count, examples) = out.counts.entry((edit.changes, edit.kind)).or_default();
                count.all += 1;
                count.errors += usize::from(edit.seen == Seen::Error);
                count.doubts += usize::from(edit.seen == Seen::Doubt);
                if edit.seen != wanted && examples.len() < SHOWN {
                    let points = case.points.join("; ");
                    examples.push(format!(
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

    /// The share of changed facts that are seen, as an error or by a person who is asked.
    pub(super) fn recall(&self) -> f64 {
        let sum = self.sum(true);
        sum.share(sum.errors + sum.doubts)
    }

    /// The share of changed facts with an error.
    pub(super) fn certain_recall(&self) -> f64 {
        let sum = self.sum(true);
        sum.share(sum.errors)
    }

    /// The share of kept facts with an error.
    pub(super) fn false_alarms(&self) -> f64 {
        let sum = self.sum(false);
        sum.share(sum.errors)
    }

    /// The share of kept facts about which a person is asked.
    pub(super) fn needless_doubts(&self) -> f64 {
        let sum = self.sum(false);
        sum.share(sum.doubts)
    }

    fn sum(&self, changes: bool) -> Count {
        let of = self.counts.iter().filter(|((kind, _), _)| *kind == changes);
        of.fold(Count::default(), |sum, (_, (count, _))| sum.add(*count))
    }

    /// Prints the table, with examples of what was not seen for what it is.
    pub(super) fn report(&self, name: &str) {
        let mut out = format!("\n{name}: {} cards, {} kinds of edit\n", self.cards, self.kinds());
        let _ = writeln!(out, "{:40} {:>6} {:>8} {:>8} {:>8}", "", "edits", "error", "doubt", "silent");
        for ((changes, kind), (count, examples)) in &self.counts {
            let label = if *changes { "changed" } else { "kept" };
            row(&mut out, &format!("{label:7} {kind}"), *count);
            examples.iter().for_each(|example| out.push_str(&format!("        {example}\n")));
        }
        row(&mut out, &format!("{name}, changed facts"), self.sum(true));
        row(&mut out, &format!("{name}, kept facts"), self.sum(false));
        let _ = std::io::stderr().write_all(out.as_bytes());
    }
}

fn row(out: &mut String, label: &str, count: Count) {
    let silent = count.all - count.errors - count.doubts;
    let [errors, doubts, silent] = [count.errors, count.doubts, silent].map(|part| count.share(part));
    let _ = writeln!(out, "{label:40} {:6} {errors:8.4} {doubts:8.4} {silent:8.4}", count.all);
}
