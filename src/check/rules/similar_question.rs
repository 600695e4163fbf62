//! `similar-question`: the same question in other words in one year group.

use crate::check::context::Context;
use crate::check::rule::{Rule, Scope};
use crate::check::similar::Alike;
use crate::finding::{Finding, Level};

pub const RULE: Rule = Rule {
    name: "similar-question",
    level: Level::Warning,
    summary: "the same question is asked in other words in one year group",
    why: "Pupils of one year get both cards and learn one fact twice, and sooner or later somebody corrects only one of them. Openers such as `What is` and `Define`, the forms of words and number words do not make another question of it; another thing that is asked about does.",
    wrong: "- id: isobar\n  question: What is an isobar?\n- id: isobar-meaning\n  question: Define the term isobar.",
    right: "- id: isobar\n  question: What is an isobar?\n- id: isobar-spacing\n  question: What do isobars close together show?\n  see: [isobar]",
    waivable: true,
    repairable: false,
    scope: Scope::Department(check),
};

fn check(context: &Context<'_>, found: &mut Vec<Finding>) {
    for alike in context.alike.iter().filter(|alike| !alike.conflicting) {
        let question = alike.again.question;
        let finding =
            alike.again.view(context).finding(&RULE, question.question.span, question.field("question"), message(alike));
        let message = format!("`{}` is asked at", alike.first.question.question.value);
        let first = alike.first.view(context).related(alike.first.question.question.span, message);
        found.push(finding.help(help(alike)).related(first).about(&alike.form));
    }
}

/// What both have, so that it can be judged at a glance.
fn message(alike: &Alike<'_>) -> String {
    let shared: Vec<String> = alike.shared.iter().map(|word| format!("`{word}`")).collect();
    let shared = shared.join(", ");
    format!("two cards ask the same question in other words: both ask about {shared}")
}

fn help(alike: &Alike<'_>) -> String {
    let first = &alike.first.card.id.value;
    let id = if first.is_empty() { "…" } else { first };
    format!(
        "keep one and let other cards link to it with `see: [{id}]`; if they ask for different things, say so in the \
         questions, or waive `similar-question` under `allow:`"
    )
}
