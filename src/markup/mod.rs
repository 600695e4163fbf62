//! The small inline markup of card text as a bounded tree, the same on paper and on screen.
//!
//! | written | means |
//! | --- | --- |
//! | `*wear*`, `**wear**`, `***wear***` | emphasis, strong, both |
//! | `` `N` `` | code: nothing in it is markup |
//! | `CO~2~`, `km^2^` | sub, super: no blanks inside; `~` needs something to its left to hang from |
//! | `$Q = A \times v$` | maths, see [`maths`]; `$5 and $6` is money |
//! | `\*` | a star; so for each of `*`, `` ` ``, `~`, `^`, `$` |
//!
//! Everything else is literal: a mark without its partner, `3 * 4`, `3*4`, `****`, `~~`, `$$`, `<b>`, an
//! address, a backslash before anything but a mark. There is no HTML and there are no links.
//!
//! [`parse`] never fails. Trees are never deeper than [`MAX_DEPTH`] and hold no more pieces than the
//! text has bytes, so that renderers may recurse. There is one renderer a file: [`plain`] (to be
//! read aloud), [`html`], [`markdown`]; others walk the tree, whose parts are all public.

mod html;
mod markdown;
pub mod maths;
mod parse;
mod plain;
mod visible;

pub use html::html;
pub use markdown::markdown;
pub use parse::{MAX_DEPTH, parse};
pub use plain::plain;
pub use visible::{is_hidden, visible};

use crate::text::bound;
use maths::{MathsError, Row};

/// Card text, read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Inline {
    /// The pieces in order; no two texts stand side by side.
    pub pieces: Vec<Piece>,
}

/// A piece of card text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Piece {
    /// Literal text without line breaks; never empty.
    Text(String),
    /// A line break, as typed.
    Break,
    /// `*emphasis*`
    Emphasis(Inline),
    /// `**strong**`
    Strong(Inline),
    /// `` `code` ``: literal text on one line.
    Code(String),
    /// `~sub~`
    Sub(Inline),
    /// `^super^`
    Super(Inline),
    /// `$maths$`
    Maths(Formula),
}

/// A formula in card text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Formula {
    /// What stands between the dollar signs, as typed.
    pub written: String,
    /// The byte of the card text at which it begins, behind the dollar sign.
    pub at: usize,
    /// What it says, or why it is not among the maths that cards can show. Renderers show such a
    /// formula as typed.
    pub maths: Result<Row, MathsError>,
}

impl Formula {
    /// The formula as typed, with its dollar signs.
    pub fn literal(&self) -> String {
        format!("${}$", self.written)
    }
}

impl Inline {
    /// The same with each number and its unit on one line; see [`bound`].
    #[must_use]
    pub fn bound(&self) -> Inline {
        let bind = |piece: &Piece| match piece {
            Piece::Text(text) => Piece::Text(bound(text).into_owned()),
            Piece::Emphasis(inner) => Piece::Emphasis(inner.bound()),
            Piece::Strong(inner) => Piece::Strong(inner.bound()),
            Piece::Break | Piece::Code(_) | Piece::Sub(_) | Piece::Super(_) | Piece::Maths(_) => piece.clone(),
        };
        Inline { pieces: self.pieces.iter().map(bind).collect() }
    }

    /// All formulas, in order.
    pub fn formulas(&self) -> Vec<&Formula> {
        let mut found = Vec::new();
        collect(self, &mut found);
        found
    }
}

fn collect<'a>(inline: &'a Inline, found: &mut Vec<&'a Formula>) {
    for piece in &inline.pieces {
        match piece {
            Piece::Maths(formula) => found.push(formula),
            Piece::Emphasis(inner) | Piece::Strong(inner) | Piece::Sub(inner) | Piece::Super(inner) => {
                collect(inner, found);
            }
            Piece::Text(_) | Piece::Code(_) | Piece::Break => {}
        }
    }
}
