//! A change as it is reviewed: card by card, with what it brings in and clears among the findings.

use rayon::join;
use serde::Serialize;

use super::compare::changes;
use super::model::{Changes, Counts};
use super::{beside, leaning};
use crate::check::{self, Report, Summary, brought_in, cleared};
use crate::deck::Department;
use crate::finding::{Finding, Level};

/// What a proposal changes, and what that does to the checks. As JSON it has the shape of
/// `schema/review.schema.json`.
#[derive(Clone, Debug, Serialize)]
pub struct Review {
    /// The version of the format.
    pub format: u8,
    /// How many cards were changed, and how.
    pub counts: Counts,
    /// What changed.
    #[serde(flatten)]
    pub changes: Changes,
    /// Findings that are new.
    pub brought_in: Vec<Finding>,
    /// Findings that are gone.
    pub cleared: Vec<Finding>,
    /// How many findings there were.
    pub before: Summary,
    /// How many findings there are.
    pub now: Summary,
}

impl Review {
    /// Compares and checks both departments.
    pub fn new(before: &Department, now: &Department) -> Self {
        let (old, new) = join(|| check::check(before), || check::check(now));
        Self::of_checked((before, &old), (now, &new))
    }

    /// Compares both departments, of which the reports are known.
    pub fn of_checked((before, old): (&Department, &Report), (now, new): (&Department, &Report)) -> Self {
        let mut changes = changes(before, now);
        beside::add(&mut changes, now);
        leaning::add(&mut changes.notes, before, now);
        Self::of(changes, old, new)
    }

    /// Puts together what was compared and checked already.
    pub fn of(changes: Changes, before: &Report, now: &Report) -> Self {
        Self {
            format: 1,
            counts: changes.counts(),
            changes,
            brought_in: brought_in(&before.findings, &now.findings),
            cleared: cleared(&before.findings, &now.findings),
            before: before.summary,
            now: now.summary,
        }
    }

    /// Whether the change brings in a finding of level error.
    pub fn brings_in_errors(&self) -> bool {
        self.brought_in.iter().any(|finding| finding.level == Level::Error)
    }
}
