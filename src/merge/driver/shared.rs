//! Only what has to be decided is read. Cards that all versions of a deck have alike, to the last byte,
//! stand for themselves, and so does a card of which there is one new version. The others are taken
//! apart and merged.
//!
//! Cards that follow each other in all versions go through the merge as one.

use std::collections::{BTreeSet, HashMap};

use foldhash::fast::RandomState;

use super::{MergedText, reads_back};
use crate::deck::Value;
use crate::deck::outline::{CardText, DeckText, FieldText, Piece, Split, deck_text, outline, split, stands_alone};
use crate::merge::deck::merge_decks;
use crate::merge::label::Labels;

/// What [`super::merge_whole`] comes to, reading only what has to be decided; `None` where everything has
/// to be read.
pub(super) fn merge(base: &str, sides: &[&str], labels: &Labels<'_>) -> Option<MergedText> {
    let base = Version::new(base)?;
    let sides = sides.iter().map(|side| Version::new(side)).collect::<Option<Vec<_>>>()?;
    if sides.iter().any(|side| side.cut.dash != base.cut.dash) {
        return None;
    }
    let ways = Ways::new(&base, &sides);
    let parts = base.parts(&ways)?;
    let of_sides = sides.iter().map(|side| side.parts(&ways)).collect::<Option<Vec<_>>>()?;
    let mut merged = merge_decks(&parts, &of_sides.iter().collect::<Vec<_>>(), labels);
    // Links follow a card that got a free id, and may stand in any other.
    if !merged.renamed.is_empty() {
        return None;
    }
    let text = deck_text(&merged.parts);
    merged.parts.cards.retain(|card| ways.of(Some(&card.id)) != Way::Shared);
    let is_sound = text.ends_with('\n') && reads_back(&deck_text(&merged.parts), &merged.parts);
    is_sound.then_some(MergedText { text, undecided: merged.undecided, renamed: merged.renamed })
}

/// The name under which all lines of a card stand that is taken as it stands; no field has it.
pub(super) const LINES: &str = "";

/// A version of the deck, cut, with its cards by id.
struct Version<'a> {
    cut: Split<'a>,
    ids: Vec<Option<&'a str>>,
    places: HashMap<&'a str, usize, RandomState>,
}

/// How a card goes through the merge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Way {
    /// It is taken apart.
    Read,
    /// There is one new version, which is taken as it stands.
    New,
    /// It is the same in all versions.
    Shared,
    /// It is the same in all versions, and in all of them behind the same card, with which it goes.
    Along,
}

/// The ways of the cards that need not be read, by id.
struct Ways<'a>(HashMap<&'a str, Way, RandomState>);

impl<'a> Ways<'a> {
    fn new(base: &Version<'a>, sides: &[Version<'a>]) -> Self {
        let places: Vec<Vec<Option<usize>>> = sides.iter().map(|side| side.places_of(base)).collect();
        let is_named = std::iter::once(base).chain(sides).all(|version| version.ids.iter().all(Option::is_some));
        // A card that is gone may be there under a new id; then links to it follow, and may stand in any card.
        let keeps_ids = |(side, places): (&Version<'a>, &Vec<Option<usize>>)| {
            let known = places.iter().flatten().count();
            known == places.len() || known == side.ids.len()
        };
        let keeps_ids = is_named && sides.iter().zip(&places).all(keeps_ids);
        // Where several moves contradict each other, each card counts.
        let is_still = is_named && sides.len() <= 2 && places.iter().all(|places| places.iter().flatten().is_sorted());
        let mut ways: Vec<Way> = (0..base.ids.len()).map(|at| way(at, base, sides, &places, keeps_ids)).collect();
        for at in (1..ways.len()).rev().filter(|_| is_still) {
            let follows = |places: &Vec<Option<usize>>| places[at] == places[at - 1].map(|place| place + 1);
            if ways[at - 1..=at] == [Way::Shared; 2] && places.iter().all(follows) {
                ways[at] = Way::Along;
            }
        }
        Self(base.ids.iter().zip(ways).filter_map(|(id, way)| Some(((*id)?, way))).collect())
    }

    fn of(&self, id: Option<&str>) -> Way {
        id.and_then(|id| self.0.get(id)).copied().unwrap_or(Way::Read)
    }
}

/// The way of one card of the base.
fn way(at: usize, base: &Version<'_>, sides: &[Version<'_>], places: &[Vec<Option<usize>>], keeps_ids: bool) -> Way {
    let was = &base.cut.cards[at];
    let mut new: Option<&Piece<'_>> = None;
    for (side, places) in sides.iter().zip(places) {
        let Some(place) = places[at] else { return Way::Read };
        let is = &side.cut.cards[place];
        if is != was && new.replace(is).is_some_and(|new| new != is) {
            return Way::Read;
        }
    }
    let alone = |piece: &Piece<'_>| stands_alone(piece.raw, base.cut.dash);
    match new {
        _ if !alone(was) => Way::Read,
        None => Way::Shared,
        Some(new) if keeps_ids && alone(new) => Way::New,
        Some(_) => Way::Read,
    }
}

impl<'a> Version<'a> {
    /// `None` when the text is not laid out in the usual way, or has an id twice.
    fn new(text: &'a str) -> Option<Self> {
        let cut = split(text)?;
        let ids: Vec<Option<&str>> = cut.cards.iter().map(Piece::id).collect();
        let mut places = HashMap::with_capacity_and_hasher(ids.len(), RandomState::default());
        let twice = |(at, id): (usize, &Option<&'a str>)| id.is_some_and(|id| places.insert(id, at).is_some());
        if ids.iter().enumerate().any(twice) {
            return None;
        }
        Some(Self { cut, ids, places })
    }

    /// Where the cards of the base stand here.
    fn places_of(&self, base: &Self) -> Vec<Option<usize>> {
        base.ids.iter().map(|id| self.places.get((*id)?).copied()).collect()
    }

    /// The deck, of which only some cards are taken apart; `None` when it is not cut as it reads, or has an
    /// id twice.
    fn parts(&self, ways: &Ways<'a>) -> Option<DeckText> {
        let cards = || self.ids.iter().copied().zip(&self.cut.cards).map(|(id, piece)| (id, piece, ways.of(id)));
        let read = cards().filter(|(.., way)| *way == Way::Read).flat_map(|(_, piece, _)| [piece.lead, piece.raw]);
        let text: String = std::iter::once(self.cut.front).chain(read).chain([self.cut.tail]).collect();
        let mut deck = outline(&text).filter(|deck| deck.tail == self.cut.tail)?;
        let mut read = std::mem::take(&mut deck.cards).into_iter();
        let mut others = BTreeSet::new();
        let mut is_new = |id: &str| !self.places.contains_key(id) && others.insert(id.to_owned());
        for (id, piece, way) in cards() {
            match (way, id, deck.cards.last_mut()) {
                (Way::Along, _, Some(first)) => first.raw.extend([piece.lead, piece.raw]),
                (Way::Shared | Way::New, Some(id), _) => deck.cards.push(self.as_it_stands(id, piece, way)),
                _ => {
                    let is_its = |card: &CardText| {
                        (&*card.lead, &*card.raw, card.dash) == (piece.lead, piece.raw, self.cut.dash)
                    };
                    let card = read.next().filter(is_its)?;
                    if !id.map_or_else(|| is_new(&card.id), |id| id == card.id) {
                        return None;
                    }
                    deck.cards.push(card);
                }
            }
        }
        read.next().is_none().then_some(deck)
    }

    /// A card that was not taken apart. Of one with a new version, the lines are all that it says.
    fn as_it_stands(&self, id: &str, piece: &Piece<'_>, way: Way) -> CardText {
        let lines = || FieldText {
            name: LINES.to_owned(),
            value: Value::from(piece.raw),
            lead: String::new(),
            text: piece.raw.to_owned(),
        };
        CardText {
            id: id.to_owned(),
            lead: piece.lead.to_owned(),
            raw: piece.raw.to_owned(),
            dash: self.cut.dash,
            offset: 2,
            fields: (way == Way::New).then(lines).into_iter().collect(),
            trail: String::new(),
        }
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

    fn deck(changes: &'static [u8]) -> impl Strategy<Value = String> {
        let versions = prop::collection::vec(prop_oneof![12 => Just(0), 3 => prop::sample::select(changes)], 9);
        let usual = Just((0..9).collect::<Vec<usize>>());
        let order = prop_oneof![4 => usual.clone(), 1 => usual.prop_shuffle()];
        let front =
            prop::sample::select(vec!["title: T\ncards:\n", "title: U # u\ncards:\n\n", "title: T\ncards: # all\n"]);
        (front, versions, order, prop::bool::weighted(0.1)).prop_map(|(front, versions, order, tail)| {
            let cards: String = order.iter().map(|at| card(*at, versions[*at])).collect();
            format!("{front}{cards}{}", if tail { "# end\n" } else { "" })
        })
    }

    /// A base and its sides: with any changes, or with none that reading must be left to.
    fn decks() -> impl Strategy<Value = Vec<String>> {
        let of = |changes| prop::collection::vec(deck(changes), 3..5);
        prop_oneof![of(&[5, 6, 7, 8, 9, 10, 11, 12]), of(&[5, 6, 10, 11, 12]), of(&[6, 11])]
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, cases: 6000, ..ProptestConfig::default() })]

        #[test]
        fn reading_only_what_differs_gives_the_same(texts in decks()) {
            let sides: Vec<&str> = texts[1..].iter().map(String::as_str).collect();
            if let Some(quick) = merge(&texts[0], &sides, &label) {
                let whole = merge_whole(&texts[0], &sides, &label).expect("readable when read in part");
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
