//! Runs all rules over a department.

use rayon::prelude::*;
use serde::Serialize;

use super::context::{CardView, Context, DeckView};
use super::policy::Waived;
use super::rule::Scope;
use super::{policy, registry};
use crate::deck::{Deck, Department, Settings};
use crate::finding::{self, Finding, Level};

/// What the checks had to say.
#[derive(Clone, Debug)]
pub struct Report {
    /// The findings, in the order of their places.
    pub findings: Vec<Finding>,
    /// How many of what.
    pub summary: Summary,
}

/// How many findings of each level, over how many decks and cards.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Summary {
    /// Findings of level error.
    pub errors: usize,
    /// Findings of level warning.
    pub warnings: usize,
    /// Findings of level advice.
    pub advice: usize,
    /// Decks looked at.
    pub decks: usize,
    /// Cards looked at.
    pub cards: usize,
}

impl Report {
    /// A report over some findings of a department with that many decks and cards.
    pub fn new(findings: Vec<Finding>, decks: usize, cards: usize) -> Self {
        let count = |level: Level| findings.iter().filter(|finding| finding.level == level).count();
        let summary = Summary {
            errors: count(Level::Error),
            warnings: count(Level::Warning),
            advice: count(Level::Advice),
            decks,
            cards,
        };
        Self { findings, summary }
    }

    /// The same report with only those findings that `keep` keeps.
    #[must_use]
    pub fn filtered(self, keep: impl FnMut(&Finding) -> bool) -> Self {
        let findings = self.findings.into_iter().filter(keep).collect();
        Self::new(findings, self.summary.decks, self.summary.cards)
    }
}

/// Checks a department with all rules.
///
/// The findings are the same, in the same order, at any number of threads.
pub fn check(department: &Department) -> Report {
    let context = Context::new(department);
    let findings = found(&context, |_| true);
    let decks = (department.decks.len(), department.cards().count());
    let report = judged(context.settings(), &policy::waivers(&context), findings, decks);
    context.drop_beside();
    report
}

/// The report on what was found in a department of so many decks and cards.
pub(super) fn judged(
    settings: &Settings,
    waivers: &[Waived],
    findings: Vec<Finding>,
    (decks, cards): (usize, usize),
) -> Report {
    let mut findings = policy::apply(settings, waivers, findings);
    finding::sort(&mut findings);
    Report::new(findings, decks, cards)
}

/// What the rules find, before levels and waivers: with what is found in each of the decks that are wanted, and
/// in the department as a whole.
pub(super) fn found(context: &Context<'_>, is_wanted: impl Fn(&Deck) -> bool + Sync) -> Vec<Finding> {
    let department = context.department;
    let mut findings: Vec<Finding> = department.findings.clone();
    findings.extend(department.strays.iter().cloned());
    findings.extend(department.settings.findings.iter().cloned());
    let decks: Vec<&Deck> = department.decks.iter().filter(|deck| is_wanted(deck)).collect();
    findings.extend(decks.iter().flat_map(|deck| deck.findings.iter().cloned()));
    findings.par_extend(decks.par_iter().flat_map_iter(|deck| of_deck(context, deck)));
    findings.par_extend(registry::all().par_iter().flat_map_iter(|rule| {
        let mut found = Vec::new();
        if let Scope::Department(run) = rule.scope {
            run(context, &mut found);
        }
        found
    }));
    findings
}

fn of_deck(context: &Context<'_>, deck: &Deck) -> Vec<Finding> {
    let mut found = Vec::new();
    for rule in registry::all() {
        match rule.scope {
            Scope::Deck(run) => run(&DeckView { context, deck }, &mut found),
            Scope::Card(run) => {
                for card in &deck.cards {
                    run(&CardView { context, deck, card }, &mut found);
                }
            }
            Scope::Reading | Scope::Department(_) | Scope::Waivers | Scope::Printing => {}
        }
    }
    found
}
