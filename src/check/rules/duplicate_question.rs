//! `duplicate-question`: the same question twice in one year group.

use crate::check::context::Context;
use crate::check::repeats::Repeat;
use crate::check::rule::{Rule, Scope};
use crate::finding::{Finding, Level};

pub const RULE: Rule = Rule {
    name: "duplicate-question",
    level: Level::Error,
    summary: "the same question is asked twice in one year group",
    why: "Pupils of one year get both cards. Two of them waste time, and sooner or later somebody corrects only one. Capitals, articles, punctuation and number words do not make another question of it.",
    wrong: "- id: attrition\n  question: What is attrition?\n- id: attrition-at-the-coast\n  question: what is attrition",
    right: "- id: attrition\n  question: What is attrition?\n- id: cliff-attrition\n  question: What does attrition do to the pebbles below a cliff?\n  see: [attrition]",
    waivable: true,
    repairable: false,
    scope: Scope::Department(check),
};

fn check(context: &Context<'_>, found: &mut Vec<Finding>) {
    for repeat in context.repeats.iter().filter(|repeat| !repeat.conflicting && !is_one_card_twice(repeat)) {
        let message = if repeat.on_one_card() {
            "this card asks the same question twice"
        } else {
            "two cards ask the same question"
        };
        let question = repeat.again.question;
        let finding =
            repeat.again.view(context).finding(&RULE, question.question.span, question.field("question"), message);
        let first = repeat.first.view(context).related(repeat.first.question.question.span, "first asked at");
        found.push(finding.help(help(repeat)).related(first).about(&repeat.form));
    }
}

/// A card that was put in twice, id and all, has a finding of its own.
fn is_one_card_twice(repeat: &Repeat<'_>) -> bool {
    let (first, again) = (&repeat.first.card.id, &repeat.again.card.id);
    !repeat.on_one_card() && !first.is_empty() && first.value == again.value
}

fn help(repeat: &Repeat<'_>) -> String {
    if repeat.on_one_card() {
        return "ask it once".to_owned();
    }
    let who = if repeat.first.deck.name == repeat.again.deck.name { "other cards" } else { "the other topic" };
    let first = &repeat.first.card.id.value;
    let id = if first.is_empty() { "…" } else { first };
    format!("keep one and let {who} link to it with `see: [{id}]`")
}
