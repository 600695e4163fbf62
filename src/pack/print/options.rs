//! How cards are printed.

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
    /// What a file name says about them: nothing when all is as usual.
    pub fn suffix(&self) -> String {
        let mut words = String::new();
        let mut unusual = |is: bool, word: &str| {
            if is {
                words.push('-');
                words.push_str(word);
            }
        };
        unusual(self.card != CardSize::default(), self.card.word());
        unusual(self.flip != Flip::default(), self.flip.word());
        unusual(self.backs != Backs::default(), "blank");
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
