//! A whole department from its base and its sides: cards found by id wherever they are, decks found
//! again under another folder's name.

mod cards;
mod homes;
mod own;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use self::cards::Collection;
use self::homes::Homes;
use super::ids::{Renamed, tell_apart_in_departments};
use super::label::Label;
use super::manner::{MARK, Manner};
use super::renames::follow_in_departments;
use crate::deck::Value;
use crate::deck::outline::{DeckText, deck_text, outline};

/// Decks by name. Those that are shared between sides are not looked into more often than needed.
pub type Decks = BTreeMap<String, Arc<DeckText>>;

/// A value as it stands on one side.
#[derive(Clone, Copy, Debug)]
pub struct At<'a> {
    /// The number of the side.
    pub side: usize,
    /// The deck's name on that side.
    pub deck: &'a str,
    /// The card's id; empty for the deck's own fields.
    pub card: &'a str,
    /// The field: `card` for the card as a whole, `deck` for the deck it stands in or the deck's own name.
    pub field: &'a str,
    /// The value; `None` where the side took it out.
    pub value: Option<&'a Value>,
}

/// Tells whose a value is.
pub type DepartmentLabels<'a> = dyn Fn(&At<'_>) -> Label + 'a;

/// Something that somebody has to decide.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Undecided {
    /// The deck in which it stands now.
    pub deck: String,
    /// The card; empty for the deck's own fields.
    pub card: String,
    /// The field.
    pub field: String,
}

/// What a department came to.
#[derive(Clone, Debug, Default)]
pub struct MergedDepartment {
    /// The text of each deck that is there, by name.
    pub decks: BTreeMap<String, String>,
    /// Everything that somebody has to decide, by deck and place.
    pub undecided: Vec<Undecided>,
    /// Cards that got a free id.
    pub renamed: Vec<Renamed>,
    /// Ids that a side gave up for another one, with that one.
    pub followed: Vec<(String, String)>,
    /// For each side its decks that have another name now, so that notes and pictures follow.
    pub folders: Vec<BTreeMap<String, String>>,
    /// The same for the base.
    pub base_folders: BTreeMap<String, String>,
    /// For each side its decks that went into another, with the name of that one.
    pub joined: Vec<BTreeMap<String, String>>,
}

/// Merges any number of sides of a department.
///
/// - A card is found by its id anywhere; the deck it stands in is a part of its value. Moved by one
///   side and edited by another, it arrives moved and edited. Moved to two decks, it stands in the one
///   whose name comes first, with `deck` undecided.
/// - A card that a side calls by another id is the same card where that is clear, and links to it
///   follow; called by two new ids, it keeps the old one with `id` undecided.
/// - A deck whose folder got another name is the same deck. A deck that one side put into another
///   goes there with what the others wrote into it since. A folder with two new names has its `deck`
///   undecided.
/// - Two new cards with one id but different questions are told apart over the whole department.
/// - With one changed side the result is that side, byte for byte; the order of the sides makes no
///   difference but in the numbers that `labels` is asked about.
///
/// Decks that are the same in the base and all sides need not be among them; `is_taken` tells the ids
/// that stand in such decks.
pub fn merge_departments(
    base: &Decks,
    sides: &[&Decks],
    is_taken: &dyn Fn(&str) -> bool,
    labels: &DepartmentLabels<'_>,
) -> MergedDepartment {
    let typed: Vec<&Decks> = sides.to_vec();
    let base_typed = base;
    let base = &plain(base);
    let mut sides: Vec<Decks> = sides.iter().map(|side| plain(side)).collect();
    let followed = follow_in_departments(base, &mut sides, is_taken);
    let renamed = tell_apart_in_departments(base, &mut sides, is_taken);
    let homes = Homes::new(base, &sides);
    let collection = Collection::new(base, &sides, &homes);
    let mut merged = MergedDepartment {
        renamed,
        followed,
        folders: (0..sides.len()).map(|side| homes.folders(Some(side))).collect(),
        base_folders: homes.folders(None),
        joined: (0..sides.len()).map(|side| homes.joined(side)).collect(),
        ..MergedDepartment::default()
    };
    let mut cards = collection.merge(&homes, labels);
    let all: BTreeSet<&str> = homes.all();
    for home in all {
        let cards = cards.remove(home).unwrap_or_default();
        let Some(deck) = own::deck(
            home,
            &Around { base, sides: &sides, typed_base: base_typed, typed: &typed, homes: &homes },
            cards,
            labels,
        ) else {
            continue;
        };
        let name = homes.name(home).to_owned();
        let open = |(card, field)| Undecided { deck: name.clone(), card, field };
        merged.undecided.extend(deck.undecided.into_iter().map(open));
        merged.decks.insert(name.clone(), deck.text);
    }
    merged
}

/// Base and sides around a deck of the result: plain, and as they were typed.
struct Around<'a> {
    base: &'a Decks,
    sides: &'a [Decks],
    typed_base: &'a Decks,
    typed: &'a [&'a Decks],
    homes: &'a Homes,
}

/// The decks with line ends of one kind, without byte order mark and with their fields first, so that
/// a deck saved by another editor does not differ in every line.
fn plain(decks: &Decks) -> Decks {
    let plain = |deck: &Arc<DeckText>| {
        let is_plain = deck.newline == "\n" && !deck.head.starts_with(MARK) && !deck.tail.contains(':');
        if is_plain {
            return Arc::clone(deck);
        }
        let typed = deck_text(deck);
        let text = Manner { mark: false, crlf: false }.applied(&typed);
        outline(&text).map_or_else(|| Arc::clone(deck), |deck| Arc::new(deck.with_fields_first()))
    };
    decks.iter().map(|(name, deck)| (name.clone(), plain(deck))).collect()
}
