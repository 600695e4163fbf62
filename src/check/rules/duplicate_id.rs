//! `duplicate-id`: two cards with one id.

use std::collections::BTreeMap;

use crate::check::context::Context;
use crate::check::rule::{Rule, Scope};
use crate::finding::{Finding, Level};

pub const RULE: Rule = Rule {
    name: "duplicate-id",
    level: Level::Error,
    summary: "two cards have one id",
    why: "Links, edits and pupils' progress find a card by its id; with two of them, one is lost.",
    wrong: "- id: erosion\n  question: What is erosion?\n- id: erosion\n  question: What is attrition?",
    right: "- id: erosion\n  question: What is erosion?\n- id: attrition\n  question: What is attrition?",
    waivable: false,
    repairable: false,
    scope: Scope::Department(check),
};

fn check(context: &Context<'_>, found: &mut Vec<Finding>) {
    let mut first = BTreeMap::new();
    for view in context.cards().filter(|view| !view.card.id.is_empty()) {
        let id = &view.card.id;
        let Some(before) = first.get(&id.value) else {
            first.insert(&id.value, view);
            continue;
        };
        let message = format!("two cards have the id `{}`", id.value);
        let finding = view.finding(&RULE, id.span, "id", message);
        let help = "give this one an id of its own; links to it follow the first";
        found.push(finding.help(help).related(before.related(before.card.id.span, "the other card is at")));
    }
}
