//! YAML as people write it: a tree of texts, lists and maps in which every value knows its place,
//! read in spite of mistakes.
//!
//! Scalars are text exactly as written; nothing becomes a number, a date or a truth value.

mod parse;
mod slips;

pub use parse::{CommentMark, MAX_DEPTH, MAX_NODES, ParseError, Tree, parse};
pub use slips::{Problem, Reading, read};

use crate::place::Span;
use crate::slice::Slice;

/// How a value is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Style {
    /// Unquoted text.
    Plain,
    /// `'text'`
    SingleQuoted,
    /// `"text"`
    DoubleQuoted,
    /// Text in lines after `|`.
    Literal,
    /// Text in lines after `>`.
    Folded,
    /// A list or map with one entry a line.
    Block,
    /// A list or map in brackets.
    Flow,
}

/// What a value is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Shape {
    /// Text, with the quoting taken off.
    Text(Slice),
    /// A list.
    List(Vec<Node>),
    /// Fields with their values, in the order written; a field may stand twice.
    Map(Vec<Entry>),
}

/// A value with its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Node {
    /// What it is.
    pub shape: Shape,
    /// How it is written.
    pub style: Style,
    /// The bytes of the value; of text in lines, the lines without the `|` or `>`.
    pub span: Span,
    /// A name given with `&`, with the mark.
    pub anchor: Option<Span>,
    /// A type given with `!`.
    pub tag: Option<Span>,
    /// Whether it was written as `*name` and stands elsewhere.
    pub alias: bool,
}

/// A field and its value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// The field's name.
    pub key: Node,
    /// Its value.
    pub value: Node,
}

impl Node {
    /// The text, when it is text.
    pub fn text(&self) -> Option<&str> {
        match &self.shape {
            Shape::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The entries, when it is a list.
    pub fn list(&self) -> Option<&[Node]> {
        match &self.shape {
            Shape::List(items) => Some(items),
            _ => None,
        }
    }

    /// The fields, when it is a map.
    pub fn map(&self) -> Option<&[Entry]> {
        match &self.shape {
            Shape::Map(entries) => Some(entries),
            _ => None,
        }
    }

    /// The value of the first field of that name, when it is a map.
    pub fn get(&self, name: &str) -> Option<&Node> {
        let entries = self.map()?;
        entries.iter().find(|entry| entry.key.text() == Some(name)).map(|entry| &entry.value)
    }

    /// Whether nothing was written: `field:` and no more.
    pub fn is_empty(&self) -> bool {
        self.style == Style::Plain && self.text() == Some("")
    }

    /// Whether it, or anything in it, has a field twice.
    pub fn repeats_fields(&self) -> bool {
        match &self.shape {
            Shape::Text(_) => false,
            Shape::List(items) => items.iter().any(Node::repeats_fields),
            Shape::Map(entries) => {
                let twice = |(at, entry): (usize, &Entry)| {
                    entries[..at].iter().any(|other| other.key.text() == entry.key.text())
                };
                entries.iter().enumerate().any(twice) || entries.iter().any(|entry| entry.value.repeats_fields())
            }
        }
    }

    /// Whether it, or anything in it, uses names given with `&` or `*`.
    pub fn uses_anchors(&self) -> bool {
        let inside = match &self.shape {
            Shape::Text(_) => false,
            Shape::List(items) => items.iter().any(Node::uses_anchors),
            Shape::Map(entries) => entries.iter().any(|entry| entry.key.uses_anchors() || entry.value.uses_anchors()),
        };
        self.alias || self.anchor.is_some() || inside
    }
}
