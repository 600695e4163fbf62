//! A few bits of each question, by which most pairs of one mould are told apart without a look at them.

use super::asked::Asked;
use super::terms::{Stem, Terms};

/// Bits for the stems of a question.
#[derive(Clone, Copy)]
pub(super) struct Sketch {
    all: u64,
    /// For the numbers, names and symbols that nothing else says.
    telling: u64,
}

impl Sketch {
    pub(super) fn of(asked: &Asked, terms: &Terms) -> Sketch {
        let bits = |stems: &mut dyn Iterator<Item = Stem>| stems.fold(0, |bits, stem| bits | bit(stem));
        let telling = asked.words.iter().filter(|word| word.telling() && !terms.has_synonyms(word.stem()));
        Sketch { all: bits(&mut asked.stems.iter().copied()), telling: bits(&mut telling.map(|word| word.stem())) }
    }

    /// Whether each of two questions surely has a number, name or symbol that the other has not; where it
    /// cannot tell, it says no.
    pub(super) fn tells_apart(self, other: Sketch) -> bool {
        self.telling & !other.all != 0 && other.telling & !self.all != 0
    }
}

fn bit(stem: Stem) -> u64 {
    // By the golden ratio (Knuth, volume 3, 6.4), so that neighbours in the alphabet have bits apart.
    1 << (stem.wrapping_mul(0x9e37_79b9) >> 26)
}
