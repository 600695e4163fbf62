//! Where something stands in a file: byte spans, and the lines and columns that people count.

use std::sync::{Arc, OnceLock};

/// A range of bytes in a file, end excluded.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    // Half the size of two `usize`: a card has two dozen spans. No file that is read has four gigabytes.
    start: u32,
    end: u32,
}

impl Span {
    /// A span from `start` to `end`.
    pub fn new(start: usize, end: usize) -> Self {
        let small = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
        Self { start: small(start), end: small(end.max(start)) }
    }

    /// First byte.
    pub fn start(self) -> usize {
        self.start as usize
    }

    /// One past the last byte.
    pub fn end(self) -> usize {
        self.end as usize
    }

    /// The empty span at `at`.
    pub fn at(at: usize) -> Self {
        Self::new(at, at)
    }

    /// The smallest span that holds both.
    pub fn to(self, other: Span) -> Span {
        Self { start: self.start.min(other.start), end: self.end.max(other.end) }
    }

    /// The text that it covers; empty when it does not fit `text`.
    pub fn of(self, text: &str) -> &str {
        text.get(self.start()..self.end()).unwrap_or_default()
    }
}

/// A line and a column, both counted from 1; columns in characters (Unicode scalar values).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize)]
pub struct Position {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

/// A text file of the department: its path from the top of the department and what it holds.
#[derive(Debug)]
pub struct SourceFile {
    /// Path from the top of the department, with `/` between folders.
    pub path: Arc<str>,
    /// The whole text.
    pub text: Arc<str>,
    starts: OnceLock<Vec<usize>>,
}

impl SourceFile {
    /// A file at `path` with `text` in it.
    pub fn new(path: impl Into<Arc<str>>, text: impl Into<Arc<str>>) -> Self {
        Self { path: path.into(), text: text.into(), starts: OnceLock::new() }
    }

    /// The line and column of the byte `at`; the end of the text when `at` lies behind it.
    pub fn position(&self, at: usize) -> Position {
        let starts = self.starts();
        let at = floor_char_boundary(&self.text, at);
        let line = starts.partition_point(|&start| start <= at).max(1);
        let start = starts[line - 1];
        let column = self.text[start..at].chars().filter(|&c| c != '\u{feff}').count();
        Position { line, column: column + 1 }
    }

    /// The text of a line, counted from 1, without its line end.
    pub fn line(&self, line: usize) -> &str {
        let starts = self.starts();
        let Some(&start) = line.checked_sub(1).and_then(|line| starts.get(line)) else {
            return "";
        };
        let end = starts.get(line).copied().unwrap_or(self.text.len());
        self.text[start..end].trim_end_matches(['\n', '\r']).trim_start_matches('\u{feff}')
    }

    /// The place of `span` in this file.
    pub fn place(&self, span: Span) -> Place {
        let (start, end) = (self.position(span.start()), self.position(span.end()));
        Place { path: Arc::clone(&self.path), span, start, end, line: self.line(start.line).into() }
    }

    fn starts(&self) -> &[usize] {
        self.starts.get_or_init(|| {
            let breaks = self.text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n');
            std::iter::once(0).chain(breaks.map(|(at, _)| at + 1)).collect()
        })
    }
}

/// A place in a file, as findings show it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// Path from the top of the department.
    pub path: Arc<str>,
    /// The bytes it covers.
    pub span: Span,
    /// Where it starts.
    pub start: Position,
    /// Where it ends.
    pub end: Position,
    /// The text of the line it starts on, for showing.
    pub line: Box<str>,
}

impl Place {
    /// The beginning of a file of which nothing is known but its path.
    pub fn top_of(path: impl Into<Arc<str>>) -> Self {
        let top = Position { line: 1, column: 1 };
        Self { path: path.into(), span: Span::default(), start: top, end: top, line: "".into() }
    }
}

/// The nearest character boundary at or before `at`.
pub fn floor_char_boundary(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters_and_lines_end_with_either_line_end() {
        let file = SourceFile::new("a", "é: x\r\nzwei: ü y\n");
        assert_eq!(file.position(5), Position { line: 1, column: 5 });
        let at = file.text.find('y').expect("it is there");
        assert_eq!(file.position(at), Position { line: 2, column: 9 });
        assert_eq!(file.line(1), "é: x");
        assert_eq!(file.line(2), "zwei: ü y");
        assert_eq!(file.line(9), "");
    }

    #[test]
    fn a_byte_order_mark_takes_no_column() {
        let file = SourceFile::new("a", "\u{feff}title: x\n");
        assert_eq!(file.position(3), Position { line: 1, column: 1 });
        assert_eq!(file.line(1), "title: x");
    }

    #[test]
    fn a_place_behind_the_end_is_the_end() {
        let file = SourceFile::new("a", "x\n");
        assert_eq!(file.position(99), Position { line: 2, column: 1 });
    }
}
