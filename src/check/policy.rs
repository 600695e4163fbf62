//! The department's levels and the cards' waivers, applied in one place; and what is wrong with them.

use std::collections::{BTreeMap, BTreeSet};

use super::context::{CardView, Context};
use super::registry;
use super::rules::{unused_waiver, waiver_without_reason};
use crate::deck::{Settings, Waiver};
use crate::finding::{Finding, Level};

/// Findings at the department's levels, without those that are waived or switched off; with findings
/// about the waivers and levels themselves.
pub fn apply(settings: &Settings, waivers: &[Waived], findings: Vec<Finding>) -> Vec<Finding> {
    let by_card = by_card(waivers);
    let mut used = BTreeSet::new();
    let mut kept = Vec::with_capacity(findings.len());
    for mut finding in findings {
        let changeable = registry::find(finding.rule).is_some_and(|rule| rule.waivable);
        if let Some(policy) = settings.policy.get(finding.rule).filter(|_| changeable) {
            match policy.level {
                // Advice stays advice: it says that a limit is near, not that it is passed.
                Some(level) if finding.level != Level::Advice => finding.level = level,
                Some(_) => {}
                None => continue,
            }
        }
        let waiver = finding.card.as_deref().and_then(|card| by_card.get(card)?.get(finding.rule)).copied();
        let Some(waiver) = waiver.filter(|_| changeable) else {
            kept.push(finding);
            continue;
        };
        used.insert((waiver.card.as_str(), waiver.rule.as_str()));
        if !waiver.reasoned {
            kept.push(finding);
        }
    }
    let is_wrong = |waiver: &&Waived| !waiver.reasoned || !used.contains(&(waiver.card.as_str(), waiver.rule.as_str()));
    kept.extend(waivers.iter().filter(is_wrong).map(|waiver| waiver.otherwise.clone()));
    kept.extend(unknown_rules(settings));
    kept
}

/// A waiver of a card.
#[derive(Clone, Debug)]
pub struct Waived {
    /// The card's id.
    pub card: String,
    /// The rule's name.
    pub rule: String,
    /// Whether a reason is given.
    pub reasoned: bool,
    /// What is found where it has no reason, or nothing to waive.
    pub otherwise: Finding,
}

/// The waivers of all cards, in order.
pub fn waivers(context: &Context<'_>) -> Vec<Waived> {
    let of_card =
        |view: CardView<'_>| view.card.allow.iter().map(move |waiver| Waived::of(&view, waiver)).collect::<Vec<_>>();
    context.cards().filter(|view| !view.card.allow.is_empty()).flat_map(of_card).collect()
}

impl Waived {
    fn of(view: &CardView<'_>, waiver: &Waiver) -> Self {
        let reasoned = !waiver.reason.is_empty();
        let otherwise = match reasoned {
            true => unused_waiver::finding(view, waiver),
            false => waiver_without_reason::finding(view, waiver),
        };
        Self { card: view.card.id.value.to_string(), rule: waiver.rule.value.to_string(), reasoned, otherwise }
    }
}

/// The waivers by card and rule; of two for one card and rule, the last.
fn by_card(waivers: &[Waived]) -> BTreeMap<&str, BTreeMap<&str, &Waived>> {
    let mut by_card: BTreeMap<&str, BTreeMap<&str, &Waived>> = BTreeMap::new();
    for waiver in waivers {
        by_card.entry(&waiver.card).or_default().insert(&waiver.rule, waiver);
    }
    by_card
}

fn unknown_rules(settings: &Settings) -> Vec<Finding> {
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
