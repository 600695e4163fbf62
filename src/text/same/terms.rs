//! The stems of all questions as numbers, in the order of the alphabet, each with what comparing asks of
//! it: how rare it is, what says the same, what is its opposite.
//!
//! How rare a common word is counts in classes, and so does how many questions there are: one question more
//! or less then changes nothing for the others, unless it fills a class.

use super::index::TOO_COMMON;
use crate::text::digest;
use crate::text::relations::{may_negate, negates, opposite_groups, overlap, synonym_groups};

/// A stem by its number.
pub(super) type Stem = u32;

/// All stems; the same questions give the same numbers.
pub(super) struct Terms {
    names: Vec<Box<str>>,
    facts: Vec<Facts>,
}

struct Facts {
    /// How many questions have it.
    seen: u32,
    digest: u64,
    weight: f64,
    synonyms: &'static [u16],
    opposites: &'static [u16],
    may_negate: bool,
}

impl Terms {
    /// `names` in order, each once, with the number of questions that have it.
    pub(super) fn new(names: Vec<Box<str>>, seen: &[u32], questions: usize) -> Terms {
        let questions = class_of_questions(questions as u32);
        let facts = names.iter().zip(seen).map(|(name, &seen)| Facts {
            seen,
            digest: digest(name),
            weight: weight(questions, seen),
            synonyms: synonym_groups(name),
            opposites: opposite_groups(name),
            may_negate: may_negate(name),
        });
        Terms { facts: facts.collect(), names }
    }

    pub(super) fn name(&self, stem: Stem) -> &str {
        &self.names[stem as usize]
    }

    pub(super) fn seen(&self, stem: Stem) -> u32 {
        self.facts[stem as usize].seen
    }

    pub(super) fn weight(&self, stem: Stem) -> f64 {
        self.facts[stem as usize].weight
    }

    /// One number for all stems that say the same, for looking up: that of their first group.
    pub(super) fn key(&self, stem: Stem) -> u64 {
        key(self.digest(stem), self.facts[stem as usize].synonyms)
    }

    /// One number for the stem, the same among whatever questions.
    pub(super) fn digest(&self, stem: Stem) -> u64 {
        self.facts[stem as usize].digest
    }

    pub(super) fn has_synonyms(&self, stem: Stem) -> bool {
        !self.facts[stem as usize].synonyms.is_empty()
    }

    pub(super) fn agree(&self, one: Stem, other: Stem) -> bool {
        one == other || overlap(self.facts[one as usize].synonyms, self.facts[other as usize].synonyms)
    }

    pub(super) fn oppose(&self, one: Stem, other: Stem) -> bool {
        let (a, b) = (&self.facts[one as usize], &self.facts[other as usize]);
        !self.agree(one, other)
            && (overlap(a.opposites, b.opposites)
                || (a.may_negate && negates(self.name(one), self.name(other)))
                || (b.may_negate && negates(self.name(other), self.name(one))))
    }
}

/// One number for all stems that say the same as one with this digest and these groups.
pub(super) fn key(digest: u64, synonyms: &[u16]) -> u64 {
    synonyms.first().map_or(digest & !1, |group| u64::from(*group) << 1 | 1)
}

fn weight(questions: u32, seen: u32) -> f64 {
    0.3 + ((f64::from(questions) + 2.0) / (1.0 + f64::from(class_of_seen(seen)))).ln().max(0.0)
}

/// The class of a number of questions, to four binary digits behind the first.
pub(super) fn class_of_questions(questions: u32) -> u32 {
    let step = questions.checked_ilog2().unwrap_or(0).saturating_sub(4);
    questions >> step << step
}

/// The class of how many questions have a stem: rare ones are counted, common ones doubled up.
pub(super) fn class_of_seen(seen: u32) -> u32 {
    let rare = TOO_COMMON as u32;
    if seen <= rare { seen } else { rare << (seen / rare).ilog2() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn classes_rise_and_rare_stems_have_their_own() {
        let seen: Vec<u32> = (0..5000).map(class_of_seen).collect();
        let questions: Vec<u32> = (0..5000).map(class_of_questions).collect();
        assert!(seen.is_sorted() && questions.is_sorted());
        assert!((0..49).all(|number| seen[number as usize] == number));
        assert!((0..32).all(|number| questions[number as usize] == number));
        assert_eq!((seen[95], seen[96], seen[192], questions[1000], questions[1024]), (48, 96, 192, 992, 1024));
    }
}
