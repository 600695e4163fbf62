//! Whether the quotes hold the answers.

use super::{Asked, Cited, Judgement, State};
use crate::source::all_notes::AllNotes;
use crate::source::drift::Difference;
use crate::source::locate::Place;
use crate::source::reading::{Token, is_denial, read};
use crate::source::supports::{Statement, supports};
use crate::source::weights::Weights;
use crate::text::{plain, words};

/// Whether the quotes support an answer, or what the notes say now in their place; `None` when they do.
pub(super) fn judge_answer(
    card: &Cited<'_>,
    question: usize,
    renewed: &[&Place],
    all_notes: &AllNotes,
) -> Option<Judgement> {
    let asked = &card.asked[question];
    let passage = quoted(card, question);
    if passage.is_empty() || literally(asked, &passage) {
        return None;
    }
    let statement = statement(card, question);
    let evidence = supports(&statement, &passage, all_notes.weights());
    let holds = |place: &&Place| supports(&statement, &place.text, all_notes.weights()).holds();
    if evidence.holds() || renewed.iter().any(holds) {
        return None;
    }
    let quote = if asked.quotes.len() + card.quotes.len() == 1 { Some(0) } else { None };
    Some(Judgement { question: Some(question), quote, evidence: Some(evidence), ..Judgement::new(State::Unsupported) })
}

/// Leaves out what an answer says as the notes do: it followed them, and only its quote is left behind.
pub(super) fn leave_out_followed(
    card: &Cited<'_>,
    question: Option<usize>,
    passage: &str,
    differences: &mut Vec<Difference>,
    weights: &Weights,
) {
    let leans = |number: &usize| question.is_none_or(|question| question == *number);
    for number in (0..card.asked.len()).filter(leans) {
        let statement = statement(card, number);
        let holds = |text: &str| supports(&statement, text, weights).holds();
        if holds(&quoted(card, number)) || !holds(passage) {
            continue;
        }
        let points: Vec<Token> = statement.points.iter().flat_map(|point| read(&plain(point), weights)).collect();
        let says = |words: &str| {
            let said = |token: &Token| {
                let same = |point: &Token| {
                    token.is_same(point) && token.negated == point.negated && token.bound() == point.bound()
                };
                points.iter().any(same)
            };
            let tokens = read(words, weights);
            !tokens.is_empty() && tokens.iter().all(said)
        };
        differences.retain(|found| !found.notes.as_deref().is_some_and(says) || says(&found.card));
    }
}

/// A question and its answer.
fn statement(card: &Cited<'_>, question: usize) -> Statement {
    let asked = &card.asked[question];
    Statement {
        question: context(card, question),
        points: asked.points.iter().map(ToString::to_string).collect(),
        ordered: asked.ordered,
        accept: asked.accept.iter().map(ToString::to_string).collect(),
    }
}

/// All quotes that a question leans on, as read.
fn quoted(card: &Cited<'_>, question: usize) -> String {
    let quotes = card.quotes.iter().chain(&card.asked[question].quotes);
    quotes.map(|quote| plain(quote)).collect::<Vec<_>>().join(" ")
}

/// A question together with the card's first one, which may say what `it` is.
fn context(card: &Cited<'_>, question: usize) -> String {
    match question {
        0 => card.asked[0].question.to_string(),
        _ => format!("{} {}", card.asked[0].question, card.asked[question].question),
    }
}

/// The short way: every point stands in the quote word for word, and nothing there denies anything.
fn literally(asked: &Asked<'_>, passage: &str) -> bool {
    let folded = passage.to_lowercase();
    if asked.ordered || (may_deny(passage, &folded) && words(passage).any(|word| speaks_against(&word.to_lowercase())))
    {
        return false;
    }
    asked.points.iter().all(|point| {
        let point = plain(point).to_lowercase();
        let point = point.trim_end_matches('.');
        let whole = |at: usize| {
            let end = at + point.len();
            let joined =
                |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || matches!(c, '-' | '.' | ',' | '%' | '/'));
            let after = folded[end..]
                .chars()
                .next()
                .filter(|c| !matches!(c, '.' | ',') || folded[end + 1..].starts_with(|c: char| c.is_ascii_digit()));
            !joined(folded[..at].chars().next_back()) && !joined(after)
        };
        !point.is_empty() && folded.match_indices(point).any(|(at, _)| whole(at))
    })
}

/// Whether some word of a passage denies, perhaps: in plain ASCII the runs of letters tell it without a
/// look for the bounds of words.
fn may_deny(passage: &str, folded: &str) -> bool {
    !passage.is_ascii()
        || folded.contains("n't")
        || folded.split(|c: char| !c.is_ascii_alphanumeric()).any(speaks_against)
}

/// Whether a word, in lower case, may deny or take back what it stands with.
fn speaks_against(word: &str) -> bool {
    is_denial(word)
        || matches!(
            word,
            "false" | "wrong" | "myth" | "wrongly" | "instead" | "rather" | "fails" | "untrue" | "incorrect"
        )
}
