//! `unsupported-answer`: the quote is there, but the answer says something that it does not.

use crate::check::context::CardView;
use crate::check::rule::{Rule, Scope};
use crate::finding::{Finding, Level};
use crate::source::{Evidence, FactKind, State};

pub const RULE: Rule = Rule {
    name: "unsupported-answer",
    level: Level::Error,
    summary: "the answer says something that the quote does not (a warning where only words differ)",
    why: "A fact is copied exactly. When a number, a name or a `not` of the answer is missing from the passage that it was made \
          from, one of the two holds a slip.",
    wrong: "answer: 43 knots\nquote: Force 8, a gale, begins at a mean speed of 34 knots.",
    right: "answer: 34 knots\nquote: Force 8, a gale, begins at a mean speed of 34 knots.",
    waivable: true,
    repairable: false,
    scope: Scope::Card(check),
};

fn check(view: &CardView<'_>, found: &mut Vec<Finding>) {
    for judged in view.judged().iter().filter(|judged| judged.judgement.state == State::Unsupported) {
        let Some(evidence) = &judged.judgement.evidence else { continue };
        let question = judged.question(view.card);
        let (message, about) = said(evidence);
        let mut finding = view.finding(&RULE, question.answer.span, question.field("answer"), message).about(about);
        if !judged.judgement.is_error() {
            finding.level = Level::Warning;
        }
        let help = "copy the fact from the quote exactly, or add the passage that says it to `quote`";
        found.push(finding.help(help));
    }
}

/// What is missing or different, in one sentence, and the words that it is about.
fn said(evidence: &Evidence) -> (String, String) {
    if let Some(difference) = evidence.contradicted.first() {
        let card = &difference.card;
        return match &difference.notes {
            Some(notes) if difference.kind == FactKind::Order => {
                (format!("the answer puts *{card}* in another order than its quote"), format!("{card}|{notes}"))
            }
            Some(notes) if notes == card => {
                (format!("the answer and its quote compare *{card}* in different ways: more, less or exactly"), card.clone())
            }
            Some(notes) => (format!("the answer says *{card}*; its quote says *{notes}*"), format!("{card}|{notes}")),
            None => (format!("the answer says *{card}*; its quote does not"), card.clone()),
        };
    }
    let grave: Vec<&str> =
        evidence.missing.iter().filter(|(kind, _)| *kind != FactKind::Term).map(|(_, words)| words.as_str()).collect();
    let all: Vec<&str> = evidence.missing.iter().map(|(_, words)| words.as_str()).collect();
    let words = if grave.is_empty() { all } else { grave }.join("*, *");
    (format!("the answer says *{words}*, which its quote does not say"), words)
}
