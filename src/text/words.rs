//! Words by UAX #29.

use super::plain::plain;
use unicode_segmentation::UnicodeSegmentation;

/// The words of a text by Unicode's word boundaries (UAX #29): the pieces that hold a letter or digit.
pub fn words(text: &str) -> impl Iterator<Item = &str> {
    text.unicode_words()
}

/// How many words a side has, as the limits count them: the inline markup makes none.
///
/// ```
/// use deckle::text::word_count;
/// assert_eq!(word_count("**Wind speed** of 10^6^ knots"), 5);
/// assert_eq!(word_count("$\\frac{1}{2}$"), 2);
/// ```
pub fn word_count(text: &str) -> usize {
    if text.is_ascii() && !text.contains(['*', '`', '~', '^', '$']) {
        return count_words(text);
    }
    let read = plain(text);
    count_words(&read.replace('^', ""))
}

/// How many words [`words`] gives; plain ASCII, which nearly all text is, is counted byte by byte.
pub(crate) fn count_words(text: &str) -> usize {
    if text.is_ascii() { count_ascii(text.as_bytes()) } else { words(text).count() }
}

/// UAX #29 for ASCII: letters, digits and `_` hold together; so do letters around one of `.':` (WB6, WB7) and
/// digits around one of `.',;` (WB11, WB12).
fn count_ascii(text: &[u8]) -> usize {
    let (mut count, mut counted) = (0, false);
    for (at, byte) in text.iter().enumerate() {
        let around = |test: fn(&u8) -> bool| at > 0 && test(&text[at - 1]) && text.get(at + 1).is_some_and(test);
        match byte {
            byte if byte.is_ascii_alphanumeric() => {
                count += usize::from(!counted);
                counted = true;
            }
            b'_' => {}
            b'.' | b'\'' if around(u8::is_ascii_alphabetic) || around(u8::is_ascii_digit) => {}
            b':' if around(u8::is_ascii_alphabetic) => {}
            b',' | b';' if around(u8::is_ascii_digit) => {}
            _ => counted = false,
        }
    }
    count
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn ascii_is_counted_as_by_the_standard(text in "[a-c0-2_.':,; \n\"-]{0,24}", any in "[ -~\t\r\n]{0,24}") {
            prop_assert_eq!(count_words(&text), words(&text).count(), "{}", text);
            prop_assert_eq!(count_words(&any), words(&any).count(), "{}", any);
        }
    }

    #[test]
    fn words_are_counted_as_read() {
        for (text, count) in [
            ("", 0),
            ("It's 3.5 km, isn't it?", 5),
            ("well-known", 2),
            ("H~2~O and CO₂", 3),
            ("*one* `two` **three**", 3),
            ("$6 \\times 10^{23}$ atoms", 3),
            ("—  … !", 0),
            ("10^6^ people", 2),
        ] {
            assert_eq!(word_count(text), count, "{text}");
        }
    }
}
