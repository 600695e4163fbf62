//! A text as lines that can be mended one by one, and the way back to places in the original.

use std::borrow::Cow;
use std::ops::Range;

use super::super::parse::Tree;
use super::super::{Entry, Node, Shape};
use crate::place::{Span, floor_char_boundary};

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
        Span::new(span.start() + indent, span.end())
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
pub struct LineMap<'a> {
    lines: Vec<MappedLine<'a>>,
}

/// A line as it was written and as it is now.
struct MappedLine<'a> {
    /// Where it starts in the mended text, and how long it is there.
    now: (usize, usize),
    /// Where it starts in the text as written, and what was written.
    written: (usize, &'a str),
    /// How many bytes are the same at the beginning and at the end.
    same: (usize, usize),
}

impl<'a> LineMap<'a> {
    pub fn new(lines: &Lines<'a>) -> Self {
        let mut at = 0;
        let mut map = Vec::with_capacity(lines.len());
        for ((&written, now), end) in lines.original.iter().zip(&lines.current).zip(&lines.ends) {
            map.push(MappedLine { now: (at, now.len()), written, same: same(written.1, now) });
            at += now.len() + end.len();
        }
        Self { lines: map }
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
        Span::new(self.byte(span.start()), self.byte(span.end()))
    }

    fn byte(&self, at: usize) -> usize {
        let line = self.lines.partition_point(|line| line.now.0 <= at).saturating_sub(1);
        self.lines.get(line).map_or(0, |line| line.byte(at - line.now.0.min(at)))
    }
}

impl MappedLine<'_> {
    /// The place of the byte `at` of the line: the same place in what was not mended, or the nearest.
    fn byte(&self, at: usize) -> usize {
        let (start, text) = self.written;
        let (len, (before, behind)) = (self.now.1, self.same);
        if at <= before {
            start + at
        } else if at + behind >= len {
            start + text.len() + at - len
        } else {
            start + floor_char_boundary(text, at.min(text.len() - behind))
        }
    }
}

/// How many bytes two lines have in common at the beginning, and at the end of the rest.
fn same(a: &str, b: &str) -> (usize, usize) {
    if a == b {
        return (a.len(), 0);
    }
    let before: usize = a.chars().zip(b.chars()).take_while(|(a, b)| a == b).map(|(c, _)| c.len_utf8()).sum();
    let rest = a[before..].chars().rev().zip(b[before..].chars().rev());
    (before, rest.take_while(|(a, b)| a == b).map(|(c, _)| c.len_utf8()).sum())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_behind_a_mended_part_are_those_of_the_same_letters() {
        let written = "a: é: ü b\r\nc: d\n";
        let mut lines = Lines::new(written);
        lines.replace(0, "a: \"é: ü b\"".to_owned());
        let now = lines.text();
        let map = LineMap::new(&lines);
        let back = |part: &str| map.byte(now.find(part).expect("it is there"));
        assert_eq!(back("\"é"), 3);
        assert_eq!(back("c: d"), written.find("c: d").expect("it is there"));
        assert_eq!(back("\r"), written.find('\r').expect("it is there"));
        assert_eq!(map.byte(now.len()), written.len());
    }

    #[test]
    fn no_place_is_within_a_letter() {
        let written = "éééé";
        for mended in ["\"éééé\"", "", "é", "xxé", "  éééé"] {
            let mut lines = Lines::new(written);
            lines.replace(0, mended.to_owned());
            let map = LineMap::new(&lines);
            for at in (0..=mended.len() + 2).filter(|&at| at > mended.len() || mended.is_char_boundary(at)) {
                assert!(written.is_char_boundary(map.byte(at).min(written.len())), "{mended} {at}");
            }
        }
    }
}
