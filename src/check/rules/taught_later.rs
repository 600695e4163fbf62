//! `taught-later`: a card that needs one of a deck that is taught later.

use crate::check::context::CardView;
use crate::check::context::Context;
use crate::check::rule::{Rule, Scope};
use crate::check::teaching::Teaching;
use crate::finding::{Finding, Level};

pub const RULE: Rule = Rule {
    name: "taught-later",
    level: Level::Warning,
    summary: "a card needs one that the scheme of work teaches later in the same year group",
    why: "When pupils get this card, they have not met the other one yet. The scheme of work in the settings says which deck is taught when.",
    wrong: "# the scheme teaches year-8/rivers before year-8/coasts; in year-8/rivers:\nneeds: [wave-cut-platform]",
    right: "# in year-8/rivers:\nsee: [wave-cut-platform]",
    waivable: true,
    repairable: false,
    scope: Scope::Department(check),
};

fn check(context: &Context<'_>, found: &mut Vec<Finding>) {
    let teaching = Teaching::of(context.settings());
    for view in context.cards() {
        for entry in &view.card.needs {
            let Some((deck, card)) = context.department.card(&entry.value) else { continue };
            let target = CardView { context, deck, card };
            let same_year = view.year().is_some() && view.year() == target.year();
            if !same_year || !teaching.is_later(&deck.name, &view.deck.name) {
                continue;
            }
            let message =
                format!("this card needs `{}`, but {} is taught later than {}", entry.value, deck.name, view.deck.name);
            let help =
                format!("name `{}` under `see:` instead of `needs:`, or change the order in the scheme", entry.value);
            let finding = view.finding(&RULE, entry.span, "needs", message).help(help).about(&entry.value);
            found.push(finding.related(target.related(card.id.span, "the later card is at")));
        }
    }
}
