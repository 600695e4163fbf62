//! Source notes: Markdown (CommonMark with tables) as sections of passages, as a reader reads them,
//! with the way back to the bytes of the file.
//!
//! A section is the text under one heading up to the next heading of any level; its anchor is the one
//! that hosting sites make from the heading. Paragraphs, list items, table rows, block quotes and
//! image captions are passages; code blocks, comments and front matter are not. Reading never fails:
//! whatever the bytes, there are notes.

mod anchor;
mod passage;
mod read;

pub use anchor::anchor_of;
pub use passage::{InList, Passage, PassageKind};

use crate::slice::Slice;
use std::ops::Range;

/// The notes of one file: its sections in order.
///
/// ```
/// use deckle::notes::Notes;
/// let notes = Notes::read("# Wind\n\n## Wind force\n\nForce 8 is a\n**gale**.\n");
/// let section = notes.section("wind-force").unwrap();
/// assert_eq!(section.text(), "Force 8 is a gale.");
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Notes {
    sections: Vec<Section>,
}

impl Notes {
    /// Reads Markdown; never fails and never panics.
    pub fn read(text: &str) -> Notes {
        Notes { sections: read::sections(text) }
    }

    /// The section with this anchor; the text before the first heading has the empty anchor.
    pub fn section(&self, anchor: &str) -> Option<&Section> {
        self.sections.iter().find(|section| section.anchor == anchor)
    }

    /// All sections in the order of the file.
    pub fn sections(&self) -> &[Section] {
        &self.sections
    }
}

/// The text under one heading, up to the next heading of any level.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Section {
    /// As hosting sites make it; repeated ones end in `-1`, `-2`; empty before the first heading.
    pub anchor: String,
    /// The heading as read.
    pub heading: String,
    /// 1 to 6; 0 before the first heading.
    pub level: u8,
    /// The bytes of the section, from its heading up to the next one.
    pub span: Range<usize>,
    /// The bytes of the heading.
    pub heading_span: Range<usize>,
    /// The passages in order.
    pub passages: Vec<Passage>,
    text: Slice,
}

impl Section {
    /// How many words the section has, its heading not counted.
    pub fn word_count(&self) -> usize {
        crate::text::count_words(&self.text)
    }

    /// The section's own text as read: the passages joined by single spaces.
    pub fn text(&self) -> String {
        self.text.to_string()
    }

    /// The section's own text as read, borrowed.
    pub fn as_text(&self) -> &str {
        &self.text
    }

    /// The bytes of the file that `range` of [`Section::text`] was read from.
    pub fn place_of(&self, range: Range<usize>) -> Range<usize> {
        let start = self.place_in(range.start, range.start..range.end).map(|place| place.start);
        let end = self.place_in(range.end.max(range.start + 1) - 1, range.clone()).map(|place| place.end);
        let start = start.unwrap_or(self.span.start);
        start..end.unwrap_or(start).max(start)
    }

    /// The place of the part of `range` that lies in the passage around byte `at`.
    fn place_in(&self, at: usize, range: Range<usize>) -> Option<Range<usize>> {
        let index = self.passages.partition_point(|passage| passage.at <= at).checked_sub(1)?;
        let passage = &self.passages[index];
        let inside = |at: usize| at.saturating_sub(passage.at).min(passage.text.len());
        Some(passage.place_of(inside(range.start)..inside(range.end)))
    }
}
