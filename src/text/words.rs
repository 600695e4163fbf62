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
        return words(text).count();
    }
    let read = plain(text);
    words(&read.replace('^', "")).count()
}

#[cfg(test)]
mod tests {
    use super::*;

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
