//! A deck's text cut between its cards by its lines alone, so that versions of a deck can be compared
//! card by card before any of them is read.
//!
//! The cuts are where the reader makes them as long as each card [`stands_alone`](super::stands_alone);
//! whoever cuts must read what does not.

use std::collections::BTreeMap;

/// A deck's text, cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Split<'a> {
    /// Everything up to the line `cards:`, with that line.
    pub front: &'a str,
    /// The cards.
    pub cards: Vec<Piece<'a>>,
    /// Everything behind the last card: comments and blank lines.
    pub tail: &'a str,
    /// The column of the dashes, from 0.
    pub dash: usize,
}

/// The lines of one card.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Piece<'a> {
    /// The comment and blank lines above it.
    pub lead: &'a str,
    /// Its own lines, from the line of its dash on.
    pub raw: &'a str,
}

impl<'a> Split<'a> {
    /// The cards by id; `None` when one has no plain id, or two have the same.
    pub fn by_id(&self) -> Option<BTreeMap<&'a str, Piece<'a>>> {
        let mut cards = BTreeMap::new();
        let twice = self.cards.iter().any(|piece| piece.id().is_none_or(|id| cards.insert(id, *piece).is_some()));
        (!twice).then_some(cards)
    }
}

impl<'a> Piece<'a> {
    /// The card's id, when it is the first that the card says and is plain.
    pub fn id(&self) -> Option<&'a str> {
        let mut lines = self.raw.lines();
        let line = lines.next()?;
        let column = indent(line) + 2;
        let id = line.trim_start_matches(' ').strip_prefix("- id: ")?;
        // A line that stands further right goes on with the id.
        if lines.next().is_some_and(|next| indent(next) > column) {
            return None;
        }
        let is_plain = |byte: u8| byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_');
        let starts = id.bytes().next().is_some_and(|byte| byte.is_ascii_alphanumeric());
        (starts && id.bytes().all(is_plain)).then_some(id)
    }
}

/// Cuts a deck's text between its cards; `None` when it is not laid out in the usual way: `cards:` last,
/// one card under another, every line ended by `\n`.
pub fn split(text: &str) -> Option<Split<'_>> {
    if text.contains('\r') || !text.ends_with('\n') {
        return None;
    }
    let front = if text.starts_with(CARDS) { CARDS.len() } else { text.find("\ncards:\n")? + 1 + CARDS.len() };
    let dash = text[front..].lines().find(|line| !is_remark(line)).map_or(2, indent);
    let mut cutter = Cutter { text, dash, cards: Vec::new(), start: None, lead: front, end: front, open: false };
    let mut at = front;
    for line in text[front..].split_inclusive('\n') {
        cutter.take(line, at, at + line.len())?;
        at += line.len();
    }
    cutter.close();
    Some(Split { front: &text[..front], tail: &text[cutter.end..], cards: cutter.cards, dash })
}

const CARDS: &str = "cards:\n";

struct Cutter<'a> {
    text: &'a str,
    dash: usize,
    cards: Vec<Piece<'a>>,
    /// Where the lines of the card start that is not closed yet.
    start: Option<usize>,
    /// Where its lead starts, and where its last line ends.
    lead: usize,
    end: usize,
    /// Whether comments that stand as far right as fields still belong to the card.
    open: bool,
}

impl Cutter<'_> {
    fn take(&mut self, line: &str, at: usize, next: usize) -> Option<()> {
        let column = indent(line);
        let body = &line[column..];
        match body.as_bytes().first()? {
            b'\n' => {}
            b'#' if self.open && column >= self.dash + 2 => self.end = next,
            b'#' => self.open = false,
            b'-' if column == self.dash && body.starts_with("- ") => {
                self.close();
                (self.start, self.end, self.open) = (Some(at), next, true);
            }
            b'\t' => return None,
            _ if column > self.dash && self.start.is_some() => (self.end, self.open) = (next, true),
            _ => return None,
        }
        Some(())
    }

    fn close(&mut self) {
        if let Some(start) = self.start.take() {
            self.cards.push(Piece { lead: &self.text[self.lead..start], raw: &self.text[start..self.end] });
            self.lead = self.end;
        }
    }
}

fn indent(line: &str) -> usize {
    line.len() - line.trim_start_matches(' ').len()
}

fn is_remark(line: &str) -> bool {
    let line = line.trim_start_matches(' ');
    line.is_empty() || line.starts_with('#')
}

#[cfg(test)]
mod tests {
    use super::super::outline;
    use super::*;

    #[test]
    fn cards_are_cut_where_the_reader_cuts_them() {
        let text = "# d\ntitle: T\ncards:\n\n  # a\n  - id: a\n    question: |\n      x\n\n      # y\n    # of a\n   # of b\n    # of b too\n  - id: b\n    answer: x\n\n# end\n";
        let (cut, read) = (split(text).expect("usual"), outline(text).expect("readable"));
        let cards: Vec<_> = read.cards.iter().map(|card| (card.lead.as_str(), card.raw.as_str())).collect();
        assert_eq!(cut.cards.iter().map(|piece| (piece.lead, piece.raw)).collect::<Vec<_>>(), cards);
        assert_eq!((cut.tail, cut.dash), (read.tail.as_str(), 2));
        assert_eq!(cut.front, "# d\ntitle: T\ncards:\n");
        assert_eq!(cut.cards.iter().map(Piece::id).collect::<Vec<_>>(), [Some("a"), Some("b")]);
    }

    #[test]
    fn an_id_on_two_lines_is_not_plain() {
        let id = |raw| Piece { lead: "", raw }.id();
        assert_eq!(id("  - id: a\n    answer: b\n"), Some("a"));
        assert_eq!(id("  - id: a\n     b\n"), None);
    }

    #[test]
    fn what_is_laid_out_in_another_way_is_not_cut() {
        for text in [
            "cards: []\n",
            "cards:\n  - id: a\nyear: 8\n",
            "cards:\n  - id: a\r\n",
            "cards:\n  - id: a",
            "cards:\n- id: a\n---\n",
            "cards:\n  - id: a\n - id: b\n",
            "title: T\n",
        ] {
            assert_eq!(split(text), None, "{text}");
        }
    }
}
