//! `duplicate-id`: two cards with one id.

use crate::check::context::{CardView, Context};
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
    for view in context.cards().filter(|view| !view.card.id.is_empty()) {
        let id = &view.card.id;
        let Some((deck, card)) = context.department.card(id).filter(|(_, card)| !std::ptr::eq(*card, view.card)) else {
            continue;
        };
        let before = CardView { context, deck, card };
        let message = format!("two cards have the id `{}`", id.value);
        let finding = view.finding(&RULE, id.span, "id", message);
        let help = "give this one an id of its own; links to it follow the first";
        found.push(finding.help(help).related(before.related(before.card.id.span, "the other card is at")));
    }
}
