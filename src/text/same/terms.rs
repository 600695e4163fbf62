//! The stems of all questions as numbers, in the order of the alphabet, each with what comparing asks of
//! it: how rare it is, what says the same, what is its opposite.

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
    weight: f64,
    synonyms: &'static [u16],
    opposites: &'static [u16],
    may_negate: bool,
}

impl Terms {
    /// `names` in order, each once, with the number of questions that have it.
    pub(super) fn new(names: Vec<Box<str>>, seen: &[u32], questions: usize) -> Terms {
        let questions = questions as f64;
        let facts = names.iter().zip(seen).map(|(name, &seen)| Facts {
            seen,
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
        let group = self.facts[stem as usize].synonyms.first();
        group.map_or(u64::from(stem) << 1, |group| u64::from(*group) << 1 | 1)
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

fn weight(questions: f64, seen: u32) -> f64 {
    0.3 + ((questions + 2.0) / (1.0 + f64::from(seen))).ln().max(0.0)
}
