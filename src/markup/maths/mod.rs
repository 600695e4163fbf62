//! The maths of card text: a subset of TeX's notation as a bounded tree.
//!
//! | written | means |
//! | --- | --- |
//! | `3.5`, `50 000`, `50\,000`, `1,000` | numbers; a blank before three digits belongs to the number |
//! | `x`, `AB` | letters, each a quantity of its own |
//! | `\text{rise in height}` | words |
//! | `\mathrm{km}`, `\mathrm{m\,s^{-1}}` | units, upright; blanks between units stay |
//! | `\frac{a}{b}` | fraction |
//! | `\sqrt{x}`, `\sqrt[3]{x}` | roots |
//! | `x^2`, `x^{-1}`, `x_{n+1}`, `x_1^2` | powers and indices; more than one sign goes in braces |
//! | `\vec{v}`, `\overrightarrow{AB}`, `\bar{x}` | arrows, and the bar of a mean |
//! | `( ) [ ] \{ \}` and the bar | brackets; with `\left( … \right)` they grow |
//! | `+ - = < > / , ; : ! ? %`, `'` | themselves |
//! | `\times \div \pm \cdot \le \ge \ne \approx \propto \rightarrow \infty \degree` … | signs, see [`signs`]; typed as `×`, `÷`, `≤` too |
//! | `\alpha` … `\Omega` | Greek |
//! | `\sin \cos \tan \log \ln` … | functions, see [`functions`] |
//! | `\,` `\:` `\;` `\quad` `\ ` `~` | blanks; others do not count |
//!
//! Anything else is a [`MathsError`] with its place. Where TeX would set something else than a
//! teacher expects (`x^10` as x¹0, `rise in height` without its blanks, `sin` as three quantities), that
//! is an error too.
//!
//! # Bounds
//!
//! A formula has at most [`MAX_BYTES`] bytes, and its tree at most [`MAX_DEPTH`] levels and no more
//! terms than it has bytes; reading takes time in proportion to its length. There are no macros, no
//! links, no colours, nothing that could run.
//!
//! # Why not a crate
//!
//! `pulldown-latex` 0.8, the best kept one that gives more than finished MathML, was tried. It reads
//! all of TeX's maths, macros included; its errors have a drawing of their place, but neither bytes
//! nor a kind that a sentence for teachers could be made of; it wrote `<mo><</mo>` for `a < b` and
//! let direction overrides through; ten thousand nested fractions took seven seconds. A filter in
//! front of it that knows the subset would have been a reader of the subset. `math-core` gives the
//! bytes of an error, but MathML alone and no tree, and the paper needs the tree. So the subset has
//! its own reader, small enough to be read whole.

mod aloud;
mod error;
mod mathml;
mod number;
mod outside;
mod reader;
mod signs;
#[cfg(test)]
mod table;

pub use aloud::aloud;
pub use error::MathsError;
pub use mathml::mathml;
pub use reader::{MAX_BYTES, MAX_DEPTH, parse};
pub use signs::{Class, Sign, functions, signs};

/// Terms side by side.
pub type Row = Vec<Term>;

/// A part of a formula.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Term {
    /// A number as typed, groups of three digits apart by a blank or comma.
    Number(String),
    /// A letter of the Latin alphabet that stands for a quantity; set in italics.
    Letter(char),
    /// Upright letters without blanks, such as a unit.
    Upright(String),
    /// Words, with their blanks.
    Text(String),
    /// A named function, such as `sin`.
    Function(&'static str),
    /// A sign, a bracket or a Greek letter.
    Sign(&'static Sign),
    /// A fraction.
    Fraction {
        /// Above the line.
        over: Row,
        /// Below the line.
        under: Row,
    },
    /// A root.
    Root {
        /// What stands under it.
        of: Row,
        /// Which root; the square root when there is none.
        degree: Option<Row>,
    },
    /// Something with an index, a power or both.
    Scripts {
        /// What has them; an empty group when nothing stands before them.
        base: Box<Term>,
        /// The index.
        sub: Option<Row>,
        /// The power.
        sup: Option<Row>,
    },
    /// Something with a mark above it.
    Over {
        /// The mark.
        mark: Mark,
        /// Whether the mark is as wide as what stands below it.
        wide: bool,
        /// What stands below it.
        of: Row,
    },
    /// Brackets that grow with what stands between them.
    Fence {
        /// The left one, if it is drawn.
        open: Option<&'static Sign>,
        /// What stands between them.
        inner: Row,
        /// The right one, if it is drawn.
        close: Option<&'static Sign>,
    },
    /// Several terms, or none, taken as one.
    Group(Row),
    /// A blank.
    Space(Space),
}

/// A mark above something.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// The arrow of a vector.
    Arrow,
    /// The bar of a mean.
    Bar,
}

/// How wide a blank is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Space {
    /// `\,`, between a number and its unit.
    Thin,
    /// `\:`
    Medium,
    /// `\;`
    Thick,
    /// `\ ` and `~`, as between words.
    Word,
    /// `\quad`
    Quad,
    /// `\qquad`
    TwoQuads,
}

impl Space {
    /// Its width in thousandths of the size of the letters (as in TeX: 3, 4 and 5 eighteenths, a
    /// quarter, one and two).
    pub fn width(self) -> u32 {
        match self {
            Space::Thin => 167,
            Space::Medium => 222,
            Space::Thick => 278,
            Space::Word => 250,
            Space::Quad => 1000,
            Space::TwoQuads => 2000,
        }
    }
}

/// Whether a sign behind this term stands between two things; at the start it is a sign of one.
pub fn is_operand(before: Option<&Term>) -> bool {
    match before {
        None => false,
        Some(Term::Sign(sign)) => {
            matches!(sign.class, Class::Letter | Class::Ordinary | Class::Close | Class::Bar | Class::Currency)
        }
        Some(Term::Function(_)) => false,
        Some(_) => true,
    }
}
