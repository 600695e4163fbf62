//! `unknown-deck`: a deck or a term in the scheme of work that does not exist.

use crate::check::context::Context;
use crate::check::near::{did_you_mean, near};
use crate::check::rule::{Rule, Scope};
use crate::deck::department::{CARDS, Department};
use crate::deck::settings::Lesson;
use crate::finding::{Finding, Level};

pub const RULE: Rule = Rule {
    name: "unknown-deck",
    level: Level::Error,
    summary: "the scheme of work names a deck or a term that does not exist",
    why: "The scheme says which deck is taught when, and so which cards are in a pack. A misspelt deck is left out of it without a word.",
    wrong: "scheme:\n  - deck: year-8/river\n    term: autumn",
    right: "scheme:\n  - deck: year-8/rivers\n    term: autumn",
    waivable: false,
    repairable: false,
    scope: Scope::Department(check),
};

fn check(context: &Context<'_>, found: &mut Vec<Finding>) {
    for lesson in &context.settings().scheme {
        found.extend(about_deck(context, lesson));
        found.extend(about_term(context, lesson));
    }
}

fn about_deck(context: &Context<'_>, lesson: &Lesson) -> Option<Finding> {
    let name = lesson.deck.value.as_str();
    if is_there(context.department, name) {
        return None;
    }
    let near = near(name, context.department.decks.iter().map(|deck| deck.name.as_str()));
    let help = did_you_mean(&near)
        .unwrap_or_else(|| "write the deck's folder under `decks/`, as in `year-8/rivers`".to_owned());
    let place = context.settings().file.place(lesson.deck.span);
    Some(RULE.finding(place, format!("there is no deck `{name}`")).help(help).in_field("scheme").about(name))
}

/// A deck that is there but cannot be read has a finding of its own.
fn is_there(department: &Department, name: &str) -> bool {
    department.deck(name).is_some() || department.files.contains_key(&format!("decks/{name}/{CARDS}"))
}

fn about_term(context: &Context<'_>, lesson: &Lesson) -> Option<Finding> {
    let settings = context.settings();
    let name = lesson.term.value.as_str();
    if settings.terms.is_empty() || !settings.terms_named(name).is_empty() {
        return None;
    }
    let names: Vec<_> = settings.terms.iter().map(|term| term.name.value.as_str()).collect();
    let help = did_you_mean(&near(name, names.iter().copied()))
        .unwrap_or_else(|| format!("the terms are: {}", names.join(", ")));
    let place = settings.file.place(lesson.term.span);
    let about = format!("{} {name}", lesson.deck.value);
    Some(RULE.finding(place, format!("there is no term `{name}`")).help(help).in_field("scheme").about(about))
}
