//! Words with a number each, in the order in which they came.

use foldhash::fast::RandomState;
use hashbrown::HashTable;
use hashbrown::hash_table::Entry;
use std::hash::BuildHasher;

/// Words with a number each. They are kept in one text: each by itself, the words of a large department would
/// be a hundred thousand pieces of memory.
#[derive(Clone, Debug, Default)]
pub(crate) struct Lexicon {
    text: String,
    /// Where each word ends in the text.
    ends: Vec<u32>,
    numbers: HashTable<u32>,
    hasher: RandomState,
}

impl Lexicon {
    /// The number of a word that is in it.
    pub(crate) fn get(&self, word: &str) -> Option<u32> {
        self.numbers.find(self.hasher.hash_one(word), |&number| self.word(number) == word).copied()
    }

    /// The number of a word, which is added where it is new: then its number is how many there were.
    pub(crate) fn number(&mut self, word: &str) -> u32 {
        let Lexicon { text, ends, numbers, hasher } = self;
        let is_it = |number: &u32| word_in(text, ends, *number) == word;
        match numbers.entry(hasher.hash_one(word), is_it, |&number| hasher.hash_one(word_in(text, ends, number))) {
            Entry::Occupied(found) => *found.get(),
            Entry::Vacant(place) => {
                let number = ends.len() as u32;
                place.insert(number);
                text.push_str(word);
                ends.push(text.len() as u32);
                number
            }
        }
    }

    /// The word of that number; nothing when there is none.
    pub(crate) fn word(&self, number: u32) -> &str {
        word_in(&self.text, &self.ends, number)
    }

    /// All words in the order of their numbers.
    pub(crate) fn words(&self) -> impl Iterator<Item = &str> {
        (0..self.ends.len() as u32).map(|number| self.word(number))
    }

    /// Takes no more memory than it needs.
    pub(crate) fn shrink_to_fit(&mut self) {
        self.text.shrink_to_fit();
        self.ends.shrink_to_fit();
    }
}

fn word_in<'t>(text: &'t str, ends: &[u32], number: u32) -> &'t str {
    let number = number as usize;
    let start = number.checked_sub(1).and_then(|before| ends.get(before)).map_or(0, |end| *end as usize);
    ends.get(number).and_then(|end| text.get(start..*end as usize)).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::collections::BTreeMap;

    proptest! {
        #[test]
        fn each_word_has_the_number_in_which_it_came(words in proptest::collection::vec("[ab]{0,3}|é", 0..60)) {
            let mut lexicon = Lexicon::default();
            let mut plain: BTreeMap<&str, u32> = BTreeMap::new();
            for word in &words {
                let next = plain.len() as u32;
                prop_assert_eq!(lexicon.number(word), *plain.entry(word).or_insert(next));
            }
            lexicon.shrink_to_fit();
            for (word, number) in &plain {
                prop_assert_eq!((lexicon.get(word), lexicon.word(*number)), (Some(*number), *word));
            }
            prop_assert_eq!(lexicon.words().count(), plain.len());
            prop_assert_eq!((lexicon.get("c"), lexicon.word(plain.len() as u32)), (None, ""));
        }
    }
}
