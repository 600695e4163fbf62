//! The little grammar that the forms share: what a word can be in its clause.
//!
//! In doubt a word is taken for the harder case: a question that cannot be asked well is not asked.

use std::ops::Range;

use crate::source::keys::{spans, stands_in};
use crate::text::{classes, is_irregular_past};

/// A sentence without the stop at its end.
pub(super) fn body(text: &str) -> &str {
    text.trim_end().trim_end_matches(['.', '!'])
}

/// A word in lower case, without the signs around it.
pub(super) fn bare(word: &str) -> String {
    word.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase()
}

/// The words of a text, each in lower case without the signs around it.
pub(super) fn bare_words(text: &str) -> Vec<String> {
    spans(text).into_iter().map(|at| bare(&text[at])).collect()
}

/// How many words stand in a text.
pub(super) fn count(text: &str) -> usize {
    spans(text).len()
}

/// Whether a word is a form of `be`.
pub(super) fn is_be(word: &str) -> bool {
    matches!(word, "is" | "are" | "was" | "were")
}

/// Whether a verb follows this word: `can rise`.
pub(super) fn is_modal(word: &str) -> bool {
    matches!(word, "can" | "cannot" | "could" | "may" | "might" | "must" | "shall" | "should" | "will" | "would")
}

/// Whether a word is a verb that helps others.
pub(super) fn is_auxiliary(word: &str) -> bool {
    is_be(word) || is_modal(word) || matches!(word, "be" | "been" | "has" | "have" | "had" | "do" | "does" | "did")
}

/// Whether a word is a verb and can be nothing else.
pub(super) fn is_only_verb(word: &str) -> bool {
    is_auxiliary(word) || classes(word).is_some_and(|found| found.verb && !found.noun && !found.describes)
}

/// Whether a word can be a verb.
pub(super) fn may_be_verb(word: &str) -> bool {
    is_auxiliary(word) || is_irregular_past(word) || classes(word).is_some_and(|found| found.verb)
}

/// Whether a word only describes: `hot`, `empty`.
pub(super) fn describes(word: &str) -> bool {
    classes(word).is_some_and(|found| found.describes && !found.mostly_noun)
}

/// Whether a word says how often or how much, and can be left where it stands.
pub(super) fn is_adverb(word: &str) -> bool {
    matches!(
        word,
        "also" | "always" | "often" | "sometimes" | "never" | "seldom" | "partly" | "largely" | "mainly" | "mostly"
    ) || word.ends_with("ly") && classes(word).is_some_and(|found| found.describes)
}

/// Whether a clause begins with a word that only what stands before it explains.
pub(super) fn leans(clause: &str) -> bool {
    let first = spans(clause).first().map(|at| bare(&clause[at.clone()])).unwrap_or_default();
    let first = first.split('\'').next().unwrap_or_default();
    stands_in(first) || matches!(first, "them" | "neither" | "others")
}

/// Whether a clause has a word that may stand for something named outside it.
pub(super) fn refers(clause: &str) -> bool {
    let word = |word: &String| {
        matches!(word.as_str(), "it" | "them" | "they" | "this" | "these" | "those" | "he" | "him" | "she" | "her")
    };
    bare_words(clause).iter().any(word)
}

/// The same, but for a word that the clause itself explains: `Waves bend as they reach a headland`.
pub(super) fn refers_back(clause: &str) -> bool {
    let words = spans(clause);
    let word = |at: usize| &clause[words[at].clone()];
    (0..words.len()).any(|at| refers(word(at)) && !(at > 1 && subordinates(&bare(word(at - 1)))))
}

/// Whether a word begins a clause that hangs on another, or a phrase of place or time.
pub(super) fn subordinates(word: &str) -> bool {
    matches!(
        word,
        "above"
            | "across"
            | "after"
            | "along"
            | "although"
            | "around"
            | "as"
            | "at"
            | "below"
            | "beside"
            | "between"
            | "by"
            | "despite"
            | "before"
            | "during"
            | "for"
            | "from"
            | "if"
            | "in"
            | "inside"
            | "near"
            | "on"
            | "once"
            | "over"
            | "since"
            | "that"
            | "though"
            | "through"
            | "to"
            | "under"
            | "unless"
            | "until"
            | "when"
            | "where"
            | "whereas"
            | "which"
            | "while"
            | "who"
            | "with"
            | "without"
            | "because"
            | "not"
            | "yet"
            | "but"
            | "only"
    )
}

/// Whether a text can be the subject of a question as it stands: a few words that name something.
pub(super) fn is_subject(text: &str) -> bool {
    let words = bare_words(text);
    let names = |(at, word): (usize, &String)| match at {
        0 => !subordinates(word) && !is_auxiliary(word) && !is_adverb(word),
        // The last word stands before the verb: it may name a thing that is oftener something done.
        _ if at + 1 == words.len() => !is_auxiliary(word),
        _ => !is_only_verb(word) && !matches!(word.as_str(), "that" | "which" | "who" | "when" | "where" | "if"),
    };
    let joined = |word: &String| matches!(word.as_str(), "and" | "or" | "to" | "not" | "but");
    (1..=MOST_WORDS_OF_A_SUBJECT).contains(&words.len())
        && !leans(text)
        && !text.contains([',', ';', ':', '(', '“', '"'])
        && words.iter().enumerate().all(names)
        && !words.last().is_some_and(joined)
}

const MOST_WORDS_OF_A_SUBJECT: usize = 8;

/// Whether a clause has a subject and something that can be its verb.
pub(super) fn is_clause(text: &str) -> bool {
    let words = bare_words(text);
    let first = words.first().map(String::as_str).unwrap_or_default();
    let begins = !is_only_verb(first) && !first.ends_with("ing") && !matches!(first, "as" | "to" | "that");
    begins && words.len() > 1 && words.iter().skip(1).any(|word| may_be_verb(word))
}

/// Whether a sentence tells the reader to do something: `Look there first.`
pub(super) fn commands(text: &str) -> bool {
    let words = bare_words(text);
    let word = |at: usize| words.get(at).map(String::as_str).unwrap_or_default();
    let negates = matches!(word(0), "do" | "don't") && matches!(word(1), "not" | "") || word(0) == "don't";
    let goes_on = AFTER_A_COMMAND.contains(&word(1)) || word(1).starts_with(|c: char| c.is_ascii_digit());
    let asserts = words.iter().take(5).any(|word| is_auxiliary(word));
    let always = matches!(word(0), "always" | "never") && !is_auxiliary(word(1)) && may_be_verb(word(1));
    let only_verb = ONLY_COMMANDS.contains(&word(0)) && !matches!(word(1), "and" | "of" | "in" | "");
    negates || always || (only_verb || COMMANDS.contains(&word(0)) && goes_on) && !asserts
}

/// Those that begin nothing but a command.
const ONLY_COMMANDS: [&str; 10] =
    ["add", "avoid", "choose", "divide", "keep", "multiply", "pour", "remember", "wear", "write"];

/// Verbs with which school prose tells a reader what to do.
const COMMANDS: [&str; 63] = [
    "add", "aim", "ask", "avoid", "begin", "bring", "check", "choose", "compare", "copy", "count", "cut", "divide",
    "draw", "dry", "fill", "find", "fold", "follow", "get", "give", "go", "heat", "hold", "keep", "label", "lay",
    "leave", "let", "lift", "listen", "look", "make", "mark", "measure", "mix", "move", "multiply", "note", "place",
    "pour", "press", "pull", "push", "put", "read", "record", "remember", "repeat", "set", "stand", "start", "stir",
    "take", "test", "try", "turn", "use", "wash", "watch", "wear", "work", "write",
];

/// Words after a command that tell it from a noun.
const AFTER_A_COMMAND: [&str; 41] = [
    "a",
    "across",
    "after",
    "all",
    "along",
    "an",
    "and",
    "any",
    "at",
    "away",
    "back",
    "before",
    "both",
    "carefully",
    "closely",
    "down",
    "each",
    "every",
    "for",
    "from",
    "how",
    "into",
    "it",
    "off",
    "on",
    "only",
    "out",
    "safety",
    "some",
    "that",
    "the",
    "them",
    "there",
    "these",
    "this",
    "up",
    "what",
    "where",
    "which",
    "with",
    "your",
];

/// A sentence parted at the only place where a joint stands.
pub(super) fn parted<'t>(text: &'t str, joint: &str) -> Option<(&'t str, &'t str)> {
    let (before, after) = text.split_once(joint)?;
    let clean = before.trim().trim_end_matches([',', ';']);
    (!clean.is_empty() && !after.trim().is_empty() && !after.contains(joint)).then(|| (clean, after.trim()))
}

/// The byte range of a part in the text it was taken from.
pub(super) fn range_in(text: &str, part: &str) -> Range<usize> {
    let start = (part.as_ptr() as usize).saturating_sub(text.as_ptr() as usize);
    start..start + part.len()
}

/// A text that begins with a word, in any case, without that word and the comma behind it.
pub(super) fn without_opener<'t>(text: &'t str, opener: &str) -> Option<&'t str> {
    let begins = text.get(..opener.len()).is_some_and(|start| start.eq_ignore_ascii_case(opener));
    let rest = text.get(opener.len()..).filter(|_| begins)?;
    rest.strip_prefix(", ").or_else(|| rest.strip_prefix(' '))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn commands_are_told_from_statements() {
        for text in [
            "Look there before you guess",
            "Test only what the teacher hands out",
            "Do not touch it",
            "Never pour water into acid",
            "Pour the water into a cylinder",
        ] {
            assert!(commands(text), "{text}");
        }
        for text in ["Heat is lost", "Heat rises", "Work in mines was hard", "Never again was there peace", "Rivers"] {
            assert!(!commands(text), "{text}");
        }
    }

    #[test]
    fn a_subject_names_something_by_itself() {
        for text in ["Hot air", "The main causes of erosion", "An area of high pressure"] {
            assert!(is_subject(text), "{text}");
        }
        for text in ["It", "When air", "Farmers believed that rain", "Rain, which falls,", "Heavy rain and", ""] {
            assert!(!is_subject(text), "{text}");
        }
    }
}
