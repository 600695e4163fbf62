//! Stems by Snowball's English stemmer, over folded words in one spelling, with the irregular forms
//! that no stemmer knows.

use super::{known, lists};
use rust_stemmers::{Algorithm, Stemmer};
use std::sync::OnceLock;
use unicode_normalization::UnicodeNormalization;

/// The stem that all inflections and both spellings of a word share.
///
/// ```
/// use deckle::text::stem;
/// assert_eq!(stem("Measures"), stem("measuring"));
/// assert_eq!(stem("neighbors"), stem("neighbour's"));
/// assert_eq!(stem("written"), stem("write"));
/// ```
pub fn stem(word: &str) -> String {
    known::with(word, |known| known.stem.to_string())
}

/// The same, worked out anew: for whoever asks for each word once only.
pub(crate) fn stem_anew(word: &str) -> String {
    worked_out(&fold(word))
}

/// Snowball alone, for words that are folded already.
pub(crate) fn snowball(word: &str) -> String {
    static STEMMER: OnceLock<Stemmer> = OnceLock::new();
    STEMMER.get_or_init(|| Stemmer::create(Algorithm::English)).stem(word).into_owned()
}

/// The stem of a word that is folded already.
pub(super) fn worked_out(folded: &str) -> String {
    let bare = folded.strip_suffix("'s").unwrap_or(folded.trim_end_matches('\''));
    let word = irregular(bare).unwrap_or(bare);
    snowball(&super::one_spelling(word))
}

/// The word in lower case, composed, with straight apostrophes; accents are kept.
pub(crate) fn fold(word: &str) -> String {
    if word.is_ascii() {
        return word.to_ascii_lowercase();
    }
    word.nfc().flat_map(char::to_lowercase).nfc().map(|c| if c == '’' || c == 'ʼ' { '\'' } else { c }).collect()
}

/// Whether a word carries no meaning of its own: `the`, `is`, `which`.
pub fn is_stop_word(word: &str) -> bool {
    known::with(word, |known| known.small)
}

/// Whether a folded word is on the list of small words.
pub(super) fn is_listed_as_small(folded: &str) -> bool {
    stop_words().binary_search(&folded).is_ok()
}

fn stop_words() -> &'static [&'static str] {
    static WORDS: OnceLock<Vec<&'static str>> = OnceLock::new();
    WORDS.get_or_init(|| lists::lines(include_str!("../../schema/stop-words.txt")).collect())
}

/// The base form of a folded word that is irregular.
pub(super) fn irregular(word: &str) -> Option<&'static str> {
    let forms = irregular_forms();
    forms.binary_search_by_key(&word, |form| form.0).ok().map(|at| forms[at].1)
}

fn irregular_forms() -> &'static [(&'static str, &'static str)] {
    static FORMS: OnceLock<Vec<(&'static str, &'static str)>> = OnceLock::new();
    FORMS.get_or_init(|| lists::pairs(include_str!("../../schema/irregular-words.txt")))
}

/// Whether the word is a verb's irregular form of the past, such as `written`.
pub(crate) fn is_irregular_past(word: &str) -> bool {
    irregular(word).is_some_and(|base| base != "be" && !word.ends_with('s'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inflections_share_a_stem() {
        for (one, other) in [
            ("rivers", "river"),
            ("ERODED", "eroding"),
            ("feet", "foot"),
            ("broke", "broken"),
            ("River’s", "rivers"),
            ("caf\u{65}\u{301}", "CAFÉ"),
        ] {
            assert_eq!(stem(one), stem(other), "{one} {other}");
        }
        assert_ne!(stem("erosion"), stem("deposition"));
    }

    #[test]
    fn stop_words_are_found_in_any_case() {
        assert!(is_stop_word("The") && is_stop_word("which") && is_stop_word("it’s"));
        assert!(!is_stop_word("wind") && !is_stop_word("not") && !is_stop_word("more") && !is_stop_word(""));
    }

    #[test]
    fn the_lists_are_sorted_without_doubles() {
        assert!(stop_words().windows(2).all(|two| two[0] < two[1]));
        assert!(irregular_forms().windows(2).all(|two| two[0].0 < two[1].0));
    }
}
