//! How cards are printed.

use crate::deck::Department;

/// How cards are printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Options {
    /// How large a card is.
    pub card: CardSize,
    /// On which edge the printer turns the paper.
    pub flip: Flip,
    /// What stands on the answer sides.
    pub backs: Backs,
}

/// How large a card is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum CardSize {
    /// 95 × 68 mm, eight on a sheet, with a margin that every printer leaves.
    #[default]
    Standard,
    /// A7 of ISO 216, 105 × 74 mm, eight on a sheet without a margin at the sides.
    A7,
    /// A6 of ISO 216, 105 × 148 mm, four on a sheet without a margin at the sides.
    A6,
    /// 127 × 76 mm, the common index card, four on a sheet that lies.
    Index,
}

/// On which edge the printer turns the paper.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Flip {
    /// On the long edge, like the pages of a book.
    #[default]
    Long,
    /// On the short edge, like those of a notepad.
    Short,
}

/// What stands on the answer sides.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Backs {
    /// The answers.
    #[default]
    Answers,
    /// Lines on which pupils write the answers themselves.
    Blank,
}

impl Options {
    /// How that department prints when nobody asks for anything else.
    pub fn usual(department: &Department) -> Self {
        let print = department.settings.print;
        let card = CardSize::ALL.into_iter().find(|card| Some(card.word()) == print.paper);
        let flip = [Flip::Long, Flip::Short].into_iter().find(|flip| Some(flip.word()) == print.flip);
        Self { card: card.unwrap_or_default(), flip: flip.unwrap_or_default(), backs: Backs::default() }
    }

    /// What a file name says about them: nothing when all is as usual.
    pub fn suffix(&self, usual: Options) -> String {
        let mut words = String::new();
        let mut unusual = |is: bool, word: &str| {
            if is {
                words.push('-');
                words.push_str(word);
            }
        };
        unusual(self.card != usual.card, self.card.word());
        unusual(self.flip != usual.flip, self.flip.word());
        unusual(self.backs != usual.backs, "blank");
        words
    }
}

impl CardSize {
    /// All of them.
    pub const ALL: [CardSize; 4] = [CardSize::Standard, CardSize::A7, CardSize::A6, CardSize::Index];

    /// The word for it on the command line and in file names.
    pub fn word(self) -> &'static str {
        match self {
            CardSize::Standard => "standard",
            CardSize::A7 => "a7",
            CardSize::A6 => "a6",
            CardSize::Index => "index",
        }
    }
}

impl Flip {
    /// The edge in words.
    pub fn word(self) -> &'static str {
        match self {
            Flip::Long => "long",
            Flip::Short => "short",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::deck::settings::{FLIPS, PAPERS};

    #[test]
    fn the_settings_know_the_same_words() {
        assert_eq!(CardSize::ALL.map(CardSize::word), PAPERS);
        assert_eq!([Flip::Long, Flip::Short].map(Flip::word), FLIPS);
    }
}
