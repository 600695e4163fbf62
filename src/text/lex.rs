//! Plain text cut into words, digits and signs: the raw material of numerals, units and dates.

use super::number::Number;
use std::ops::Range;

/// One piece of plain text.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Piece<'t> {
    pub(crate) span: Range<usize>,
    pub(crate) text: &'t str,
    pub(crate) what: What,
    /// Whether it follows the piece before without a space.
    pub(crate) tight: bool,
}

/// What a piece is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum What {
    Word,
    Digits(Number),
    Sign(char),
}

impl Piece<'_> {
    pub(crate) fn is_sign(&self, sign: char) -> bool {
        self.what == What::Sign(sign)
    }

    pub(crate) fn is_word(&self) -> bool {
        self.what == What::Word
    }

    pub(crate) fn digits(&self) -> Option<Number> {
        match self.what {
            What::Digits(number) => Some(number),
            _ => None,
        }
    }
}

/// Cuts plain text into pieces, in order; only spaces are left out.
pub(crate) fn lex(text: &str) -> Vec<Piece<'_>> {
    let mut out = Vec::with_capacity(text.len() / 5 + 1);
    let mut at = 0;
    let mut tight = false;
    while let Some(c) = text[at..].chars().next() {
        if c.is_whitespace() {
            at += c.len_utf8();
            tight = false;
            continue;
        }
        let (len, what) = piece(&text[at..], c);
        out.push(Piece { span: at..at + len, text: &text[at..at + len], what, tight });
        at += len;
        tight = true;
    }
    out
}

fn piece(rest: &str, first: char) -> (usize, What) {
    if first.is_ascii_alphabetic() {
        let plain = rest.bytes().take_while(u8::is_ascii_alphanumeric).count();
        let goes_on = rest.as_bytes().get(plain).is_some_and(|next| *next == b'\'' || !next.is_ascii());
        return (if goes_on { word(rest) } else { plain }, What::Word);
    }
    if first.is_ascii_digit() {
        let (len, number) = digits(rest);
        return (len, number.map_or(What::Word, What::Digits));
    }
    if is_letter(first) {
        return (word(rest), What::Word);
    }
    (first.len_utf8(), What::Sign(first))
}

fn is_letter(c: char) -> bool {
    c.is_alphabetic()
        || (!c.is_ascii()
            && (c.is_alphanumeric() && !super::plain::is_fraction(c)
                || unicode_normalization::char::is_combining_mark(c)))
}

/// Letters, with digits and apostrophes inside: `H2O`, `Earth's`.
fn word(rest: &str) -> usize {
    let mut chars = rest.char_indices().peekable();
    while let Some((at, c)) = chars.next() {
        let next = chars.peek().map(|(_, c)| *c);
        let inside = is_letter(c) || c.is_ascii_digit() || (c == '\'' && next.is_some_and(is_letter));
        if !inside {
            return at;
        }
    }
    rest.len()
}

/// Digits with thousands separators and a decimal part; a number with two points is only a word.
fn digits(rest: &str) -> (usize, Option<Number>) {
    let bytes = rest.as_bytes();
    let mut plain = String::new();
    let mut at = run(bytes, 0);
    plain.push_str(&rest[..at]);
    if at <= 3 && !rest.starts_with('0') {
        for separator in [b',', b' '] {
            let groups = grouped(bytes, at, separator);
            if groups > at {
                plain.extend(rest[at..groups].chars().filter(char::is_ascii_digit));
                at = groups;
                break;
            }
        }
    }
    let mut points = 0;
    while bytes.get(at) == Some(&b'.') && bytes.get(at + 1).is_some_and(u8::is_ascii_digit) {
        let end = run(bytes, at + 1);
        plain.push_str(&rest[at..end]);
        at = end;
        points += 1;
    }
    (at, if points > 1 { None } else { Number::decimal(&plain) })
}

fn run(bytes: &[u8], from: usize) -> usize {
    from + bytes[from..].iter().take_while(|b| b.is_ascii_digit()).count()
}

/// The end of the groups of three digits that follow, each after `separator`.
fn grouped(bytes: &[u8], mut at: usize, separator: u8) -> usize {
    let begin = at;
    while bytes.get(at) == Some(&separator) && run(bytes, at + 1) == at + 4 {
        at += 4;
    }
    // `1, 234 and 12` is no number with separators; neither is `100 000abc`.
    let joined = bytes.get(at).is_some_and(|b| b.is_ascii_alphabetic()) && separator == b' ';
    if joined { begin } else { at }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(text: &str) -> Vec<String> {
        lex(text)
            .iter()
            .map(|piece| match piece.what {
                What::Word => piece.text.to_string(),
                What::Digits(number) => format!("<{number}>"),
                What::Sign(sign) => format!("'{sign}"),
            })
            .collect()
    }

    #[test]
    fn text_is_cut_into_words_digits_and_signs() {
        for (text, want) in [
            ("It's 3.5 km.", "It's <3.5> km '."),
            ("50 000 or 50,000", "<50000> or <50000>"),
            ("1,2 and 12,34", "<1> ', <2> and <12> ', <34>"),
            ("v1.2.3 H2O 1.2.3", "v1 '. <2.3> H2O 1.2.3"),
            ("in 2019 300 died", "in <2019> <300> died"),
            ("34km, 5%", "<34> km ', <5> '%"),
            ("well-known -5", "well '- known '- <5>"),
            ("l'eau rocks'", "l'eau rocks ''"),
        ] {
            assert_eq!(cut(text).join(" "), want, "{text}");
        }
    }
}
