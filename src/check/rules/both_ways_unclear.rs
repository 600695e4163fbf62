//! `both-ways-unclear`: two cards asked both ways with one answer.

use std::collections::BTreeMap;

use crate::check::context::CardView;
use crate::check::context::Context;
use crate::check::rule::{Rule, Scope};
use crate::deck::Card;
use crate::finding::{Finding, Level};
use crate::text::normal;

pub const RULE: Rule = Rule {
    name: "both-ways-unclear",
    level: Level::Warning,
    summary: "two cards of one year group that are asked both ways have the same answer",
    why: "Asked the other way round, the answer is shown and the question asked for. With one answer on two cards, there are two right questions, and pupils cannot know which one is meant.",
    wrong: "- id: isobar\n  question: What is an isobar?\n  answer: A line on a map\n  both_ways: true\n- id: contour\n  question: What is a contour?\n  answer: A line on a map\n  both_ways: true",
    right: "- id: isobar\n  question: What is an isobar?\n  answer: A line that joins places of equal air pressure\n  both_ways: true\n- id: contour\n  question: What is a contour?\n  answer: A line that joins places of the same height\n  both_ways: true",
    waivable: true,
    repairable: false,
    scope: Scope::Department(check),
};

fn check(context: &Context<'_>, found: &mut Vec<Finding>) {
    let mut first: BTreeMap<(u8, String), CardView<'_>> = BTreeMap::new();
    for view in context.cards().filter(|view| view.card.both_ways) {
        let (Some(year), Some(form)) = (view.year(), form(view.card)) else { continue };
        let key = (year, form);
        let Some(before) = first.get(&key) else {
            first.insert(key, view);
            continue;
        };
        // The same question with the same answer is one finding, not two.
        if normal(&before.card.own().question) == normal(&view.card.own().question) {
            continue;
        }
        let message = format!("asked the other way round, this card and {} have the same answer", before.name());
        let help = "say in each answer what sets it apart from the other, or take `both_ways` out of one of them";
        let finding = view.finding(&RULE, view.card.own().answer.span, "answer", message).help(help).about(&key.1);
        found.push(finding.related(before.related(before.card.own().answer.span, "the same answer is at")));
    }
}

/// The normal form of the card's own answer; the order of its points does not count.
pub fn form(card: &Card) -> Option<String> {
    let own = card.own();
    let mut points: Vec<_> = own.answer.points.iter().map(|point| normal(point)).collect();
    points.sort_unstable();
    let form = points.join("; ");
    (!own.question.is_empty() && form.chars().any(char::is_alphanumeric)).then_some(form)
}
