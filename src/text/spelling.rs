//! One spelling for British and American writing, so that the choice is wording and not fact.

use std::sync::OnceLock;

/// The word, already in lower case, in its British spelling; a word that has only one stays.
///
/// ```
/// use deckle::text::one_spelling;
/// assert_eq!(one_spelling("colorless"), "colourless");
/// assert_eq!(one_spelling("organized"), "organised");
/// ```
pub fn one_spelling(word: &str) -> String {
    let multiple = MULTIPLES.iter().find(|multiple| word.starts_with(*multiple)).map_or(0, |multiple| multiple.len());
    let (many, base) = word.split_at(multiple);
    let Some((from, to)) = beginning(base) else { return with_s(word.to_string()) };
    let rest = &base[from.len()..];
    // `centred` from `centered`: the vowel stands behind the r.
    let turned = from.ends_with("er") && to.ends_with("re") && rest.starts_with(['e', 'i']);
    let to = if turned { &to[..to.len() - 1] } else { to };
    with_s(format!("{many}{to}{rest}"))
}

/// What `metre` and `litre` are multiplied by.
const MULTIPLES: [&str; 7] = ["centi", "deci", "hecto", "kilo", "micro", "milli", "nano"];

/// The pair of spellings that the word begins with.
fn beginning(word: &str) -> Option<(&'static str, &'static str)> {
    let pairs = pairs();
    let end = pairs.partition_point(|pair| pair.0 <= word);
    // The nearest beginning before the word in order; shorter ones may be a few lines up.
    let first = word.as_bytes().first()?;
    pairs[..end].iter().rev().take_while(|pair| pair.0.as_bytes().first() == Some(first)).copied().find(|(from, to)| {
        let rest = word.strip_prefix(from);
        let ends = ["er", "gram", "log", "disk", "mom", "tire", "roll", "fill", "gray", "cozy"]
            .iter()
            .any(|end| from.ends_with(end));
        !word.starts_with(to)
            && rest.is_some_and(|rest| {
                !ends || matches!(rest, "" | "s" | "d" | "ed" | "ing" | "ment" | "ments" | "less" | "glass" | "'s")
            })
    })
}

/// `-ize` and its forms with an s.
fn with_s(mut word: String) -> String {
    const ENDINGS: [&str; 8] = ["ize", "izes", "ized", "izing", "izer", "izers", "ization", "izations"];
    const KEPT: [&str; 8] = ["size", "prize", "seize", "maize", "capsize", "baize", "resize", "sizer"];
    if !word.contains("iz") {
        return word;
    }
    if let Some(end) = ENDINGS.iter().find(|end| word.ends_with(*end))
        && word.len() >= end.len() + 3
        && !KEPT.iter().any(|kept| word.starts_with(kept))
    {
        let at = word.len() - end.len() + 1;
        word.replace_range(at..=at, "s");
    }
    word
}

fn pairs() -> &'static [(&'static str, &'static str)] {
    static PAIRS: OnceLock<Vec<(&'static str, &'static str)>> = OnceLock::new();
    PAIRS.get_or_init(|| super::lists::pairs(include_str!("../../schema/spelling.txt")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_spellings_become_one() {
        for (american, british) in [
            ("color", "colour"),
            ("colored", "coloured"),
            ("meters", "metres"),
            ("kilometers", "kilometres"),
            ("barometer", "barometer"),
            ("centered", "centred"),
            ("neighboring", "neighbouring"),
            ("organizations", "organisations"),
            ("analyzed", "analysed"),
            ("vaporize", "vapourise"),
            ("plowed", "ploughed"),
            ("program", "programme"),
            ("programming", "programming"),
            ("sulfuric", "sulphuric"),
        ] {
            assert_eq!(one_spelling(american), one_spelling(british), "{american}");
        }
        for word in ["size", "sizes", "prize", "horizon", "meteor", "literal", "centrepiece", "metric", "sediment", ""]
        {
            assert_eq!(one_spelling(word), word);
        }
    }

    #[test]
    fn the_list_is_sorted() {
        assert!(pairs().is_sorted());
        assert!(pairs().windows(2).all(|two| two[0].0 != two[1].0));
    }
}
