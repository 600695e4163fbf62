//! Whether two wordings say the same: of a question, whether it still asks for the same thing; of a
//! statement, whether all its facts are there in other words.
//!
//! In doubt they do not: a correction that is taken for wording does not reach the pupil who learnt
//! the wrong thing.

use super::reading::{Token, read};
use super::weights::Weights;
use crate::text::{plain, stem, words};

/// Words with which a question is put, as stems come out of them; they carry nothing of what it asks for.
const ASKING: &[&str] = &[
    "answer",
    "call",
    "complete",
    "define",
    "definition",
    "describe",
    "exactly",
    "explain",
    "geographer",
    "geographers",
    "give",
    "happen",
    "identify",
    "kind",
    "know",
    "known",
    "list",
    "mean",
    "meaning",
    "meant",
    "name",
    "outline",
    "people",
    "phrase",
    "please",
    "precisely",
    "question",
    "recall",
    "say",
    "scientist",
    "scientists",
    "sort",
    "state",
    "term",
    "thing",
    "type",
    "use",
    "used",
    "we",
    "word",
    "you",
];

/// Question words that ask for different things; `what` and `which` ask for anything.
const OPEN: &[&str] = &["how", "when", "where", "who", "whose", "why"];

/// Small words that give what follows a part of its own: exchanged, they turn the sense round.
const PARTS: &[&str] = &[
    "above", "after", "before", "below", "between", "from", "into", "less", "more", "onto", "over", "than", "to",
    "under", "without",
];

/// Whether a question that was worded `before` still asks for the same when worded `after`.
///
/// Another number, name, negation, opposite or thing asked about is another question; another way to
/// put it is not, nor is a phrase that only says more closely where or of what.
///
/// ```
/// use deckle::source::asks_the_same;
/// assert!(asks_the_same("What is a drainage basin?", "What do geographers mean by a drainage basin?"));
/// assert!(!asks_the_same("What is a drainage basin?", "What is a watershed?"));
/// ```
pub fn asks_the_same(before: &str, after: &str) -> bool {
    let (before, after) = (plain(before), plain(after));
    if open_words(&before) != open_words(&after) {
        return false;
    }
    let weights = Weights::even();
    let (one, other) = (read(&before, &weights), read(&after, &weights));
    let (lost, gained) = unmatched(&one, &other);
    let counts = |tokens: Vec<Token>| -> Vec<Token> { tokens.into_iter().filter(|token| !is_asking(token)).collect() };
    let (lost, gained) = (counts(lost), counts(gained));
    let only_closer = |tokens: &[Token]| tokens.iter().all(|token| !is_hard(token) && !token.role.is_empty());
    match (lost.is_empty(), gained.is_empty()) {
        (true, true) => true,
        (true, false) => only_closer(&gained),
        (false, true) => only_closer(&lost),
        (false, false) => false,
    }
}

/// Whether two statements have the same facts: each value, name and word of the one is in the other,
/// by value, in another form or by a synonym, under the same negation and in the same part.
///
/// ```
/// use deckle::source::says_the_same;
/// assert!(says_the_same("on 1 March 2005", "on March 1st, 2005"));
/// assert!(!says_the_same("It rises.", "It does not rise."));
/// ```
pub fn says_the_same(before: &str, after: &str) -> bool {
    let weights = Weights::even();
    let (one, other) = (read(&plain(before), &weights), read(&plain(after), &weights));
    let (lost, gained) = unmatched(&one, &other);
    !one.is_empty() && lost.is_empty() && gained.is_empty()
}

/// The tokens that have no fellow on the other side.
fn unmatched(one: &[Token], other: &[Token]) -> (Vec<Token>, Vec<Token>) {
    let mut left: Vec<&Token> = other.iter().collect();
    let mut lost = Vec::new();
    for token in one {
        let same = |fellow: &&Token| token.is_said_by(fellow) && fellow.is_said_by(token) && same_part(token, fellow);
        match left.iter().position(same) {
            Some(at) => _ = left.remove(at),
            None => lost.push(token.clone()),
        }
    }
    (lost, left.into_iter().cloned().collect())
}

fn same_part(one: &Token, other: &Token) -> bool {
    let part = |token: &Token| PARTS.contains(&token.role).then_some(token.role);
    one.negated == other.negated && one.bound() == other.bound() && part(one) == part(other)
}

fn is_asking(token: &Token) -> bool {
    !is_hard(token) && ASKING.iter().any(|word| token.stem == *word || token.stem == stem(word))
}

fn is_hard(token: &Token) -> bool {
    token.value().is_some() || token.is_name() || token.negated
}

fn open_words(text: &str) -> Vec<String> {
    let mut open: Vec<String> =
        words(text).map(str::to_lowercase).filter(|word| OPEN.contains(&word.as_str())).collect();
    open.sort();
    open.dedup();
    open
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn all_ask(same: bool, pairs: &[(&str, &str)]) {
        for (one, other) in pairs {
            assert_eq!(asks_the_same(one, other), same, "{one} / {other}");
            assert_eq!(asks_the_same(other, one), same, "{other} / {one}");
        }
    }

    #[test]
    fn another_way_to_ask() {
        all_ask(
            true,
            &[
                ("What is a drainage basin?", "What do geographers mean by a drainage basin?"),
                ("What is attrition?", "What is meant by attrition?"),
                ("What is attrition?", "Define *attrition*."),
                ("Which instrument measures wind speed?", "What instrument measures the wind's speed?"),
                ("Name two features of an upper course.", "Give 2 features of an upper course"),
                ("What is the mouth?", "What is the mouth of a river?"),
                ("How does a waterfall form?", "Explain how a waterfall forms."),
                ("Which colour is it?", "Which color is it?"),
                ("What is it?", "what is it ?"),
                ("", ""),
            ],
        );
    }

    #[test]
    fn another_question() {
        all_ask(
            false,
            &[
                ("What is a drainage basin?", "What is a watershed?"),
                ("What is physical weathering?", "What is chemical weathering?"),
                ("What is weathering?", "What is physical weathering?"),
                ("Name two features of a gorge.", "Name three features of a gorge."),
                ("How long is the Nile?", "How long is the Amazon?"),
                ("What is the longest river?", "What is the longest river in Africa?"),
                ("Which rock is hard?", "Which rock is not hard?"),
                ("Which is the highest layer?", "Which is the lowest layer?"),
                ("Why do rivers flood?", "When do rivers flood?"),
                ("How does water get from land to sea?", "How does water get from sea to land?"),
                ("Which number on the Beaufort scale is a gale?", "Which number on the Beaufort scale is a storm?"),
                ("Which wind is over 34 knots?", "Which wind is under 34 knots?"),
                ("What is a levee?", ""),
            ],
        );
    }

    #[test]
    fn the_same_facts_in_other_words() {
        for (one, other) in [
            ("14.0 m", "fourteen metres"),
            ("on 1 March 2005", "on the 1st of March 2005"),
            ("It is not a rock", "It isn't a rock"),
        ] {
            assert!(says_the_same(one, other), "{one} / {other}");
        }
        for (one, other) in [("", ""), ("rock", ""), ("34 knots", "34 mph"), ("from land to sea", "from sea to land")] {
            assert!(!says_the_same(one, other), "{one} / {other}");
        }
    }
}
