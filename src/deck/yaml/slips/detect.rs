//! The commonest slips, each told from the lines around the place where reading stopped.
//!
//! Each detector proposes a mended line; whether it was the slip is decided by reading again.

use super::super::parse::ParseError;
use super::Problem;
use super::lines::{Lines, indent, is_dash};
use crate::deck::fields;
use crate::deck::write::double_quoted;
use crate::place::Span;

/// How many unclosed quotation marks before the place where reading stopped are tried.
const MAX_UNCLOSED: usize = 4;

/// A line with a slip in it, and the line without.
#[derive(Debug)]
pub struct Slip {
    pub line: usize,
    pub mended: String,
    pub message: String,
    pub help: &'static str,
    /// Whether `--fix` may put the mended line in its place: not where it is a guess at what was meant.
    pub sure: bool,
}

impl Slip {
    pub fn problem(&self, lines: &Lines<'_>) -> Problem {
        let whole = lines.span(self.line..self.line + 1);
        let text_span = lines.content_span(self.line);
        let span = if text_span.start() < text_span.end() { text_span } else { whole };
        Problem {
            rule: "unreadable",
            span: Span::new(span.start(), span.end()),
            message: self.message.clone(),
            help: format!("{}: `{}`", self.help, self.shown(lines)),
            repair: self.sure.then(|| (whole, self.mended.clone())),
        }
    }
}

impl Slip {
    /// The mended line, with the spaces before it where they are what was mended.
    fn shown(&self, lines: &Lines<'_>) -> &str {
        let moved = indent(lines.get(self.line)) != indent(&self.mended) || lines.get(self.line).contains('\t');
        if moved { self.mended.trim_end() } else { self.mended.trim() }
    }
}

/// Proposals for the lines of the card in which reading stopped, the likeliest first.
pub fn slips(lines: &Lines<'_>, error: &ParseError) -> Vec<Slip> {
    if matches!(error, ParseError::TooLarge(_)) {
        return Vec::new();
    }
    let at = lines.line_of(error.at());
    let first = lines.item_around(at).start;
    let nearest = [at, at + 1].into_iter().chain((first.max(at.saturating_sub(40))..at).rev());
    let near = nearest.filter(|&line| line < lines.len()).flat_map(|line| of_line(lines, line));
    unclosed_before(lines, at).into_iter().chain(near).collect()
}

/// The quotation mark opened in the line `first` and closed only in `last`, when a line between starts
/// a field or an entry as far left as the field it stands in.
pub fn takes_in_fields(lines: &Lines<'_>, first: usize, last: usize) -> Option<Slip> {
    let value = Value::of(lines.get(first))?;
    let column = indent(lines.get(first));
    let starts = |line: &str| {
        let name = line.trim_start().trim_start_matches("- ").split(':').next().unwrap_or_default();
        is_dash(line) || fields::is_known(&name.to_lowercase())
    };
    let taken = |at: &usize| indent(lines.get(*at)) <= column + 2 && starts(lines.get(*at));
    (first + 1..=last).find(taken)?;
    unclosed(first, &value)
}

/// Quotation marks that are opened and not closed in their lines: reading stops only at the next one,
/// which may be many lines and cards later.
fn unclosed_before(lines: &Lines<'_>, at: usize) -> Vec<Slip> {
    let before = (0..at.min(lines.len())).rev().filter(|&line| !lines.get(line).trim_start().starts_with('#'));
    let unclosed = before.filter_map(|line| unclosed(line, &Value::of(lines.get(line))?));
    unclosed.take(MAX_UNCLOSED).collect()
}

fn of_line(lines: &Lines<'_>, line: usize) -> Vec<Slip> {
    let text = lines.get(line);
    if text.trim_start().starts_with('#') || text.trim().is_empty() {
        return Vec::new();
    }
    let mut found = Vec::new();
    found.extend(tab(lines, line));
    if let Some(value) = Value::of(text) {
        found.extend(quotes(line, &value));
        found.extend(plain(line, &value));
    }
    found.extend(missing_blank(line, text));
    found.extend(missing_space(line, text));
    found.extend(out_of_line(lines, line));
    found
}

/// A line taken apart: what stands before the value, and the value.
struct Value<'a> {
    before: &'a str,
    text: &'a str,
}

impl<'a> Value<'a> {
    fn of(line: &'a str) -> Option<Self> {
        let mut start = line.len() - line.trim_start().len();
        while line[start..].starts_with("- ") {
            start += 2 + (line[start + 2..].len() - line[start + 2..].trim_start().len());
        }
        if let Some(colon) = line[start..].find(": ") {
            let name = &line[start..start + colon];
            let named = !name.is_empty() && name.chars().all(|c| c.is_alphanumeric() || "_- ".contains(c));
            if named && name.split(' ').count() <= 2 && name.len() <= 20 {
                start += colon + 1;
                start += line[start..].len() - line[start..].trim_start().len();
            }
        }
        let text = line[start..].trim_end();
        (!text.is_empty()).then(|| Self { before: &line[..start], text })
    }

    fn slip(&self, line: usize, value: &str, message: String, help: &'static str) -> Slip {
        Slip { line, mended: format!("{}{value}", self.before), message, help, sure: true }
    }
}

fn tab(lines: &Lines<'_>, line: usize) -> Vec<Slip> {
    let text = lines.get(line);
    let blanks = &text[..indent(text)];
    let after_dash = text[blanks.len()..].starts_with("-\t");
    if !blanks.contains('\t') && !after_dash {
        return Vec::new();
    }
    let rest =
        if after_dash { format!("- {}", text[blanks.len() + 2..].trim_start()) } else { text.trim_start().to_owned() };
    let sibling = (0..line).rev().map(|at| lines.get(at)).find(|text| !text.trim().is_empty());
    let beside = sibling.map_or(0, |text| indent(text) + if is_dash(text) && !is_dash(&rest) { 2 } else { 0 });
    let widths = [beside, blanks.replace('\t', "  ").len(), blanks.replace('\t', "    ").len()];
    let slip = |width: usize| Slip {
        line,
        mended: format!("{}{rest}", " ".repeat(width)),
        message: "a tab stands where spaces belong".to_owned(),
        help: "write spaces instead of the tab",
        sure: true,
    };
    widths.map(slip).into()
}

fn quotes(line: usize, value: &Value<'_>) -> Vec<Slip> {
    let Some(mark) = value.text.chars().next().filter(|c| matches!(c, '"' | '\'')) else {
        return Vec::new();
    };
    let inner = &value.text[1..];
    let closed = closing(inner, mark);
    let mut found: Vec<_> = unclosed(line, value).into_iter().collect();
    if let Some(rest) = closed.map(|end| &inner[end + 1..]).filter(|rest| !rest.trim().is_empty()) {
        let whole = if inner.ends_with(mark) && inner.len() > 1 { &inner[..inner.len() - 1] } else { value.text };
        found.push(value.slip(
            line,
            &double_quoted(whole),
            format!("text follows the closing quotation mark: `{}`", rest.trim()),
            "put the whole text in one pair of quotes",
        ));
    }
    found
}

fn unclosed(line: usize, value: &Value<'_>) -> Option<Slip> {
    let mark = value.text.chars().next().filter(|c| matches!(c, '"' | '\''))?;
    closing(&value.text[1..], mark).is_none().then(|| {
        value.slip(
            line,
            &format!("{}{mark}", value.text),
            "a quotation mark is opened and never closed".to_owned(),
            "close it at the end of the text",
        )
    })
}

/// Where the closing quotation mark stands, counted from behind the opening one.
fn closing(inner: &str, mark: char) -> Option<usize> {
    let mut chars = inner.char_indices().peekable();
    while let Some((at, c)) = chars.next() {
        match c {
            '\\' if mark == '"' => _ = chars.next(),
            '\'' if mark == '\'' && chars.peek().is_some_and(|&(_, next)| next == '\'') => _ = chars.next(),
            _ if c == mark => return Some(at),
            _ => {}
        }
    }
    None
}

fn plain(line: usize, value: &Value<'_>) -> Vec<Slip> {
    let text = value.text;
    if text.starts_with(['"', '\'']) {
        return Vec::new();
    }
    let mut found = Vec::new();
    let quoted = double_quoted(text);
    let first = text.chars().next().unwrap_or_default();
    found.extend(unclosed_bracket(line, value));
    if "*&!%@#[{]}>|`,".contains(first)
        || text.starts_with("- ")
        || text.starts_with("? ")
        || text == "-"
        || text == "?"
    {
        found.push(value.slip(
            line,
            &quoted,
            format!("the text starts with `{first}`, which has another meaning here"),
            "put the text in quotes",
        ));
    }
    if text.contains(": ") || text.ends_with(':') {
        found.push(value.slip(
            line,
            &quoted,
            "the text has a colon followed by a space, which starts a new field".to_owned(),
            "put the text in quotes",
        ));
    }
    found
}

/// A list in brackets whose last bracket was forgotten; text that merely starts with one has none of
/// its own kind behind it either, so closing it is only proposed.
fn unclosed_bracket(line: usize, value: &Value<'_>) -> Option<Slip> {
    let close = match value.text.chars().next()? {
        '[' if !value.text.contains(']') => ']',
        '{' if !value.text.contains('}') => '}',
        _ => return None,
    };
    let message = format!("a bracket is opened and never closed: `{}`", value.text);
    let slip = value.slip(
        line,
        &format!("{}{close}", value.text),
        message,
        "close it, or put the text in quotes if the bracket belongs to it",
    );
    Some(Slip { sure: false, ..slip })
}

fn missing_space(line: usize, text: &str) -> Option<Slip> {
    let start = text.len() - text.trim_start().trim_start_matches("- ").len();
    let (name, value) = text[start..].split_once(':')?;
    let known = fields::is_known(&name.to_lowercase());
    (known && !value.is_empty() && !value.starts_with(' ')).then(|| Slip {
        line,
        mended: format!("{}{name}: {}", &text[..start], value.trim_start()),
        message: format!("a space is missing behind `{name}:`"),
        help: "write a space behind the colon",
        sure: true,
    })
}

/// `-id: x`: the blank behind the dash was forgotten.
fn missing_blank(line: usize, text: &str) -> Option<Slip> {
    let indent = indent(text);
    let rest = text[indent..].strip_prefix('-')?;
    let name = rest.split(':').next().unwrap_or_default();
    (fields::is_known(name) && rest.len() > name.len()).then(|| Slip {
        line,
        mended: format!("{}- {rest}", &text[..indent]),
        message: "a blank is missing behind the dash".to_owned(),
        help: "write a blank behind the dash",
        sure: true,
    })
}

/// A dash or field that does not stand under its like.
fn out_of_line(lines: &Lines<'_>, line: usize) -> Vec<Slip> {
    let text = lines.get(line);
    let (own, dash) = (indent(text), is_dash(text));
    let mut columns: Vec<usize> = Vec::new();
    if dash {
        columns.extend(lines.dash_column());
    }
    for above in (0..line).rev().take(60).map(|at| lines.get(at)) {
        if above.trim().is_empty() || above.trim_start().starts_with('#') {
            continue;
        }
        let column = indent(above);
        if is_dash(above) == dash {
            columns.push(column);
        } else if !dash {
            columns.push(column + 2);
        }
    }
    columns.dedup();
    let mut seen = Vec::new();
    columns.retain(|&column| {
        column != own && !seen.contains(&column) && {
            seen.push(column);
            true
        }
    });
    let what = if dash { "a dash" } else { "a line" };
    let slip = |column: usize| Slip {
        line,
        mended: format!("{}{}", " ".repeat(column), text.trim_start()),
        message: format!(
            "{what} stands out of line: it starts in column {}, its like in column {}",
            own + 1,
            column + 1
        ),
        help: "move it under the others",
        sure: true,
    };
    columns.into_iter().take(3).map(slip).collect()
}
