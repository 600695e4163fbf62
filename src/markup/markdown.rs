//! Card text as Markdown (CommonMark, with GitHub's additions in mind).

use super::{Inline, Piece, maths, visible};

/// The text as one line of Markdown that shows the same: everything that Markdown would take for its
/// own is escaped, formulas are in words, line breaks are `<br>`.
///
/// It may stand in a paragraph, a list, a heading or a table's cell. Emphasis is written in stars
/// where every reader of Markdown agrees on them, else as an element.
///
/// ```
/// use deckle::markup::{markdown, parse};
/// assert_eq!(markdown(&parse("*wear* of [rock] and H~2~O")), "*wear* of \\[rock\\] and H<sub>2</sub>O");
/// ```
pub fn markdown(inline: &Inline) -> String {
    let mut out = String::new();
    add(inline, &mut out);
    out
}

fn add(inline: &Inline, out: &mut String) {
    for piece in &inline.pieces {
        match piece {
            Piece::Text(text) => literal(text, out),
            Piece::Break => out.push_str("<br>"),
            Piece::Emphasis(inner) => stressed(inner, "*", "em", out),
            Piece::Strong(inner) => stressed(inner, "**", "strong", out),
            Piece::Code(text) => {
                out.push_str("<code>");
                literal(text, out);
                out.push_str("</code>");
            }
            Piece::Sub(inner) => out.push_str(&format!("<sub>{}</sub>", markdown(inner))),
            Piece::Super(inner) => out.push_str(&format!("<sup>{}</sup>", markdown(inner))),
            Piece::Maths(formula) => match &formula.maths {
                Ok(row) => literal(&maths::aloud(row), out),
                Err(_) => literal(&formula.literal(), out),
            },
        }
    }
}

/// Stars, where they cannot be misread: around text that begins and ends with a letter or digit, and
/// not beside other stars.
fn stressed(inner: &Inline, stars: &str, element: &str, out: &mut String) {
    let inside = markdown(inner);
    let edges = [inside.chars().next(), inside.chars().next_back()];
    let clear = edges.iter().all(|edge| edge.is_some_and(char::is_alphanumeric));
    if clear && !out.ends_with('*') {
        out.push_str(&format!("{stars}{inside}{stars}"));
    } else {
        out.push_str(&format!("<{element}>{inside}</{element}>"));
    }
}

/// Adds text with a backslash before what Markdown would take for its own.
fn literal(text: &str, out: &mut String) {
    let text = visible(text);
    let mut before = out.chars().next_back();
    for (at, c) in text.char_indices() {
        let starts_line = out.trim().is_empty();
        let numbers_line = || !out.is_empty() && out.trim_start().bytes().all(|byte| byte.is_ascii_digit());
        let escape = match c {
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '#' | '|' | '~' | '$' | '&' | '!' | '@' => true,
            '+' | '-' | '=' => starts_line,
            '.' => out.to_ascii_lowercase().ends_with("www") || numbers_line(),
            ')' => numbers_line(),
            ':' => text[at + 1..].starts_with("//"),
            _ => false,
        };
        match c {
            // Blanks before a line make a block of code of it, and are lost elsewhere.
            ' ' if before.is_none_or(|before| before == ' ') => out.push_str("&#32;"),
            _ if escape => out.extend(['\\', c]),
            _ => out.push(c),
        }
        before = Some(c);
    }
}

#[cfg(test)]
mod tests {
    use super::super::html::escaped;
    use super::super::{html, parse};
    use super::*;
    use proptest::prelude::*;

    /// What a reader of Markdown shows, as HTML; anything but text, stress and elements stands out.
    fn shown(markdown: &str) -> String {
        use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};
        let options = Options::ENABLE_STRIKETHROUGH | Options::ENABLE_TABLES;
        let events = Parser::new_ext(markdown, options).map(|event| match event {
            Event::Start(Tag::Paragraph) | Event::End(TagEnd::Paragraph) => String::new(),
            Event::Start(Tag::Emphasis) => "<em>".to_owned(),
            Event::End(TagEnd::Emphasis) => "</em>".to_owned(),
            Event::Start(Tag::Strong) => "<strong>".to_owned(),
            Event::End(TagEnd::Strong) => "</strong>".to_owned(),
            Event::Text(text) => escaped(&text),
            Event::InlineHtml(element) => element.into_string(),
            other => format!("{other:?}"),
        });
        events.collect()
    }

    #[test]
    fn markup_is_markdowns() {
        for (written, expected) in [
            ("**a** and *b*", "**a** and *b*"),
            ("*a***b**", "*a*<strong>b</strong>"),
            ("*(a)*b", "<em>(a)</em>b"),
            ("two\nlines", "two<br>lines"),
            ("1. no list", "1\\. no list"),
            ("- no list - at all", "\\- no list - at all"),
            ("# no heading, http://a and www.a", "\\# no heading, http\\://a and www\\.a"),
            ("<b> | &amp;", "\\<b\\> \\| \\&amp;"),
            ("$a_1 \\times b$", "a sub 1 times b"),
            ("$\\foo$", "\\$\\\\foo\\$"),
        ] {
            assert_eq!(markdown(&parse(written)), expected, "{written}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn a_reader_of_markdown_shows_what_our_html_shows(text in "([a-c1é”(]|[*~^`\\\\<>&_#|!=+.):\\[\\]@-]| |\n|www|http://){0,24}") {
            prop_assume!(!text.trim().is_empty() && text.trim() == text);
            prop_assert_eq!(shown(&markdown(&parse(&text))), html(&parse(&text)));
        }
    }
}
