//! Card text as HTML, with maths as MathML Core.

use super::{Inline, Piece, maths, visible};

/// The text as a stretch of HTML: `em`, `strong`, `code`, `sub`, `sup`, `br` and `math`, no other
/// elements, and no attribute that a card can choose.
///
/// Everything is escaped for element content and for quoted attributes, and characters that nobody
/// sees come out as [`visible`] writes them. So the output may stand in a page, in a script's
/// template and in an attribute's value alike.
///
/// ```
/// use deckle::markup::{html, parse};
/// assert_eq!(html(&parse("<b> is *bold*")), "&lt;b&gt; is <em>bold</em>");
/// ```
pub fn html(inline: &Inline) -> String {
    let mut out = String::new();
    add(inline, &mut out);
    out
}

/// Text escaped for an element's content and for a quoted attribute.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in visible(text).chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}

fn add(inline: &Inline, out: &mut String) {
    for piece in &inline.pieces {
        match piece {
            Piece::Text(text) => out.push_str(&escaped(text)),
            Piece::Break => out.push_str("<br>"),
            Piece::Emphasis(inner) => element("em", inner, out),
            Piece::Strong(inner) => element("strong", inner, out),
            Piece::Code(text) => out.push_str(&format!("<code>{}</code>", escaped(text))),
            Piece::Sub(inner) => element("sub", inner, out),
            Piece::Super(inner) => element("sup", inner, out),
            Piece::Maths(formula) => match &formula.maths {
                Ok(row) => out.push_str(&maths::mathml(row)),
                Err(_) => out.push_str(&escaped(&formula.literal())),
            },
        }
    }
}

fn element(name: &str, inner: &Inline, out: &mut String) {
    out.push_str(&format!("<{name}>"));
    add(inner, out);
    out.push_str(&format!("</{name}>"));
}

#[cfg(test)]
mod tests {
    use super::super::parse;
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn markup_is_elements() {
        for (written, shown) in [
            ("**a** *b* `c`", "<strong>a</strong> <em>b</em> <code>c</code>"),
            ("***a***", "<em><strong>a</strong></em>"),
            ("H~2~O\nkm^2^", "H<sub>2</sub>O<br>km<sup>2</sup>"),
            ("$x$", "<math alttext=\"x\"><mi>x</mi></math>"),
            ("$\\foo<$", "$\\foo&lt;$"),
        ] {
            assert_eq!(html(&parse(written)), shown, "{written}");
        }
    }

    #[test]
    fn hostile_text_comes_out_literal() {
        for (written, shown) in [
            ("<script>alert(1)</script>", "&lt;script&gt;alert(1)&lt;/script&gt;"),
            ("`</script><!--`", "<code>&lt;/script&gt;&lt;!--</code>"),
            ("\" onload='x'", "&quot; onload=&#39;x&#39;"),
            ("&lt; &#60;", "&amp;lt; &amp;#60;"),
            ("*<img src=x>*", "<em>&lt;img src=x&gt;</em>"),
            ("javascript:alert(1) [a](b)", "javascript:alert(1) [a](b)"),
            ("a\u{202e}b\u{0}c\u{1b}", "a[U+202E]b[U+0000]c[U+001B]"),
            (
                "$\\text{\"<b>\u{202e}}$",
                "<math alttext=\"&quot;&lt;b&gt;[U+202E]\"><mtext>&quot;&lt;b&gt;[U+202E]</mtext></math>",
            ),
            ("$a < b$", "<math alttext=\"a is less than b\"><mi>a</mi><mo>&lt;</mo><mi>b</mi></math>"),
        ] {
            assert_eq!(html(&parse(written)), shown, "{written}");
        }
    }

    /// The elements that the renderers write.
    const ELEMENTS: &[&str] = &[
        "em", "strong", "code", "sub", "sup", "br", "math", "mi", "mn", "mo", "mtext", "mspace", "mrow", "mfrac",
        "msqrt", "mroot", "msub", "msup", "msubsup", "mover",
    ];

    /// Whether every `<` begins one of these elements and each is closed in turn.
    fn is_well_formed(html: &str) -> bool {
        let mut open = Vec::new();
        for part in html.split('<').skip(1) {
            let Some((tag, _)) = part.split_once('>') else { return false };
            let name = tag.trim_start_matches('/').split([' ', '/']).next().unwrap_or_default();
            match tag {
                _ if !ELEMENTS.contains(&name) => return false,
                "br" => {}
                _ if tag.ends_with('/') => {}
                _ if tag.starts_with('/') => {
                    if open.pop() != Some(name) {
                        return false;
                    }
                }
                _ => open.push(name),
            }
        }
        open.is_empty()
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn no_text_makes_an_element(text in "(\\PC|[*~^$`\\\\<>&\"'{}_/ =a1\u{0}\u{202e}]|</script>|\\\\frac|\\\\text\\{){0,40}") {
            prop_assert!(is_well_formed(&html(&parse(&text))), "{}", html(&parse(&text)));
        }

        #[test]
        fn no_formula_makes_an_element(text in "(<b>|\\\\(frac|sqrt|text|mathrm|vec|left\\(|right\\)|lt|times)|[{}\\[\\]()^_<>&|'a1 .,+=-]){0,30}") {
            let shown = html(&parse(&format!("${text}$")));
            prop_assert!(is_well_formed(&shown), "{}", shown);
        }
    }
}
