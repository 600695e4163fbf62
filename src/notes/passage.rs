//! One passage of notes: a paragraph, list item, table row, quotation or caption.

use crate::slice::{Slice, Whole};
use crate::text::{Places, sentences};
use std::ops::Range;
use thin_vec::ThinVec;

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
    pub text: Slice,
    /// What kind of text it is.
    pub kind: PassageKind,
    /// Strong parts, as bytes of `text`.
    pub strong: ThinVec<Range<usize>>,
    /// Of a table row, its cells, as bytes of `text`; an empty cell is an empty range.
    pub cells: ThinVec<Range<usize>>,
    /// Whether it is the head of a table.
    pub head: bool,
    /// Of an item, where it stands in its list.
    pub list: Option<InList>,
    /// Where it begins in the text of its section.
    pub at: usize,
    places: Places,
}

/// What is known of a passage besides its text.
pub(super) struct Marks {
    pub(super) kind: PassageKind,
    pub(super) strong: Vec<Range<usize>>,
    pub(super) cells: Vec<Range<usize>>,
    pub(super) head: bool,
    pub(super) list: Option<InList>,
    pub(super) places: Places,
}

impl Passage {
    /// A passage of the text that lies at `range` in its section's.
    pub(super) fn new(section: &Whole, range: Range<usize>, marks: Marks) -> Passage {
        let Marks { kind, strong, cells, head, list, mut places } = marks;
        let text = section.piece(&section[range.clone()]);
        let strong = strong
            .into_iter()
            .map(|range| range.start.min(text.len())..range.end.min(text.len()))
            .filter(|range| !text[range.clone()].trim().is_empty())
            .collect();
        let cells = cells.into_iter().map(|cell| trimmed(&text, cell)).collect();
        places.shrink_to_fit();
        let list = list.filter(|_| kind == PassageKind::Item);
        Passage { text, kind, strong, cells, head, list, at: range.start, places }
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

/// A cell without blanks around it.
fn trimmed(text: &str, cell: Range<usize>) -> Range<usize> {
    let cell = cell.start.min(text.len())..cell.end.min(text.len());
    let text = &text[cell.clone()];
    let start = cell.start + (text.len() - text.trim_start().len());
    start..start + text.trim().len()
}
