//! Whether the lines of a card say the same wherever the card stands: nothing in them is left open,
//! and nothing is of a kind that only the reader can judge.

/// Whether the lines of a card, from its dash in column `dash` on, are surely one card: it reads as it
/// stands, has no field twice, and has no bearing on the cards around it. In doubt they are not.
pub fn stands_alone(raw: &str, dash: usize) -> bool {
    if has_odd_signs(raw) {
        return false;
    }
    let mut lines = Lines::new(raw);
    let first = lines.line.filter(|line| line.column == dash && line.text.starts_with("- id: "));
    lines.step();
    first.is_some_and(|first| lines.map(Some(&first.text[2..]), dash + 2, 0).is_some() && lines.peek().is_none())
}

/// Whether there are signs that YAML does not allow, or takes for the end of a line.
fn has_odd_signs(raw: &str) -> bool {
    let is_odd =
        |c: char| c.is_control() || matches!(c, '\u{2028}' | '\u{2029}' | '\u{feff}' | '\u{fffe}' | '\u{ffff}');
    // All bytes are looked at, which is quicker than to stop early.
    raw.bytes().fold(false, |odd, byte| odd | (byte < b' ') & (byte != b'\n') | (byte == 0x7f))
        || !raw.is_ascii() && raw.chars().any(|c| c != '\n' && is_odd(c))
}

/// How deep lists and maps may stand in one another; cards need four.
const DEEPEST: usize = 8;

/// The lines that were not looked at yet. All answers are `None` for what cannot be judged here.
struct Lines<'a> {
    /// The next line of any kind.
    line: Option<Line<'a>>,
    /// What stands behind it.
    rest: &'a str,
}

/// A line without its indentation.
#[derive(Clone, Copy)]
struct Line<'a> {
    column: usize,
    text: &'a str,
}

impl<'a> Lines<'a> {
    fn new(text: &'a str) -> Self {
        let mut lines = Self { line: None, rest: text };
        lines.step();
        lines
    }

    /// Goes on to the next line.
    fn step(&mut self) {
        self.line = None;
        if !self.rest.is_empty() {
            let (line, rest) = self.rest.split_once('\n').unwrap_or((self.rest, ""));
            let column = line.bytes().take_while(|byte| *byte == b' ').count();
            (self.line, self.rest) = (Some(Line { column, text: &line[column..] }), rest);
        }
    }

    /// The next line that is neither blank nor a comment; those before it are passed.
    fn peek(&mut self) -> Option<Line<'a>> {
        while let Some(line) = self.line {
            if !line.text.is_empty() && !line.text.starts_with('#') {
                return Some(line);
            }
            self.step();
        }
        None
    }

    /// Fields in `column`, of which the first may stand behind a dash.
    fn map(&mut self, first: Option<&'a str>, column: usize, depth: usize) -> Option<()> {
        let mut names: Vec<&str> = Vec::new();
        let mut text = match first {
            Some(text) => text,
            None => self.taken(column)?,
        };
        loop {
            let (name, value) = field(text)?;
            if names.contains(&name) || depth > DEEPEST {
                return None;
            }
            names.push(name);
            self.value(value, column, depth)?;
            match self.peek() {
                Some(line) if line.column == column => text = self.taken(column)?,
                Some(line) if line.column > column => return None,
                _ => return Some(()),
            }
        }
    }

    /// The next line, taken, when it stands in `column`.
    fn taken(&mut self, column: usize) -> Option<&'a str> {
        let line = self.peek().filter(|line| line.column == column)?;
        self.step();
        Some(line.text)
    }

    fn value(&mut self, value: &'a str, column: usize, depth: usize) -> Option<()> {
        match value {
            "" => {
                let line = self.peek()?;
                let is_list = line.text.starts_with("- ");
                match line.column {
                    inner if is_list && inner >= column => self.list(inner, depth + 1),
                    inner if inner > column => self.map(None, inner, depth + 1),
                    _ => None,
                }
            }
            "|" | "|-" | ">" | ">-" => self.text_in_lines(column),
            _ => self.scalar(value, column),
        }
    }

    /// Entries with their dashes in `column`.
    fn list(&mut self, column: usize, depth: usize) -> Option<()> {
        while let Some(line) = self.peek().filter(|line| line.column == column && line.text.starts_with("- ")) {
            self.step();
            let entry = &line.text[2..];
            match field(entry) {
                Some(_) => self.map(Some(entry), column + 2, depth + 1)?,
                None => self.scalar(entry, column)?,
            }
        }
        let deeper = self.peek().is_some_and(|line| line.column > column);
        (!deeper && depth <= DEEPEST).then_some(())
    }

    /// Text in lines behind a field in `column`.
    fn text_in_lines(&mut self, column: usize) -> Option<()> {
        let depth = self.line.filter(|line| line.column > column && !line.text.is_empty())?.column;
        while let Some(line) = self.line {
            match line {
                Line { column: 0, text: "" } => {}
                Line { text: "", .. } => return None,
                line if line.column >= depth => {}
                line if line.column <= column => break,
                _ => return None,
            }
            self.step();
        }
        Some(())
    }

    /// A text on one line, or unquoted on several, behind something in `column`.
    fn scalar(&mut self, value: &'a str, column: usize) -> Option<()> {
        let inside = |mark: char| value.strip_prefix(mark)?.strip_suffix(mark);
        if value.starts_with('"') {
            return inside('"').filter(|text| !text.contains(['"', '\\'])).map(drop);
        }
        if value.starts_with('\'') {
            return inside('\'').filter(|text| !text.replace("''", "").contains('\'')).map(drop);
        }
        if let Some(list) = value.strip_prefix('[') {
            return is_plain_list(list.strip_suffix(']')?).then_some(());
        }
        if !is_plain(value) {
            return None;
        }
        while let Some(line) = self.line {
            if line.text.is_empty() || line.column <= column || line.text.starts_with('#') {
                break;
            }
            if !is_plain(line.text) {
                return None;
            }
            self.step();
        }
        Some(())
    }
}

/// A field's name, and what stands behind it on its line.
fn field(text: &str) -> Option<(&str, &str)> {
    let (name, value) = text.split_once(':')?;
    let is_name = name.bytes().all(|byte| byte.is_ascii_lowercase() || byte == b'_') && !name.is_empty();
    let is_parted = value.is_empty() || value.starts_with(' ');
    (is_name && is_parted).then(|| (name, value.trim_matches(' ')))
}

/// Whether a line of unquoted text is nothing but text.
fn is_plain(text: &str) -> bool {
    let starts = text.chars().next().is_some_and(|c| c.is_alphanumeric() || matches!(c, '(' | '/' | '£' | '€' | '$'));
    starts && !says_more(text.as_bytes())
}

/// Whether there is a `:` with a blank or nothing but blanks behind it, or a `#` with a blank before it.
fn says_more(text: &[u8]) -> bool {
    let mut before = 0;
    for &byte in text {
        if byte == b' ' && before == b':' || byte == b'#' && before == b' ' {
            return true;
        }
        before = byte;
    }
    before == b':'
}

/// Whether what stands between brackets is words with commas between them.
fn is_plain_list(list: &str) -> bool {
    let is_word = |word: &str| {
        let word = word.trim_matches(' ');
        word.bytes().next().is_some_and(|byte| byte.is_ascii_alphanumeric())
            && word.bytes().all(|byte| byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_' | b' '))
    };
    list.trim_matches(' ').is_empty() || list.split(',').all(is_word)
}

#[cfg(test)]
mod tests {
    use super::super::{Piece, outline, split};
    use super::*;
    use crate::deck::yaml;
    use proptest::prelude::*;

    #[test]
    fn usual_cards_stand_alone() {
        for raw in [
            "  - id: a\n    question: What is a gale?\n    answer: Force 8\n",
            "  - id: a\n    answer:\n      - one\n      - two, too\n    tags: [a, b-c]\n    both_ways: true\n",
            "  - id: a\n    also:\n      - question: Why?\n        answer: \"So: yes\"\n    # done\n    allow:\n      long: 'It''s so'\n",
            "  - id: a\n    quote: >-\n      One line\n      # and another\n\n      more\n    answer: on\n      two lines\n",
        ] {
            assert!(stands_alone(raw, 2), "{raw}");
        }
    }

    #[test]
    fn what_only_the_reader_can_judge_does_not() {
        for field in [
            "id: b",
            "answer: \"open",
            "answer: 'a'b",
            "answer: a: b",
            "answer: a #b",
            "answer: {a: b}",
            "answer: [a",
            "answer: &x a",
            "answer: *x",
            "answer: !x a",
            "answer: |+\n      a",
            "answer: \"\\q\"",
            "answer:",
            "? answer",
            "answer: a\u{7}",
            "answer: |\n        a\n      b",
            "answer: @a",
            "- a",
            "answer: a\n\n      b",
            "<<: a",
        ] {
            assert!(!stands_alone(&format!("  - id: a\n    {field}\n"), 2), "{field}");
        }
    }

    /// Lines as people write them and as nobody should.
    fn line() -> impl Strategy<Value = String> {
        let text = prop::sample::select(vec![
            "question: What is it?",
            "answer: a",
            "answer:",
            "answer: |",
            "quote: >-",
            "- one",
            "- question: why",
            "also:",
            "two: 'x'",
            "two: \"x",
            "two: \"x\"",
            "x\"",
            "more text",
            "# note",
            "",
            "[a, b]",
            "tags: [a, b]",
            "a: b: c",
            "two: a #b",
            "two: 'it''s'",
            "two: 'it's'",
            "two: &a b",
            "two: *a",
            "- - x",
            "-",
            "---",
            "two: {a: b}",
            "? x",
            "two: -",
            "two: a:",
            "two: (a) ",
            "id: b",
            "- id: c",
            "two:  x",
            "two: |+",
            "£5",
            "\u{85}",
            "two: a\u{a0}b",
            "two: é",
            "%x",
            "...",
        ]);
        (0..10_usize, text).prop_map(|(column, text)| format!("{}{text}\n", " ".repeat(column)))
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, cases: 4000, ..ProptestConfig::default() })]

        /// Put among others, a card that stands alone is one card and leaves the others as they are.
        #[test]
        fn what_stands_alone_reads_as_one_card(
            first in prop::collection::vec(line(), 0..5),
            second in prop::collection::vec(line(), 0..5),
        ) {
            let cards = [first, second];
            let cards = cards.iter().enumerate().map(|(at, lines)| format!("  - id: n{at}\n{}", lines.concat()));
            let text = format!("title: T\ncards:\n{}  - id: end\n    answer: a\n", cards.collect::<String>());
            let Some(cut) = split(&text) else { return Ok(()) };
            let alone = |piece: &&Piece<'_>| piece.id().is_some() && stands_alone(piece.raw, cut.dash);
            if cut.cards.iter().all(|piece| alone(&piece)) {
                let read = outline(&text);
                prop_assert!(read.is_some(), "{}", text);
                let read = read.into_iter().flat_map(|deck| deck.cards);
                let read: Vec<_> = read.map(|card| (card.id, card.lead, card.raw, card.dash, card.offset)).collect();
                let pieces = cut.cards.iter().map(|piece| {
                    (piece.id().unwrap_or_default().to_owned(), piece.lead.to_owned(), piece.raw.to_owned(), 2, 2)
                });
                prop_assert_eq!(read, pieces.collect::<Vec<_>>());
                let root = yaml::parse(&text).ok().and_then(|tree| tree.root);
                prop_assert!(root.is_some_and(|root| !root.repeats_fields()));
            }
            for piece in cut.cards.iter().filter(alone) {
                let text = format!("cards:\n{}", piece.raw);
                prop_assert_eq!(outline(&text).map(|deck| deck.cards.len()), Some(1), "{}", text);
            }
        }
    }
}
