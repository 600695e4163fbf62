//! Numbers in formulas.

/// The number at the start of `text`, as it is shown, and its length in bytes there.
///
/// Digits in groups of three, a blank, `\,` or a comma between them, are one number, as ISO 80000-1
/// and schools write it: TeX would push `50 000` together.
pub(super) fn number(text: &str) -> Option<(String, usize)> {
    let mut len = digits(text);
    let mut shown = text[..len].to_owned();
    if (1..=3).contains(&len) {
        while let Some((gap, separator)) = group(&text[len..]) {
            shown.push(separator);
            shown.push_str(&text[len + gap..len + gap + 3]);
            len += gap + 3;
        }
    }
    if text[len..].starts_with('.') {
        let decimals = digits(&text[len + 1..]);
        if decimals > 0 {
            shown.push_str(&text[len..len + 1 + decimals]);
            len += 1 + decimals;
        }
    }
    (len > 0).then_some((shown, len))
}

/// How many digits `text` starts with.
fn digits(text: &str) -> usize {
    text.bytes().take_while(u8::is_ascii_digit).count()
}

/// What stands before another group of just three digits: its length, and how it is shown.
fn group(text: &str) -> Option<(usize, char)> {
    let gaps = [("\\,", ' '), (",", ','), (" ", ' '), ("\u{a0}", ' '), ("\u{2009}", ' '), ("\u{202f}", ' ')];
    let (gap, separator) = gaps.iter().find(|(gap, _)| text.starts_with(gap))?;
    (digits(&text[gap.len()..]) == 3).then_some((gap.len(), *separator))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_with_their_groups() {
        for (text, shown, len) in [
            ("3.5 m", "3.5", 3),
            ("50 000", "50 000", 6),
            ("1\\,234\\,567.89", "1 234 567.89", 14),
            ("1,000", "1,000", 5),
            ("1, 2", "1", 1),
            ("10 5", "10", 2),
            ("10 5000", "10", 2),
            ("5000 000", "5000", 4),
            (".5", ".5", 2),
            ("3.", "3", 1),
            ("1.2.3", "1.2", 3),
        ] {
            assert_eq!(number(text), Some((shown.to_owned(), len)), "{text}");
        }
        assert_eq!(number("x"), None);
        assert_eq!(number("."), None);
    }
}
