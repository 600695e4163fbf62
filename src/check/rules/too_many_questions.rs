//! `too-many-questions`: a card that asks more than a few questions.

use crate::check::context::CardView;
use crate::check::limit::is_near;
use crate::check::rule::{Rule, Scope};
use crate::finding::{Finding, Level};

pub const RULE: Rule = Rule {
    name: "too-many-questions",
    level: Level::Error,
    summary: "a card asks more questions than the limit (3 unless the department sets it)",
    why: "A card is one fact, at most a few connected ones. With many questions on it, pupils who miss one of them have to put the whole card back, and learn the ones they know again and again.",
    wrong: "- id: isobar\n  question: What is an isobar?\n  also:\n    - question: What do isobars show when they are close together?\n    - question: Which unit is on them?\n    - question: How far apart are they drawn?",
    right: "- id: isobar\n  question: What is an isobar?\n  also:\n    - question: What do isobars show when they are close together?",
    waivable: true,
    repairable: false,
    scope: Scope::Card(check),
};

/// Fewer questions than this are never close to a limit.
const FEW: usize = 3;

fn check(view: &CardView<'_>, found: &mut Vec<Finding>) {
    let limit = view.context.settings().limits.questions_on_a_card;
    let asked: Vec<_> = view.asked().collect();
    let count = asked.len();
    let help = "make a second card of some of them, and connect the two with `see:`";
    if let Some(question) = asked.get(limit) {
        let message = format!("this card asks {count} questions, more than {limit}");
        found.push(view.finding(&RULE, question.question.span, question.field("question"), message).help(help));
    } else if let Some(question) = asked.last().filter(|_| count >= FEW && is_near(count, limit)) {
        let message = format!("this card asks {count} questions, close to the limit of {limit}");
        let mut finding = view.finding(&RULE, question.question.span, question.field("question"), message).help(help);
        finding.level = Level::Advice;
        found.push(finding);
    }
}
