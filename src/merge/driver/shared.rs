//! Cards that all versions of a deck have alike, to the last byte, are not read: they stand for
//! themselves. Only the others are taken apart and merged.

use std::collections::{BTreeMap, BTreeSet};

use super::{MergedText, reads_back};
use crate::deck::outline::{CardText, DeckText, Piece, Split, deck_text, outline, split, stands_alone};
use crate::merge::deck::merge_decks;
use crate::merge::label::Labels;

/// What [`super::merge_whole`] comes to, reading only what differs; `None` where everything has to be
/// read.
pub(super) fn merge(base: &str, sides: &[&str], labels: &Labels<'_>) -> Option<MergedText> {
    let base = split(base)?;
    let sides = sides.iter().map(|side| split(side)).collect::<Option<Vec<Split<'_>>>>()?;
    if sides.iter().any(|side| side.dash != base.dash) {
        return None;
    }
    let shared = shared(&base, &sides);
    let base = parts(&base, &shared)?;
    let sides = sides.iter().map(|side| parts(side, &shared)).collect::<Option<Vec<DeckText>>>()?;
    let mut merged = merge_decks(&base, &sides.iter().collect::<Vec<_>>(), labels);
    // Links follow a card that got a free id, and may stand in any other.
    if !merged.renamed.is_empty() {
        return None;
    }
    let text = deck_text(&merged.parts);
    merged.parts.cards.retain(|card| !shared.contains_key(card.id.as_str()));
    let is_sound = text.ends_with('\n') && reads_back(&deck_text(&merged.parts), &merged.parts);
    is_sound.then_some(MergedText { text, undecided: merged.undecided, renamed: merged.renamed })
}

/// The cards by id that stand in the base and on all sides with the same lines, and stand alone.
fn shared<'a>(base: &Split<'a>, sides: &[Split<'a>]) -> BTreeMap<&'a str, Piece<'a>> {
    let by_id = |side: &Split<'a>| -> BTreeMap<&'a str, Piece<'a>> {
        side.cards.iter().filter_map(|piece| Some((piece.id()?, *piece))).collect()
    };
    let mut shared = by_id(base);
    for side in sides {
        let side = by_id(side);
        shared.retain(|id, piece| side.get(id) == Some(piece));
    }
    shared.retain(|_, piece| stands_alone(piece.raw, base.dash));
    shared
}

/// A deck of which the shared cards are not taken apart; `None` when it is not cut as it reads, or has
/// an id twice.
fn parts<'a>(cut: &Split<'a>, shared: &BTreeMap<&'a str, Piece<'a>>) -> Option<DeckText> {
    let is_shared = |piece: &Piece<'a>| piece.id().is_some_and(|id| shared.contains_key(id));
    let others: String =
        cut.cards.iter().filter(|piece| !is_shared(piece)).flat_map(|piece| [piece.lead, piece.raw]).collect();
    let mut deck = outline(&[cut.front, &others, cut.tail].concat())?;
    if deck.tail != cut.tail {
        return None;
    }
    let mut read = std::mem::take(&mut deck.cards).into_iter();
    let mut ids = BTreeSet::new();
    for piece in &cut.cards {
        let card = match piece.id().filter(|id| shared.contains_key(id)) {
            Some(id) => as_it_stands(id, piece, cut.dash),
            None => {
                read.next().filter(|card| card.lead == piece.lead && card.raw == piece.raw && card.dash == cut.dash)?
            }
        };
        if !ids.insert(card.id.clone()) {
            return None;
        }
        deck.cards.push(card);
    }
    read.next().is_none().then_some(deck)
}

/// A card that was not taken apart.
fn as_it_stands(id: &str, piece: &Piece<'_>, dash: usize) -> CardText {
    CardText {
        id: id.to_owned(),
        lead: piece.lead.to_owned(),
        raw: piece.raw.to_owned(),
        dash,
        offset: 2,
        fields: Vec::new(),
        trail: String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::merge_whole;
    use super::*;
    use crate::merge::label::Label;
    use proptest::prelude::*;

    fn label(side: usize, _: &str, _: &str) -> Label {
        Label { side: format!("side {side}"), by: None, when: None }
    }

    /// A card as it was and as it may have become.
    fn card(id: usize, version: u8) -> String {
        match version {
            0..=4 => format!("  - id: c{id}\n    question: What is {id}?\n    answer: It\n    tags: [a]\n\n"),
            5 => String::new(),
            6 => format!("  # about it\n  - id: c{id}\n    question: What is {id}?\n    answer: 'It: is'\n    # so\n"),
            7 => format!("  - id: c{id}\n    question: Which is {id}?\n    answer: {{a: b}}\n    needs: [c1]\n"),
            8 => format!("  - {{id: c{id}, question: Who?, answer: \"x\"}}\n"),
            9 => format!("  - id: c{id}\n    question: What is {id}?\n    question: What else?\n"),
            12 => format!(
                "  - id: r{id}\n    question: What is {id}?\n    answer: It\n    tags: [a]\n    needs: [r1]\n\n"
            ),
            10 => format!("  - id: new\n    question: What is {id}?\n  - id: c{id}\n    question: Is it?\n"),
            _ => format!(
                "  - id: c{id}\n    answer: |\n      in\n\n      lines\n    question: What is {id}?\n# far left\n"
            ),
        }
    }

    fn deck() -> impl Strategy<Value = String> {
        let versions = prop::collection::vec(prop_oneof![6 => Just(0_u8), 3 => 5..13_u8], 5);
        let order = prop_oneof![4 => Just(vec![0, 1, 2, 3, 4]), 1 => Just(vec![0, 1, 2, 3, 4]).prop_shuffle()];
        let front =
            prop::sample::select(vec!["title: T\ncards:\n", "title: U # u\ncards:\n\n", "title: T\ncards: # all\n"]);
        (front, versions, order, prop::bool::weighted(0.1)).prop_map(|(front, versions, order, tail)| {
            let cards: String = order.iter().map(|at| card(*at, versions[*at])).collect();
            format!("{front}{cards}{}", if tail { "# end\n" } else { "" })
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, cases: 2000, ..ProptestConfig::default() })]

        #[test]
        fn reading_only_what_differs_gives_the_same(base in deck(), ours in deck(), theirs in deck()) {
            let sides = [ours.as_str(), theirs.as_str()];
            if let Some(quick) = merge(&base, &sides, &label) {
                let whole = merge_whole(&base, &sides, &label).expect("readable when read in part");
                prop_assert_eq!(quick.text, whole.text);
                prop_assert_eq!(quick.undecided, whole.undecided);
                prop_assert!(whole.renamed.is_empty());
            }
        }
    }

    #[test]
    fn what_all_share_is_not_read() {
        let cards = |one: &str, other: &str| format!("title: T\ncards:\n{one}{other}{}", card(2, 0));
        let [ours, theirs] = [cards(&card(0, 6), &card(1, 0)), cards(&card(0, 0), &card(1, 11))];
        let merged = merge(&cards(&card(0, 0), &card(1, 0)), &[&ours, &theirs], &label).expect("in the usual layout");
        assert_eq!(merged.text, cards(&card(0, 6), &card(1, 11)));
    }
}
