//! A question read for what it asks.

use super::Posed;
use crate::text::lex::{Piece, What, lex};
use crate::text::normal::{counts, meaning_stems, normal};
use crate::text::plain::plain;
use crate::text::stem::{fold, is_stop_word, stem};
use crate::text::value::value_at;
use std::collections::BTreeSet;

/// A question read for what it asks.
pub(super) struct Asked {
    /// The stems that carry meaning, with the word as written, in order.
    pub(super) words: Vec<(String, String)>,
    pub(super) stems: BTreeSet<String>,
    pub(super) kind: Kind,
    pub(super) denied: bool,
    /// `What do mice eat`, against `What eats mice`.
    pub(super) inverted: bool,
    /// What stands in quotation marks, in its normal form.
    pub(super) quoted: Vec<String>,
    pub(super) answers: BTreeSet<String>,
    pub(super) whole_answer: String,
}

/// What kind of thing is asked for.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Thing,
    Time,
    Place,
    Person,
    Reason,
    Amount,
    Manner,
    /// `What does attrition do?`, against `What is attrition?`
    Action,
}

impl Asked {
    pub(super) fn read(posed: &Posed<'_>) -> Asked {
        let text = plain(posed.question);
        let pieces = lex(&text);
        let folded: Vec<String> = pieces.iter().map(|piece| fold(piece.text)).collect();
        let mut words = Vec::new();
        let mut denied = false;
        let mut at = 0;
        while at < pieces.len() {
            if let Some((_, len)) = value_at(&pieces, at) {
                let written = &text[pieces[at].span.start..pieces[at + len - 1].span.end];
                words.push((normal(written), written.to_string()));
                at += len;
                continue;
            }
            let word = folded[at].as_str();
            denied |= matches!(word, "not" | "never" | "no" | "without" | "except") || word.ends_with("n't");
            let opens = at < 3 && OPENERS.contains(&word);
            let small = is_stop_word(word) && word != "same";
            // With a capital inside the question it is a symbol or a name, such as `He`.
            if small && at > 0 && pieces[at].text.starts_with(char::is_uppercase) {
                words.push((pieces[at].text.to_string(), pieces[at].text.to_string()));
            }
            if let What::Sign(sign) = pieces[at].what
                && (counts(sign) || is_minus(&pieces, at))
            {
                words.push((sign.to_string(), sign.to_string()));
            }
            if at > 0
                && folded[at - 1] == "how"
                && let Some(measure) = measure_of(word)
            {
                words.push((stem(measure), pieces[at].text.to_string()));
            } else if pieces[at].is_word() && !opens && !small && !ASKING.contains(&word) {
                words.push((stem(word), pieces[at].text.to_string()));
            }
            at += 1;
        }
        // `What does attrition mean?` asks for a meaning; `mean speed` is a speed.
        if folded.iter().rev().find(|word| word.chars().any(char::is_alphabetic)).is_some_and(|last| last == "mean") {
            words.retain(|(stem, _)| stem != "mean");
        }
        let kind = kind_of(&folded);
        if kind == Kind::Time {
            words.retain(|(stem, _)| !matches!(stem.as_str(), "year" | "date" | "time"));
        }
        if kind == Kind::Reason {
            words.retain(|(stem, _)| stem != "reason");
        }
        let mut answers: BTreeSet<String> = posed.accept.iter().map(|answer| said(answer)).collect();
        let mut points: Vec<String> = posed.answer.iter().map(|answer| said(answer)).collect();
        points.sort();
        let whole_answer = points.join("; ");
        answers.insert(whole_answer.clone());
        Asked {
            stems: words.iter().map(|(stem, _)| stem.clone()).collect(),
            words,
            kind,
            denied,
            inverted: folded.iter().take(4).any(|word| matches!(word.as_str(), "do" | "does" | "did")),
            quoted: text.split('"').skip(1).step_by(2).map(normal).collect(),
            answers,
            whole_answer,
        }
    }

    pub(super) fn same_answer(&self, other: &Asked) -> bool {
        self.answers.contains(&other.whole_answer) || other.answers.contains(&self.whole_answer)
    }
}

/// What `how fast`, `how tall` and the like ask for.
fn measure_of(word: &str) -> Option<&'static str> {
    Some(match word {
        "fast" | "quickly" => "speed",
        "tall" | "high" => "height",
        "long" => "length",
        "deep" => "depth",
        "wide" | "broad" => "width",
        "thick" => "thickness",
        "heavy" => "mass",
        "far" => "distance",
        "hot" | "warm" | "cold" => "temperature",
        "big" | "large" => "size",
        _ => return None,
    })
}

/// What an answer says, its small words and the order of its words aside.
fn said(answer: &str) -> String {
    let stems = meaning_stems(answer);
    if stems.is_empty() { normal(answer) } else { stems.into_iter().collect::<Vec<_>>().join(" ") }
}

/// Whether a dash between two numbers takes one from the other: `5 - 3`, against `5-10 km`.
fn is_minus(pieces: &[Piece<'_>], at: usize) -> bool {
    let number = |at: usize| pieces.get(at).is_some_and(|piece| piece.digits().is_some());
    let apart = |at: usize| pieces.get(at).is_some_and(|piece| !piece.tight);
    pieces[at].is_sign('-') && at > 0 && number(at - 1) && number(at + 1) && apart(at) && apart(at + 1)
}

const OPENERS: [&str; 17] = [
    "complete",
    "define",
    "describe",
    "explain",
    "give",
    "identify",
    "list",
    "name",
    "outline",
    "recall",
    "say",
    "state",
    "suggest",
    "tell",
    "translate",
    "write",
    "please",
];
/// Words that only ask.
const ASKING: [&str; 18] = [
    "called",
    "definition",
    "happen",
    "happens",
    "known",
    "meaning",
    "meant",
    "name",
    "named",
    "names",
    "term",
    "termed",
    "use",
    "used",
    "uses",
    "word",
    "describes",
    "phrase",
];

fn kind_of(folded: &[String]) -> Kind {
    let has = |word: &str| folded.iter().any(|other| other == word);
    let first = folded
        .iter()
        .find(|word| matches!(word.as_str(), "who" | "whom" | "when" | "where" | "why" | "how" | "what" | "which"));
    match first.map(String::as_str) {
        Some("who" | "whom") => Kind::Person,
        Some("when") => Kind::Time,
        Some("where") => Kind::Place,
        Some("why") => Kind::Reason,
        Some("how") if has("many") || has("much") => Kind::Amount,
        Some("how") if folded.windows(2).any(|two| two[0] == "how" && measure_of(&two[1]).is_some()) => Kind::Thing,
        Some("how") => Kind::Manner,
        Some(_) if has("year") || has("date") => Kind::Time,
        Some(_) if folded.windows(2).any(|two| matches!(two[0].as_str(), "what" | "which") && two[1] == "reason") => {
            Kind::Reason
        }
        Some(_)
            if folded
                .iter()
                .rev()
                .find(|word| word.chars().any(char::is_alphabetic))
                .is_some_and(|last| last == "do") =>
        {
            Kind::Action
        }
        _ => Kind::Thing,
    }
}
