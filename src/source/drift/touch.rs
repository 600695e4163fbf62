//! How each part of a quote matters to what its card asks and answers.

use super::Focus;
use crate::source::reading::Token;
use crate::text::Value;

/// How a token of the quote matters to the card.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Touch {
    Nothing,
    Asks,
    Answers,
}

/// How each token of the quote matters.
pub(crate) fn touches(quote: &[Token], focus: &Focus) -> Vec<Touch> {
    let said = |tokens: &[Token], token: &Token| tokens.iter().any(|other| other.is_said_by(token));
    let asked = |token: &Token| focus.asks.iter().any(|other| other.is_same(token));
    let mut out: Vec<Touch> = quote
        .iter()
        .enumerate()
        .map(|(at, token)| {
            let answers = focus.points.iter().any(|point| said(point, token));
            match (answers, asked(token)) {
                (true, false) => Touch::Answers,
                (true, true) if token.value().is_some() || token.is_name() || is_twin(quote, at) => Touch::Answers,
                (false, false) if !focus.asks.iter().any(|other| other.is_said_by(token)) => Touch::Nothing,
                _ => Touch::Asks,
            }
        })
        .collect();
    // A bare number in the answer means the bare number in the quote, if there is one.
    let bare = |token: &Token| token.value().is_some_and(|value| !value.has_unit());
    if quote.iter().zip(&out).any(|(token, touch)| *touch == Touch::Answers && bare(token)) {
        for (token, touch) in quote.iter().zip(&mut out) {
            let given_bare = focus.points.iter().flatten().any(|point| bare(point) && point.is_said_by(token));
            let given_whole = focus.points.iter().flatten().any(|point| !bare(point) && point.is_said_by(token));
            if token.value().is_some_and(Value::has_unit) && given_bare && !given_whole {
                *touch = Touch::Nothing;
            }
        }
    }
    // Yes, no, or a worked-out answer: then all that the quote says is what matters.
    if !out.contains(&Touch::Answers) {
        out.fill(Touch::Asks);
    }
    out
}

/// Whether a word stands a second time, so that the question may mean the one and the answer the other.
fn is_twin(quote: &[Token], at: usize) -> bool {
    quote[..at].iter().any(|earlier| earlier.is_same(&quote[at]))
}
