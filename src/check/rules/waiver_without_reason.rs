//! `waiver-without-reason`: an exception that nobody explains.

use crate::check::context::CardView;
use crate::check::rule::{Rule, Scope};
use crate::deck::Waiver;
use crate::finding::{Finding, Level};

pub const RULE: Rule = Rule {
    name: "waiver-without-reason",
    level: Level::Error,
    summary: "a card waives a rule without saying why",
    why: "The next colleague must be able to tell whether the exception still holds. Without a reason the waiver does not count.",
    wrong: "allow:\n  giveaway:",
    right: "allow:\n  giveaway: the choice is between two words that must both be named",
    waivable: false,
    repairable: false,
    scope: Scope::Waivers,
};

/// The finding about a waiver without a reason.
pub fn finding(view: &CardView<'_>, waiver: &Waiver) -> Finding {
    let name = &waiver.rule.value;
    let help = format!("write the reason behind `{name}:`");
    view.finding(&RULE, waiver.rule.span, "allow", format!("no reason is given for waiving `{name}`"))
        .help(help)
        .about(name)
}
