//! Small matters of wording that all renderers share.

use jiff::civil::Date;
use unicode_width::UnicodeWidthStr;

/// `1 card`, `2 cards`.
pub fn counted(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// With a capital at its beginning.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// `2026-11-25` as `25 November 2026`; what is no day stays as it is.
pub fn day_in_words(date: &str) -> String {
    date.parse::<Date>().map_or_else(|_| date.to_owned(), |date| date.strftime("%-d %B %Y").to_string())
}

/// Text that can be shown on a terminal: control characters, which could move the cursor or change
/// colours, and marks that reverse the direction of text are shown as what they are.
pub fn harmless(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\t' => shown.push(' '),
            '\0'..='\u{1f}' => shown.push(char::from_u32(0x2400 + c as u32).unwrap_or('\u{fffd}')),
            '\u{7f}' => shown.push('\u{2421}'),
            '\u{80}'..='\u{9f}'
            | '\u{200b}'..='\u{200f}'
            | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{2069}'
            | '\u{feff}' => {
                shown.push_str(&format!("<U+{:04X}>", c as u32));
            }
            c => shown.push(c),
        }
    }
    shown
}

/// [`harmless`] text that keeps its lines, for formats that show more than one; also free of the characters
/// that XML 1.0 cannot hold.
pub fn shown(text: &str) -> String {
    let lines = text.split('\n').map(|line| harmless(line.trim_end_matches('\r')));
    let lines: Vec<String> = lines.collect();
    lines.join("\n").replace('\u{fffe}', "<U+FFFE>").replace('\u{ffff}', "<U+FFFF>")
}

/// `text` cut to `room` columns, with an ellipsis where it was cut.
pub fn cut(text: &str, room: usize) -> String {
    if UnicodeWidthStr::width(text) <= room {
        return text.to_owned();
    }
    let mut cut = String::new();
    for c in text.chars() {
        if UnicodeWidthStr::width(cut.as_str()) + unicode_width::UnicodeWidthChar::width(c).unwrap_or(0) + 1 > room {
            break;
        }
        cut.push(c);
    }
    cut.push('…');
    cut
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn terminal_escapes_and_direction_marks_are_shown() {
        assert_eq!(harmless("a\u{1b}[31mb\u{202e}c"), "a␛[31mb<U+202E>c");
        assert_eq!(harmless("Größe – ½"), "Größe – ½");
    }

    #[test]
    fn days_are_told_in_words() {
        assert_eq!(day_in_words("2026-11-05"), "5 November 2026");
        assert_eq!(day_in_words("2026-02-30"), "2026-02-30");
    }
}
