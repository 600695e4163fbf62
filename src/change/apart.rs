//! Two versions of a deck without what they have in common.

use std::collections::BTreeMap;

use crate::deck::outline::{Piece, Split, split, stands_alone};

/// Two versions of a deck without the cards that both have alike; `None` where cards have another order,
/// or the deck is not laid out in the usual way.
pub fn apart(before: &str, now: &str) -> Option<(String, String)> {
    let (before, now) = (split(before)?, split(now)?);
    let (old, new) = (before.by_id()?, now.by_id()?);
    let order = |cut: &Split<'_>, other: &BTreeMap<&str, Piece<'_>>| -> Vec<String> {
        let ids = cut.cards.iter().filter_map(Piece::id);
        ids.filter(|id| other.contains_key(id)).map(str::to_owned).collect()
    };
    if before.dash != now.dash || order(&before, &new) != order(&now, &old) {
        return None;
    }
    let alike = |piece: &&Piece<'_>| {
        let other = piece.id().and_then(|id| old.get(id).zip(new.get(id)));
        other.is_some_and(|(old, new)| old == new) && stands_alone(piece.raw, before.dash)
    };
    let rest = |cut: &Split<'_>| {
        let cards = cut.cards.iter().filter(|piece| !alike(piece)).flat_map(|piece| [piece.lead, piece.raw]);
        [cut.front].into_iter().chain(cards).chain([cut.tail]).collect::<String>()
    };
    Some((rest(&before), rest(&now)))
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::change::changes;
    use crate::deck::Department;
    use crate::deck::department::CARDS;
    use crate::place::SourceFile;

    fn department(text: &str) -> Department {
        let path = format!("decks/a/{CARDS}");
        Department::of_decks(vec![("a".to_owned(), Arc::new(SourceFile::new(path, text)))])
    }

    #[test]
    fn what_both_have_alike_does_not_count() {
        let card =
            |id: &str, answer: &str| format!("  - id: {id}\n    question: What is {id}?\n    answer: {answer}\n\n");
        let deck = |cards: &[String]| format!("title: T\nyear: 7\ncards:\n{}", cards.concat());
        let [a, b, c] = ["a", "b", "c"].map(|id| card(id, "It"));
        let before = deck(&[a.clone(), b.clone(), c.clone()]);
        let whole = |now: &str| changes(&department(&before), &department(now)).counts();
        for now in [
            deck(&[a.clone(), card("b", "It is"), c.clone(), card("d", "New")]),
            deck(&[c.clone(), a.clone()]),
            deck(&[a.clone(), card("b", "'It'"), format!("  # c\n{c}")]).replace("year: 7", "year: 8"),
        ] {
            let counts = apart(&before, &now).map(|(before, now)| {
                assert!(!before.contains("- id: a\n") && !now.contains("- id: a\n"));
                changes(&department(&before), &department(&now)).counts()
            });
            assert_eq!(counts.unwrap_or_else(|| whole(&now)), whole(&now));
        }
        assert_eq!(apart(&before, &deck(&[c, b, a])), None);
    }
}
