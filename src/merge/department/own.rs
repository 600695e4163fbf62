//! A deck of the result: its own fields, the comments around them, and its cards.

use std::collections::BTreeMap;

use super::cards::Cards;
use super::homes::Homes;
use super::{Around, At, DepartmentLabels};
use crate::deck::Value;
use crate::deck::outline::{DeckText, FieldText, deck_text};
use crate::merge::algebra::Open;
use crate::merge::card::{OpenField, merge_card};
use crate::merge::comments::merge_comments;
use crate::merge::deck::one_cards_line;
use crate::merge::driver::{empty_like, end_as_before, sound};
use crate::merge::manner::{MARK, Manner};
use crate::merge::versions::with_open;

/// A deck's text, and card and field of what is open in it; the card is empty for its own fields.
pub(super) struct Deck {
    pub text: String,
    pub undecided: Vec<(String, String)>,
}

/// What one side says about the deck's own fields.
struct Vote<'a> {
    side: usize,
    name: &'a str,
    /// As it was typed.
    typed: &'a DeckText,
    /// The deck, when it is the same deck as in the base and not one that went into it.
    deck: Option<&'a DeckText>,
    fields: Vec<FieldText>,
}

/// The deck of that home; `None` when it is gone.
pub(super) fn deck(home: &str, around: &Around<'_>, cards: Cards, labels: &DepartmentLabels<'_>) -> Option<Deck> {
    let (sides, homes) = (around.sides, around.homes);
    let main = around.base.get(home).filter(|_| homes.of(None, home) == home).map(|deck| &**deck);
    let votes = votes(home, main, around);
    let missing = |side: &usize| votes.iter().all(|vote| vote.side != *side);
    let removed: Vec<usize> = (0..sides.len()).filter(missing).filter(|_| main.is_some()).collect();
    let edited = |vote: &&Vote<'_>| main.is_some_and(|main| values(&vote.fields) != values(&main.fields));
    let survivor = votes.iter().find(edited);
    if cards.cards.is_empty() && !removed.is_empty() && survivor.is_none() {
        return None;
    }
    let of_votes: Vec<Option<&[FieldText]>> = votes.iter().map(|vote| Some(vote.fields.as_slice())).collect();
    let mut merged = merge_card(main.map(|main| main.fields.as_slice()), &of_votes);
    let dropped = if cards.cards.is_empty() { removed.as_slice() } else { &[] };
    merged.open.extend(open_deck(home, homes, &votes, dropped, edited));
    let label = |at: usize, field: &str, value: Option<&Value>| {
        let vote = votes.get(at).map(|vote| (vote.side, vote.name));
        let (side, deck) = vote.unwrap_or_else(|| (removed[at - votes.len()], home));
        labels(&At { side, deck, card: "", field, value })
    };
    let (fields, open) = with_open(merged, &label);
    let mut undecided: Vec<(String, String)> = open.into_iter().map(|field| (String::new(), field)).collect();
    undecided.extend(cards.undecided.iter().cloned());
    let main = main.map(|main| (main, around.typed_base.get(home).map_or(main, |typed| &**typed)));
    let text = put_together(main, &votes, fields, cards)?;
    Some(Deck { text, undecided })
}

/// The deck's name as an open field: given in different ways, or taken out here and edited there. The
/// sides that took it out are numbered behind the votes.
fn open_deck(
    home: &str,
    homes: &Homes,
    votes: &[Vote<'_>],
    dropped: &[usize],
    edited: impl Fn(&&Vote<'_>) -> bool,
) -> Option<OpenField> {
    let name = |name: &str| Some(Value::from(name));
    let mut values: Vec<(usize, Option<Value>)> = (0..dropped.len()).map(|at| (votes.len() + at, None)).collect();
    match homes.open_name(home) {
        Some(open) => {
            let of_sides = open.sides().iter().flat_map(|side| side.by.iter().map(|&by| (by, side.value.as_deref())));
            let at = |side: usize| votes.iter().position(|vote| vote.side == side);
            values.extend(of_sides.filter_map(|(side, value)| Some((at(side)?, name(value?)))));
        }
        None if dropped.is_empty() => return None,
        None => {
            let kept = votes.iter().enumerate().filter(|(_, vote)| edited(vote));
            values.extend(kept.map(|(at, _)| (at, name(homes.name(home)))));
        }
    }
    Some(OpenField { name: "deck".to_owned(), open: Open::new(name(""), values) })
}

fn values(fields: &[FieldText]) -> Vec<(&str, &Value)> {
    fields.iter().map(|field| (field.name.as_str(), &field.value)).collect()
}

fn votes<'a>(home: &str, main: Option<&DeckText>, around: &Around<'a>) -> Vec<Vote<'a>> {
    let homes = around.homes;
    let mut votes = Vec::new();
    for (side, decks) in around.sides.iter().enumerate() {
        for (name, deck) in decks.iter().filter(|(name, _)| homes.of(Some(side), name) == home) {
            let own = homes.was(side, name).and_then(|was| Some((was, around.base.get(was)?)));
            let typed = around.typed[side].get(name).map_or(&**deck, |typed| &**typed);
            let vote = match (own, main) {
                (Some((was, own)), Some(main)) if was != home => {
                    Vote { side, name, typed, deck: None, fields: rebased(&deck.fields, &own.fields, &main.fields) }
                }
                _ => Vote { side, name, typed, deck: Some(&**deck), fields: deck.fields.clone() },
            };
            votes.push(vote);
        }
    }
    votes
}

/// The fields of a deck that went into another, as changes to that one: those that were not changed
/// are as they are there.
fn rebased(fields: &[FieldText], own: &[FieldText], main: &[FieldText]) -> Vec<FieldText> {
    fn named<'a>(fields: &'a [FieldText], name: &str) -> Option<&'a FieldText> {
        fields.iter().find(|field| field.name == name)
    }
    let changed =
        |name: &str| named(fields, name).map(|field| &field.value) != named(own, name).map(|field| &field.value);
    let mut rebased: Vec<FieldText> = main.iter().filter(|field| !changed(&field.name)).cloned().collect();
    rebased.extend(fields.iter().filter(|field| changed(&field.name)).cloned());
    rebased
}

/// The deck's text from its parts; where they are a side's, to the last byte as that side typed it.
fn put_together(
    main: Option<(&DeckText, &DeckText)>,
    votes: &[Vote<'_>],
    fields: Vec<FieldText>,
    mut cards: Cards,
) -> Option<String> {
    let mut decks: Vec<(&DeckText, &DeckText)> =
        votes.iter().filter_map(|vote| Some((vote.deck?, vote.typed))).collect();
    if decks.is_empty() {
        decks.extend(main);
    }
    let empty = empty_like(decks.first()?.0);
    let base = main.map_or(&empty, |main| main.0);
    let of_decks = |part: fn(&DeckText) -> &String| {
        merge_comments(Some(part(base)), &decks.iter().map(|deck| Some(part(deck.0))).collect::<Vec<_>>())
    };
    in_one_column(&mut cards);
    let plain: Vec<&DeckText> = decks.iter().map(|deck| deck.0).collect();
    let parts = DeckText {
        head: of_decks(|deck| &deck.head),
        fields,
        cards_line: one_cards_line(base, &plain, !cards.cards.is_empty()),
        cards: cards.cards,
        tail: of_decks(|deck| &deck.tail),
        newline: "\n",
    };
    let manner = |deck: &DeckText| Manner { mark: deck.head.starts_with(MARK), crlf: deck.newline == "\r\n" };
    let before = manner(main.or(decks.first().copied())?.1);
    let wanted = before.changed_by(decks.iter().map(|deck| manner(deck.1)));
    // A card without lines of its own got another id or another deck: nobody typed this.
    let is_typed = |deck: &DeckText| deck.cards.iter().all(|card| !card.raw.is_empty());
    let as_typed =
        |(plain, typed): &&(&DeckText, &DeckText)| **plain == parts && is_typed(plain) && manner(typed) == wanted;
    let changed = decks.iter().filter(as_typed).map(|(_, typed)| deck_text(typed));
    let base_text = main.map(|main| deck_text(main.1));
    if let Some(text) = changed.clone().filter(|text| Some(text) != base_text.as_ref()).min().or(changed.min()) {
        return Some(text);
    }
    let mut text = deck_text(&parts);
    let texts: Vec<String> = plain.iter().map(|deck| deck_text(deck)).collect();
    let base_text = main.map(|main| deck_text(main.0)).unwrap_or_default();
    end_as_before(&mut text, &base_text, &texts.iter().map(String::as_str).collect::<Vec<_>>());
    let text = sound(text, &parts);
    let text = wanted.applied(&text);
    Some(if wanted.mark { format!("{MARK}{text}") } else { text.into_owned() })
}

/// Cards from a deck that is indented in another way are written anew: all of a deck's cards stand in
/// one column.
fn in_one_column(cards: &mut Cards) {
    let mut counts: BTreeMap<usize, usize> = BTreeMap::new();
    for card in cards.cards.iter().filter(|card| !card.raw.is_empty()) {
        *counts.entry(card.dash).or_default() += 1;
    }
    let most = counts.into_iter().max_by_key(|(column, count)| (*count, std::cmp::Reverse(*column)));
    let Some((column, _)) = most else { return };
    for card in cards.cards.iter_mut().filter(|card| card.dash != column) {
        card.raw.clear();
        card.dash = column;
    }
}
