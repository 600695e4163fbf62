//! `later-year-link`: a card that needs one of a later year group.

use crate::check::context::CardView;
use crate::check::rule::{Rule, Scope};
use crate::finding::{Finding, Level};

pub const RULE: Rule = Rule {
    name: "later-year-link",
    level: Level::Warning,
    summary: "a card needs one that belongs to a later year group",
    why: "What has to be known first must have been taught by then. Pupils of the younger year do not get the other card at all.",
    wrong: "# in a deck of year 7\nneeds: [subduction]",
    right: "# in a deck of year 7\nsee: [subduction]",
    waivable: true,
    repairable: false,
    scope: Scope::Card(check),
};

fn check(view: &CardView<'_>, found: &mut Vec<Finding>) {
    for entry in &view.card.needs {
        let Some((deck, card)) = view.context.department.card(&entry.value) else { continue };
        let (Some(own), Some((year, _))) = (view.year(), deck.year) else { continue };
        if year <= own {
            continue;
        }
        let message = format!("this card of year {own} needs `{}`, which is taught in year {year}", entry.value);
        let help = format!("take `{}` out of `needs:`, or name it under `see:`", entry.value);
        let target = CardView { context: view.context, deck, card }.related(card.id.span, "the later card is at");
        found.push(view.finding(&RULE, entry.span, "needs", message).help(help).about(&entry.value).related(target));
    }
}
