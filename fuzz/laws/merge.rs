//! Three versions of a deck become one that can be read and has what either side wrote.

use std::collections::{BTreeMap, BTreeSet};

use deckle::deck::Value;
use deckle::deck::outline::{DeckText, outline};
use deckle::merge::{Label, MergedText, merge_texts};

use super::parts::texts;

/// Merges an input of a base and two sides.
///
/// # Panics
///
/// When the law is broken.
pub fn holds(bytes: &[u8]) {
    let [base, ours, theirs] = texts(bytes);
    let Some(merged) = merge(&base, &ours, &theirs, ["ours", "theirs"]) else { return };
    let alone = merge(&base, &base, &theirs, ["ours", "theirs"]).expect("one that is unchanged needs no reading");
    assert_eq!(alone.text, theirs);
    if ours == base || theirs == base || ours == theirs {
        return;
    }
    let read = outline(&merged.text).unwrap_or_else(|| panic!("{:?} can be read", merged.text));
    nothing_is_lost(&base, [&ours, &theirs], &merged, &read);
    let swapped = merge(&base, &theirs, &ours, ["theirs", "ours"]).expect("as before");
    let other = outline(&swapped.text).unwrap_or_else(|| panic!("{:?} can be read", swapped.text));
    assert_eq!(cards(&read), cards(&other), "{:?}\n{:?}", merged.text, swapped.text);
}

fn merge(base: &str, ours: &str, theirs: &str, names: [&str; 2]) -> Option<MergedText> {
    let label = |side: usize, _: &str, _: &str| Label { side: names[side].to_owned(), by: None, when: None };
    merge_texts(base, &[ours, theirs], &label)
}

fn cards(deck: &DeckText) -> BTreeMap<String, Vec<Vec<(String, Value)>>> {
    let mut cards = BTreeMap::<String, Vec<_>>::new();
    for card in &deck.cards {
        let mut fields: Vec<_> = card.values().into_iter().collect();
        fields.sort_by(|one, other| one.0.cmp(&other.0));
        cards.entry(card.id.clone()).or_default().push(fields);
    }
    cards
}

/// Every text that a side brought in stands somewhere; a card may have got another id.
fn nothing_is_lost(base: &str, sides: [&str; 2], merged: &MergedText, read: &DeckText) {
    let old = outline(base).map(|deck| said(&deck)).unwrap_or_default();
    let there = said(read);
    let renamed: BTreeSet<&str> = merged.renamed.iter().map(|renamed| renamed.from.as_str()).collect();
    for side in sides {
        let side = outline(side).expect("it was merged");
        for text in said(&side).difference(&old) {
            assert!(there.contains(text) || renamed.contains(text.as_str()), "{text:?} is not in {:?}", merged.text);
        }
    }
}

/// All texts in the cards and fields of a deck.
fn said(deck: &DeckText) -> BTreeSet<String> {
    let mut said = BTreeSet::new();
    let fields = deck.cards.iter().flat_map(|card| &card.fields).chain(&deck.fields);
    fields.for_each(|field| texts_in(&field.value, &mut said));
    said
}

fn texts_in(value: &Value, said: &mut BTreeSet<String>) {
    match value {
        Value::Text(text) => _ = said.insert(text.clone()),
        Value::List(items) => items.iter().for_each(|item| texts_in(item, said)),
        Value::Map(fields) => fields.values().for_each(|field| texts_in(field, said)),
    }
}
