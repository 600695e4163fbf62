//! From a deck's text to its parts.

use std::ops::Range;

use super::{CardText, DeckText, FieldText, deck_text};
use crate::deck::value::Value;
use crate::deck::write;
use crate::deck::yaml::{self, Entry, Node, Shape, Style};
use crate::place::Span;

/// The parts of a deck's text; `None` when it cannot be read as a deck whose cards stand one under
/// another, or when a field stands twice somewhere: of its two values one would be lost.
///
/// Putting the parts together again gives the same bytes.
pub fn outline(text: &str) -> Option<DeckText> {
    let tree = yaml::parse(text).ok()?;
    if !tree.unknown_aliases.is_empty() || tree.second_document.is_some() {
        return None;
    }
    let root = tree.root.filter(|root| !root.repeats_fields())?;
    let entries = root.map()?;
    let source = Source::new(text);
    let starts_line = |entry: &Entry| entry.key.text().is_some() && source.column(entry.key.span.start()) == 0;
    if root.style != Style::Block || !entries.iter().all(starts_line) {
        return None;
    }
    let at = entries.iter().position(|entry| entry.key.text() == Some("cards"))?;
    let cards = &entries[at].value;
    let items = if cards.is_empty() { &[] } else { cards.list()? };
    if !items.is_empty() && cards.style != Style::Block || cards.alias || cards.anchor.is_some() {
        return None;
    }
    let source = Source { comments: tree.comments.iter().map(|comment| comment.span).collect(), ..source };
    source.deck(&entries[..at], &entries[at], items).filter(|deck| deck_text(deck) == text)
}

impl DeckText {
    /// The same deck with the fields that stand behind its cards before them, so that all its fields
    /// are in one place.
    #[must_use]
    pub fn with_fields_first(mut self) -> Self {
        let Ok(tree) = yaml::parse(&self.tail) else { return self };
        let Some(entries) = tree.root.as_ref().and_then(Node::map) else { return self };
        let source = Source { text: &self.tail, crlf: self.newline == "\r\n", comments: Vec::new() };
        let mut at = 0;
        for entry in entries {
            let end = source.content_end(entry);
            self.fields.push(source.field(entry, at..entry.key.span.start(), end, 0));
            at = source.next_line(end);
        }
        self.tail = self.tail[at..].to_owned();
        self
    }
}

struct Source<'a> {
    text: &'a str,
    /// Whether all lines end in `\r\n`. Where only some do, the `\r` stays with the line.
    crlf: bool,
    /// Where remarks stand, in order.
    comments: Vec<Span>,
}

impl<'a> Source<'a> {
    fn new(text: &'a str) -> Self {
        let breaks = text.matches('\n').count();
        Self { text, crlf: breaks > 0 && text.matches("\r\n").count() == breaks, comments: Vec::new() }
    }

    fn deck(&self, before: &[Entry], cards: &Entry, items: &[Node]) -> Option<DeckText> {
        let mut deck = DeckText {
            head: String::new(),
            fields: Vec::new(),
            cards_line: String::new(),
            cards: Vec::new(),
            tail: String::new(),
            newline: if self.crlf { "\r\n" } else { "\n" },
        };
        let first = before.first().unwrap_or(cards).key.span.start();
        deck.head = self.text[..first].to_owned();
        let mut at = first;
        for entry in before {
            let end = self.content_end(entry);
            deck.fields.push(self.field(entry, at..entry.key.span.start(), end, 0));
            at = self.next_line(end);
        }
        let cards_end = self.next_line(self.line_end(cards.key.span.end()));
        deck.cards_line = self.text[at..cards_end].to_owned();
        at = cards_end;
        for item in items {
            let (card, end) = self.card(item, at)?;
            deck.cards.push(card);
            at = end;
        }
        deck.tail = self.text[at..].to_owned();
        Some(deck)
    }

    /// The card in `item`, whose lead starts at `from`, and where it ends.
    fn card(&self, item: &Node, from: usize) -> Option<(CardText, usize)> {
        let dash = self.dash_before(item.span.start(), from)?;
        let start = self.line_start(dash);
        if !self.text[start..dash].bytes().all(|byte| byte == b' ') {
            return None;
        }
        let column = dash - start;
        let end = self.node_end(item).max(dash + 1);
        let end = self.next_line(self.line_end(end));
        let plain = item.map().is_some_and(|entries| self.is_plain(item, entries, dash));
        let offset = if plain { item.span.start() - dash } else { 2 };
        let fields_end = end;
        let (trail, end) = if plain { self.trail(end, column + offset) } else { (String::new(), end) };
        let fields = if plain { self.fields(item.map()?, column + offset) } else { self.canonical(item, dash..end) };
        let card = CardText {
            id: item.get("id").and_then(Node::text).unwrap_or_default().to_owned(),
            lead: self.text.get(from..start)?.to_owned(),
            raw: self.text[start..end].to_owned(),
            dash: column,
            offset,
            fields,
            trail,
        };
        debug_assert!(fields_end <= end);
        Some((card, end))
    }

    /// Whether a card's fields stand one a line from the dash on, so that their text can be taken apart.
    fn is_plain(&self, item: &Node, entries: &[Entry], dash: usize) -> bool {
        item.style == Style::Block
            && !item.uses_anchors()
            && item.tag.is_none()
            && self.text[dash + 1..item.span.start()].bytes().all(|byte| byte == b' ')
            && entries
                .iter()
                .all(|entry| entry.key.text().is_some_and(|key| self.text[entry.key.span.start()..].starts_with(key)))
            && entries.windows(2).all(|pair| self.content_end(&pair[0]) < pair[1].key.span.start())
    }

    fn fields(&self, entries: &[Entry], column: usize) -> Vec<FieldText> {
        let mut fields = Vec::with_capacity(entries.len());
        let mut at = entries.first().map_or(0, |entry| entry.key.span.start());
        for entry in entries {
            let end = self.content_end(entry);
            let lead_end = self.line_start(entry.key.span.start()).max(at);
            fields.push(self.field(entry, at..lead_end, end, column));
            at = self.next_line(end);
        }
        fields
    }

    fn field(&self, entry: &Entry, lead: Range<usize>, end: usize, column: usize) -> FieldText {
        FieldText {
            name: entry.key.text().unwrap_or_default().to_owned(),
            value: Value::from_node(&entry.value),
            lead: self.dedent(self.text.get(lead).unwrap_or_default(), column, true),
            text: self.dedent(self.text.get(entry.key.span.start()..end).unwrap_or_default(), column, false),
        }
    }

    /// The fields of a card that cannot be taken apart as typed, in our own style; its remarks stand above
    /// the fields that they were beside.
    fn canonical(&self, item: &Node, range: Range<usize>) -> Vec<FieldText> {
        let mut fields = canonical(item);
        let starts: Vec<usize> = item.map().unwrap_or_default().iter().map(|entry| entry.key.span.start()).collect();
        if fields.is_empty() || starts.len() != fields.len() {
            return fields;
        }
        let first = self.comments.partition_point(|comment| comment.start() < range.start);
        for comment in self.comments[first..].iter().take_while(|comment| comment.start() < range.end) {
            let line = self.line_start(comment.start());
            let alone = self.text[line..comment.start()].trim().is_empty();
            let behind = starts.iter().filter(|start| **start < comment.start()).count();
            let at = if alone { behind } else { behind.saturating_sub(1) };
            let remark = comment.of(self.text).trim_end();
            fields[at.min(starts.len() - 1)].lead.push_str(&format!("{remark}\n"));
        }
        fields
    }

    /// Comment lines behind a card's last field that stand as far right as its fields.
    fn trail(&self, from: usize, column: usize) -> (String, usize) {
        let mut end = from;
        let mut at = from;
        while at < self.text.len() {
            let next = self.next_line(self.line_end(at));
            let line = self.text[at..next].trim_end();
            let indent = line.len() - line.trim_start().len();
            if line.is_empty() {
                at = next;
            } else if line.trim_start().starts_with('#') && indent >= column {
                at = next;
                end = next;
            } else {
                break;
            }
        }
        (self.dedent(&self.text[from..end], column, true), end)
    }

    /// The dash that opens the entry at `start`, behind `from`.
    fn dash_before(&self, start: usize, from: usize) -> Option<usize> {
        let mut line = self.line_start(start);
        loop {
            let end = self.line_end(line).min(start.max(line));
            let text = &self.text[line..end.max(line)];
            let indent = text.len() - text.trim_start_matches(' ').len();
            if text[indent..].starts_with('-') {
                return Some(line + indent);
            }
            if line <= from {
                return None;
            }
            line = self.line_start(line - 1);
        }
    }

    /// The end of the last line of a field, comment on that line included, line end not.
    fn content_end(&self, entry: &Entry) -> usize {
        let end = self.node_end(&entry.value).max(entry.key.span.end());
        self.line_end(end.max(self.line_end(entry.key.span.end()).min(end)))
    }

    fn node_end(&self, node: &Node) -> usize {
        if node.alias || node.style == Style::Flow {
            return node.span.end();
        }
        match &node.shape {
            Shape::List(items) => items.last().map_or(node.span.end(), |item| self.node_end(item)),
            Shape::Map(entries) => {
                entries.last().map_or(node.span.end(), |entry| self.node_end(&entry.value).max(entry.key.span.end()))
            }
            Shape::Text(_) if matches!(node.style, Style::Literal | Style::Folded) => self.lines_end(node),
            // A value that is not there may be given the place of what comes next.
            Shape::Text(_) if node.span.start() == node.span.end() => self.text[..node.span.end()].trim_end().len(),
            Shape::Text(_) => node.span.end(),
        }
    }

    /// The end of text in lines: behind its last line; with `|+`, behind the blank lines that count.
    fn lines_end(&self, node: &Node) -> usize {
        let before = self.text[..node.span.start()].trim_end();
        let header = &before[self.line_start(before.len())..];
        let header = header.split(" #").next().unwrap_or_default();
        let keeps = header.trim_end().trim_end_matches(|c: char| c.is_ascii_digit()).ends_with('+')
            || header.trim_end().ends_with('+');
        let written = node.span.of(self.text);
        let kept = written.trim_end_matches([' ', '\t', '\r', '\n']);
        if !keeps {
            return if kept.is_empty() { before.len() } else { node.span.start() + kept.len() };
        }
        if written.is_empty() {
            return self.line_end(node.span.start().saturating_sub(1));
        }
        // The file may end in the middle of its last line.
        let ended = written.rfind('\n').filter(|at| written[*at..].trim().is_empty());
        let last = ended.unwrap_or(written.len());
        node.span.start() + written[..last].trim_end_matches('\r').len()
    }

    /// `text` with `\n` line ends and up to `column` blanks taken off each line (but the first, unless
    /// `whole`).
    fn dedent(&self, text: &str, column: usize, whole: bool) -> String {
        let mut out = String::with_capacity(text.len());
        for (at, line) in text.split_inclusive('\n').enumerate() {
            let body = line.strip_suffix('\n').unwrap_or(line);
            let ended = self.crlf && body.len() < line.len();
            let body = if ended { body.strip_suffix('\r').unwrap_or(body) } else { body };
            let blanks = body.len() - body.trim_start_matches(' ').len();
            let strip = if at == 0 && !whole { 0 } else { blanks.min(column) };
            out.push_str(&body[strip..]);
            if line.ends_with('\n') {
                out.push('\n');
            }
        }
        out
    }

    fn column(&self, at: usize) -> usize {
        self.text[self.line_start(at)..at].trim_start_matches('\u{feff}').len()
    }

    fn line_start(&self, at: usize) -> usize {
        self.text[..at].rfind('\n').map_or(0, |newline| newline + 1)
    }

    /// Where the line of `at` ends, before its line end.
    fn line_end(&self, at: usize) -> usize {
        let end = self.text[at..].find('\n').map_or(self.text.len(), |newline| at + newline);
        if self.crlf && end > at && self.text[..end].ends_with('\r') { end - 1 } else { end }
    }

    /// Behind the line end at `at`.
    fn next_line(&self, at: usize) -> usize {
        self.text[at..].find('\n').map_or(self.text.len(), |newline| at + newline + 1)
    }
}

/// The fields of a card that cannot be taken apart as typed, in our own style.
fn canonical(item: &Node) -> Vec<FieldText> {
    let Value::Map(fields) = Value::from_node(item) else { return Vec::new() };
    let field = |(name, value): (String, Value)| FieldText {
        text: write::lines_of_field(&name, &value),
        name,
        value,
        lead: String::new(),
    };
    fields.into_iter().map(field).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_that_are_not_there_end_in_their_own_card() {
        for value in ["q: |+\n\n", "q: |+ # y\n", "q: |\n\n", "q: >-\n\n  # x", "? q", "q:", "q: &x", "q: ! # x"] {
            for text in ["cards:\n- id: a\n  VALUE\n- id: b\n", "cards:\n- id: a\n  VALUE\n"] {
                let text = text.replace("VALUE", value);
                let deck = outline(&text).unwrap_or_else(|| panic!("readable: {text}"));
                assert_eq!(deck_text(&deck), text);
                assert!(deck.cards[0].raw.contains(value.trim_end()), "{deck:?}");
            }
        }
    }

    #[test]
    fn names_that_are_no_text_cannot_be_taken_apart() {
        assert_eq!(outline("title: T\n?\nyear: 8\ncards: []\n"), None);
        assert_eq!(outline("? title\n: T\ncards: []\n"), None);
    }

    #[test]
    fn lines_that_end_in_different_ways_stay_so() {
        for text in [
            "title:\r\n  T\nyear: 8\r\ncards:\n  - id: a\r\n    question: x\n",
            "title: T\r\r\nyear: 8\r\ncards:\r\n  - id: a\r\n",
        ] {
            assert_eq!(outline(text).map(|parts| deck_text(&parts)).as_deref(), Some(text));
        }
    }

    #[test]
    fn fields_behind_the_cards_can_be_brought_before_them() {
        let text = "title: T\ncards:\n  - id: a\n    question: x\n\n# eight\nyear: 8\n# end\n";
        let parts = outline(text).expect("readable");
        assert_eq!(deck_text(&parts), text);
        let expected = "title: T\n\n# eight\nyear: 8\ncards:\n  - id: a\n    question: x\n# end\n";
        assert_eq!(deck_text(&parts.with_fields_first()), expected);
        let usual = outline(expected).expect("readable");
        assert_eq!(usual.clone().with_fields_first(), usual);
    }
}
