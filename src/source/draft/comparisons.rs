//! Questions from statements that compare or contrast two things.

use std::ops::Range;

use super::forms::{Form, Proposed, Sentence, gapped};
use super::grammar::{
    bare, bare_words, body, commands, count, is_auxiliary, is_be, is_modal, is_subject, leans, may_be_verb, parted,
    range_in,
};
use crate::source::keys::spans;
use crate::text::{classes, is_stop_word, lex, stem, value_at};

/// Whether a sentence compares or contrasts, as far as its words tell.
pub(super) fn compares(text: &str) -> bool {
    let lower = text.to_lowercase();
    let signs = [" whereas ", " unlike ", "in contrast", "by contrast", "compared with ", "compared to "];
    let openers = ["whereas ", "unlike "];
    comparative(text).is_some()
        || signs.iter().any(|sign| lower.contains(sign))
        || openers.iter().any(|opener| lower.starts_with(opener))
        || lower.contains(", while ") && !commands(text)
        || shared_verb(text).is_some()
}

/// The questions about comparisons, the most telling first.
pub(super) fn comparisons(sentence: &Sentence<'_>) -> Option<Proposed> {
    let ways = [stands_to, differs, gap_of_comparative, gap_of_contrast];
    ways.into_iter().find_map(|way| way(sentence))
}

/// `A is thinner than B.` → `How does A compare with B?`
fn stands_to(sentence: &Sentence<'_>) -> Option<Proposed> {
    let text = sentence.body();
    comparative(sentence.text)?;
    let (before, other) = parted(text, " than ")?;
    let words = spans(before);
    let verb = (1..words.len().min(6)).find(|&verb| matches!(&text[words[verb].clone()], "is" | "are"))?;
    let subject = &text[..words[verb - 1].end];
    let said = &text[words.get(verb + 1)?.start..before.len()];
    let plain = |part: &str| !part.contains([',', ';', ':', '(']) && !part.contains(|c: char| c.is_ascii_digit());
    let short = count(said) <= 5 && count(other) <= 6;
    let by_itself = !bare_words(other).iter().any(|word| is_be(word)) && is_subject(other);
    if sentence.points_back() || !short || !by_itself || ![subject, said, other].into_iter().all(plain) {
        return None;
    }
    let does = if &text[words[verb].clone()] == "is" { "does" } else { "do" };
    let question = format!("How {does} {} compare with {other}?", sentence.lowered(subject));
    Some(Proposed::plain(Form::Comparison, question, said))
}

/// The comparative before the only `than`, with what it goes on, as bytes of the sentence.
///
/// `rather than` compares nothing, and `more than 500 people` is the bound of a quantity.
fn comparative(text: &str) -> Option<Range<usize>> {
    let body = body(text);
    let (before, after) = parted(body, " than ")?;
    let words = spans(before);
    let first = bare_words(after).into_iter().next().unwrap_or_default();
    let amount = value_at(&lex(after), 0).is_some() || matches!(first.as_str(), "half" | "twice" | "usual" | "ever");
    let from = words.len().saturating_sub(4);
    let at = (from..words.len()).rev().find(|&at| is_comparative(&bare(&before[words[at].clone()])))?;
    let end = words.last()?.end;
    let gap = words[at].start..end;
    let whole = !before[gap.clone()].contains([',', ';', ':', '(']);
    (whole && !amount).then_some(gap)
}

fn is_comparative(word: &str) -> bool {
    const NOT: [&str; 16] = [
        "after", "bitter", "clever", "either", "ever", "former", "inner", "latter", "never", "other", "outer", "over",
        "proper", "rather", "under", "upper",
    ];
    matches!(word, "more" | "less" | "fewer" | "better" | "worse" | "further" | "farther")
        || word.len() > 4
            && (word.ends_with("er"))
            && !NOT.contains(&word)
            && classes(word).is_some_and(|found| found.describes && !found.mostly_noun)
}

/// `Hot air rises faster than cold air.` → the comparative as a gap.
fn gap_of_comparative(sentence: &Sentence<'_>) -> Option<Proposed> {
    only_gap(sentence, comparative(sentence.text)?)
}

/// The sentence with one gap, where it is not long and what is strong stands in the gap.
fn only_gap(sentence: &Sentence<'_>, gap: Range<usize>) -> Option<Proposed> {
    let strong_elsewhere = sentence.strong.iter().any(|strong| strong.start < gap.start || strong.end > gap.end);
    if strong_elsewhere || count(sentence.text) > MOST_WORDS_AROUND_A_GAP {
        return None;
    }
    let asked =
        if count(&sentence.text[gap.clone()]) == 1 { "Which word is missing" } else { "Which words are missing" };
    Some(gapped(sentence, std::slice::from_ref(&gap), Form::Comparison, asked))
}

const MOST_WORDS_AROUND_A_GAP: usize = 30;

/// `Unlike A, B is …` → `How does B differ from A?`
fn differs(sentence: &Sentence<'_>) -> Option<Proposed> {
    let text = sentence.body();
    let (other, clause) = parted(text.strip_prefix("Unlike ")?, ", ")?;
    let words = spans(clause);
    let word = |at: usize| &clause[words[at].clone()];
    let does = |at: usize| match word(at) {
        "is" | "has" | "does" => Some("does"),
        "are" | "have" | "do" => Some("do"),
        "was" | "were" | "had" | "did" => Some("did"),
        _ => None,
    };
    let (verb, does) = (1..words.len().min(7)).find_map(|at| Some((at, does(at)?)))?;
    let subject = &clause[..words[verb - 1].end];
    let question = format!("How {does} {subject} differ from {other}?");
    (is_subject(subject) && is_subject(other)).then(|| Proposed::plain(Form::Comparison, question, clause))
}

/// `Slow cooling gives large crystals, whereas quick cooling gives small ones.` → the end as a gap.
fn gap_of_contrast(sentence: &Sentence<'_>) -> Option<Proposed> {
    let gap = shared_verb(sentence.text).filter(|_| !sentence.points_back())?;
    only_gap(sentence, gap)
}

/// What stands behind the verb of the second of two contrasted clauses: the verb has to be that of the first,
/// or a form of `be` or `have`.
fn shared_verb(text: &str) -> Option<Range<usize>> {
    let body = body(text);
    let opened = ["Whereas ", "While "].iter().find_map(|opener| body.strip_prefix(opener));
    let by_opener = || opened.and_then(|rest| parted(rest, ", ")).map(|parts| (parts, true));
    let joints = [(", whereas ", true), (" whereas ", true), (", while ", true), (", but ", false)];
    let by_joint = || joints.iter().find_map(|(joint, any)| Some((parted(body, joint)?, *any)));
    let ((first, second), any) = by_opener().or_else(by_joint)?;
    if commands(body) || leans(second) || second.contains([',', ';', ':']) || first.contains([';', ':']) {
        return None;
    }
    let said: Vec<String> = bare_words(first).iter().map(|word| stem(word)).collect();
    let words = spans(second);
    let word = |at: usize| bare(&second[words[at].clone()]);
    let verb = (1..words.len().min(7)).find(|&at| {
        let (found, same) = (word(at), said.contains(&stem(&word(at))));
        let joins = is_be(&found) || matches!(found.as_str(), "has" | "have");
        let noun = classes(&found).is_some_and(|found| found.mostly_noun);
        let verb = may_be_verb(&found) && !is_auxiliary(&found) && !is_stop_word(&found) && !noun;
        joins && (any || same) || same && verb
    })?;
    let helped = usize::from(verb > 1 && is_modal(&word(verb - 1)));
    let subject = &second[..words[verb - 1 - helped].end];
    let rest = &second[words.get(verb + 1)?.start..];
    let telling = |word: &String| !is_stop_word(word) && !said.contains(&stem(word));
    let answers = count(rest) <= 7 && bare_words(rest).iter().any(telling);
    (is_subject(subject) && answers).then(|| range_in(text, rest))
}

#[cfg(test)]
mod tests {
    use super::super::support::{ask, ask_nothing};
    use super::*;

    #[test]
    fn comparisons_are_asked_for() {
        ask(
            Form::Comparison,
            &[
                ("Oceanic crust is thinner than land.", "How does oceanic crust compare with land?", &["thinner"]),
                (
                    "Hot air rises faster than cold air.",
                    "Which word is missing: “Hot air rises … than cold air”?",
                    &["faster"],
                ),
                (
                    "Towns suffered more heavily than villages.",
                    "Which words are missing: “Towns suffered … than villages”?",
                    &["more heavily"],
                ),
                (
                    "Granite has larger crystals than basalt.",
                    "Which words are missing: “Granite has … than basalt”?",
                    &["larger crystals"],
                ),
                (
                    "Unlike the poor, the rich were able to flee.",
                    "How did the rich differ from the poor?",
                    &["the rich were able to flee"],
                ),
                (
                    "Slow cooling gives large crystals, whereas quick cooling gives small ones.",
                    "Which words are missing: “Slow cooling gives large crystals, whereas quick cooling gives …”?",
                    &["small ones"],
                ),
                (
                    "Copper is cheap, while glass cable is dear.",
                    "Which word is missing: “Copper is cheap, while glass cable is …”?",
                    &["dear"],
                ),
                (
                    "Fast water can move stones, while slow water can move sand.",
                    "Which word is missing: “Fast water can move stones, while slow water can move …”?",
                    &["sand"],
                ),
                (
                    "While sand is loose, clay is sticky.",
                    "Which word is missing: “While sand is loose, clay is …”?",
                    &["sticky"],
                ),
                (
                    "Monks died young, but nuns died old.",
                    "Which word is missing: “Monks died young, but nuns died …”?",
                    &["old"],
                ),
            ],
        );
    }

    #[test]
    fn what_only_looks_like_a_comparison_is_left_alone() {
        ask_nothing(&[
            "They would stay rather than leave.",
            "Anyone other than a pilot may go.",
            "The town lost more than half.",
            "It is no more than ten.",
            "Work it out now, while your hands are warm.",
            "Sand lets water in, but clay does not.",
            "The rain stopped, but it came again.",
        ]);
    }
}
