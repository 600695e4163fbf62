//! `contradicted-answer`: the notes now say something else.

use crate::check::context::CardView;
use crate::check::rule::{Rule, Scope};
use crate::finding::{Finding, Level};
use crate::source::{Difference, State};

pub const RULE: Rule = Rule {
    name: "contradicted-answer",
    level: Level::Error,
    summary: "the notes no longer support the answer: another number, unit, date, name, direction, negation or term",
    why: "Notes and card say different things, so pupils will learn one and read the other. Either the notes were corrected and \
          the card stayed behind, or a slip got into one of the two.",
    wrong: "answer: 34 knots\nquote: Force 8 begins at 34 knots.  # the notes now: Force 8 begins at 32 knots.",
    right: "answer: 32 knots\nquote: Force 8 begins at 32 knots.",
    waivable: true,
    repairable: false,
    scope: Scope::Card(check),
};

fn check(view: &CardView<'_>, found: &mut Vec<Finding>) {
    for judged in view.judged().iter().filter(|judged| judged.judgement.state == State::Contradicted) {
        let judgement = &judged.judgement;
        let (Some(place), Some(first)) = (&judgement.place, judgement.differences.first()) else { continue };
        let question = judged.question(view.card);
        let field = if first.answers { "answer" } else { "quote" };
        let finding = view.finding(&RULE, judged.span(view.card), question.field(field), said(first));
        let finding = finding.about(format!("{}|{}", first.card, first.notes.as_deref().unwrap_or_default()));
        let finding = match view.in_notes(place, &format!("the notes say “{}” at", marked(&place.text, first))) {
            Some(related) => finding.related(related),
            None => finding,
        };
        found.push(finding.help(
            "if the notes are right, change the answer and quote what they say now; if the card is right, put the notes right",
        ));
    }
}

/// The difference in one sentence, with both sides' words.
fn said(difference: &Difference) -> String {
    let Difference { card, notes, .. } = difference;
    match notes {
        Some(notes) if card.is_empty() => format!("the notes now add *{notes}*, which the card does not say"),
        Some(notes) if notes == card => format!("the notes now compare *{card}* in another way than the card: more, less or exactly"),
        Some(notes) => format!("the notes now say *{notes}*; the card says *{card}*"),
        None => format!("the notes no longer say *{card}*; the card does"),
    }
}

/// How many words of the passage are shown on each side of those that differ.
const AROUND: usize = 8;

/// The passage around the words that differ, which stand between stars.
fn marked(passage: &str, difference: &Difference) -> String {
    let parts = difference.notes_at.clone().and_then(|at| Some((passage.get(..at.start)?, passage.get(at.clone())?, passage.get(at.end..)?)));
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
