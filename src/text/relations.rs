//! Words that exclude each other in one place of a sentence, and words that say the same.

use super::lists::lines;
use super::stem::{fold, snowball, stem};
use std::collections::HashMap;
use std::sync::OnceLock;

/// Whether two words exclude each other in the same place: `rise` and `fall`, `north` and `east`,
/// `warmer` and `colder`, `even` and `uneven`.
///
/// ```
/// use deckle::text::are_opposites;
/// assert!(are_opposites("increases", "decreased") && are_opposites("longest", "shortest"));
/// assert!(!are_opposites("longest", "rivers"));
/// ```
pub fn are_opposites(one: &str, other: &str) -> bool {
    let (one, other) = (stem(one), stem(other));
    stems_oppose(&one, &other)
}

/// Whether two words say the same in school prose: `begins` and `starts`.
pub fn are_synonyms(one: &str, other: &str) -> bool {
    let (one, other) = (stem(one), stem(other));
    stems_agree(&one, &other)
}

/// Whether a word has an opposite, so that it carries meaning even if it is a small one.
pub(crate) fn has_opposite(stem: &str) -> bool {
    opposites().contains_key(stem)
}

/// As [`are_opposites`], of stems.
pub(crate) fn stems_oppose(one: &str, other: &str) -> bool {
    one != other
        && !stems_agree(one, other)
        && (share(opposites(), one, other) || negates(one, other) || negates(other, one))
}

/// As [`are_synonyms`], of stems; a stem agrees with itself.
pub(crate) fn stems_agree(one: &str, other: &str) -> bool {
    one == other || share(synonyms(), one, other)
}

/// The groups of words that say the same to which a stem belongs.
pub(crate) fn synonym_groups(stem: &str) -> &'static [u16] {
    synonyms().get(stem).map_or(&[], Vec::as_slice)
}

/// The groups of words that exclude each other to which a stem belongs.
pub(crate) fn opposite_groups(stem: &str) -> &'static [u16] {
    opposites().get(stem).map_or(&[], Vec::as_slice)
}

fn share(groups: &Groups, one: &str, other: &str) -> bool {
    groups.get(one).is_some_and(|one| groups.get(other).is_some_and(|other| overlap(one, other)))
}

/// Whether two words have a group in common.
pub(crate) fn overlap(one: &[u16], other: &[u16]) -> bool {
    one.iter().any(|group| other.contains(group))
}

/// Whether `negated` is `word` with a prefix that turns it round.
pub(crate) fn negates(negated: &str, word: &str) -> bool {
    // The two stems may be cut at different places: `unequ` and `equal`.
    let fits = |rest: &str| rest.len() >= 3 && word.starts_with(rest) && word.len() - rest.len() <= 2;
    word.len() >= 4 && TURNING.iter().any(|prefix| negated.strip_prefix(prefix).is_some_and(fits))
}

/// Prefixes that turn a word round.
const TURNING: [&str; 8] = ["un", "in", "im", "il", "ir", "non", "dis", "anti"];

/// Whether a word begins as one does that is turned round.
pub(crate) fn may_negate(word: &str) -> bool {
    TURNING.iter().any(|prefix| word.starts_with(prefix))
}

/// Groups by stem.
type Groups = HashMap<String, Vec<u16>, foldhash::fast::RandomState>;

fn opposites() -> &'static Groups {
    static GROUPS: OnceLock<Groups> = OnceLock::new();
    GROUPS.get_or_init(|| read(include_str!("../../schema/opposites.txt")))
}

fn synonyms() -> &'static Groups {
    static GROUPS: OnceLock<Groups> = OnceLock::new();
    GROUPS.get_or_init(|| read(include_str!("../../schema/synonyms.txt")))
}

/// Groups by stem; the comparatives of a group are a group, and its superlatives.
fn read(text: &'static str) -> Groups {
    let mut out = Groups::default();
    let mut group = 0u16;
    for line in lines(text) {
        for ending in ["", "er", "est"] {
            for word in line.split_whitespace() {
                let form = if ending.is_empty() { word.to_string() } else { graded(word, ending) };
                let groups = out.entry(stem(&form)).or_default();
                if !groups.contains(&group) {
                    groups.push(group);
                }
            }
            group += 1;
        }
    }
    out
}

/// `hotter` from `hot`, `drier` from `dry`, `larger` from `large`.
fn graded(word: &str, ending: &str) -> String {
    let bytes = word.as_bytes();
    let vowel = |at: usize| bytes.get(at).is_some_and(|b| b"aeiou".contains(b));
    let end = word.len();
    if let Some(stem) = word.strip_suffix('e') {
        return format!("{stem}{ending}");
    }
    if let Some(stem) = word.strip_suffix('y') {
        return format!("{stem}i{ending}");
    }
    let doubles = (3..=4).contains(&end)
        && !vowel(end - 1)
        && vowel(end - 2)
        && !vowel(end - 3)
        && !word.ends_with(['w', 'x', 'y']);
    match doubles {
        true => format!("{word}{}{ending}", &word[end - 1..]),
        false => format!("{word}{ending}"),
    }
}

/// The word that a comparative or superlative is formed from, as a stem: `longest` → `long`.
pub(crate) fn grade_of(word: &str) -> Option<&'static str> {
    let folded = fold(word);
    if matches!(folded.as_str(), "most" | "least") {
        return Some("est");
    }
    let ending =
        ["est", "er"].into_iter().find(|ending| folded.ends_with(ending) && folded.len() > ending.len() + 2)?;
    let base = &folded[..folded.len() - ending.len()];
    let known = |word: &str| has_opposite(&snowball(word)) || synonyms().contains_key(&snowball(word));
    let single = &base[..base.len() - base.chars().next_back().map_or(0, char::len_utf8)];
    let fits = known(base)
        || known(&format!("{base}e"))
        || known(single)
        || base.strip_suffix('i').is_some_and(|base| known(&format!("{base}y")));
    fits.then_some(ending)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn opposites_exclude_each_other_in_every_form() {
        for (one, other) in [
            ("rises", "falling"),
            ("hotter", "colder"),
            ("largest", "smallest"),
            ("north", "east"),
            ("equal", "unequal"),
            ("impermeable", "permeable"),
            ("more", "less"),
            ("Northern", "southern"),
            ("anticlockwise", "clockwise"),
            ("drier", "wetter"),
        ] {
            assert!(are_opposites(one, other), "{one} {other}");
        }
        for (one, other) in
            [("rise", "rising"), ("hot", "hotter"), ("river", "sea"), ("in", "increase"), ("small", "little")]
        {
            assert!(!are_opposites(one, other), "{one} {other}");
        }
    }

    #[test]
    fn synonyms_agree() {
        assert!(are_synonyms("begins", "started") && are_synonyms("bigger", "larger") && are_synonyms("same", "same"));
        assert!(!are_synonyms("begins", "ends") && !are_synonyms("abrasion", "attrition"));
    }

    #[test]
    fn grades_are_told() {
        assert_eq!(grade_of("longest"), Some("est"));
        assert_eq!(grade_of("hotter"), Some("er"));
        assert_eq!(grade_of("river"), None);
        assert_eq!(grade_of("forest"), None);
        assert_eq!(grade_of("é"), None);
    }

    #[test]
    fn the_lists_are_sorted_without_doubles() {
        for text in [include_str!("../../schema/opposites.txt"), include_str!("../../schema/synonyms.txt")] {
            let all: Vec<&str> = lines(text).collect();
            assert!(all.windows(2).all(|two| two[0] < two[1]));
            for line in &all {
                let mut words: Vec<&str> = line.split(' ').collect();
                assert!(words.len() > 1, "{line}");
                words.sort_unstable();
                words.dedup();
                assert_eq!(words.len(), line.split(' ').count(), "{line}");
            }
        }
    }
}
