//! A text as lines that can be mended one by one, and the way back to places in the original.

use std::borrow::Cow;
use std::ops::Range;

use super::super::parse::Tree;
use super::super::{Entry, Node, Shape};
use crate::place::Span;

/// The lines of a text, each without its line end; some of them mended.
pub struct Lines<'a> {
    original: Vec<(usize, &'a str)>,
    current: Vec<Cow<'a, str>>,
    ends: Vec<&'a str>,
}

impl<'a> Lines<'a> {
    pub fn new(text: &'a str) -> Self {
        let mut lines = Self { original: Vec::new(), current: Vec::new(), ends: Vec::new() };
        let mut at = 0;
        for whole in text.split_inclusive('\n') {
            let line = whole.trim_end_matches(['\n', '\r']);
            lines.original.push((at, line));
            lines.current.push(Cow::Borrowed(line));
            lines.ends.push(&whole[line.len()..]);
            at += whole.len();
        }
        lines
    }

    pub fn len(&self) -> usize {
        self.current.len()
    }

    /// The line as it is now, counted from 0; empty behind the end.
    pub fn get(&self, line: usize) -> &str {
        self.current.get(line).map_or("", |line| line)
    }

    /// The whole text as it is now.
    pub fn text(&self) -> String {
        self.with(usize::MAX, "")
    }

    /// The whole text with one line put in another's place.
    pub fn with(&self, line: usize, mended: &str) -> String {
        let mut text = String::new();
        for (at, (now, end)) in self.current.iter().zip(&self.ends).enumerate() {
            text.push_str(if at == line { mended } else { now });
            text.push_str(end);
        }
        text
    }

    pub fn replace(&mut self, line: usize, mended: String) {
        if let Some(now) = self.current.get_mut(line) {
            *now = Cow::Owned(mended);
        }
    }

    pub fn blank(&mut self, line: usize) {
        self.replace(line, String::new());
    }

    /// The line, from 0, that holds the byte `at` of the text as it is now.
    pub fn line_of(&self, at: usize) -> usize {
        let mut start = 0;
        for (line, (now, end)) in self.current.iter().zip(&self.ends).enumerate() {
            start += now.len() + end.len();
            if at < start {
                return line;
            }
        }
        self.len().saturating_sub(1)
    }

    /// The place of some lines in the text as written, without the last line end.
    pub fn span(&self, lines: Range<usize>) -> Span {
        let first = self.original.get(lines.start).map_or(0, |&(at, _)| at);
        let last = lines.end.checked_sub(1).and_then(|line| self.original.get(line));
        Span::new(first, last.map_or(first, |&(at, line)| at + line.len()))
    }

    /// The place of a line's text in the text as written, without the spaces before it.
    pub fn content_span(&self, line: usize) -> Span {
        let span = self.span(line..line + 1);
        let indent = self.original.get(line).map_or(0, |(_, line)| line.len() - line.trim_start().len());
        Span::new(span.start + indent, span.end)
    }

    /// The lines of the list entry around `line`: from its dash to the next dash in the same column.
    /// Outside a list, the line alone.
    pub fn item_around(&self, line: usize) -> Range<usize> {
        let Some(column) = self.dash_column() else { return line..line + 1 };
        let starts = |at: &usize| is_dash(self.get(*at)) && indent(self.get(*at)) <= column;
        let ends = |at: &usize| starts(at) || is_top_field(self.get(*at));
        let first = (0..=line).rev().find(starts);
        let Some(first) = first.filter(|&first| !(first + 1..=line).any(|at| is_top_field(self.get(at)))) else {
            return line..line + 1;
        };
        first..(first + 1..self.len()).find(ends).unwrap_or(self.len())
    }

    /// The column of the dashes under `cards:`.
    pub fn dash_column(&self) -> Option<usize> {
        let cards = (0..self.len()).find(|&line| self.get(line).trim_end() == "cards:")?;
        let first = (cards + 1..self.len()).find(|&line| is_dash(self.get(line)))?;
        Some(indent(self.get(first)))
    }
}

/// How many blanks a line starts with.
pub fn indent(line: &str) -> usize {
    line.len() - line.trim_start_matches([' ', '\t']).len()
}

/// Whether a line starts a list entry.
pub fn is_dash(line: &str) -> bool {
    let text = line.trim_start_matches([' ', '\t']);
    text == "-" || text.starts_with("- ")
}

fn is_top_field(line: &str) -> bool {
    line.starts_with(|c: char| c.is_alphabetic()) && line.contains(':')
}

/// The way from places in the mended text back to the text as written.
pub struct LineMap {
    /// For each line: start in the mended text, start and length in the original, whether it is mended.
    lines: Vec<(usize, usize, usize, bool)>,
    original_len: usize,
}

impl LineMap {
    pub fn new(lines: &Lines<'_>) -> Self {
        let mut at = 0;
        let mut map = Vec::with_capacity(lines.len());
        for ((&(start, written), now), end) in lines.original.iter().zip(&lines.current).zip(&lines.ends) {
            map.push((at, start, written.len() + end.len(), now.as_ref() != written));
            at += now.len() + end.len();
        }
        let original_len = lines.original.last().map_or(0, |&(start, line)| start + line.len());
        Self { lines: map, original_len }
    }

    /// The same tree with its places in the text as written.
    pub fn back(&self, mut tree: Tree) -> Tree {
        if let Some(root) = &mut tree.root {
            self.node(root);
        }
        for comment in &mut tree.comments {
            comment.span = self.span(comment.span);
        }
        for alias in &mut tree.unknown_aliases {
            *alias = self.span(*alias);
        }
        tree.second_document = tree.second_document.map(|span| self.span(span));
        tree
    }

    fn node(&self, node: &mut Node) {
        node.span = self.span(node.span);
        node.anchor = node.anchor.map(|span| self.span(span));
        node.tag = node.tag.map(|span| self.span(span));
        match &mut node.shape {
            Shape::Text(_) => {}
            Shape::List(items) => items.iter_mut().for_each(|item| self.node(item)),
            Shape::Map(entries) => {
                for Entry { key, value } in entries {
                    self.node(key);
                    self.node(value);
                }
            }
        }
    }

    fn span(&self, span: Span) -> Span {
        Span::new(self.byte(span.start), self.byte(span.end))
    }

    fn byte(&self, at: usize) -> usize {
        let line = self.lines.partition_point(|&(start, ..)| start <= at).saturating_sub(1);
        let Some(&(start, written, len, _)) = self.lines.get(line) else { return self.original_len };
        written + (at - start.min(at)).min(len)
    }
}
