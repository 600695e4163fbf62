//! From YAML events to a tree with places.

use std::collections::BTreeMap;

use granit_parser::{ErrorKind, Event, Options, Parser, Placement, ScalarStyle, ScanError, StructureStyle};

use super::{Entry, Node, Shape, Style};
use crate::place::Span;
use crate::slice::Whole;

/// How deep lists and maps may stand in one another. Cards need six.
pub const MAX_DEPTH: usize = 32;

/// How many values one file may hold, those that `*name` repeats counted each time.
pub const MAX_NODES: usize = 4_000_000;

/// How many values `*name` may add to a file by repeating.
const MAX_REPEATED: usize = 20_000;

/// A comment: where it stands and whether it follows a value on the same line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CommentMark {
    /// The comment with its `#`.
    pub span: Span,
    /// Whether it follows something on the same line.
    pub trailing: bool,
}

/// A file that could be read to its end.
#[derive(Debug, Default)]
pub struct Tree {
    /// The first document's value, when there is one.
    pub root: Option<Node>,
    /// All comments, in order.
    pub comments: Vec<CommentMark>,
    /// Uses of `*name` for which there is no `&name`.
    pub unknown_aliases: Vec<Span>,
    /// Where a second document starts, when one does.
    pub second_document: Option<Span>,
}

/// Why reading stopped, and where.
#[derive(Debug)]
pub enum ParseError {
    /// The YAML is broken at this byte.
    Broken(usize, Box<ScanError>),
    /// More values, or deeper ones, than any deck has, from this byte on.
    TooLarge(usize),
}

impl ParseError {
    /// The byte at which reading stopped.
    pub fn at(&self) -> usize {
        match self {
            ParseError::Broken(at, _) | ParseError::TooLarge(at) => *at,
        }
    }
}

/// Reads the first document of `text`.
///
/// # Errors
///
/// The first place where the text cannot be read as YAML, or is larger than any deck can be.
pub fn parse(text: &str) -> Result<Tree, ParseError> {
    parse_whole(&Whole::new(text))
}

/// The same; the texts in the tree are pieces of `text`.
///
/// # Errors
///
/// As [`parse`].
pub fn parse_whole(text: &Whole) -> Result<Tree, ParseError> {
    let mut builder = Builder::default();
    for next in Parser::new_from_str_with_options(text, options()) {
        let (event, span) = next.map_err(|error| broken(text, error))?;
        let span = span.byte_range().map_or(Span::default(), |range| Span::new(range.start, range.end));
        builder.take(text, event, span)?;
    }
    Ok(builder.tree)
}

fn options() -> Options {
    granit_parser::options! {
        emit_anchor_events: true,
        emit_unresolved_aliases: true,
        max_buffered_comment_events: 100_000,
        simple_key_max_lookahead: 1024,
        block_nesting_limit: MAX_DEPTH,
        flow_nesting_limit: MAX_DEPTH,
    }
}

fn broken(text: &str, error: ScanError) -> ParseError {
    let at = error.marker().byte_offset().unwrap_or(text.len()).min(text.len());
    match error.kind() {
        ErrorKind::RecursionLimitExceeded => ParseError::TooLarge(at),
        _ => ParseError::Broken(at, Box::new(error)),
    }
}

/// A list or map whose end has not been seen yet.
struct Open {
    node: Node,
    key: Option<Node>,
    anchor_id: usize,
}

#[derive(Default)]
struct Builder {
    tree: Tree,
    open: Vec<Open>,
    anchors: BTreeMap<usize, Node>,
    anchor_spans: BTreeMap<usize, Span>,
    documents: usize,
    nodes: usize,
    repeated: usize,
}

impl Builder {
    fn take(&mut self, whole: &Whole, event: Event<'_>, span: Span) -> Result<(), ParseError> {
        match event {
            Event::DocumentStart(..) => self.start_document(span),
            Event::Comment(_, placement) => {
                self.tree.comments.push(CommentMark { span, trailing: placement == Placement::Right });
            }
            Event::Anchor(id, _) => self.name(id, span),
            _ if self.documents > 1 => {}
            Event::Scalar(text, style, anchor_id, tag) => {
                // An empty value comes as `~` with an empty span; a `~` that was typed is text.
                let text = if span.start() == span.end() && style == ScalarStyle::Plain { "".into() } else { text };
                let mut node = node(Shape::Text(whole.piece(&text)), scalar_style(style), span);
                node.tag = tag.is_some().then_some(span);
                self.count(1, span)?;
                self.add(node, anchor_id);
            }
            Event::SequenceStart(style, id, _) => self.start(Shape::List(Vec::new()), style, span, id)?,
            Event::MappingStart(style, id, _) => self.start(Shape::Map(Vec::new()), style, span, id)?,
            Event::SequenceEnd | Event::MappingEnd => self.end(span),
            Event::Alias(id) => self.repeat(id, span)?,
            Event::UnresolvedAlias(name) => {
                self.tree.unknown_aliases.push(span);
                self.add(node(Shape::Text(format!("*{name}").into()), Style::Plain, span), 0);
            }
            // Starts and ends of the stream and of documents, and what later versions may add.
            _ => {}
        }
        Ok(())
    }

    fn start_document(&mut self, span: Span) {
        self.documents += 1;
        if self.documents == 2 {
            self.tree.second_document = Some(span);
        }
    }

    fn start(&mut self, shape: Shape, style: StructureStyle, span: Span, id: usize) -> Result<(), ParseError> {
        self.count(1, span)?;
        let style = if style == StructureStyle::Flow { Style::Flow } else { Style::Block };
        self.open.push(Open { node: node(shape, style, span), key: None, anchor_id: id });
        Ok(())
    }

    fn end(&mut self, span: Span) {
        let Some(mut open) = self.open.pop() else { return };
        open.node.span = match (&open.node.shape, open.node.style) {
            (_, Style::Flow) => open.node.span.to(span),
            (Shape::List(items), _) => items.last().map_or(open.node.span, |last| open.node.span.to(last.span)),
            (Shape::Map(entries), _) => {
                entries.last().map_or(open.node.span, |last| open.node.span.to(last.key.span).to(last.value.span))
            }
            (Shape::Text(_), _) => open.node.span,
        };
        self.add(open.node, open.anchor_id);
    }

    fn repeat(&mut self, id: usize, span: Span) -> Result<(), ParseError> {
        let mut copy = match self.anchors.get(&id) {
            Some(node) => node.clone(),
            // A value cannot stand inside itself.
            None => return Err(ParseError::TooLarge(span.start())),
        };
        let size = size(&copy);
        self.repeated += size;
        if self.repeated > MAX_REPEATED {
            return Err(ParseError::TooLarge(span.start()));
        }
        self.count(size, span)?;
        set_span(&mut copy, span);
        copy.alias = true;
        self.add(copy, 0);
        Ok(())
    }

    fn name(&mut self, id: usize, span: Span) {
        self.anchor_spans.insert(id, span);
        // A scalar's name comes after it; a list's or map's comes while it is still open.
        if let Some(node) = self.anchors.get_mut(&id) {
            node.anchor = Some(span);
        }
        if let Some(node) = self.newest_mut() {
            node.anchor = Some(span);
        }
    }

    fn newest_mut(&mut self) -> Option<&mut Node> {
        let Some(open) = self.open.last_mut() else { return self.tree.root.as_mut() };
        if open.key.is_some() {
            return open.key.as_mut();
        }
        let empty = match &open.node.shape {
            Shape::Text(_) => true,
            Shape::List(items) => items.is_empty(),
            Shape::Map(entries) => entries.is_empty(),
        };
        if empty {
            return Some(&mut open.node);
        }
        match &mut open.node.shape {
            Shape::Text(_) => None,
            Shape::List(items) => items.last_mut(),
            Shape::Map(entries) => entries.last_mut().map(|entry| &mut entry.value),
        }
    }

    fn add(&mut self, mut node: Node, anchor_id: usize) {
        if anchor_id > 0 {
            node.anchor = self.anchor_spans.get(&anchor_id).copied().or(node.anchor);
            self.anchors.insert(anchor_id, node.clone());
        }
        let Some(open) = self.open.last_mut() else {
            self.tree.root.get_or_insert(node);
            return;
        };
        match &mut open.node.shape {
            Shape::List(items) => items.push(node),
            Shape::Map(entries) => match open.key.take() {
                Some(key) => entries.push(Entry { key, value: node }),
                None => open.key = Some(node),
            },
            Shape::Text(_) => {}
        }
    }

    fn count(&mut self, more: usize, span: Span) -> Result<(), ParseError> {
        self.nodes += more;
        if self.nodes > MAX_NODES { Err(ParseError::TooLarge(span.start())) } else { Ok(()) }
    }
}

fn node(shape: Shape, style: Style, span: Span) -> Node {
    Node { shape, style, span, anchor: None, tag: None, alias: false }
}

fn scalar_style(style: ScalarStyle) -> Style {
    match style {
        ScalarStyle::Plain => Style::Plain,
        ScalarStyle::SingleQuoted => Style::SingleQuoted,
        ScalarStyle::DoubleQuoted => Style::DoubleQuoted,
        ScalarStyle::Literal => Style::Literal,
        ScalarStyle::Folded => Style::Folded,
    }
}

fn size(node: &Node) -> usize {
    1 + match &node.shape {
        Shape::Text(_) => 0,
        Shape::List(items) => items.iter().map(size).sum(),
        Shape::Map(entries) => entries.iter().map(|entry| size(&entry.key) + size(&entry.value)).sum(),
    }
}

fn set_span(node: &mut Node, span: Span) {
    node.span = span;
    match &mut node.shape {
        Shape::Text(_) => {}
        Shape::List(items) => items.iter_mut().for_each(|item| set_span(item, span)),
        Shape::Map(entries) => {
            for entry in entries {
                set_span(&mut entry.key, span);
                set_span(&mut entry.value, span);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn root(text: &str) -> Node {
        parse(text).expect("sound").root.expect("a value")
    }

    #[test]
    fn scalars_are_text_as_written() {
        let node = root("a: 14.0\nb: No\nc: 1:30\nd: 007\ne: 2026-11-25\nf: ~\ng:\nh: null\n");
        let texts: Vec<_> = node.map().expect("map").iter().map(|entry| entry.value.text()).collect();
        let expected = ["14.0", "No", "1:30", "007", "2026-11-25", "~", "", "null"];
        assert_eq!(texts, expected.map(Some));
    }

    #[test]
    fn aliases_repeat_and_know_it() {
        let node = root("a: &x {b: c}\nd: *x\n");
        let copy = node.get("d").expect("d");
        assert!(copy.alias && copy.get("b").and_then(Node::text) == Some("c"));
        assert!(node.get("a").expect("a").anchor.is_some());
        assert!(node.uses_anchors());
    }

    #[test]
    fn a_bomb_of_aliases_is_refused() {
        let mut text = String::from("a0: &a0 [x,x,x,x,x,x,x,x,x]\n");
        for level in 1..9 {
            let before = level - 1;
            text += &format!("a{level}: &a{level} [{}]\n", vec![format!("*a{before}"); 9].join(","));
        }
        assert!(matches!(parse(&text), Err(ParseError::TooLarge(_))));
        assert!(parse("a: &a [*a]\n").is_err());
    }

    #[test]
    fn blocks_end_with_their_last_value() {
        let text = "a:\n  - b\n  - c\n\n# tail\nd: e\n";
        let node = root(text);
        assert_eq!(node.get("a").expect("a").span.of(text), "- b\n  - c");
        assert_eq!(node.span.of(text), "a:\n  - b\n  - c\n\n# tail\nd: e");
    }
}
