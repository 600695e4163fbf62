//! Content lines of RFC 5545: escaped, folded, ended by CR LF.

/// Octets in a line, its end not counted (RFC 5545, 3.1).
const LONGEST: usize = 75;

/// Lines as they are written.
#[derive(Default)]
pub(super) struct Lines {
    bytes: Vec<u8>,
}

impl Lines {
    /// A line that is known to be plain.
    pub fn plain(&mut self, line: &str) {
        let mut rest = line;
        let mut room = LONGEST;
        while rest.len() > room {
            let (front, back) = rest.split_at(rest.floor_char_boundary(room));
            self.bytes.extend_from_slice(front.as_bytes());
            self.bytes.extend_from_slice(b"\r\n ");
            rest = back;
            // The blank that continues a line counts.
            room = LONGEST - 1;
        }
        self.bytes.extend_from_slice(rest.as_bytes());
        self.bytes.extend_from_slice(b"\r\n");
    }

    /// A property whose value is text of any kind.
    pub fn text(&mut self, name: &str, text: &str) {
        self.plain(&format!("{name}:{}", escaped(text)));
    }

    pub fn into_bytes(self) -> Vec<u8> {
        self.bytes
    }
}

/// Text by 3.3.11. Control characters have no place in it, and marks that turn the direction of text
/// would turn what stands beside it.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        match c {
            '\\' | ';' | ',' => out.extend(['\\', c]),
            '\n' => out.push_str("\\n"),
            '\t' => out.push(' '),
            c if c.is_control()
                || matches!(c, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}') =>
            {
                out.push('\u{fffd}');
            }
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn written(name: &str, text: &str) -> String {
        let mut lines = Lines::default();
        lines.text(name, text);
        String::from_utf8(lines.into_bytes()).unwrap()
    }

    #[test]
    fn text_is_escaped_as_the_standard_says() {
        assert_eq!(written("SUMMARY", "a;b,c\\d\ne"), "SUMMARY:a\\;b\\,c\\\\d\\ne\r\n");
        assert_eq!(
            written("SUMMARY", "x\r\nEND:VEVENT\u{202e}\u{0}"),
            "SUMMARY:x\u{fffd}\\nEND:VEVENT\u{fffd}\u{fffd}\r\n"
        );
    }

    #[test]
    fn lines_are_folded_between_characters() {
        assert_eq!(written("A", &"b".repeat(73)), format!("A:{}\r\n", "b".repeat(73)));
        assert_eq!(written("A", &"b".repeat(74)), format!("A:{}\r\n b\r\n", "b".repeat(73)));
        assert_eq!(
            written("A", &"é".repeat(60)),
            format!("A:{}\r\n {}\r\n", "é".repeat(36), "é".repeat(24)).replace(" é", " é")
        );
    }

    /// Unfolded and unescaped, by the standard's own words.
    fn read(line: &str) -> String {
        let unfolded = line.replace("\r\n ", "");
        let text = unfolded.strip_suffix("\r\n").unwrap().split_once(':').unwrap().1.to_owned();
        let mut out = String::new();
        let mut chars = text.chars();
        while let Some(c) = chars.next() {
            match c {
                '\\' => match chars.next().unwrap() {
                    'n' => out.push('\n'),
                    c => out.push(c),
                },
                c => out.push(c),
            }
        }
        out
    }

    proptest! {
        #[test]
        fn text_comes_back_and_no_line_is_too_long(text in "[a-z;,:\\\\\n\" é老🌋]{0,200}") {
            let line = written("DESCRIPTION", &text);
            prop_assert_eq!(read(&line), text);
            prop_assert!(line.split("\r\n").all(|line| line.len() <= LONGEST));
        }

        #[test]
        fn no_text_starts_a_line_of_its_own(text in "\\PC{0,80}|(.|\r|\n){0,80}") {
            let line = written("SUMMARY", &text);
            let lines: Vec<&str> = line.strip_suffix("\r\n").unwrap().split("\r\n").collect();
            prop_assert!(lines[1..].iter().all(|line| line.starts_with(' ')));
            prop_assert!(lines.iter().all(|line| !line.contains(['\r', '\n'])));
        }
    }
}
