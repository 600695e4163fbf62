//! `too-many-words`: a side that holds more than can be taken in at a glance.

use crate::check::context::CardView;
use crate::check::limit::is_near;
use crate::check::rule::{Rule, Scope};
use crate::deck::Card;
use crate::finding::{Finding, Level};
use crate::text::word_count;

pub const RULE: Rule = Rule {
    name: "too-many-words",
    level: Level::Error,
    summary: "a side of a card has more words than the limit (40 unless the department sets it)",
    why: "A card is one fact, at most a few connected ones, seen at a glance. A full side is a paragraph: pupils read it instead \
          of recalling it, and cannot tell which part they missed.",
    wrong: "answer: A long account of everything that the notes say about waves, their causes, their kinds and their work …",
    right: "answer: Pebbles carried by waves wear away the cliff.",
    waivable: true,
    repairable: false,
    scope: Scope::Card(check),
};

fn check(view: &CardView<'_>, found: &mut Vec<Finding>) {
    let limit = view.context.settings().limits.words_on_a_side;
    for (side, field, words) in sides(view.card) {
        let own = view.card.own();
        let span = if field == "question" { own.question.span } else { own.answer.span };
        let help = "keep the one fact that the card asks for, and make a second card of the rest";
        if words > limit {
            let message = format!("the {side} side has {words} words, more than {limit}");
            found.push(view.finding(&RULE, span, field, message).help(help));
        } else if is_near(words, limit) {
            let mut finding = view.finding(
                &RULE,
                span,
                field,
                format!("the {side} side has {words} words, close to the limit of {limit}"),
            );
            finding.level = Level::Advice;
            found.push(finding.help(help));
        }
    }
}

/// Each side with its words: all questions stand on one, all answers on the other.
fn sides(card: &Card) -> [(&'static str, &'static str, usize); 2] {
    let asked = card.questions.iter().map(|question| word_count(&question.question)).sum();
    let answers = card.questions.iter().flat_map(|question| &question.answer.points);
    [("question", "question", asked), ("answer", "answer", answers.map(|point| word_count(point)).sum())]
}
