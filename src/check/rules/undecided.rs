//! `undecided`: two people changed a field in different ways, and nobody has settled it.

use crate::check::context::{CardView, DeckView};
use crate::check::rule::{Rule, Scope};
use crate::finding::{Finding, Level};

pub const RULE: Rule = Rule {
    name: "undecided",
    level: Level::Error,
    summary: "two people changed a field in different ways, and nobody has settled it yet",
    why: "Both values are kept on the card so that no edit is lost; until one is chosen, pupils must not get either.",
    wrong: "answer: 34 knots\nundecided:\n  answer:\n    - side: ours\n      value: 32 knots\n    - side: theirs\n      value: 34 knots or more",
    right: "answer: 34 knots or more",
    waivable: false,
    repairable: false,
    scope: Scope::Deck(check),
};

fn check(view: &DeckView<'_>, found: &mut Vec<Finding>) {
    for undecided in &view.deck.undecided {
        let field = &undecided.field.value;
        let finding = view.finding(&RULE, undecided.field.span, said(field)).in_field(field);
        found.push(finding.help(format!("decide it with `deckle settle {} {field}`", view.deck.name)));
    }
    for card in &view.deck.cards {
        let view = CardView { context: view.context, deck: view.deck, card };
        for undecided in &card.undecided {
            let field = &undecided.field.value;
            let finding = view.finding(&RULE, undecided.field.span, field, said(field));
            found.push(finding.help(format!("decide it with `deckle settle {} {field}`", card.id.value)));
        }
    }
}

fn said(field: &str) -> String {
    match field {
        "card" => "one side took this card out, another edited it: undecided".to_owned(),
        field => format!("`{field}` was changed in different ways and is undecided"),
    }
}
