//! Characters that nobody sees but that change what is seen.

use std::borrow::Cow;
use std::fmt::Write;

/// `text` with every control character, direction override, invisible tag and noncharacter written
/// out, such as `[U+202E]`; borrowed when there is none. Line ends and tabs become blanks.
///
/// Left-to-right and right-to-left marks and joiners stay: scripts other than Latin need them, and
/// they turn no text round.
///
/// ```
/// use deckle::markup::visible;
/// assert_eq!(visible("price\u{202e}£5\u{7}"), "price[U+202E]£5[U+0007]");
/// ```
pub fn visible(text: &str) -> Cow<'_, str> {
    if !text.contains(|c| is_hidden(c) || is_blank(c)) {
        return Cow::Borrowed(text);
    }
    let mut shown = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        if is_blank(c) {
            shown.push(' ');
        } else if is_hidden(c) {
            // Writing to a string cannot fail.
            let _ = write!(shown, "[U+{:04X}]", c as u32);
        } else {
            shown.push(c);
        }
    }
    Cow::Owned(shown)
}

fn is_blank(c: char) -> bool {
    matches!(c, '\t' | '\n' | '\r' | '\u{85}' | '\u{2028}' | '\u{2029}')
}

/// Whether [`visible`] writes it out.
pub fn is_hidden(c: char) -> bool {
    let noncharacter = (c as u32 & 0xfffe) == 0xfffe || ('\u{fdd0}'..='\u{fdef}').contains(&c);
    let direction = matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{206f}');
    let format = matches!(c, '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}');
    c.is_control() || noncharacter || direction || format
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_scripts_need_stays() {
        for text in ["Größe ½ ²", "شرق\u{200f} (أ)", "می\u{200c}شود", "👩\u{200d}🔬"] {
            assert!(matches!(visible(text), Cow::Borrowed(_)), "{text}");
        }
    }

    #[test]
    fn what_deceives_is_shown() {
        assert_eq!(visible("a\u{0}b\u{1b}c\u{9f}"), "a[U+0000]b[U+001B]c[U+009F]");
        assert_eq!(visible("\u{2066}x\u{2069}\u{feff}\u{ffff}"), "[U+2066]x[U+2069][U+FEFF][U+FFFF]");
        assert_eq!(visible("a\tb\u{2028}c"), "a b c");
    }
}
