//! `no-source`: a card that does not say where its fact comes from.

use crate::check::context::CardView;
use crate::check::rule::{Rule, Scope};
use crate::finding::{Finding, Level};

pub const RULE: Rule = Rule {
    name: "no-source",
    level: Level::Warning,
    summary: "a card has no source; only when the department's policy names this rule",
    why: "A card with a source can be held against the notes when they change. Whether every card must have one is for the department to say: `policy: {no-source: warning}`.",
    wrong: "- id: gale\n  question: Which number on the Beaufort scale is a gale?\n  answer: \"8\"",
    right: "- id: gale\n  question: Which number on the Beaufort scale is a gale?\n  answer: \"8\"\n  source: notes.md#wind-force",
    waivable: true,
    repairable: false,
    scope: Scope::Card(check),
};

fn check(view: &CardView<'_>, found: &mut Vec<Finding>) {
    if !view.context.settings().policy.contains_key(RULE.name) {
        return;
    }
    for question in view.asked().filter(|question| view.card.source_of(question).is_none()) {
        let help = "write the section of the notes that it was made from: `source: notes.md#section`";
        let finding =
            view.finding(&RULE, question.question.span, question.field("source"), "this card names no source");
        found.push(finding.help(help));
    }
}
