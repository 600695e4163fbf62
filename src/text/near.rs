//! Words of common English that can say the same, out of WordNet: asked only when a word gave way to
//! another, so that the list is read when the first card needs it.

use super::lists::lines;
use super::relations::{stems_agree, stems_oppose};
use super::stem::stem;
use std::collections::HashMap;
use std::sync::OnceLock;

/// Whether a word in place of another may be wording only: the school's own synonyms, WordNet's, or
/// another ending of one word, such as `mitochondrion` and `mitochondria`.
pub(crate) fn may_say_the_same(one: &str, other: &str) -> bool {
    let (stem_one, stem_other) = (stem(one), stem(other));
    if stems_oppose(&stem_one, &stem_other) {
        return false;
    }
    let listed = |from: &str, to: &str| near_words().get(from).is_some_and(|near| near.iter().any(|near| near == to));
    stems_agree(&stem_one, &stem_other)
        || listed(&stem_one, &stem_other)
        || listed(&stem_other, &stem_one)
        || is_derived(&one.to_lowercase(), &other.to_lowercase())
}

/// Whether only the endings differ, and both are endings of inflection or derivation.
fn is_derived(one: &str, other: &str) -> bool {
    let shared: usize =
        one.chars().zip(other.chars()).take_while(|(one, other)| one == other).map(|(c, _)| c.len_utf8()).sum();
    let ending = |word: &str, at: usize| word.get(at..).is_some_and(|ending| ENDINGS.contains(&ending));
    let fits = |at: usize| ending(one, at) && ending(other, at);
    (shared.saturating_sub(2).max(4)..=shared).any(fits)
}

const ENDINGS: [&str; 46] = [
    "", "a", "able", "ably", "al", "ally", "ance", "ant", "ary", "ating", "ation", "ations", "d", "e", "ed", "ence",
    "ent", "er", "es", "ful", "fully", "ible", "ic", "ical", "ied", "ier", "ies", "iest", "ily", "ing", "ion", "ions",
    "ish", "ity", "ive", "ly", "n", "ness", "on", "or", "ous", "s", "th", "um", "us", "y",
];

fn near_words() -> &'static HashMap<String, Vec<String>> {
    static WORDS: OnceLock<HashMap<String, Vec<String>>> = OnceLock::new();
    WORDS.get_or_init(|| {
        let mut out: HashMap<String, Vec<String>> = HashMap::new();
        for line in lines(include_str!("../../schema/near-words.txt")) {
            let mut words = line.split(' ').map(stem);
            let first = words.next().unwrap_or_default();
            out.entry(first).or_default().extend(words);
        }
        out
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_words_are_wording_and_others_are_not() {
        for (one, other) in [
            ("murdered", "killed"),
            ("permanent", "lasting"),
            ("mitochondria", "mitochondrion"),
            ("neurones", "neurons"),
            ("begins", "commences"),
            ("painted", "painter"),
        ] {
            assert!(may_say_the_same(one, other), "{one} {other}");
        }
        for (one, other) in [
            ("wrote", "disliked"),
            ("wrote", "burned"),
            ("meiosis", "mitosis"),
            ("latitude", "longitude"),
            ("antibodies", "antibiotics"),
            ("nitrate", "nitrite"),
            ("ethane", "ethanol"),
            ("rises", "falls"),
            ("prendre", "rendre"),
        ] {
            assert!(!may_say_the_same(one, other), "{one} {other}");
        }
    }

    #[test]
    fn the_list_is_sorted() {
        let all: Vec<&str> = lines(include_str!("../../schema/near-words.txt")).collect();
        assert!(all.windows(2).all(|two| two[0].split(' ').next() < two[1].split(' ').next()));
    }
}
