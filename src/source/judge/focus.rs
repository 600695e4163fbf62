//! What the questions that lean on a quote ask and answer.

use super::Cited;
use crate::source::drift::Focus;
use crate::source::reading::read;
use crate::source::weights::Weights;
use crate::text::{is_stop_word, plain, stem, words};

/// What the questions that lean on a quote ask and answer.
pub(super) fn focus(card: &Cited<'_>, question: Option<usize>, weights: &Weights) -> Focus {
    let mut out = Focus::default();
    for (number, asked) in card.asked.iter().enumerate() {
        let leans = question.map_or(asked.quotes.is_empty() || number == 0, |question| question == number);
        // The first question says what `it` is in the others.
        if leans || number == 0 {
            let question = plain(asked.question);
            out.asks.extend(read(&question, weights));
            out.heads.extend(heads(&question));
        }
        if leans {
            out.points.extend(asked.points.iter().map(|point| read(&plain(point), weights)));
            out.ordered |= asked.ordered && asked.points.len() > 1;
        }
    }
    out
}

/// The words after `What is the …`, `Which …`, `Name the …` up to the next small word.
fn heads(question: &str) -> Vec<String> {
    let all: Vec<&str> = words(question).collect();
    let opener = |word: &&&str| {
        matches!(
            word.to_lowercase().as_str(),
            "what"
                | "which"
                | "name"
                | "state"
                | "give"
                | "define"
                | "is"
                | "are"
                | "was"
                | "were"
                | "the"
                | "a"
                | "an"
                | "how"
                | "many"
                | "much"
        )
    };
    let start = all.iter().take_while(opener).count();
    if start == 0 {
        return Vec::new();
    }
    // `How long`, `how deep`: the measure may be left unsaid; `how many people`: what is counted not.
    let counted = all[..start].iter().any(|word| word.eq_ignore_ascii_case("how"));
    let many = all[..start].iter().any(|word| matches!(word.to_lowercase().as_str(), "many" | "much"));
    let most = if !counted { 2 } else { usize::from(many) };
    all[start..].iter().take_while(|word| !is_stop_word(word)).take(most).map(|word| stem(word)).collect()
}
