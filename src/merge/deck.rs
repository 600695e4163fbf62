//! One deck from its base and its sides: cards by id, fields by name, order as order.

use std::collections::{BTreeMap, BTreeSet};

use super::algebra::{Entry, Open, keyed};
use super::card::{MergedCard, OpenField, merge_card};
use super::comments::merge_comments;
use super::ids::{Renamed, tell_apart};
use super::label::Labels;
use super::renames::{follow, own_id};
use super::versions::with_open;
use crate::deck::Value;
use crate::deck::outline::{CardText, DeckText, FieldText};

/// What stands under `undecided: card:` for the sides that edited a card which another took out.
pub(super) const EDITED: &str = "edited";

/// What a deck came to.
#[derive(Clone, Debug)]
pub struct MergedDeck {
    /// Its parts; cards without lines of their own are to be written anew.
    pub parts: DeckText,
    /// Card and field of everything that somebody has to decide. The card is empty for fields of the
    /// deck itself; the field is `card` where one side took the whole card out.
    pub undecided: Vec<(String, String)>,
    /// Cards that got a free id.
    pub renamed: Vec<Renamed>,
}

/// Merges any number of sides of one deck.
///
/// With one changed side the result is that side, byte for byte. Swapping the sides gives the same
/// cards. No value of either side is lost: it is in the result, was replaced by its own side, or
/// stands under `undecided` with the name that `labels` gives.
pub fn merge_decks(base: &DeckText, sides: &[&DeckText], labels: &Labels<'_>) -> MergedDeck {
    let followed = follow(base, sides);
    let sides: Vec<&DeckText> = followed.as_ref().map_or_else(|| sides.to_vec(), |sides| sides.iter().collect());
    let (told_apart, renamed) = tell_apart(base, &sides);
    let sides: Vec<&DeckText> = told_apart.as_ref().map_or(sides, |sides| sides.iter().collect());
    let mut undecided = Vec::new();
    let fields = merge_own_fields(base, &sides, labels, &mut undecided);
    let text = |part: fn(&DeckText) -> &String| {
        merge_comments(Some(part(base)), &sides.iter().map(|side| Some(part(side))).collect::<Vec<_>>())
    };
    let cards = merge_cards(base, &sides, labels, &mut undecided);
    let parts = DeckText {
        head: text(|deck| &deck.head),
        fields,
        cards_line: one_cards_line(base, &sides, !cards.is_empty()),
        cards,
        tail: text(|deck| &deck.tail),
        newline: newline(base, &sides),
    };
    MergedDeck { parts, undecided, renamed }
}

fn merge_own_fields(
    base: &DeckText,
    sides: &[&DeckText],
    labels: &Labels<'_>,
    undecided: &mut Vec<(String, String)>,
) -> Vec<FieldText> {
    let merged =
        merge_card(Some(&base.fields), &sides.iter().map(|side| Some(side.fields.as_slice())).collect::<Vec<_>>());
    let (fields, open) = with_open(merged, &|side, field, _| labels(side, "", field));
    undecided.extend(open.into_iter().map(|field| (String::new(), field)));
    fields
}

/// Items of a deck by id, each with the text that tells whether a side touched it.
fn by_id(deck: &DeckText) -> Vec<(Key<'_>, Content)> {
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    let mut items = Vec::with_capacity(deck.cards.len());
    for card in &deck.cards {
        let count = seen.entry(&card.id).or_default();
        items.push(((card.id.as_str(), *count), Content::of(card)));
        *count += 1;
    }
    items
}

/// A card's id, and its number among cards of that id in its deck: a broken deck loses none either.
type Key<'a> = (&'a str, usize);

#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Content(BTreeMap<String, Value>);

impl Content {
    /// What a card says.
    pub(super) fn of(card: &CardText) -> Self {
        Self(card.fields.iter().map(|field| (field.name.clone(), field.value.clone())).collect())
    }
}

fn merge_cards(
    base: &DeckText,
    sides: &[&DeckText],
    labels: &Labels<'_>,
    undecided: &mut Vec<(String, String)>,
) -> Vec<CardText> {
    let base_items = by_id(base);
    let items: Vec<Vec<(Key<'_>, Content)>> = sides.iter().map(|side| by_id(side)).collect();
    let base_cards = cards_by_key(base, &base_items);
    let side_cards: Vec<BTreeMap<Key<'_>, &CardText>> =
        sides.iter().zip(&items).map(|(side, items)| cards_by_key(side, items)).collect();
    let each = |key: &Key<'_>, _: Option<&Content>, _: &[Option<&Content>]| {
        let of_sides: Vec<Option<&CardText>> = side_cards.iter().map(|cards| cards.get(key).copied()).collect();
        one_card(base_cards.get(key).copied(), &of_sides)
    };
    let merged = keyed(&base_items, &items, each);
    let mut cards = Vec::with_capacity(merged.len());
    for (key, entry) in merged {
        let (mut card, mut result, removal) = match entry {
            Entry::Merged((card, result)) => (card, result, None),
            Entry::Open { open, kept: (card, result) } => (card, result, Some(open)),
        };
        result.open.extend(removal.map(|open| OpenField { name: "card".to_owned(), open: as_edit(&open) }));
        if !result.open.is_empty() || !result.joined.is_empty() {
            let of_side = |side: usize| side_cards[side].get(&key).map_or(key.0, |card| own_id(card));
            let (fields, open) = with_open(result, &|side, field, _| labels(side, of_side(side), field));
            undecided.extend(open.into_iter().map(|field| (card.id.clone(), field)));
            card.fields = fields;
            card.raw.clear();
        }
        cards.push(card);
    }
    cards
}

fn cards_by_key<'a>(deck: &'a DeckText, items: &[(Key<'a>, Content)]) -> BTreeMap<Key<'a>, &'a CardText> {
    items.iter().map(|(key, _)| *key).zip(&deck.cards).collect()
}

/// Removal against edits: what was edited is on the card itself, so its version only says so.
pub(super) fn as_edit<V: Clone>(open: &Open<V>) -> Open<Value> {
    let said = |value: &Option<V>| value.as_ref().map(|_| Value::from(EDITED));
    let sides = open.sides().iter().flat_map(|side| side.by.iter().map(|&by| (by, said(&side.value))));
    Open::new(Some(Value::from("as it was")), sides.collect::<Vec<_>>())
}

/// A card as it was typed where one side alone touched it, else put together field by field.
pub(super) fn one_card(base: Option<&CardText>, sides: &[Option<&CardText>]) -> (CardText, MergedCard) {
    // What nobody touched, to the last blank, is what it was.
    if let Some(base) = base.filter(|base| !base.raw.is_empty() && sides.iter().all(|side| *side == Some(*base))) {
        let merged = MergedCard { fields: base.fields.clone(), ..MergedCard::default() };
        return (base.clone(), merged);
    }
    let fields = |card: &CardText| card.fields.clone();
    let merged = merge_card(
        base.map(|card| card.fields.as_slice()),
        &sides.iter().map(|side| side.map(|card| card.fields.as_slice())).collect::<Vec<_>>(),
    );
    let present = || sides.iter().flatten().copied().chain(base);
    let of_sides =
        |part: fn(&CardText) -> &String| sides.iter().map(|side| side.or(base).map(part)).collect::<Vec<_>>();
    let lead = merge_comments(base.map(|card| &card.lead), &of_sides(|card| &card.lead));
    let trail = merge_comments(base.map(|card| &card.trail), &of_sides(|card| &card.trail));
    let same = |card: &&CardText| fields(card) == merged.fields && card.trail == trail && !card.raw.is_empty();
    // Of several sides that typed it the same, the one that is not as it was has the newer lines.
    let changed = present()
        .filter(|card| base.is_none_or(|base| base.raw != card.raw))
        .filter(same)
        .min_by(|a, b| a.raw.cmp(&b.raw));
    let typed = changed.or_else(|| base.filter(same));
    let mut card = match (typed, present().next()) {
        (Some(card), _) | (None, Some(card)) => card.clone(),
        // `keyed` asks only about cards that somebody has.
        (None, None) => CardText {
            id: String::new(),
            lead: String::new(),
            raw: String::new(),
            dash: 2,
            offset: 2,
            fields: Vec::new(),
            trail: String::new(),
        },
    };
    if typed.is_none() {
        card.raw.clear();
    }
    card.fields.clone_from(&merged.fields);
    card.id = own_id(&card).to_owned();
    card.lead = lead;
    card.trail = trail;
    (card, merged)
}

/// The line `cards:` itself stands once, whatever was written behind it.
pub(super) fn one_cards_line(base: &DeckText, sides: &[&DeckText], filled: bool) -> String {
    let split = |deck: &DeckText| {
        let at = deck.cards_line.trim_end_matches(['\n', '\r']).rfind('\n').map_or(0, |at| at + 1);
        let (lead, line) = deck.cards_line.split_at(at);
        (lead.to_owned(), line.to_owned())
    };
    let (base_lead, base_line) = split(base);
    let (leads, lines): (Vec<String>, Vec<String>) = sides.iter().map(|side| split(side)).unzip();
    let lead = merge_comments(Some(&base_lead), &leads.iter().map(Some).collect::<Vec<_>>());
    let changed: BTreeSet<&String> = lines.iter().filter(|line| **line != base_line).collect();
    let line = changed.first().copied().unwrap_or(&base_line);
    // A list of cards that was empty on one side has its brackets on that line.
    let wanted = |line: &&String| line.starts_with("cards: []") != filled;
    let fitted = || if filled { line.replacen(": []", ":", 1) } else { line.replacen(':', ": []", 1) };
    lead + &Some(line).filter(wanted).or_else(|| lines.iter().filter(wanted).min()).cloned().unwrap_or_else(fitted)
}

fn newline(base: &DeckText, sides: &[&DeckText]) -> &'static str {
    let changed = sides.iter().map(|side| side.newline).find(|newline| *newline != base.newline);
    changed.unwrap_or(base.newline)
}
