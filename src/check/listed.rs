//! Taking one entry out of a list as it was typed.

use crate::deck::Text;
use crate::place::Span;

/// The bytes to take out of `text` so that the list `field` loses `entry`; with its last entry goes
/// the whole field.
///
/// `None` when the list is written in a way that cannot be taken apart without a doubt.
pub fn taken_out(text: &str, field: &str, list: &[Text], entry: &Text) -> Option<Span> {
    let written = entry.span.of(text);
    if written.trim_matches(['"', '\'']) != entry.value || written.is_empty() {
        return None;
    }
    let before = text[..entry.span.start()].trim_end_matches(' ');
    match before.chars().next_back()? {
        '[' | ',' => from_brackets(text, field, list, entry.span),
        '-' => from_lines(text, field, list, entry.span),
        _ => None,
    }
}

/// Out of `field: [one, two]`.
fn from_brackets(text: &str, field: &str, list: &[Text], entry: Span) -> Option<Span> {
    let behind = text[entry.end()..].trim_start_matches(' ');
    let behind_at = text.len() - behind.len();
    let before = text[..entry.start()].trim_end_matches(' ');
    if let Some(rest) = behind.strip_prefix(',') {
        return Some(Span::new(entry.start(), text.len() - rest.trim_start_matches(' ').len()));
    }
    if !behind.starts_with(']') {
        return None;
    }
    if before.ends_with(',') {
        return Some(Span::new(before.len() - 1, entry.end()));
    }
    let line = line_around(text, entry);
    let only =
        text[line.start()..entry.start()].trim().strip_suffix('[').map(str::trim_end) == Some(&format!("{field}:"));
    let alone = list.len() == 1 && only && text[behind_at + 1..line.end()].trim().is_empty();
    Some(if alone { line } else { entry })
}

/// Out of a list with one entry a line.
fn from_lines(text: &str, field: &str, list: &[Text], entry: Span) -> Option<Span> {
    let line = line_around(text, entry);
    let whole = text[line.start()..entry.start()].trim() == "-" && text[entry.end()..line.end()].trim().is_empty();
    if !whole {
        return None;
    }
    if list.len() > 1 {
        return Some(line);
    }
    let above = line_around(text, Span::at(line.start().checked_sub(1)?));
    (above.of(text).trim() == format!("{field}:")).then(|| above.to(line))
}

/// The whole line around `span`, with its line end.
fn line_around(text: &str, span: Span) -> Span {
    let start = text[..span.start()].rfind('\n').map_or(0, |at| at + 1);
    let end = text[span.end()..].find('\n').map_or(text.len(), |at| span.end() + at + 1);
    Span::new(start, end)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::deck::read_deck;
    use crate::place::SourceFile;
    use std::sync::Arc;

    /// What `fields` of a card become when the entry `x` is taken out of `needs`.
    fn without(fields: &str) -> Option<String> {
        let text = format!("cards:\n  - id: a\n{fields}    tier: core\n");
        let deck = read_deck("a", Arc::new(SourceFile::new("a", text.as_str())));
        let needs = &deck.cards[0].needs;
        let entry = needs.iter().find(|entry| entry.value == "x").expect("it is in the list");
        let span = taken_out(&text, "needs", needs, entry)?;
        let after = format!("{}{}", &text[..span.start()], &text[span.end()..]);
        let again = read_deck("a", Arc::new(SourceFile::new("a", after.as_str())));
        let left: Vec<_> = needs.iter().filter(|entry| entry.value != "x").map(|entry| &entry.value).collect();
        assert_eq!(again.cards[0].needs.iter().map(|entry| &entry.value).collect::<Vec<_>>(), left, "{after}");
        let after = after.strip_prefix("cards:\n  - id: a\n").expect("untouched");
        Some(after.strip_suffix("    tier: core\n").expect("untouched").to_owned())
    }

    #[test]
    fn brackets_and_lines_lose_one_entry() {
        for (before, after) in [
            ("    needs: [x, b]\n", "    needs: [b]\n"),
            ("    needs: [b, x]  # why\n", "    needs: [b]  # why\n"),
            ("    needs: [b, 'x', c]\n", "    needs: [b, c]\n"),
            ("    needs: [x]\n", ""),
            ("    needs: [x]  # why\n", "    needs: []  # why\n"),
            ("    needs: [ \"x\" ]\r\n", ""),
            ("    needs:\n      - x\n      - b\n", "    needs:\n      - b\n"),
            ("    needs:\r\n    - b\r\n    - x\r\n", "    needs:\r\n    - b\r\n"),
            ("    needs:\n      - x\n", ""),
        ] {
            assert_eq!(without(before).as_deref(), Some(after), "{before}");
        }
    }

    #[test]
    fn what_cannot_be_taken_apart_stays() {
        for before in
            ["    needs:\n      - x # why\n", "    needs: # why\n      - x\n", "    needs:\n      - \"\\x78\"\n"]
        {
            assert_eq!(without(before), None, "{before}");
        }
    }
}
