//! How much each word says in this department: rare words weigh more than common ones, and a word
//! that is written with a capital inside sentences is a name.

use crate::text::{Lexicon, fold, lex, stem_anew};

/// The weights of words by their rarity, and which words are names.
#[derive(Clone, Debug, Default)]
pub struct Weights {
    statements: u32,
    stems: Lexicon,
    /// By the number of each stem.
    seen: Vec<Seen>,
    /// The words as written, with the number of the stem of each.
    forms: Lexicon,
    stem_of: Vec<u32>,
}

#[derive(Clone, Copy, Debug, Default)]
struct Seen {
    statements: u32,
    last: u32,
    /// With a capital and without, both inside a sentence.
    capital: u32,
    small: u32,
    term: bool,
}

impl Weights {
    /// Weights of no text: every word counts alike.
    pub fn even() -> Weights {
        Weights::default()
    }

    /// Weights from the department's own text, as read.
    pub fn of<'t>(texts: impl IntoIterator<Item = &'t str>) -> Weights {
        let mut out = Weights::default();
        texts.into_iter().for_each(|text| out.add(text));
        out
    }

    /// Counts one more text, such as a passage.
    pub fn add(&mut self, text: &str) {
        let mut begins = true;
        self.statements += 1;
        for piece in lex(text) {
            if !piece.is_word() {
                begins = begins || matches!(piece.text, "." | "!" | "?" | ":");
                if piece.text == "." {
                    self.statements += 1;
                }
                continue;
            }
            let statement = self.statements;
            let number = self.number_of(piece.text);
            let seen = &mut self.seen[number];
            if seen.last != statement {
                (seen.statements, seen.last) = (seen.statements + 1, statement);
            }
            match (begins, starts_with_capital(piece.text)) {
                (true, _) => {}
                (false, true) => seen.capital += 1,
                (false, false) => seen.small += 1,
            }
            begins = false;
        }
    }

    /// Everything that [`Weights::from_bytes`] needs.
    pub fn to_bytes(&self) -> Vec<u8> {
        let mut stems: Vec<(&str, Seen)> = self.stems.words().zip(self.seen.iter().copied()).collect();
        stems.sort_unstable_by_key(|(stem, _)| *stem);
        let mut bytes = self.statements.to_le_bytes().to_vec();
        for (stem, seen) in stems {
            let numbers = [seen.statements, seen.capital, seen.small, u32::from(seen.term), stem.len() as u32];
            numbers.iter().for_each(|number| bytes.extend(number.to_le_bytes()));
            bytes.extend(stem.as_bytes());
        }
        bytes
    }

    /// The weights in some bytes; nothing when they are none.
    pub fn from_bytes(bytes: &[u8]) -> Option<Weights> {
        let (statements, mut rest) = bytes.split_first_chunk()?;
        let mut out = Weights { statements: u32::from_le_bytes(*statements), ..Weights::default() };
        while !rest.is_empty() {
            let mut number = || {
                let (number, behind) = rest.split_first_chunk()?;
                rest = behind;
                Some(u32::from_le_bytes(*number))
            };
            let (statements, capital, small, term, len) = (number()?, number()?, number()?, number()?, number()?);
            let (stem, behind) = rest.split_at_checked(len as usize)?;
            let is_new = out.stems.number(std::str::from_utf8(stem).ok()?) as usize == out.seen.len();
            let seen = Seen { statements, last: 0, capital, small, term: term == 1 };
            out.seen.push(is_new.then_some(seen)?);
            rest = behind;
        }
        Some(out)
    }

    /// Forgets what only adding needs.
    pub(super) fn settle(&mut self) {
        (self.forms, self.stem_of) = (Lexicon::default(), Vec::new());
        self.stems.shrink_to_fit();
        self.seen.shrink_to_fit();
    }

    /// Marks the words of a key term of the notes.
    pub fn add_term(&mut self, term: &str) {
        for piece in lex(term).iter().filter(|piece| piece.is_word()) {
            let number = self.number_of(piece.text);
            self.seen[number].term = true;
        }
    }

    /// The number of a word's stem; worked out once for each word as written.
    fn number_of(&mut self, word: &str) -> usize {
        let form = self.forms.number(word) as usize;
        if let Some(number) = self.stem_of.get(form) {
            return *number as usize;
        }
        let number = self.stems.number(&stem_anew(word));
        self.stem_of.push(number);
        if number as usize == self.seen.len() {
            self.seen.push(Seen::default());
        }
        number as usize
    }

    fn known(&self, stem: &str) -> Option<&Seen> {
        self.seen.get(self.stems.get(stem)? as usize)
    }

    /// How much a stem says: from about 0.3 for the commonest to 1 for one that was never seen.
    pub fn of_stem(&self, stem: &str) -> f64 {
        let Some(seen) = self.known(stem) else { return 1.0 };
        let all = f64::from(self.statements.max(8)) + 1.0;
        let rarity = (all / (1.0 + f64::from(seen.statements))).ln() / all.ln();
        0.3 + 0.7 * rarity.clamp(0.0, 1.0)
    }

    /// Whether a stem is part of a key term of the notes.
    pub fn is_term(&self, stem: &str) -> bool {
        self.known(stem).is_some_and(|seen| seen.term)
    }

    /// Whether a word, written with a capital, is a name; `begins` says that it opens a sentence.
    pub(crate) fn is_name(&self, word: &str, stem: &str, begins: bool) -> bool {
        if !starts_with_capital(word) || word == "I" {
            return false;
        }
        let inner = word.chars().skip(1).any(|c| c.is_uppercase() || c.is_ascii_digit());
        if inner {
            return true;
        }
        match self.known(stem) {
            Some(seen) if seen.capital + seen.small > 0 => {
                seen.capital > seen.small && (!begins || seen.capital > 2 * seen.small)
            }
            _ => !begins,
        }
    }
}

fn starts_with_capital(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_uppercase())
        || (word.starts_with(|c: char| !c.is_ascii() && c.is_uppercase()) && fold(word) != word)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::stem;

    #[test]
    fn rare_words_weigh_more() {
        let weights = Weights::of(["The river flows.", "The river bends.", "The river floods into an oxbow."]);
        assert!(weights.of_stem("oxbow") > weights.of_stem(&stem("river")));
        assert_eq!(weights.of_stem("never"), 1.0);
    }

    #[test]
    fn names_are_words_seen_with_a_capital_inside_sentences() {
        let weights = Weights::of(["We sail on the Severn. Rivers flow.", "Many rivers are long."]);
        assert!(weights.is_name("Severn", &stem("Severn"), true));
        assert!(!weights.is_name("Rivers", &stem("Rivers"), true));
        assert!(!weights.is_name("Attrition", &stem("Attrition"), true));
        assert!(weights.is_name("Tees", "tee", false) && weights.is_name("CO2", "co2", true));
    }
}
