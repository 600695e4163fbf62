//! Formulas as data for the template: a tree of typed nodes, never source text.

use serde::Serialize;

use crate::markup::maths::{Class, Mark, Row, Sign, Term, is_operand};
use crate::markup::visible;

/// A node of a formula.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "is", rename_all = "lowercase")]
pub enum Node {
    /// Words, numbers and units, upright.
    Upright {
        /// The text.
        text: String,
    },
    /// A letter in italics.
    Letter {
        /// The letter.
        text: String,
    },
    /// The name of a function, with the blank behind it that it needs.
    Function {
        /// The name.
        text: String,
    },
    /// A sign with its class.
    Sign {
        /// The sign.
        text: String,
        /// How it stands among its neighbours, in the typesetter's words.
        class: &'static str,
    },
    /// A fraction.
    Fraction {
        /// Above the line.
        over: Nodes,
        /// Below the line.
        under: Nodes,
    },
    /// A root.
    Root {
        /// What stands under it.
        of: Nodes,
        /// Which root.
        degree: Option<Nodes>,
    },
    /// Something with an index, a power or both.
    Scripts {
        /// What has them.
        base: Nodes,
        /// The index.
        sub: Option<Nodes>,
        /// The power.
        sup: Option<Nodes>,
    },
    /// Something with an arrow or a bar above it.
    Over {
        /// `arrow` or `bar`.
        mark: &'static str,
        /// What stands below it.
        of: Nodes,
    },
    /// Brackets that grow.
    Fence {
        /// The left one, if it is drawn.
        open: Option<String>,
        /// What stands between them.
        of: Nodes,
        /// The right one, if it is drawn.
        close: Option<String>,
    },
    /// Several nodes as one.
    Group {
        /// They.
        of: Nodes,
    },
    /// A blank.
    Space {
        /// Its width in thousandths of the size of the letters.
        width: u32,
    },
}

/// Nodes side by side.
pub type Nodes = Vec<Node>;

/// The nodes of a formula.
pub fn nodes(row: &Row) -> Nodes {
    let before = |at: usize| at.checked_sub(1).map(|before| &row[before]);
    row.iter().enumerate().map(|(at, term)| node(term, before(at))).collect()
}

fn node(term: &Term, before: Option<&Term>) -> Node {
    match term {
        Term::Number(number) => Node::Upright { text: number.replace(' ', "\u{202f}") },
        Term::Upright(text) | Term::Text(text) => Node::Upright { text: visible(text).into_owned() },
        Term::Letter(letter) => Node::Letter { text: letter.to_string() },
        Term::Function(name) => Node::Function { text: (*name).to_owned() },
        Term::Sign(sign) if sign.class == Class::Letter => Node::Letter { text: sign.sign.to_string() },
        Term::Sign(sign) => Node::Sign { text: sign.sign.to_string(), class: class(sign, before) },
        Term::Fraction { over, under } => Node::Fraction { over: nodes(over), under: nodes(under) },
        Term::Root { of, degree } => Node::Root { of: nodes(of), degree: degree.as_ref().map(nodes) },
        Term::Scripts { base, sub, sup } => {
            Node::Scripts { base: vec![node(base, before)], sub: sub.as_ref().map(nodes), sup: sup.as_ref().map(nodes) }
        }
        Term::Over { mark, of, .. } => Node::Over { mark: mark_name(*mark), of: nodes(of) },
        Term::Fence { open, inner, close } => {
            Node::Fence { open: bracket(*open), of: nodes(inner), close: bracket(*close) }
        }
        Term::Group(row) => Node::Group { of: nodes(row) },
        Term::Space(space) => Node::Space { width: space.width() },
    }
}

/// The class of a sign, in the typesetter's words.
fn class(sign: &Sign, before: Option<&Term>) -> &'static str {
    match sign.class {
        Class::Binary if is_operand(before) => "binary",
        Class::Binary => "unary",
        Class::Relation => "relation",
        Class::Punctuation => "punctuation",
        Class::Open => "opening",
        Class::Close => "closing",
        Class::Large => "large",
        Class::Letter | Class::Ordinary | Class::Currency | Class::Slash | Class::Bar => "normal",
    }
}

fn mark_name(mark: Mark) -> &'static str {
    match mark {
        Mark::Arrow => "arrow",
        Mark::Bar => "bar",
    }
}

fn bracket(sign: Option<&Sign>) -> Option<String> {
    sign.map(|sign| sign.sign.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::markup::maths::parse;

    fn of(text: &str) -> Nodes {
        nodes(&parse(text).expect("in the subset"))
    }

    #[test]
    fn a_minus_stands_between_two_things_or_before_one() {
        let classes = |text: &str| -> Vec<&'static str> {
            of(text)
                .iter()
                .filter_map(|node| if let Node::Sign { class, .. } = node { Some(*class) } else { None })
                .collect()
        };
        assert_eq!(classes("a - b"), ["binary"]);
        assert_eq!(classes("-b = - 1"), ["unary", "relation", "unary"]);
        assert_eq!(classes("(a) + b"), ["opening", "closing", "binary"]);
    }

    #[test]
    fn what_looks_like_source_is_text() {
        let text = "#read(\"/etc/passwd\") $x$ \u{202e}";
        let nodes = of(&format!("\\text{{{text}}}"));
        assert_eq!(nodes, [Node::Upright { text: "#read(\"/etc/passwd\") $x$ [U+202E]".to_owned() }]);
    }
}
