//! One passage of notes: a paragraph, list item, table row, quotation or caption.

use crate::text::{Plain, sentences};
use std::ops::Range;

/// What kind of text a passage is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PassageKind {
    /// A paragraph.
    Paragraph,
    /// An item of a list; the parts of a nested list are items of their own.
    Item,
    /// A row of a table, its cells joined by single spaces: one statement.
    Row,
    /// A paragraph inside a block quote.
    Quotation,
    /// The words under or in place of a picture.
    Caption,
}

/// Where an item stands in its list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct InList {
    /// The number of the list in its file; a list inside a list belongs to the one around it.
    pub list: u32,
    /// 1 for an item of the list itself, 2 for one of a list inside it.
    pub depth: u32,
    /// Whether the items are numbered.
    pub numbered: bool,
    /// Whether the passage begins its item, and is no further paragraph of it.
    pub begins: bool,
}

/// A run of text that a reader reads in one go.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Passage {
    /// The text as read: no markup, single spaces, straight quotes.
    pub text: String,
    /// What kind of text it is.
    pub kind: PassageKind,
    /// Strong parts, as bytes of `text`.
    pub strong: Vec<Range<usize>>,
    /// Of a table row, its cells, as bytes of `text`; an empty cell is an empty range.
    pub cells: Vec<Range<usize>>,
    /// Whether it is the head of a table.
    pub head: bool,
    /// Of an item, where it stands in its list.
    pub list: Option<InList>,
    /// Where it begins in the text of its section.
    pub at: usize,
    places: Plain,
}

impl Passage {
    pub(super) fn new(mut plain: Plain, kind: PassageKind, strong: Vec<Range<usize>>, at: usize) -> Option<Passage> {
        plain.finish_to_keep();
        let text = std::mem::take(&mut plain.text);
        let strong = strong
            .into_iter()
            .map(|range| range.start.min(text.len())..range.end.min(text.len()))
            .filter(|range| !text[range.clone()].trim().is_empty())
            .collect();
        let (cells, head, list) = (Vec::new(), false, None);
        (!text.is_empty()).then_some(Passage { text, kind, strong, cells, head, list, at, places: plain })
    }

    /// The same as an item of a list, or as none.
    pub(super) fn in_list(self, list: Option<InList>) -> Passage {
        Passage { list: list.filter(|_| self.kind == PassageKind::Item), ..self }
    }

    /// The same as a row of a table with these cells.
    pub(super) fn with_cells(mut self, cells: Vec<Range<usize>>, head: bool) -> Passage {
        let end = self.text.len();
        let trimmed = |cell: Range<usize>| {
            let cell = cell.start.min(end)..cell.end.min(end);
            let text = &self.text[cell.clone()];
            let start = cell.start + (text.len() - text.trim_start().len());
            start..start + text.trim().len()
        };
        self.cells = cells.into_iter().map(trimmed).collect();
        self.head = head;
        self
    }

    /// The bytes of the file that `range` of the text was read from.
    pub fn place_of(&self, range: Range<usize>) -> Range<usize> {
        self.places.source_in(&self.text, range)
    }

    /// The sentences as bytes of `text`; a table row is one statement.
    pub fn sentences(&self) -> Vec<Range<usize>> {
        if self.kind == PassageKind::Row {
            return std::iter::once(0..self.text.len()).collect();
        }
        sentences(&self.text)
    }
}
