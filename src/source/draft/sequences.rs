//! Questions from sentences that tell what comes first, then and at last.

use std::ops::Range;

use super::forms::{Form, Proposed, Sentence};
use super::grammar::{bare, bare_words, commands, count};
use crate::source::keys::spans;

/// Whether a sentence tells an order, as far as its words tell.
pub(super) fn orders(text: &str) -> bool {
    let marks = marks(text);
    marks.len() > 1 && marks.iter().any(|mark| mark.then)
}

/// The words with which a sentence of its own goes on with a sequence.
pub(super) fn goes_on(sentence: &str) -> Option<&str> {
    let openers = [
        "Then",
        "Next",
        "After that",
        "Afterwards",
        "Finally",
        "Lastly",
        "At last",
        "Second",
        "Secondly",
        "Third",
        "Thirdly",
    ];
    openers.iter().find_map(|opener| super::grammar::without_opener(sentence, opener))
}

/// A sentence that begins a sequence, without the word that says so.
pub(super) fn begins(sentence: &str) -> Option<&str> {
    ["First of all", "First", "Firstly", "To begin with"]
        .iter()
        .find_map(|opener| super::grammar::without_opener(sentence, opener))
}

/// `First a, then b and finally c.` → the steps in order.
pub(super) fn sequences(sentence: &Sentence<'_>) -> Option<Proposed> {
    let text = sentence.body();
    if !orders(sentence.text) || !sentence.strong.is_empty() {
        return None;
    }
    let marks = marks(text);
    let begins = marks.first().is_some_and(|mark| mark.first && mark.at.start == 0);
    let mut from = 0;
    let mut steps: Vec<Range<usize>> = Vec::new();
    for mark in &marks {
        if mark.at.start > 0 {
            steps.push(trimmed(text, from..mark.at.start));
        }
        from = mark.at.end;
    }
    steps.push(trimmed(text, from..text.len()));
    let mut lead = "";
    if !begins && marks[0].first {
        // `Cane is first crushed, then boiled and finally dried.`
        lead = &text[steps.remove(0)];
    } else if !begins && let Some(at) = article_before(text, &steps) {
        lead = text[..at].trim_end();
        steps[0].start = at;
    }
    let answer: Vec<String> = steps.into_iter().map(|step| text[step].to_owned()).collect();
    let fits = |step: &String| (1..=12).contains(&count(step)) && !step.contains([';', ':']);
    if answer.len() < 3 || !answer.iter().all(fits) {
        return None;
    }
    let question = match lead {
        "" if sentence.heading.is_empty() => return None,
        "" => asked(sentence.heading, answer.iter().any(|step| commands(step))),
        lead => sentence.in_place(&format!("What comes in the gap, in order: “{lead} …”?")),
    };
    Some(Proposed::listed(Form::Sequence, question, answer, true))
}

/// The question for steps that no words of their own lead up to.
pub(super) fn asked(heading: &str, to_do: bool) -> String {
    let what = if to_do { "what do you do" } else { "what happens" };
    format!("{heading}: {what}, in order?")
}

/// A word that says where in the order a step stands.
struct Mark {
    at: Range<usize>,
    first: bool,
    then: bool,
}

fn marks(text: &str) -> Vec<Mark> {
    let words = spans(text);
    let word = |at: usize| words.get(at).map(|at| bare(&text[at.clone()])).unwrap_or_default();
    let ends = |at: usize| at == 0 || text[words[at - 1].clone()].ends_with([',', ';']) || word(at - 1) == "and";
    let helped = |at: usize| at > 0 && super::grammar::is_auxiliary(&word(at - 1));
    let mut out = Vec::new();
    let mut at = 0;
    while at < words.len() {
        let two = format!("{} {}", word(at), word(at + 1));
        let (len, first, then) = match word(at).as_str() {
            _ if matches!(two.as_str(), "at last" | "after that") && ends(at) => (2, false, two == "after that"),
            "first" | "firstly" if at == 0 || helped(at) => (1, true, false),
            "then" if ends(at) => (1, false, true),
            "next" if ends(at) && text[words[at].clone()].ends_with(',') => (1, false, true),
            "finally" | "lastly" | "eventually" if ends(at) => (1, false, false),
            _ => (0, false, false),
        };
        if len > 0 {
            out.push(Mark { at: words[at].start..words[at + len - 1].end, first, then });
        }
        at += len.max(1);
    }
    out
}

/// A step without the joints around it.
fn trimmed(text: &str, step: Range<usize>) -> Range<usize> {
    let said = &text[step.clone()];
    let mut inner = said.trim_matches([' ', ',', ';']);
    while let Some(shorter) = inner.strip_suffix(" and").or_else(|| inner.strip_prefix("and ")) {
        inner = shorter.trim_matches([' ', ',', ';']);
    }
    if inner == "and" {
        inner = &inner[..0];
    }
    super::grammar::range_in(text, inner)
}

/// Where the last thing before the second step begins, when all later steps begin with an article as well.
fn article_before(text: &str, steps: &[Range<usize>]) -> Option<usize> {
    let (first, later) = steps.split_first()?;
    let article = |word: &str| matches!(word, "a" | "an" | "the");
    let begins = |step: &Range<usize>| bare_words(&text[step.clone()]).first().is_some_and(|word| article(word));
    let said = &text[first.clone()];
    let at = spans(said).into_iter().rfind(|at| article(&said[at.clone()]))?;
    (later.iter().all(begins) && at.start > 0).then_some(first.start + at.start)
}

#[cfg(test)]
mod tests {
    use super::super::support::{ask, ask_nothing};
    use super::*;

    #[test]
    fn steps_are_asked_for_in_order() {
        ask(
            Form::Sequence,
            &[
                (
                    "First logs are cut, then chips are boiled and finally pulp is pressed.",
                    "Wind: what happens, in order?",
                    &["logs are cut", "chips are boiled", "pulp is pressed"],
                ),
                (
                    "Cane is first crushed, then boiled and finally dried.",
                    "What comes in the gap, in order: “Cane is …”?",
                    &["crushed", "boiled", "dried"],
                ),
                (
                    "Cracks become a cave, then an arch and at last a stump.",
                    "What comes in the gap, in order: “Cracks become …”?",
                    &["a cave", "an arch", "a stump"],
                ),
                (
                    "First, food is chewed. Then it is swallowed. Finally, it is absorbed.",
                    "Wind: what happens, in order?",
                    &["food is chewed", "it is swallowed", "it is absorbed"],
                ),
                (
                    "First, boil the leaf. Next, rinse the leaf. Finally, add the drops.",
                    "Wind: what do you do, in order?",
                    &["boil the leaf", "rinse the leaf", "add the drops"],
                ),
            ],
        );
    }

    #[test]
    fn one_then_is_no_sequence() {
        ask_nothing(&["If it rains, then it pours.", "The first wave came, and it broke.", "It was cold then."]);
    }
}
