//! Writing values as YAML that reads back equal, in one style.

use super::fields;
use super::value::Value;

/// Text in double quotes on one line, with everything escaped that needs it.
pub fn double_quoted(text: &str) -> String {
    let mut quoted = String::with_capacity(text.len() + 2);
    quoted.push('"');
    for c in text.chars() {
        match c {
            '"' => quoted.push_str("\\\""),
            '\\' => quoted.push_str("\\\\"),
            '\n' => quoted.push_str("\\n"),
            '\t' => quoted.push_str("\\t"),
            '\r' => quoted.push_str("\\r"),
            '\u{2028}' | '\u{2029}' | '\u{feff}' | '\u{fffe}' | '\u{ffff}' => {
                quoted.push_str(&format!("\\u{:04x}", c as u32))
            }
            c if c.is_control() => quoted.push_str(&format!("\\x{:02x}", c as u32)),
            c => quoted.push(c),
        }
    }
    quoted.push('"');
    quoted
}

/// Text as one YAML scalar on one line: unquoted where every reader takes it for the same text,
/// else in quotes.
pub fn scalar(text: &str) -> String {
    if text.contains('\\')
        && !text.contains(|c: char| c == '\'' || c.is_control() || "\u{2028}\u{2029}\u{feff}".contains(c))
    {
        return format!("'{text}'");
    }
    let plain = serde_yaml::to_string(text).is_ok_and(|written| written.trim_end_matches('\n') == text)
        && !text.contains(" #")
        && !text.contains(|c: char| c.is_control() || "\u{85}\u{2028}\u{2029}\u{feff}".contains(c));
    if plain { text.to_owned() } else { double_quoted(text) }
}

/// Lines of a field with its value, `indent` spaces deep, each ending in `\n`.
///
/// Text with line breaks is written in lines after `|`; lists one entry a line; maps one field a line.
pub fn field(name: &str, value: &Value, indent: usize) -> String {
    let mut out = String::new();
    write_field(&mut out, name, value, indent);
    out
}

/// The lines of a field with its value, without the last line end; blank lines that belong to the
/// text stay.
pub fn lines_of_field(name: &str, value: &Value) -> String {
    let mut lines = field(name, value, 0);
    lines.truncate(lines.len() - 1);
    lines
}

/// A field with its value on one line, in quotes and brackets, where what stands behind it must not come to
/// belong to it.
pub fn line_of_field(name: &str, value: &Value) -> String {
    let mut line = String::new();
    write_name(&mut line, name, 0);
    line + " " + &on_one_line(value)
}

fn on_one_line(value: &Value) -> String {
    match value {
        Value::Text(text) => double_quoted(text),
        Value::List(items) => format!("[{}]", items.iter().map(on_one_line).collect::<Vec<_>>().join(", ")),
        Value::Map(entries) => {
            let entry = |(name, value): (&String, &Value)| format!("{}: {}", double_quoted(name), on_one_line(value));
            format!("{{{}}}", entries.iter().map(entry).collect::<Vec<_>>().join(", "))
        }
    }
}

/// Lines of list entries, `indent` spaces deep, each ending in `\n`.
pub fn entries(items: &[Value], indent: usize) -> String {
    let mut out = String::new();
    for item in items {
        write_entry(&mut out, item, indent);
    }
    out
}

fn write_field(out: &mut String, name: &str, value: &Value, indent: usize) {
    write_name(out, name, indent);
    match value {
        // A flag is no text to be told from other programs' truth values: it is one.
        Value::Text(text) if is_bare(name, text) => out.push_str(&format!(" {text}\n")),
        Value::Text(text) => write_text(out, text, indent + 2),
        Value::List(items) if items.is_empty() => out.push_str(" []\n"),
        Value::List(items) if flows(name, items) => {
            let texts: Vec<_> = items.iter().filter_map(Value::as_text).map(scalar_in_brackets).collect();
            out.push_str(&format!(" [{}]\n", texts.join(", ")));
        }
        Value::List(items) => {
            out.push('\n');
            items.iter().for_each(|item| write_entry(out, item, indent + 2));
        }
        Value::Map(entries) if entries.is_empty() => out.push_str(" {}\n"),
        Value::Map(entries) => {
            out.push('\n');
            entries.iter().for_each(|(name, value)| write_field(out, name, value, indent + 2));
        }
    }
}

/// YAML takes a name before a colon for one only if it is no longer than this (1.2.2, section 7.4.2); longer ones
/// are marked as names.
const LONGEST_NAME: usize = 1024;

fn write_name(out: &mut String, name: &str, indent: usize) {
    let (margin, name) = (" ".repeat(indent), scalar(name));
    match name.chars().count() <= LONGEST_NAME {
        true => out.push_str(&format!("{margin}{name}:")),
        false => out.push_str(&format!("{margin}? {name}\n{margin}:")),
    }
}

/// Flags and the number of a year group stand without quotes, as everybody types them.
fn is_bare(name: &str, text: &str) -> bool {
    let number = || name == "year" && text.parse::<u8>().is_ok_and(|number| number.to_string() == text);
    fields::is_flag(name) && matches!(text, "true" | "false") || number()
}

fn write_entry(out: &mut String, item: &Value, indent: usize) {
    out.push_str(&" ".repeat(indent));
    out.push('-');
    match item {
        Value::Text(text) => write_text(out, text, indent + 2),
        Value::Map(fields) if !fields.is_empty() => {
            let mut inner = String::new();
            fields.iter().for_each(|(name, value)| write_field(&mut inner, name, value, indent + 2));
            out.push(' ');
            out.push_str(&inner[indent + 2..]);
        }
        Value::List(items) if !items.is_empty() => {
            out.push('\n');
            items.iter().for_each(|item| write_entry(out, item, indent + 2));
        }
        Value::List(_) => out.push_str(" []\n"),
        Value::Map(_) => out.push_str(" {}\n"),
    }
}

/// Short lists without order, such as links and accepted wordings, stand in brackets on one line.
fn flows(name: &str, items: &[Value]) -> bool {
    let kind = fields::card_field(name).is_some_and(|field| field.holds == fields::Holds::List);
    let short =
        items.iter().map(|item| item.as_text().map_or(usize::MAX / 1000, |text| text.len() + 2)).sum::<usize>() < 80;
    kind && short && items.iter().all(|item| item.as_text().is_some_and(|text| !in_lines(text)))
}

/// Inside brackets, commas, brackets, question marks and a colon at the start need quotes as well.
fn scalar_in_brackets(text: &str) -> String {
    let written = scalar(text);
    let special = text.contains([',', '[', ']', '{', '}', '?']) || text.starts_with(':');
    if written == text && special { double_quoted(text) } else { written }
}

fn write_text(out: &mut String, text: &str, indent: usize) {
    if !in_lines(text) {
        out.push(' ');
        out.push_str(&scalar(text));
        out.push('\n');
        return;
    }
    let kept = text.strip_suffix('\n').unwrap_or(text);
    out.push_str(if kept.len() == text.len() { " |-\n" } else { " |\n" });
    for line in kept.split('\n') {
        if !line.is_empty() {
            out.push_str(&" ".repeat(indent));
            out.push_str(line);
        }
        out.push('\n');
    }
}

/// Whether text is safe to write in lines after `|`. One that ends in blank lines is not: those that
/// come to stand behind it would belong to it.
fn in_lines(text: &str) -> bool {
    text.contains('\n')
        && !text.starts_with([' ', '\t', '\n'])
        && !text.ends_with("\n\n")
        && !text.contains(|c: char| {
            (c.is_control() && c != '\n') || "\u{85}\u{2028}\u{2029}\u{feff}\u{fffe}\u{ffff}".contains(c)
        })
        && text.split('\n').all(|line| line.trim_end() == line)
}

#[cfg(test)]
mod tests {
    use super::super::yaml::parse;
    use super::*;

    fn read(text: &str) -> Value {
        Value::from_node(&parse(text).unwrap_or_else(|error| panic!("{error:?} in {text:?}")).root.expect("a value"))
    }

    fn nasty() -> Vec<&'static str> {
        vec![
            "plain",
            "8",
            "14.0",
            "No",
            "~",
            "null",
            "1:30",
            "a: b",
            "a #b",
            "# x",
            "- x",
            "-5",
            "'",
            "\"",
            "\\frac",
            "it's \\x",
            "*x",
            "&x",
            "!x",
            "%",
            "@",
            "`",
            "[x]",
            "{x}",
            "> 5",
            "|",
            "?",
            "? x",
            "?x",
            "a?b",
            ":x",
            "a:?b",
            "x:",
            "",
            " ",
            " x",
            "x ",
            "a\nb",
            "a\n\nb\n",
            "a\n",
            "\na",
            "a\n\n",
            "a\r\nb",
            "tab\there",
            "é",
            "\u{2028}",
            "\u{feff}x",
            "\u{7f}",
            "\u{85}",
            "---",
            "...",
            "=",
            "<<",
            "yes",
            "a\n b\nc",
            "2026-11-25",
            "0x1F",
            "1e3",
            ".inf",
            "a, b",
            "🌍",
            "# a\nb",
            "a\n# b",
            "a \nb",
            "a\n ",
            "a\n \nb",
        ]
    }

    #[test]
    fn every_text_reads_back_equal() {
        for text in nasty() {
            let written = field("answer", &Value::Text(text.to_owned()), 0);
            assert_eq!(
                read(&written),
                Value::Map([("answer".to_owned(), Value::Text(text.to_owned()))].into()),
                "{written:?}"
            );
            for name in ["answer", "accept"] {
                let list = Value::List(vec![Value::Text(text.to_owned()), Value::Text("x".into())]);
                let listed = field(name, &list, 4);
                let Value::Map(fields) = read(&listed) else { panic!("{listed}") };
                assert_eq!(fields[name], list, "{listed:?}");
            }
        }
    }

    #[test]
    fn every_text_reads_back_equal_in_another_reader() {
        for text in nasty() {
            let alone = Value::Text(text.to_owned());
            let listed = Value::List(vec![alone.clone(), Value::Text("x".into())]);
            let written = field("answer", &alone, 0) + &field("accept", &listed, 0);
            let other: serde_yaml::Value =
                serde_yaml::from_str(&written).unwrap_or_else(|error| panic!("{error} in {written:?}"));
            assert_eq!(other["answer"].as_str(), Some(text), "{written:?}");
            assert_eq!(other["accept"][0].as_str(), Some(text), "{written:?}");
        }
    }

    #[test]
    fn style() {
        let pictures = Value::Map(
            [("file".to_owned(), Value::Text("a.svg".into())), ("side".to_owned(), Value::Text("answer".into()))]
                .into(),
        );
        let value = Value::List(vec![pictures]);
        assert_eq!(field("pictures", &value, 4), "    pictures:\n      - file: a.svg\n        side: answer\n");
        let needs = Value::List(vec![Value::Text("isobar".into()), Value::Text("fetch".into())]);
        assert_eq!(field("needs", &needs, 4), "    needs: [isobar, fetch]\n");
        assert_eq!(field("answer", &Value::Text("$\\frac{a}{b}$".into()), 0), "answer: '$\\frac{a}{b}$'\n");
    }
}
