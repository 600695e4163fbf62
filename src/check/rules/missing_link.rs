//! `missing-link`: a link to a card that is not there.

use std::collections::{BTreeMap, BTreeSet};

use crate::check::context::CardView;
use crate::check::context::Context;
use crate::check::near::{did_you_mean, near};
use crate::check::rule::{Rule, Scope};
use crate::deck::{Card, Text, is_id};
use crate::finding::{Finding, Level};

pub const RULE: Rule = Rule {
    name: "missing-link",
    level: Level::Error,
    summary: "a card links to another one that is not there",
    why: "The link leads nowhere: the map of connections loses a line, and `needs` can no longer put the cards in order. Most often the id is misspelt, or the card was renamed or taken out.",
    wrong: "needs: [air-presure]",
    right: "needs: [air-pressure]",
    waivable: false,
    repairable: true,
    scope: Scope::Department(check),
};

/// For so many missing ids the near ones are looked up; a department with more has other worries.
pub const LOOKED_UP: usize = 300;

fn check(context: &Context<'_>, found: &mut Vec<Finding>) {
    let department = context.department;
    let lost: BTreeSet<&str> = department.decks.iter().flat_map(|deck| &deck.lost_ids).map(String::as_str).collect();
    let mut nearest: BTreeMap<String, Vec<&str>> = BTreeMap::new();
    for view in context.cards().filter(|view| !context.is_beside(view.deck)) {
        for (field, link) in links(view.card) {
            let id = link.value.as_str();
            let known = id == view.card.id.value
                || department.card(id).is_some()
                || lost.contains(id)
                || department.is_left_out(id);
            if known || id.is_empty() {
                continue;
            }
            if nearest.len() < LOOKED_UP {
                nearest
                    .entry(id.to_owned())
                    .or_insert_with(|| near(id, context.ids()));
            }
            let near = nearest.get(id).into_iter().flatten().copied().filter(|near| *near != view.card.id.value);
            found.push(finding(&view, field, link, &near.collect::<Vec<_>>()));
        }
    }
}

/// The links of a card with the fields they stand in.
pub fn links(card: &Card) -> impl Iterator<Item = (&'static str, &Text)> {
    card.needs.iter().map(|link| ("needs", link)).chain(card.see.iter().map(|link| ("see", link)))
}

fn finding(view: &CardView<'_>, field: &'static str, link: &Text, near: &[&str]) -> Finding {
    let message = format!("there is no card `{}`", link.value);
    let finding = view.finding(&RULE, link.span, field, message).about(&link.value);
    let file = &view.deck.file;
    let as_it_reads = link.span.of(&file.text).trim_matches(['"', '\'']) == link.value;
    match near {
        [id] if already(view, field, id) => finding.help(format!("take it out; `{id}` is named already")),
        [id] if as_it_reads && is_id(id) => finding.help(meant(near)).repaired_by(&file.path, link.span, *id),
        near => finding.help(meant(near)),
    }
}

fn meant(near: &[&str]) -> String {
    let otherwise = "write the id of a card, as it stands behind its `id:`, or take the link out";
    did_you_mean(near).unwrap_or_else(|| otherwise.to_owned())
}

/// Whether the field names that card already.
fn already(view: &CardView<'_>, field: &str, id: &str) -> bool {
    links(view.card).any(|(name, link)| name == field && link.value == id)
}
