//! `self-link`: a card that links to itself.

use crate::check::context::CardView;
use crate::check::listed::taken_out;
use crate::check::rule::{Rule, Scope};
use crate::deck::Text;
use crate::finding::{Finding, Level};

pub const RULE: Rule = Rule {
    name: "self-link",
    level: Level::Error,
    summary: "a card links to itself",
    why: "Nobody can know a card before they know it. Most often another card was meant, or the line was copied along with a card.",
    wrong: "- id: isobar\n  needs: [isobar, air-pressure]",
    right: "- id: isobar\n  needs: [air-pressure]",
    waivable: false,
    repairable: true,
    scope: Scope::Card(check),
};

fn check(view: &CardView<'_>, found: &mut Vec<Finding>) {
    links_to_itself(view, "needs", &view.card.needs, found);
    links_to_itself(view, "see", &view.card.see, found);
}

fn links_to_itself(view: &CardView<'_>, field: &'static str, list: &[Text], found: &mut Vec<Finding>) {
    let id = &view.card.id.value;
    // Once a list: taken out twice, the second entry would take its neighbour along.
    let Some(entry) = list.iter().find(|entry| !id.is_empty() && entry.value == *id) else { return };
    let finding = view.finding(&RULE, entry.span, field, format!("the card `{id}` links to itself"));
    let finding = finding.help(format!("take `{id}` out of `{field}:`, or write the card that was meant"));
    let file = &view.deck.file;
    found.push(match taken_out(&file.text, field, list, entry) {
        Some(span) => finding.repaired_by(&file.path, span, ""),
        None => finding,
    });
}
