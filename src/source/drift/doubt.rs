//! How sure it is that a difference is one of fact.
//!
//! Another number, unit, date, name or negation, an opposite, what changed places, another member of a
//! list: these change what is said. So does another term: a word that names a thing, or that only its
//! subject uses. But where an ordinary verb, adjective or adverb gave way to one that no list knows as
//! alike or as opposed, only a person can tell whether both say the same.

use super::{Difference, FactKind, Read};
use crate::source::weights::Weights;
use crate::text::{
    are_antonyms, are_opposites, classes, grade_of, is_irregular_past, is_stop_word, may_loosely_say_the_same, stem,
    words,
};
use std::ops::Range;

/// Marks the differences that a person has to look at, and puts what is certain first. `listed` says that
/// the card asks for a list, of which no member may be gone.
pub(crate) fn weigh(
    differences: &mut [Difference],
    quote: Read<'_>,
    passage: Read<'_>,
    listed: bool,
    weights: &Weights,
) {
    for difference in differences.iter_mut().filter(|difference| difference.kind == FactKind::Term) {
        difference.certain &= is_certain(difference, quote.text, passage.text, listed, weights);
    }
    differences.sort_by_key(|difference| !difference.certain);
}

fn is_certain(difference: &Difference, quote: &str, passage: &str, listed: bool, weights: &Weights) -> bool {
    let card = Stretch { text: quote, at: difference.card_at.clone() };
    let Some(notes) = difference.notes_at.clone().map(|at| Stretch { text: passage, at }) else {
        let member = (listed && difference.answers || card.is_joined()) && card.names_things();
        return member || card.is_special() || card.is_term(weights);
    };
    let pairs = |alike: fn(&str, &str) -> bool| card.says().any(|one| notes.says().any(|other| alike(one, other)));
    // `is an alloy of`, `consists of`: what names a thing gave way to what a thing does.
    let recast = card.is_verb() != notes.is_verb();
    pairs(are_antonyms)
        || pairs(are_opposites)
        || card.is_term(weights) && notes.is_term(weights)
        || (card.is_special() || notes.is_special()) && !recast
        || (card.names_things() && notes.names_things()
            || listed && difference.answers && !recast
            || !difference.answers && card.is_another_kind(&notes))
            && !pairs(may_loosely_say_the_same)
}

/// Words of a text where they stand.
struct Stretch<'t> {
    text: &'t str,
    at: Range<usize>,
}

impl<'t> Stretch<'t> {
    fn says(&self) -> impl Iterator<Item = &'t str> {
        words(&self.text[self.at.clone()]).filter(|word| !is_stop_word(word))
    }

    /// Whether `and` or `or` joins it to what stands before it.
    fn is_joined(&self) -> bool {
        let before: Vec<&str> = words(&self.text[..self.at.start]).collect();
        before.iter().rev().take(3).any(|word| matches!(*word, "and" | "or"))
    }

    /// Whether it has a key term of the notes.
    fn is_term(&self, weights: &Weights) -> bool {
        self.says().any(|word| weights.is_term(&stem(word)))
    }

    /// Whether it has a word that is not of common English.
    fn is_special(&self) -> bool {
        let reflexive = |word: &str| word.ends_with("self") || word.ends_with("selves");
        self.says().any(|word| classes(word).is_none() && !reflexive(word))
    }

    /// Whether both are one word that says what kind of the same thing is meant: `soft solder`, `silver solder`.
    fn is_another_kind(&self, other: &Stretch<'_>) -> bool {
        let (mine, theirs) = (self.kind_of(), other.kind_of());
        mine.is_some() && mine == theirs
    }

    /// What the one word describes, as a stem, where it stands as what describes a thing does.
    fn kind_of(&self) -> Option<String> {
        let word = &self.text[self.at.clone()];
        let after = self.text[self.at.end..].strip_prefix(' ')?;
        let thing = words(after).next().filter(|thing| after.starts_with(thing) && !is_stop_word(thing))?;
        let before = words(&self.text[..self.at.start]).last().map(str::to_lowercase);
        let led = before.as_deref().is_none_or(|before| LEADING.contains(&before));
        let describes = classes(word).is_none_or(|used| used.describes || used.mostly_noun || led && before.is_some());
        (led && describes && grade_of(word).is_none() && !word.contains(' ')).then(|| stem(thing))
    }

    /// Whether it says nothing but what something does, and stands as that does.
    fn is_verb(&self) -> bool {
        let led = words(&self.text[..self.at.start])
            .last()
            .is_some_and(|word| LEADING.contains(&word.to_lowercase().as_str()));
        let inflected =
            |word: &str| word.ends_with('s') || word.ends_with("ed") || is_irregular_past(&word.to_lowercase());
        let only = |word: &str| classes(word).is_some_and(|used| used.verb && !used.noun && !used.describes);
        !led && self.says().all(|word| only(word) && inflected(word))
    }

    /// Whether some word of it names a thing or is a term.
    fn names_things(&self) -> bool {
        let before = words(&self.text[..self.at.start]).last();
        let beside = self.text[self.at.end..].starts_with(' ');
        let after = words(&self.text[self.at.end..]).next().filter(|_| beside);
        self.says().any(|word| names_a_thing(word, before, after))
    }
}

/// Whether a word stands as a noun does, or is one and nothing else.
pub(super) fn names_a_thing(word: &str, before: Option<&str>, after: Option<&str>) -> bool {
    let Some(used) = classes(word) else { return true };
    // `A spit is …`, whatever else the word is used as.
    let led = before.is_none_or(|before| matches!(before.to_lowercase().as_str(), "a" | "an" | "the" | "no" | "one"));
    if led && !used.describes && after.is_some_and(is_be) {
        return true;
    }
    if !used.noun || !used.verb && used.mostly_noun {
        return used.noun;
    }
    // `the deep sea`: an adjective stands before what it describes.
    if used.describes && !used.verb && after.is_some_and(|after| !is_stop_word(after)) {
        return false;
    }
    // `light travels`, `two factors`
    if after.is_some_and(is_finite) || before.is_some_and(counts) {
        return true;
    }
    let Some(before) = before else { return used.mostly_noun || !used.verb };
    let described = classes(before).is_some_and(|before| before.pertains || before.describes && !before.verb);
    !used.verb || described || LEADING.contains(&before.to_lowercase().as_str())
}

/// Whether a word can only be what something does, or be the form of *be* or *have* that says so.
fn is_finite(word: &str) -> bool {
    is_be(word)
        || matches!(word, "has" | "have" | "had" | "can" | "may" | "must" | "will")
        || classes(word).is_some_and(|used| used.verb && !used.noun && !used.describes) && !is_stop_word(word)
}

fn is_be(word: &str) -> bool {
    matches!(word, "is" | "are" | "was" | "were")
}

/// Whether a word is a number from two on, after which things stand.
fn counts(word: &str) -> bool {
    let number = matches!(
        word.to_lowercase().as_str(),
        "two" | "three" | "four" | "five" | "six" | "seven" | "eight" | "nine" | "ten" | "eleven" | "twelve"
    );
    number || word.starts_with(|c: char| c.is_ascii_digit())
}

/// Small words after which a noun stands.
const LEADING: [&str; 18] = [
    "a", "an", "by", "each", "every", "for", "from", "her", "his", "in", "into", "its", "no", "of", "on", "the",
    "their", "with",
];
