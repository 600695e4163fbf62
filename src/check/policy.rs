//! The department's levels and the cards' waivers, applied in one place; and what is wrong with them.

use std::collections::{BTreeMap, BTreeSet};

use super::context::{CardView, Context};
use super::registry;
use super::rules::{unused_waiver, waiver_without_reason};
use crate::finding::{Finding, Level};

/// Findings at the department's levels, without those that are waived or switched off; with findings
/// about the waivers and levels themselves.
pub fn apply(context: &Context<'_>, findings: Vec<Finding>) -> Vec<Finding> {
    let waivers = waivers(context);
    let mut used = BTreeSet::new();
    let mut kept = Vec::with_capacity(findings.len());
    for mut finding in findings {
        let changeable = registry::find(finding.rule).is_some_and(|rule| rule.waivable);
        if let Some(policy) = context.settings().policy.get(finding.rule).filter(|_| changeable) {
            match policy.level {
                // Advice stays advice: it says that a limit is near, not that it is passed.
                Some(level) if finding.level != Level::Advice => finding.level = level,
                Some(_) => {}
                None => continue,
            }
        }
        let waiver = finding.card.as_deref().and_then(|card| waivers.get(card)?.get(finding.rule)).copied();
        let Some(waiver) = waiver.filter(|_| changeable) else {
            kept.push(finding);
            continue;
        };
        used.insert((waiver.card, waiver.rule));
        if !waiver.reasoned {
            kept.push(finding);
        }
    }
    for view in context.cards() {
        for waiver in &view.card.allow {
            let is_used = used.contains(&(view.card.id.value.as_str(), waiver.rule.value.as_str()));
            kept.extend(about_waiver(&view, waiver, is_used));
        }
    }
    kept.extend(unknown_rules(context));
    kept
}

/// A waiver of a card.
#[derive(Clone, Copy)]
struct Waived<'a> {
    card: &'a str,
    rule: &'a str,
    reasoned: bool,
}

/// The waivers by card and rule.
fn waivers<'a>(context: &'a Context<'_>) -> BTreeMap<&'a str, BTreeMap<&'a str, Waived<'a>>> {
    let mut waivers: BTreeMap<&str, BTreeMap<&str, Waived<'_>>> = BTreeMap::new();
    for (_, card) in context.department.cards() {
        for waiver in &card.allow {
            let waived = Waived { card: &card.id, rule: &waiver.rule, reasoned: !waiver.reason.is_empty() };
            waivers.entry(waived.card).or_default().insert(waived.rule, waived);
        }
    }
    waivers
}

fn about_waiver(view: &CardView<'_>, waiver: &crate::deck::Waiver, used: bool) -> Option<Finding> {
    if waiver.reason.is_empty() {
        return Some(waiver_without_reason::finding(view, waiver));
    }
    (!used).then(|| unused_waiver::finding(view, waiver))
}

fn unknown_rules(context: &Context<'_>) -> Vec<Finding> {
    let settings = context.settings();
    let mut found = Vec::new();
    for (name, policy) in &settings.policy {
        let (message, help) = match registry::find(name) {
            Some(rule) if rule.waivable => continue,
            Some(_) => (format!("the level of `{name}` cannot be changed"), "take the line out".to_owned()),
            None => (format!("there is no rule `{name}`"), near(name)),
        };
        let place = settings.file.place(policy.span);
        found.push(
            Finding::new("unknown-field", Level::Error, place, message).help(help).in_field("policy").about(name),
        );
    }
    found
}

/// A hint at the rule that was probably meant.
pub(super) fn near(name: &str) -> String {
    let names = registry::all().iter().map(|rule| rule.name);
    match crate::deck::fields::nearest(name, names) {
        Some(rule) => format!("did you mean `{rule}`?"),
        None => "`deckle explain` lists all rules".to_owned(),
    }
}
