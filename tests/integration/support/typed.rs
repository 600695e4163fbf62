//! Values typed as people type them: every style of YAML, comments, blank lines, line ends of both
//! kinds, a byte order mark, no line end at the end.

use deckle::deck::Value;
use proptest::prelude::*;

/// A text, and what was typed for each scalar in it, in order, names of fields included.
#[derive(Clone)]
pub struct Typed {
    /// The whole text.
    pub text: String,
    /// The scalars.
    pub scalars: Vec<Scalar>,
}

impl std::fmt::Debug for Typed {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:?}\n{}", self.text, self.text)
    }
}

/// A scalar as it was typed.
#[derive(Clone, Debug)]
pub struct Scalar {
    /// What it says.
    pub says: String,
    /// What was typed; of text in lines, the lines without the mark above them.
    pub typed: String,
    /// Whether it is text in lines.
    pub in_lines: bool,
}

/// `value`, typed by different hands.
pub fn typed(value: BoxedStrategy<Value>) -> BoxedStrategy<(Value, Typed)> {
    (value, hand()).prop_map(|(value, hand)| (value.clone(), typed_by(hand, &value))).boxed()
}

/// How somebody types: choices in a row, of which 0 is the plainest and all that are left when the
/// row is at its end.
pub fn hand() -> impl Strategy<Value = Vec<u8>> {
    let plain = prop::collection::vec(Just(0), 0..1);
    let any = prop::collection::vec(any::<u8>(), 0..160).prop_map(|row| row.repeat(4));
    prop_oneof![1 => plain, 6 => any]
}

/// `value`, a map, typed with the choices in `hand`.
pub fn typed_by(hand: Vec<u8>, value: &Value) -> Typed {
    let mut typist = Typist { hand: hand.into_iter(), out: String::new(), scalars: Vec::new(), keeps: false };
    let (bom, crlf, cut) = (typist.choose(8) == 7, typist.choose(4) == 3, typist.choose(4) == 3);
    if typist.choose(8) == 7 {
        typist.out.push_str("---\n");
    }
    match value {
        Value::Map(fields) if !fields.is_empty() => typist.fields(fields.iter(), 0, false),
        other => {
            typist.flow(other, 0);
            typist.out.push('\n');
        }
    }
    typist.remark(0);
    if cut {
        // A line end that is a part of the last text cannot be left out; a remark shields it.
        if typist.scalars.last().is_some_and(|last| last.in_lines && last.says.ends_with('\n')) {
            typist.out.push_str("# end\n");
        }
        typist.out.truncate(typist.out.trim_end_matches('\n').len());
    }
    let mut typed = Typed { text: typist.out, scalars: typist.scalars };
    if crlf {
        typed.text = typed.text.replace('\n', "\r\n");
        typed.scalars.iter_mut().for_each(|scalar| scalar.typed = scalar.typed.replace('\n', "\r\n"));
    }
    if bom {
        typed.text.insert(0, '\u{feff}');
    }
    typed
}

struct Typist {
    hand: std::vec::IntoIter<u8>,
    out: String,
    scalars: Vec<Scalar>,
    /// Whether blank lines from here on would belong to the text before.
    keeps: bool,
}

impl Typist {
    /// One of `many` choices.
    fn choose(&mut self, many: usize) -> usize {
        usize::from(self.hand.next().unwrap_or(0)) % many
    }

    fn indent(&mut self, column: usize) {
        self.out.push_str(&" ".repeat(column));
    }

    /// Blank lines and remarks on lines of their own, now and then.
    fn remark(&mut self, column: usize) {
        let remark = match self.choose(16) {
            9 | 10 => "",
            11 => "# a remark",
            12 => "#",
            13 => "# - id: x",
            14 => "# answer: \"8' [",
            15 => "# a\n\n# b",
            _ => return,
        };
        if remark.is_empty() && self.keeps {
            return;
        }
        self.keeps = false;
        for line in remark.split('\n') {
            if !line.is_empty() {
                self.indent(column);
            }
            self.out.push_str(line);
            self.out.push('\n');
        }
    }

    fn end_line(&mut self) {
        match self.choose(8) {
            6 => self.out.push_str("  # why"),
            7 => self.out.push_str(" \t# ' \" ["),
            _ => {}
        }
        self.out.push('\n');
    }

    /// Fields one under another in `column`; the first one goes on the line that is there already
    /// when `started`.
    fn fields<'v>(&mut self, fields: impl Iterator<Item = (&'v String, &'v Value)>, column: usize, mut started: bool) {
        for (name, value) in fields {
            if !started {
                self.remark(column);
                self.indent(column);
            }
            started = false;
            self.keeps = false;
            self.name(name);
            self.out.push(':');
            self.value(value, column);
        }
    }

    /// What stands behind a field's colon, to the end of its last line.
    fn value(&mut self, value: &Value, column: usize) {
        match value {
            Value::Text(text) => {
                let blanks = if self.choose(8) == 7 { "   " } else { " " };
                self.out.push_str(blanks);
                self.text(text, column);
            }
            Value::List(items) if items.is_empty() || self.choose(if column == 0 { 12 } else { 3 }) == 1 => {
                self.out.push(' ');
                self.flow_list(items, column);
                self.end_line();
            }
            Value::List(items) => {
                self.end_line();
                let column = column + 2 * self.choose(2);
                items.iter().for_each(|item| self.item(item, column));
            }
            Value::Map(fields) if fields.is_empty() || self.choose(4) == 3 => {
                self.out.push(' ');
                self.flow(value, column);
                self.end_line();
            }
            Value::Map(fields) => {
                self.end_line();
                let column = column + 1 + self.choose(4);
                self.fields(fields.iter(), column, false);
            }
        }
    }

    fn item(&mut self, item: &Value, column: usize) {
        self.remark(column);
        self.keeps = false;
        self.indent(column);
        self.out.push('-');
        let blanks = [1, 1, 1, 3][self.choose(4)];
        self.indent(blanks);
        match item {
            Value::Text(text) => self.text(text, column),
            Value::Map(fields) if !fields.is_empty() && self.choose(8) != 7 => {
                self.fields(fields.iter(), column + 1 + blanks, true);
            }
            other => {
                self.flow(other, column);
                self.end_line();
            }
        }
    }

    /// A value in brackets, or text, on one line.
    fn flow(&mut self, value: &Value, column: usize) {
        match value {
            Value::Text(text) => self.inline(text, true),
            Value::List(items) => self.flow_list(items, column),
            Value::Map(fields) => {
                self.out.push('{');
                for (at, (name, value)) in fields.iter().enumerate() {
                    self.out.push_str(if at > 0 { ", " } else { "" });
                    self.quoted_name(name);
                    self.out.push_str(": ");
                    self.flow(value, column);
                }
                self.out.push('}');
            }
        }
    }

    fn flow_list(&mut self, items: &[Value], column: usize) {
        let broken = self.choose(6) == 5;
        self.out.push('[');
        for (at, item) in items.iter().enumerate() {
            self.out.push_str(if at > 0 { "," } else { "" });
            if broken {
                self.out.push('\n');
                self.indent(column + 2);
            } else if at > 0 {
                self.out.push(' ');
            }
            self.flow(item, column);
        }
        self.out.push(']');
    }

    /// A field's name.
    fn name(&mut self, name: &str) {
        if is_plain(name, false) && self.choose(12) != 11 {
            self.push(name, name, false);
        } else {
            self.quoted_name(name);
        }
    }

    fn quoted_name(&mut self, name: &str) {
        if is_plain(name, true) { self.push(name, name, false) } else { self.push(name, &double(name), false) }
    }

    /// Text on one line.
    fn inline(&mut self, text: &str, flow: bool) {
        let mut ways = Vec::new();
        if is_plain(text, flow) {
            ways.push(text.to_owned());
        }
        if is_printable(text) && !text.contains('\n') {
            ways.push(format!("'{}'", text.replace('\'', "''")));
        }
        ways.push(double(text));
        let way = self.choose(ways.len());
        self.push(text, &ways[way], false);
    }

    /// Text in any style, to the end of its last line; `column` is that of the field or dash.
    fn text(&mut self, text: &str, column: usize) {
        match self.choose(6) {
            3 if can_stand_in_lines(text, true) => self.lines(text, column, '|'),
            4 if can_stand_in_lines(text, false) => self.lines(text, column, '>'),
            5 => self.wrapped(text, column),
            _ => {
                self.inline(text, false);
                self.end_line();
            }
        }
    }

    /// Text in lines after `|` or `>`.
    fn lines(&mut self, text: &str, column: usize, mark: char) {
        let deeper = 1 + self.choose(4);
        self.out.push(mark);
        if text.starts_with(' ') || self.choose(8) == 7 {
            self.out.push_str(&deeper.to_string());
        }
        let kept = text.trim_end_matches('\n');
        let ends = text.len() - kept.len();
        self.out.push_str(["-", "", "+"][ends.min(2)]);
        self.end_line();
        let body = if mark == '|' { kept.to_owned() } else { self.folded(kept) };
        let mut typed = String::new();
        for line in body.split('\n') {
            if !line.is_empty() {
                typed.push_str(&" ".repeat(column + deeper));
            }
            typed.push_str(line);
            typed.push('\n');
        }
        typed.push_str(&"\n".repeat(ends.saturating_sub(1)));
        self.out.push_str(&typed);
        self.scalars.push(Scalar { says: text.to_owned(), typed, in_lines: true });
        self.keeps = ends > 1;
    }

    /// `text` with one line end more wherever there are some, and some blanks made into line ends.
    fn folded(&mut self, text: &str) -> String {
        let mut out = String::new();
        let mut breaks = 0;
        for line in text.split('\n') {
            if line.is_empty() {
                breaks += 1;
                continue;
            }
            if !out.is_empty() {
                out.push_str(&"\n".repeat(breaks + 2));
            }
            breaks = 0;
            out.push_str(&self.broken(line, "", |_| true));
        }
        out
    }

    /// Unquoted or quoted text that goes on in the next line.
    fn wrapped(&mut self, text: &str, column: usize) {
        let next = " ".repeat(column + 2);
        // A line that starts with a dash is taken for a slip by `deckle`, one with `#` is a remark.
        let plain = |rest: &str| !rest.starts_with(['#', '-', '?', ':', '.']);
        let typed = if is_plain(text, false) {
            self.broken(text, &next, plain)
        } else {
            let quoted = double(text);
            self.broken(&quoted, &next, |rest| !rest.starts_with("---") && !rest.starts_with("..."))
        };
        self.push(text, &typed, false);
        self.end_line();
    }

    /// `text` with a line end for some of the single blanks between two words.
    fn broken(&mut self, text: &str, indent: &str, may_start: impl Fn(&str) -> bool) -> String {
        let mut out = String::new();
        for (at, c) in text.char_indices() {
            let (before, behind) = (&text[..at], &text[at + c.len_utf8()..]);
            let single = c == ' '
                && before.ends_with(|c: char| !c.is_whitespace() && c != '\\')
                && behind.starts_with(|c: char| !c.is_whitespace() && c != '"');
            if single && may_start(behind) && self.choose(3) == 2 {
                out.push('\n');
                out.push_str(indent);
            } else {
                out.push(c);
            }
        }
        out
    }

    fn push(&mut self, says: &str, typed: &str, in_lines: bool) {
        self.out.push_str(typed);
        self.scalars.push(Scalar { says: says.to_owned(), typed: typed.to_owned(), in_lines });
    }
}

/// Text in double quotes, with everything escaped that is not plain to see.
fn double(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            '\n' => out.push_str("\\n"),
            '\t' => out.push_str("\\t"),
            c if is_printable(c.encode_utf8(&mut [0; 4])) => out.push(c),
            c => out.push_str(&format!("\\U{:08X}", c as u32)),
        }
    }
    out + "\""
}

/// Whether all of it may stand in a file as it is.
fn is_printable(text: &str) -> bool {
    let strange = "\u{85}\u{2028}\u{2029}\u{feff}\u{fffe}\u{ffff}";
    !text.contains(|c: char| (c.is_control() && c != '\n') || strange.contains(c))
}

/// Whether every reader takes the unquoted text for a scalar that says the same.
fn is_plain(text: &str, flow: bool) -> bool {
    let starts = text.strip_prefix('-').unwrap_or(text);
    let special = "-?:,[]{}#&*!|>'\"%@`=<.";
    let blank_end = text.ends_with(|c: char| c.is_whitespace() || c == ':');
    !starts.is_empty()
        && !starts.starts_with(|c: char| special.contains(c) || c.is_whitespace())
        && !blank_end
        && is_printable(text)
        && ["\n", ": ", " #", ":\u{a0}"].iter().all(|part| !text.contains(part))
        && (!flow || !text.contains([',', '[', ']', '{', '}', ':', '?']))
}

/// Whether text can be written in lines; `literal` after `|`, else after `>`.
fn can_stand_in_lines(text: &str, literal: bool) -> bool {
    let kept = text.trim_end_matches('\n');
    !kept.is_empty()
        && !kept.starts_with('\n')
        && is_printable(text)
        && kept.split('\n').all(|line| line.is_empty() || !line.trim().is_empty())
        && (literal || kept.split('\n').all(|line| line.trim() == line))
}
