//! Card text as data for the template: runs of literal text in their styles.

use serde::Serialize;

use super::formula::{Nodes, nodes};
use crate::markup::{self, Inline, Piece, maths, visible};

/// A run of card text.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "is", rename_all = "lowercase")]
pub enum Run {
    /// Literal text.
    Text {
        /// The text.
        text: String,
    },
    /// A line break.
    Break,
    /// In italics.
    Emphasis {
        /// What.
        of: Runs,
    },
    /// In bold.
    Strong {
        /// What.
        of: Runs,
    },
    /// Literal text as a program has it.
    Code {
        /// The text.
        text: String,
    },
    /// Below the line.
    Sub {
        /// What.
        of: Runs,
    },
    /// Above the line.
    Super {
        /// What.
        of: Runs,
    },
    /// This program's own words beside the card's: in italics, and from left to right even where the text around
    /// them runs from right to left.
    Hint {
        /// The words.
        text: String,
    },
    /// A formula.
    Maths {
        /// Its parts.
        of: Nodes,
        /// How it is read aloud.
        aloud: String,
    },
}

/// Runs one after the other.
pub type Runs = Vec<Run>;

/// The runs of card text.
pub fn runs(text: &str) -> Runs {
    of_inline(&markup::parse(text).bound())
}

/// Plain text as one run; for words of this program's own and for names.
pub fn literal(text: &str) -> Runs {
    vec![Run::Text { text: visible(text).into_owned() }]
}

fn of_inline(inline: &Inline) -> Runs {
    inline.pieces.iter().map(of_piece).collect()
}

fn of_piece(piece: &Piece) -> Run {
    match piece {
        Piece::Text(text) => Run::Text { text: visible(text).into_owned() },
        Piece::Break => Run::Break,
        Piece::Emphasis(inner) => Run::Emphasis { of: of_inline(inner) },
        Piece::Strong(inner) => Run::Strong { of: of_inline(inner) },
        Piece::Code(text) => Run::Code { text: visible(text).into_owned() },
        Piece::Sub(inner) => Run::Sub { of: of_inline(inner) },
        Piece::Super(inner) => Run::Super { of: of_inline(inner) },
        Piece::Maths(formula) => match &formula.maths {
            Ok(row) => Run::Maths { of: nodes(row), aloud: maths::aloud(row) },
            Err(_) => Run::Text { text: visible(&formula.literal()).into_owned() },
        },
    }
}

/// What cannot be broken over two lines and may be wider than a card: long words and formulas.
pub fn unbroken(runs: &Runs) -> Vec<Run> {
    let mut found = Vec::new();
    collect(runs, &mut found);
    found
}

/// Shorter words fit on every card at every size.
const LONG_WORD: usize = 11;

fn collect(runs: &Runs, found: &mut Vec<Run>) {
    for run in runs {
        match run {
            Run::Text { text } | Run::Code { text } | Run::Hint { text } => {
                let words = text.split(|c: char| c.is_whitespace() && c != '\u{a0}');
                let long = words.filter(|word| word.chars().count() >= LONG_WORD);
                found.extend(long.map(|word| Run::Text { text: word.to_owned() }));
            }
            Run::Emphasis { of } | Run::Strong { of } | Run::Sub { of } | Run::Super { of } => collect(of, found),
            Run::Maths { .. } => found.push(run.clone()),
            Run::Break => {}
        }
    }
}

/// About how many letters there are, for telling which sizes are hopeless.
pub fn letters(runs: &Runs) -> usize {
    let of = |run: &Run| match run {
        Run::Text { text } | Run::Code { text } | Run::Hint { text } => text.chars().count(),
        Run::Emphasis { of } | Run::Strong { of } => letters(of),
        Run::Sub { .. } | Run::Super { .. } | Run::Maths { .. } | Run::Break => 0,
    };
    runs.iter().map(of).sum()
}

/// Whether the text runs from right to left: its first letter is of such a script (Unicode's rule P2).
pub fn is_from_right(runs: &Runs) -> bool {
    first_letter(runs)
        .is_some_and(|c| matches!(c, '\u{590}'..='\u{8ff}' | '\u{fb1d}'..='\u{fdff}' | '\u{fe70}'..='\u{fefc}'))
}

fn first_letter(runs: &Runs) -> Option<char> {
    runs.iter().find_map(|run| match run {
        Run::Text { text } | Run::Code { text } => text.chars().find(|c| c.is_alphabetic()),
        Run::Emphasis { of } | Run::Strong { of } | Run::Sub { of } | Run::Super { of } => first_letter(of),
        Run::Hint { .. } | Run::Maths { .. } | Run::Break => None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_stays_literal_and_markup_becomes_styles() {
        let text = |text: &str| Run::Text { text: text.to_owned() };
        assert_eq!(runs("#eval(\"1\") [a] @b <c> \\ =d"), [text("#eval(\"1\") [a] @b <c> \\ =d")]);
        assert_eq!(runs("H~2~O"), [text("H"), Run::Sub { of: vec![text("2")] }, text("O")]);
        assert_eq!(runs("a\u{0}b"), [text("a[U+0000]b")]);
        assert!(matches!(&runs("$x^2$")[..], [Run::Maths { aloud, .. }] if aloud == "x squared"));
    }

    #[test]
    fn directions_are_those_of_the_first_letter() {
        for (written, from_right) in [("1. שלום", true), ("مرحبا hello", true), ("hello مرحبا", false), ("12", false)]
        {
            assert_eq!(is_from_right(&runs(written)), from_right, "{written}");
        }
    }

    #[test]
    fn a_number_and_its_unit_are_not_parted() {
        assert_eq!(runs("is 1,000 kilometres"), literal("is 1,000\u{a0}kilometres"));
        assert_eq!(unbroken(&runs("is 1,000 kilometres")), literal("1,000\u{a0}kilometres"));
    }

    #[test]
    fn long_words_and_formulas_are_measured_by_themselves() {
        let found = unbroken(&runs("a *Hydrometeorological* event, $\\frac{a}{b}$"));
        assert_eq!(found.len(), 2);
        assert_eq!(letters(&runs("ab *cd*")), 5);
    }
}
