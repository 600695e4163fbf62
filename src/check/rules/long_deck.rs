//! `long-deck`: a deck that cannot be gone through in one session.

use crate::check::context::DeckView;
use crate::check::rule::{Rule, Scope};
use crate::finding::{Finding, Level};
use crate::place::Span;

pub const RULE: Rule = Rule {
    name: "long-deck",
    level: Level::Advice,
    summary: "a deck has more questions than can be gone through in one session",
    why: "Common practice: sessions of at most 20 minutes. A deck that takes longer is never gone through to its end, and the cards at its end are never learnt.",
    wrong: "title: Everything about rivers",
    right: "title: River erosion",
    waivable: true,
    repairable: false,
    scope: Scope::Deck(check),
};

fn check(view: &DeckView<'_>, found: &mut Vec<Finding>) {
    let settings = view.context.settings();
    let asked = view
        .deck
        .cards
        .iter()
        .flat_map(|card| &card.questions)
        .filter(|question| !question.question.is_empty())
        .count();
    let seconds = asked.saturating_mul(settings.limits.seconds_for_a_question);
    let session = settings.session.minutes;
    if seconds <= session * 60 {
        return;
    }
    let minutes = seconds.div_ceil(60);
    let message =
        format!("this deck asks {asked} questions: about {minutes} minutes, longer than a session of {session}");
    let span = view.deck.title.as_ref().map_or(Span::at(0), |title| title.span);
    found.push(view.finding(&RULE, span, message).help("divide it into two topics, each a deck of its own"));
}
