//! From Markdown events to sections and passages.

use super::anchor::Anchors;
use super::passage::Marks;
use super::{InList, Passage, PassageKind, Section};
use crate::slice::{Slice, Whole};
use crate::text::Plain;
use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};
use std::ops::Range;

/// The sections of a Markdown text in order.
pub(super) fn sections(text: &str) -> Vec<Section> {
    let mut reader = Reader::new(text);
    let options = Options::ENABLE_TABLES
        | Options::ENABLE_STRIKETHROUGH
        | Options::ENABLE_MATH
        | Options::ENABLE_TASKLISTS
        | Options::ENABLE_FOOTNOTES
        | Options::ENABLE_YAML_STYLE_METADATA_BLOCKS;
    for (event, place) in Parser::new_ext(text, options).into_offset_iter() {
        match event {
            Event::Text(text) => reader.text(&text, place),
            event => {
                reader.settle();
                reader.take(event, place);
            }
        }
    }
    reader.settle();
    reader.finish()
}

struct Reader<'t> {
    source: &'t str,
    sections: Vec<Section>,
    anchors: Anchors,
    /// The text of the last section, and its passages: where each stands in that.
    text: String,
    passages: Vec<(Range<usize>, Marks)>,
    run: Plain,
    /// Text that was given but not read yet.
    pending: Option<Range<usize>>,
    strong: Vec<Range<usize>>,
    strong_from: Vec<usize>,
    /// Depths: in code, comments or struck-out text nothing is read.
    unread: usize,
    items: usize,
    lists: Lists,
    quotes: usize,
    row: bool,
    /// Where each cell of the row begins and ends in the run.
    cells: Vec<Range<usize>>,
    head: bool,
    picture: Picture,
}

/// The lists around the run.
#[derive(Default)]
struct Lists {
    /// How many lists of the file began that stand in no other.
    number: u32,
    /// Whether each list around the run is numbered, from the outermost.
    open: Vec<bool>,
    /// Whether an item began since the run before.
    begins: bool,
}

impl Lists {
    fn open(&mut self, numbered: bool) {
        self.number += u32::from(self.open.is_empty());
        self.open.push(numbered);
    }

    /// Where the run stands.
    fn here(&self) -> Option<InList> {
        let numbered = *self.open.last()?;
        Some(InList { list: self.number, depth: self.open.len() as u32, numbered, begins: self.begins })
    }
}

/// What is known of pictures in the run.
#[derive(Default)]
struct Picture {
    depth: usize,
    seen: bool,
    other: bool,
}

impl<'t> Reader<'t> {
    fn new(source: &'t str) -> Reader<'t> {
        Reader {
            source,
            sections: vec![blank(0)],
            anchors: Anchors::default(),
            text: String::new(),
            passages: Vec::new(),
            run: Plain::default(),
            pending: None,
            strong: Vec::new(),
            strong_from: Vec::new(),
            unread: 0,
            items: 0,
            lists: Lists::default(),
            quotes: 0,
            row: false,
            cells: Vec::new(),
            head: false,
            picture: Picture::default(),
        }
    }

    fn take(&mut self, event: Event<'_>, place: Range<usize>) {
        match event {
            Event::Start(tag) => self.start(&tag, place),
            Event::End(tag) => self.end(tag, place),
            Event::Code(text) => self.code(&text, place),
            Event::InlineMath(_) | Event::DisplayMath(_) => self.maths(place),
            Event::SoftBreak | Event::HardBreak => self.space(place),
            Event::InlineHtml(html) if html.starts_with("<br") => self.space(place),
            Event::Rule => self.flush(),
            _ => {}
        }
    }

    fn start(&mut self, tag: &Tag<'_>, place: Range<usize>) {
        match tag {
            Tag::Heading { level, .. } => {
                self.flush();
                self.end_section();
                let start = place.start;
                self.sections.push(Section { level: *level as u8, heading_span: place, ..blank(start) });
            }
            Tag::Paragraph | Tag::Table(_) | Tag::FootnoteDefinition(_) => self.flush(),
            Tag::List(number) => {
                self.flush();
                self.lists.open(number.is_some());
            }
            Tag::Item => {
                self.flush();
                self.items += 1;
                self.lists.begins = true;
            }
            Tag::BlockQuote(_) => {
                self.flush();
                self.quotes += 1;
            }
            Tag::TableHead | Tag::TableRow => {
                self.flush();
                self.row = true;
                self.head = *tag == Tag::TableHead;
            }
            Tag::TableCell => self.cells.push(self.run.text.len()..self.run.text.len()),
            Tag::CodeBlock(_) | Tag::HtmlBlock | Tag::MetadataBlock(_) => {
                self.flush();
                self.unread += 1;
            }
            Tag::Strikethrough => self.unread += self.struck(&place),
            Tag::Strong => self.strong_from.push(self.run.text.len()),
            Tag::Image { .. } => {
                self.picture.depth += 1;
                self.picture.seen = true;
            }
            _ => {}
        }
    }

    fn end(&mut self, tag: TagEnd, place: Range<usize>) {
        match tag {
            TagEnd::Heading(_) => self.heading(),
            TagEnd::Paragraph | TagEnd::Table | TagEnd::FootnoteDefinition => self.flush(),
            TagEnd::List(_) => {
                self.flush();
                self.lists.open.pop();
            }
            TagEnd::Item => {
                self.flush();
                self.items = self.items.saturating_sub(1);
            }
            TagEnd::BlockQuote(_) => {
                self.flush();
                self.quotes = self.quotes.saturating_sub(1);
            }
            TagEnd::TableHead | TagEnd::TableRow => {
                self.flush();
                self.row = false;
                self.head = false;
            }
            TagEnd::TableCell => {
                let written = self.run.text.len();
                self.cells.iter_mut().last().into_iter().for_each(|cell| cell.end = written);
                let end = self.run.end();
                self.space(end..end);
            }
            TagEnd::Strikethrough => self.unread = self.unread.saturating_sub(self.struck(&place)),
            TagEnd::CodeBlock | TagEnd::HtmlBlock | TagEnd::MetadataBlock(_) => {
                self.unread = self.unread.saturating_sub(1);
            }
            TagEnd::Strong => {
                let end = self.run.text.len();
                let from = self.strong_from.pop().unwrap_or(end);
                let from = from + (self.run.text[from..].len() - self.run.text[from..].trim_start().len());
                self.strong.push(from..end);
            }
            TagEnd::Image => self.picture.depth = self.picture.depth.saturating_sub(1),
            _ => {}
        }
    }

    fn text(&mut self, text: &str, place: Range<usize>) {
        if self.unread > 0 {
            return;
        }
        if self.picture.depth == 0 && !text.trim().is_empty() {
            self.picture.other = true;
        }
        let pending = self.pending.take();
        if self.source.get(place.clone()) == Some(text) {
            // Text that the parser gave in pieces is read in one go.
            let joined = pending.clone().filter(|pending| pending.end == place.start);
            if joined.is_none() {
                self.read_pending(pending);
            }
            self.pending = Some(joined.map_or(place.start, |joined| joined.start)..place.end);
            return;
        }
        self.read_pending(pending);
        self.spelt_otherwise(text, place);
    }

    fn code(&mut self, text: &str, place: Range<usize>) {
        if self.unread == 0 {
            self.picture.other |= self.picture.depth == 0;
            self.spelt_otherwise(text, place);
        }
    }

    /// Text that stands inside what is written, or for it, such as a character reference.
    fn spelt_otherwise(&mut self, text: &str, place: Range<usize>) {
        if let Some(at) = self.source.get(place.clone()).and_then(|source| source.find(text)) {
            return self.run.push_run(text, place.start + at);
        }
        for c in text.chars() {
            self.run.push_as(c, place.clone());
        }
    }

    fn settle(&mut self) {
        let pending = self.pending.take();
        self.read_pending(pending);
    }

    fn read_pending(&mut self, pending: Option<Range<usize>>) {
        if let Some(place) = pending {
            self.run.push_scripts(&self.source[place.clone()], place.start);
        }
    }

    /// 1 for text that is struck out (`~~so~~`), 0 for a subscript (`~so~`).
    fn struck(&self, place: &Range<usize>) -> usize {
        usize::from(self.source.get(place.clone()).is_some_and(|source| source.starts_with("~~")))
    }

    fn maths(&mut self, place: Range<usize>) {
        if self.unread > 0 {
            return;
        }
        self.picture.other = true;
        let source = self.source.get(place.clone()).unwrap_or("");
        let inner = source.trim_matches('$');
        let at = place.start + (source.len() - source.trim_start_matches('$').len());
        self.run.push_maths(inner, at);
    }

    fn space(&mut self, place: Range<usize>) {
        if self.unread == 0 {
            self.run.push_as(' ', place);
        }
    }

    fn heading(&mut self) {
        let mut run = std::mem::take(&mut self.run);
        run.finish();
        self.forget_marks();
        let anchor = self.anchors.next(&run.text);
        if let Some(section) = self.sections.last_mut() {
            section.anchor = anchor;
            section.heading = run.text;
        }
    }

    fn flush(&mut self) {
        let mut run = std::mem::take(&mut self.run);
        run.finish();
        let kind = self.kind();
        let strong = std::mem::take(&mut self.strong);
        let cells = std::mem::take(&mut self.cells);
        self.forget_marks();
        let (text, places) = run.into_parts();
        if text.is_empty() {
            return;
        }
        if !self.text.is_empty() {
            self.text.push(' ');
        }
        let start = self.text.len();
        self.text.push_str(&text);
        let (head, list) = (self.head, self.lists.here());
        self.lists.begins = false;
        self.passages.push((start..self.text.len(), Marks { kind, strong, cells, head, list, places }));
    }

    /// The last section has all its passages.
    fn end_section(&mut self) {
        let Some(section) = self.sections.last_mut().filter(|_| !self.text.is_empty()) else { return };
        let text = Whole::new(self.text.as_str());
        self.text.clear();
        section.passages = self.passages.drain(..).map(|(range, marks)| Passage::new(&text, range, marks)).collect();
        section.text = text.piece(&text);
    }

    fn forget_marks(&mut self) {
        self.strong.clear();
        self.strong_from.iter_mut().for_each(|from| *from = 0);
        self.picture = Picture { depth: self.picture.depth, ..Picture::default() };
    }

    fn kind(&self) -> PassageKind {
        if self.row {
            PassageKind::Row
        } else if self.picture.seen && !self.picture.other {
            PassageKind::Caption
        } else if self.items > 0 {
            PassageKind::Item
        } else if self.quotes > 0 {
            PassageKind::Quotation
        } else {
            PassageKind::Paragraph
        }
    }

    fn finish(mut self) -> Vec<Section> {
        self.flush();
        self.end_section();
        let mut end = self.source.len();
        for section in self.sections.iter_mut().rev() {
            section.span.end = end.max(section.span.start);
            end = section.span.start;
        }
        if self.sections[0].passages.is_empty() {
            self.sections.remove(0);
        }
        self.sections
    }
}

fn blank(at: usize) -> Section {
    Section {
        anchor: String::new(),
        heading: String::new(),
        level: 0,
        span: at..at,
        heading_span: at..at,
        passages: Vec::new(),
        text: Slice::default(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::Notes;
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn sections_end_at_the_next_heading_of_any_level() {
        let source = "before\n\n# One\ntext one\n\n## Two\ntext two\n\n# One\nlast";
        let notes = Notes::read(source);
        let found: Vec<(&str, u8, &str)> =
            notes.sections().iter().map(|s| (s.anchor.as_str(), s.level, s.as_text())).collect();
        assert_eq!(found, [("", 0, "before"), ("one", 1, "text one"), ("two", 2, "text two"), ("one-1", 1, "last")]);
        assert_eq!(&source[notes.section("two").unwrap().span.clone()], "## Two\ntext two\n\n");
        assert_eq!(source[notes.section("two").unwrap().heading_span.clone()].trim(), "## Two");
    }

    #[test]
    fn what_a_reader_reads_is_text() {
        let source = "# A\nOne *two*\nthree\n\n- item **key**\n  - nested\n\n> said `so`\n\n| a | b |\n| - | - |\n| 8 | gale |\n\n![A map of rain](m.svg)\n\n```\ncode\n```\n\n<!-- hidden -->\n\nend ~~not~~ H~2~O m^2^ $\\frac{1}{2}$ &amp; 5\u{2013}6";
        let notes = Notes::read(source);
        let found: Vec<(PassageKind, &str)> =
            notes.sections()[0].passages.iter().map(|p| (p.kind, p.text.as_str())).collect();
        use PassageKind::*;
        let want = [
            (Paragraph, "One two three"),
            (Item, "item key"),
            (Item, "nested"),
            (Quotation, "said so"),
            (Row, "a b"),
            (Row, "8 gale"),
            (Caption, "A map of rain"),
            (Paragraph, "end H2O m^2 1/2 & 5-6"),
        ];
        assert_eq!(found, want);
        let item = &notes.sections()[0].passages[1];
        assert_eq!(&item.text[item.strong[0].clone()], "key");
    }

    #[test]
    fn an_item_knows_its_list() {
        let notes =
            Notes::read("# A\n\nFirst:\n\n1. one\n\n   more\n2. two\n   - in two\n\nThen:\n\n- three\n\n> - four\n");
        let place = |passage: &Passage| passage.list.map(|at| (at.list, at.depth, at.numbered, at.begins));
        let passages = notes.sections()[0].passages.iter();
        let found: Vec<_> = passages.map(|passage| (passage.text.as_str(), place(passage))).collect();
        let want = [
            ("First:", None),
            ("one", Some((1, 1, true, true))),
            ("more", Some((1, 1, true, false))),
            ("two", Some((1, 1, true, true))),
            ("in two", Some((1, 2, false, true))),
            ("Then:", None),
            ("three", Some((2, 1, false, true))),
            ("four", Some((3, 1, false, true))),
        ];
        assert_eq!(found, want);
    }

    #[test]
    fn a_row_has_its_cells() {
        let notes = Notes::read("# A\n\n| Force | Name |\n| --- | --- |\n| **8** | a gale |\n| 9 | |\n");
        let rows = notes.sections()[0].passages.iter();
        let cells: Vec<(bool, Vec<&str>)> =
            rows.map(|row| (row.head, row.cells.iter().map(|cell| &row.text[cell.clone()]).collect())).collect();
        assert_eq!(cells, [(true, vec!["Force", "Name"]), (false, vec!["8", "a gale"]), (false, vec!["9", ""])]);
    }

    #[test]
    fn places_lead_back_to_the_file() {
        let source = "# A\n\nWind is **moving\n> air** that\u{2019}s all.\n\n- and more";
        let notes = Notes::read(source);
        let section = &notes.sections()[0];
        for word in ["moving", "that's", "all.", "more", "Wind"] {
            let at = section.as_text().find(word).unwrap();
            let place = section.place_of(at..at + word.len());
            assert_eq!(source[place].replace('\u{2019}', "'"), word);
        }
    }

    proptest! {
        #[test]
        fn any_bytes_are_notes(text in "(#{1,6} |[-*>|`~$^\\\\\\[\\]()!<&; \n]|[a-c]|é|’){0,60}|\\PC{0,40}") {
            let notes = Notes::read(&text);
            for section in notes.sections() {
                prop_assert!(section.span.end <= text.len());
                for passage in &section.passages {
                    prop_assert_eq!(&section.as_text()[passage.at..passage.at + passage.text.len()], &passage.text);
                    let place = passage.place_of(0..passage.text.len());
                    prop_assert!(text.get(place.clone()).is_some(), "{:?}", place);
                }
            }
        }
    }
}
