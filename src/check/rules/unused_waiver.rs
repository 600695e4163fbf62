//! `unused-waiver`: an exception that nothing needs.

use crate::check::context::CardView;
use crate::check::policy::near;
use crate::check::registry;
use crate::check::rule::{Rule, Scope};
use crate::deck::Waiver;
use crate::finding::{Finding, Level};

pub const RULE: Rule = Rule {
    name: "unused-waiver",
    level: Level::Warning,
    summary: "a card waives a rule that finds nothing on it",
    why: "A waiver that is left behind would hide the next mistake of that kind.",
    wrong: "- id: gale\n  question: Which force is a gale?\n  answer: \"8\"\n  allow:\n    giveaway: the word stands in the question",
    right: "- id: gale\n  question: Which force is a gale?\n  answer: \"8\"",
    waivable: false,
    repairable: false,
    scope: Scope::Waivers,
};

/// The finding about a waiver that was not used.
pub fn finding(view: &CardView<'_>, waiver: &Waiver) -> Finding {
    let name = &waiver.rule.value;
    let (message, help) = match registry::find(name) {
        None => (format!("there is no rule `{name}` to waive"), near(name)),
        Some(rule) if !rule.waivable => (
            format!("the rule `{name}` cannot be waived"),
            "put right what it finds, and take the waiver out".to_owned(),
        ),
        Some(_) => (
            format!("the rule `{name}` finds nothing here, so there is nothing to waive"),
            "take the waiver out".to_owned(),
        ),
    };
    view.finding(&RULE, waiver.rule.span, "allow", message).help(help).about(name)
}
