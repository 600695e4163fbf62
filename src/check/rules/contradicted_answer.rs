//! `contradicted-answer`: the notes now say something else.

use crate::check::context::CardView;
use crate::check::rule::{Rule, Scope};
use crate::finding::{Finding, Level};
use crate::source::{Difference, FactKind, State};
use crate::text::plain;
use std::ops::Range;

pub const RULE: Rule = Rule {
    name: "contradicted-answer",
    level: Level::Error,
    summary: "the notes no longer support the answer: another number, unit, date, name, direction, negation or term (a warning where ordinary words differ that may say the same)",
    why: "Notes and card say different things, so pupils will learn one and read the other. Either the notes were corrected and \
          the card stayed behind, or a slip got into one of the two. Where an ordinary word gave way to another, and only a \
          person can tell whether both mean the same, it is a warning that shows both, and nothing is repaired by itself.",
    wrong: "answer: 34 knots\nquote: Force 8 begins at 34 knots.  # the notes now: Force 8 begins at 32 knots.",
    right: "answer: 32 knots\nquote: Force 8 begins at 32 knots.",
    waivable: true,
    repairable: false,
    scope: Scope::Card(check),
};

fn check(view: &CardView<'_>, found: &mut Vec<Finding>) {
    for judged in view.judged().iter().filter(|judged| matches!(judged.judgement.state, State::Contradicted | State::Doubtful)) {
        let judgement = &judged.judgement;
        let (Some(place), Some(first)) = (&judgement.place, judgement.differences.first()) else { continue };
        let question = judged.question(view.card);
        let field = if first.answers { "answer" } else { "quote" };
        let message = if first.certain { said(first) } else { doubted(first) };
        let mut finding = view.finding(&RULE, judged.span(view.card), question.field(field), message);
        finding = finding.about(format!("{}|{}", first.card, first.notes.as_deref().unwrap_or_default()));
        if let Some(related) = view.in_notes(place, &format!("the notes say “{}” at", marked(&place.text, first.notes_at.clone()))) {
            finding = finding.related(related);
        }
        if judgement.state == State::Contradicted {
            found.push(finding.help(CORRECT));
            continue;
        }
        finding.level = Level::Warning;
        let quoted = judged.quote(view.card).map(|quote| marked(&plain(&quote.value), Some(first.card_at.clone()))).unwrap_or_default();
        found.push(finding.help(format!("read both; the card quotes “{quoted}”. {DECIDE}: `{}`", place.text)));
    }
}

const CORRECT: &str = "if the notes are right, change the answer and quote what they say now; if the card is right, put the notes right";
const DECIDE: &str = "If the answer is no longer right, change it; in either case quote what the notes say now";

/// The difference in one sentence, with both sides' words.
fn said(difference: &Difference) -> String {
    let Difference { card, notes, .. } = difference;
    match notes {
        Some(notes) if card.is_empty() => format!("the notes now add *{notes}*, which the card does not say"),
        Some(notes) if difference.kind == FactKind::Order => {
            format!("the notes now say *{notes}* where the card says *{card}*: the two have changed places")
        }
        Some(notes) if notes == card => format!("the notes now compare *{card}* in another way than the card: more, less or exactly"),
        Some(notes) => format!("the notes now say *{notes}*; the card says *{card}*"),
        None => format!("the notes no longer say *{card}*; the card does"),
    }
}

/// The same as a question, where only a person can tell.
fn doubted(difference: &Difference) -> String {
    let Difference { card, notes, .. } = difference;
    match notes {
        Some(notes) if card.is_empty() => format!("the notes now add *{notes}*; do they still mean what the card says?"),
        Some(notes) => format!("the notes now say *{notes}* where the card says *{card}*; do they still mean the same?"),
        None => format!("the notes no longer say *{card}*; do they still mean what the card says?"),
    }
}

/// How many words of the passage are shown on each side of those that differ.
const AROUND: usize = 8;

/// The passage around the words that differ, which stand between stars.
fn marked(passage: &str, at: Option<Range<usize>>) -> String {
    let parts = at.and_then(|at| Some((passage.get(..at.start)?, passage.get(at.clone())?, passage.get(at.end..)?)));
    let Some((before, words, after)) = parts else { return last_words(passage, 2 * AROUND) };
    format!("{}*{words}*{}", last_words(before, AROUND), first_words(after, AROUND))
}

fn last_words(text: &str, most: usize) -> String {
    let starts: Vec<usize> = text.split_inclusive(' ').scan(0, |at, word| { *at += word.len(); Some(*at - word.len()) }).collect();
    match starts.len().checked_sub(most).filter(|&left_out| left_out > 0) {
        Some(left_out) => format!("… {}", &text[starts[left_out]..]),
        None => text.to_owned(),
    }
}

fn first_words(text: &str, most: usize) -> String {
    let shown: String = text.split_inclusive(' ').take(most).collect();
    if shown.len() < text.len() { format!("{}…", shown.trim_end()) } else { shown }
}
