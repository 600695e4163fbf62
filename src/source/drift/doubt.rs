//! How sure it is that a difference is one of fact.
//!
//! Another number, unit, date, name or negation, an opposite, what changed places, another member of a
//! list: these change what is said. So does another term: a word that names a thing, or that only its
//! subject uses. But where an ordinary verb, adjective or adverb gave way to one that no list knows as
//! alike or as opposed, only a person can tell whether both say the same.

use super::{Difference, FactKind, Read};
use crate::source::weights::Weights;
use crate::text::{are_antonyms, are_opposites, classes, is_stop_word, may_loosely_say_the_same, stem, words};
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
        let member = (listed || card.is_joined()) && card.names_things();
        return member || card.is_special() || card.is_term(weights);
    };
    let pairs = |alike: fn(&str, &str) -> bool| card.says().any(|one| notes.says().any(|other| alike(one, other)));
    pairs(are_antonyms)
        || pairs(are_opposites)
        || card.is_term(weights) && notes.is_term(weights)
        || card.is_special()
        || notes.is_special()
        || card.names_things() && notes.names_things() && !pairs(may_loosely_say_the_same)
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
        self.says().any(|word| classes(word).is_none())
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
fn names_a_thing(word: &str, before: Option<&str>, after: Option<&str>) -> bool {
    let Some(used) = classes(word) else { return true };
    if !used.noun || !used.verb && used.mostly_noun {
        return used.noun;
    }
    // `the deep sea`: an adjective stands before what it describes.
    if used.describes && !used.verb && after.is_some_and(|after| !is_stop_word(after)) {
        return false;
    }
    let Some(before) = before else { return used.mostly_noun || !used.verb };
    let described = classes(before).is_some_and(|before| before.pertains || before.describes && !before.verb);
    !used.verb || described || LEADING.contains(&before.to_lowercase().as_str())
}

/// Small words after which a noun stands.
const LEADING: [&str; 18] = [
    "a", "an", "by", "each", "every", "for", "from", "her", "his", "in", "into", "its", "no", "of", "on", "the",
    "their", "with",
];
