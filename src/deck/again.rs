//! Cards found again under another id.

use std::collections::BTreeMap;

/// What tells a card from others, besides its id.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Face<'a> {
    /// The deck it stands in.
    pub deck: &'a str,
    /// What it asks.
    pub question: String,
    /// What it answers, on one line.
    pub answer: String,
    /// The passage that it was made from; empty when it names none.
    pub quote: String,
    /// The id of the nearest card before it that is in both departments; empty for none.
    pub before: &'a str,
    /// The same behind it.
    pub after: &'a str,
}

/// Which cards that are gone are which new ones, as numbers in both lists.
///
/// A card is found again where the evidence is clear: one new card asks the very same; or it answers
/// the same and quotes the same passage; or it answers the same, stands between the same cards of the
/// same deck, and asks with more than half of the same words. Where several cards fit, none is taken.
pub fn found_again(gone: &[Face<'_>], new: &[Face<'_>]) -> Vec<(usize, usize)> {
    type Key = fn(&Face<'_>) -> Option<Vec<String>>;
    let tests: [Key; 3] = [
        |face| key(&[&face.question]),
        |face| key(&[&face.answer, &face.quote]),
        |face| {
            let key = key(&[&face.answer])?;
            Some(key.into_iter().chain([face.deck, face.before, face.after].map(str::to_owned)).collect())
        },
    ];
    let mut left = [(0..gone.len()).collect::<Vec<_>>(), (0..new.len()).collect::<Vec<_>>()];
    let mut pairs = Vec::new();
    for (number, test) in tests.into_iter().enumerate() {
        let mut alike: BTreeMap<Vec<String>, [Vec<usize>; 2]> = BTreeMap::new();
        for (side, faces) in [gone, new].into_iter().enumerate() {
            for at in &left[side] {
                if let Some(key) = test(&faces[*at]) {
                    alike.entry(key).or_default()[side].push(*at);
                }
            }
        }
        alike.retain(|_, [gone, new]| !gone.is_empty() && !new.is_empty());
        for [one, other] in alike.into_values() {
            if let ([one], [other]) = (one.as_slice(), other.as_slice()) {
                if number == 2 && !asks_alike(&gone[*one].question, &new[*other].question) {
                    continue;
                }
                pairs.push((*one, *other));
            }
            // What fits several cards is not tried again with less.
            left[0].retain(|at| !one.contains(at));
            left[1].retain(|at| !other.contains(at));
        }
    }
    pairs.sort_unstable();
    pairs
}

fn key(parts: &[&str]) -> Option<Vec<String>> {
    parts.iter().all(|part| !part.trim().is_empty()).then(|| parts.iter().map(|part| part.trim().to_owned()).collect())
}

/// Whether more than half of the words are the same.
fn asks_alike(one: &str, other: &str) -> bool {
    let words =
        |text: &str| -> std::collections::BTreeSet<String> { text.split_whitespace().map(str::to_lowercase).collect() };
    let (one, other) = (words(one), words(other));
    one.intersection(&other).count() * 2 > one.len().max(other.len())
}

/// For each of these ids the nearest ones before and behind it that are `in_both`.
pub fn neighbours<'a>(ids: &[&'a str], in_both: impl Fn(&str) -> bool) -> Vec<(&'a str, &'a str)> {
    let mut found = vec![("", ""); ids.len()];
    let mut last = "";
    for (at, id) in ids.iter().enumerate() {
        found[at].0 = last;
        last = if in_both(id) { id } else { last };
    }
    last = "";
    for (at, id) in ids.iter().enumerate().rev() {
        found[at].1 = last;
        last = if in_both(id) { id } else { last };
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn face(question: &str, answer: &str, quote: &str, before: &'static str) -> Face<'static> {
        let text = str::to_owned;
        Face { deck: "d", question: text(question), answer: text(answer), quote: text(quote), before, after: "" }
    }

    #[test]
    fn by_question_by_quote_and_by_place() {
        let gone = [
            face("What is a gale?", "A wind", "", "a"),
            face("How strong?", "34 knots", "It has 34 knots.", "b"),
            face("What is meant by hail?", "Ice", "", "c"),
            face("Is it true?", "True", "", "d"),
        ];
        let new = [
            face("What do we call hail?", "True", "", "d"),
            face("What then is meant by hail?", "Ice", "", "c"),
            face("With which force?", "34 knots", "It has 34 knots.", "x"),
            face("What is a gale?", "A strong wind", "", "y"),
        ];
        assert_eq!(found_again(&gone, &new), [(0, 3), (1, 2), (2, 1)]);
    }

    #[test]
    fn what_fits_several_cards_is_none() {
        let one = face("What is a gale?", "A wind", "It is a wind.", "a");
        assert_eq!(found_again(std::slice::from_ref(&one), &[one.clone(), one.clone()]), []);
        assert_eq!(found_again(&[one.clone(), one.clone()], std::slice::from_ref(&one)), []);
        let single = std::slice::from_ref(&one);
        assert_eq!(found_again(single, single), [(0, 0)]);
        let empty = [face("", "", "", "")];
        assert_eq!(found_again(&empty, &empty), []);
    }

    #[test]
    fn neighbours_are_those_that_stay() {
        let stays = |id: &str| id != "b";
        assert_eq!(neighbours(&["a", "b", "c"], stays), [("", "c"), ("a", "c"), ("a", "")]);
    }
}
