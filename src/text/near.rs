//! Words of common English that can say the same, out of WordNet: asked only when a word gave way to
//! another, so that the list is read when the first card needs it.

use super::lists::lines;
use super::relations::{stems_agree, stems_oppose};
use super::stem::stem;
use std::collections::HashMap;
use std::ops::Range;
use std::sync::OnceLock;

/// Whether a word in place of another may be wording only: the school's own synonyms, WordNet's, or
/// another ending of one word, such as `mitochondrion` and `mitochondria`.
///
/// A verb may come with its particle, such as `goes up`.
pub(crate) fn may_say_the_same(one: &str, other: &str) -> bool {
    let (stem_one, stem_other) = (stem_of(one), stem_of(other));
    if stems_oppose(&stem_one, &stem_other) {
        return false;
    }
    stems_agree(&stem_one, &stem_other)
        || are_listed(near_words(), &stem_one, &stem_other)
        || is_derived(&one.to_lowercase(), &other.to_lowercase())
}

/// Whether two nouns share a sense, be it a rare one, or one names a kind of the other: only a person can
/// tell whether they say the same.
pub(crate) fn may_loosely_say_the_same(one: &str, other: &str) -> bool {
    may_say_the_same(one, other) || are_listed(loosely_near_words(), &stem(one), &stem(other))
}

/// A word of a text together with the particle right after it, such as `goes up`.
pub(crate) fn with_particle(text: &str, at: &Range<usize>) -> Option<String> {
    let particle = text.get(at.end..)?.strip_prefix(' ')?.split(|c: char| !c.is_alphabetic()).next()?;
    PARTICLES.contains(&particle).then(|| format!("{} {particle}", &text[at.clone()]))
}

const PARTICLES: [&str; 11] = ["apart", "away", "back", "down", "in", "off", "on", "out", "over", "together", "up"];

/// The stem of a word, or of a verb with its particle after it.
fn stem_of(word: &str) -> String {
    match word.split_once([' ', '_']) {
        Some((verb, particle)) => format!("{}_{particle}", stem(verb)),
        None => stem(word),
    }
}

fn are_listed(words: &HashMap<String, Vec<String>>, one: &str, other: &str) -> bool {
    let listed = |from: &str, to: &str| words.get(from).is_some_and(|near| near.iter().any(|near| near == to));
    listed(one, other) || listed(other, one)
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
    WORDS.get_or_init(|| read(include_str!("../../schema/near-words.txt")))
}

fn loosely_near_words() -> &'static HashMap<String, Vec<String>> {
    static WORDS: OnceLock<HashMap<String, Vec<String>>> = OnceLock::new();
    WORDS.get_or_init(|| read(include_str!("../../schema/loosely-near-words.txt")))
}

fn read(text: &'static str) -> HashMap<String, Vec<String>> {
    let mut out: HashMap<String, Vec<String>> = HashMap::new();
    for line in lines(text) {
        let mut words = line.split(' ').map(stem_of);
        let first = words.next().unwrap_or_default();
        out.entry(first).or_default().extend(words);
    }
    out
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
    fn a_verb_comes_with_its_particle() {
        assert_eq!(with_particle("It goes up.", &(3..7)).as_deref(), Some("goes up"));
        assert_eq!(with_particle("It goes home.", &(3..7)), None);
        assert!(may_say_the_same("rises", "goes up") && !may_say_the_same("rises", "goes down"));
    }

    #[test]
    fn nouns_are_loosely_near_where_they_share_a_sense() {
        assert!(may_loosely_say_the_same("bend", "curve") && !may_loosely_say_the_same("liver", "kidney"));
    }

    #[test]
    fn the_list_is_sorted() {
        for text in [include_str!("../../schema/near-words.txt"), include_str!("../../schema/loosely-near-words.txt")] {
            let all: Vec<&str> = lines(text).collect();
            assert!(all.windows(2).all(|two| two[0].split(' ').next() < two[1].split(' ').next()));
        }
    }
}
