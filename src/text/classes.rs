//! What a word of common English is used as, and which words are opposed, out of WordNet: asked only when
//! a word gave way to another, so that the lists are read when the first card needs them.

use super::lists::lines;
use super::stem::{fold, irregular};
use std::collections::HashMap;
use std::sync::OnceLock;

/// What a word of common English is used as.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Classes {
    /// As the name of a thing, or as what pertains to one.
    pub(crate) noun: bool,
    /// As a verb.
    pub(crate) verb: bool,
    /// As an adjective or adverb.
    pub(crate) describes: bool,
    /// As an adjective that says what a thing pertains to, such as `solar`.
    pub(crate) pertains: bool,
    /// Whether it is used as a noun more than as anything else.
    pub(crate) mostly_noun: bool,
}

/// What a word is used as, whatever its inflection; `None` when it is no word of common English, but a term
/// or a name.
pub(crate) fn classes(word: &str) -> Option<Classes> {
    let word = fold(word);
    let as_it_stands = listed().get(word.as_str()).copied();
    // `works` are a factory, and what somebody does.
    let singular = word.strip_suffix('s').and_then(|word| listed().get(word).copied());
    let letters = as_it_stands.map(|plural| singular.unwrap_or(plural)).or_else(|| {
        base_forms(&word).into_iter().find_map(|(base, class)| {
            let letters = listed().get(base.as_str())?;
            let kept = letters.matches(class).next()?;
            // An ending of verbs leaves a verb, one of adjectives what describes.
            Some(if class == ANY { *letters } else { kept })
        })
    })?;
    Some(Classes {
        noun: letters.contains(['n', 'p']),
        verb: letters.contains('v'),
        describes: letters.contains(['a', 'r']),
        pertains: letters.contains('p'),
        mostly_noun: letters.starts_with(['n', 'p']),
    })
}

/// Whether WordNet calls two words antonyms, whatever their inflection.
pub(crate) fn are_antonyms(one: &str, other: &str) -> bool {
    let (ones, others) = (base_forms(&fold(one)), base_forms(&fold(other)));
    let named = |from: &[(String, &[char])], to: &[(String, &[char])]| {
        from.iter()
            .filter_map(|(word, _)| opposed().get(word.as_str()))
            .flatten()
            .any(|word| to.iter().any(|(to, _)| to == word))
    };
    named(&ones, &others) || named(&others, &ones)
}

const ANY: &[char] = &['n', 'p', 'v', 'a', 'r'];

/// The words that a folded word may be an inflection of, itself first, each with the classes it is one of.
fn base_forms(word: &str) -> Vec<(String, &'static [char])> {
    let mut out = vec![(word.to_owned(), ANY)];
    out.extend(irregular(word).map(|base| (base.to_owned(), ANY)));
    for (ending, bases, classes) in ENDINGS {
        let Some(rest) = word.strip_suffix(ending).filter(|rest| rest.len() > 1) else { continue };
        out.extend(bases.iter().map(|base| (format!("{rest}{base}"), classes)));
        // `stopped`, `running`, `bigger`
        let bytes = rest.as_bytes();
        if rest.is_ascii() && !ending.ends_with('s') && bytes[bytes.len() - 1] == bytes[bytes.len() - 2] {
            out.push((rest[..rest.len() - 1].to_owned(), classes));
        }
    }
    out
}

/// Endings of inflection, with what stands in their place in the word's base form, and of what class that is.
const ENDINGS: [(&str, &[&str], &[char]); 12] = [
    ("ves", &["f", "fe"], &['n']),
    ("ies", &["y"], ANY),
    ("es", &["", "e"], ANY),
    ("s", &[""], ANY),
    ("ied", &["y"], &['v']),
    ("ed", &["", "e"], &['v']),
    ("ing", &["", "e"], &['v']),
    ("ier", &["y"], &['a']),
    ("er", &["", "e"], &['a']),
    ("iest", &["y"], &['a']),
    ("est", &["", "e"], &['a']),
    ("ly", &["", "le"], &['a']),
];

fn listed() -> &'static HashMap<&'static str, &'static str> {
    static WORDS: OnceLock<HashMap<&'static str, &'static str>> = OnceLock::new();
    WORDS.get_or_init(|| {
        lines(include_str!("../../schema/word-classes.txt")).filter_map(|line| line.split_once(' ')).collect()
    })
}

fn opposed() -> &'static HashMap<&'static str, Vec<&'static str>> {
    static WORDS: OnceLock<HashMap<&'static str, Vec<&'static str>>> = OnceLock::new();
    WORDS.get_or_init(|| {
        let entry = |line: &'static str| {
            let (word, others) = line.split_once(' ')?;
            Some((word, others.split(' ').collect()))
        };
        lines(include_str!("../../schema/opposed-words.txt")).filter_map(entry).collect()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ordinary_words_are_told_from_names_of_things() {
        for (word, noun, verb, describes) in [
            ("destroys", false, true, false),
            ("stopped", false, true, false),
            ("commanded", false, true, false),
            ("command", true, true, false),
            ("usually", false, false, true),
            ("driest", false, false, true),
            ("liver", true, false, false),
            ("hearts", true, false, false),
            ("lunar", true, false, false),
            ("wives", true, false, false),
        ] {
            let found = classes(word).unwrap_or_default();
            assert_eq!((found.noun, found.verb, found.describes), (noun, verb, describes), "{word}");
        }
        assert_eq!((classes("isosceles"), classes("mitochondrion")), (None, None));
        assert!(classes("command").is_some_and(|command| command.mostly_noun));
    }

    #[test]
    fn antonyms_are_opposed_in_any_form() {
        assert!(are_antonyms("accepts", "refused") && are_antonyms("secondary", "primary"));
        assert!(!are_antonyms("accepts", "takes"));
    }

    #[test]
    fn the_lists_are_sorted_without_doubles() {
        for text in [include_str!("../../schema/word-classes.txt"), include_str!("../../schema/opposed-words.txt")] {
            let all: Vec<&str> = lines(text).filter_map(|line| line.split(' ').next()).collect();
            assert!(all.windows(2).all(|two| two[0] < two[1]));
        }
    }
}
