//! The department's settings, merged key by key where lines cannot be.

use std::collections::BTreeSet;

use indexmap::IndexMap;

use super::algebra::{Entry, Outcome, keyed, set, whole};
use super::card::merge_card;
use super::comments::merge_comments;
use crate::deck::outline::{DeckText, FieldText, deck_text, outline};
use crate::deck::{Value, write};

/// The settings of all sides by key, each as its side typed it; `None` when one of them cannot be
/// read, or two sides gave one key different values: then lines have to do.
///
/// Maps merge key by key, lists of scalars as sets, lists of terms, holidays and lessons by their
/// name or deck.
pub fn merge_settings(base: &str, sides: &[&str]) -> Option<String> {
    let base = read(base)?;
    let sides: Option<Vec<DeckText>> = sides.iter().map(|side| read(side)).collect();
    let sides = sides?;
    let all: Vec<Option<&[FieldText]>> = sides.iter().map(|side| Some(side.fields.as_slice())).collect();
    let mut merged = merge_card(Some(&base.fields), &all);
    for open in std::mem::take(&mut merged.open) {
        let value =
            |deck: &DeckText| deck.fields.iter().find(|field| field.name == open.name).map(|field| field.value.clone());
        let values: Vec<Option<Value>> = sides.iter().map(value).collect();
        let value = merge_value(value(&base).as_ref(), &values.iter().map(Option::as_ref).collect::<Vec<_>>())?;
        let at = merged.fields.iter().position(|field| field.name == open.name);
        match (at, value) {
            (Some(at), Some(value)) => {
                let field = &mut merged.fields[at];
                (field.text, field.value) = (written(&field.name, &value), value);
            }
            (Some(at), None) => _ = merged.fields.remove(at),
            (None, Some(value)) => {
                let text = written(&open.name, &value);
                merged.fields.push(FieldText { name: open.name, value, lead: String::new(), text });
            }
            (None, None) => {}
        }
    }
    let text = |part: fn(&DeckText) -> &String| {
        merge_comments(Some(part(&base)), &sides.iter().map(|side| Some(part(side))).collect::<Vec<_>>())
    };
    let parts = DeckText { head: text(|deck| &deck.head), fields: merged.fields, ..base.clone() };
    let whole = deck_text(&parts);
    let merged = whole.strip_suffix(&last_line(base.newline)).unwrap_or(&whole).to_owned();
    let says =
        |fields: &[FieldText]| fields.iter().map(|field| (field.name.clone(), field.value.clone())).collect::<Vec<_>>();
    (says(&read(&merged)?.fields) == says(&parts.fields)).then_some(merged)
}

/// A key in our own style, numbers and dates without quotes: here they are no text that pupils read.
fn written(name: &str, value: &Value) -> String {
    let text = write::field(name, value, 0);
    let bare = |line: &str| match line.strip_suffix('"').and_then(|line| line.rsplit_once(" \"")) {
        Some((start, number))
            if !number.is_empty() && number.bytes().all(|byte| byte.is_ascii_digit() || byte == b'-') =>
        {
            format!("{start} {number}")
        }
        _ => line.to_owned(),
    };
    text.lines().map(bare).collect::<Vec<_>>().join("\n")
}

/// The settings taken apart as a deck without cards.
fn read(text: &str) -> Option<DeckText> {
    let newline = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let gap = if text.is_empty() || text.ends_with('\n') { "" } else { newline };
    outline(&format!("{text}{gap}{}", last_line(newline)))
}

fn last_line(newline: &str) -> String {
    format!("cards: []{newline}")
}

/// A value from all sides; `None` outside when it would stay open.
fn merge_value(base: Option<&Value>, sides: &[Option<&Value>]) -> Option<Option<Value>> {
    if let Outcome::Resolved(value) = whole(base, sides) {
        return Some(value);
    }
    let present = || sides.iter().copied().chain([base]).flatten();
    if present().all(|value| value.as_map().is_some()) {
        return merge_maps(base, sides).map(Some);
    }
    if !present().all(|value| value.as_list().is_some()) || sides.contains(&None) {
        return None;
    }
    let list = |value: Option<&Value>| value.and_then(Value::as_list).unwrap_or_default().to_vec();
    let (old, new): (Vec<Value>, Vec<Vec<Value>>) = (list(base), sides.iter().map(|side| list(*side)).collect());
    if new.iter().chain([&old]).flatten().all(|item| item.as_text().is_some()) {
        return Some(Some(Value::List(set(&old, &new))));
    }
    merge_lists(&old, &new).map(|items| Some(Value::List(items)))
}

fn merge_maps(base: Option<&Value>, sides: &[Option<&Value>]) -> Option<Value> {
    let all = sides.iter().copied().chain([base]).flatten();
    let names: BTreeSet<&String> = all.filter_map(Value::as_map).flat_map(IndexMap::keys).collect();
    let order = base.or(sides.iter().flatten().min().copied()).and_then(Value::as_map);
    let place = |name: &String| order.and_then(|order| order.get_index_of(name)).unwrap_or(usize::MAX);
    let mut names: Vec<&String> = names.into_iter().collect();
    names.sort_by_key(|name| place(name));
    let mut merged = IndexMap::new();
    for name in names {
        // A side without the whole map says nothing about what is in it.
        let old = base.and_then(|base| base.get(name));
        let values: Vec<Option<&Value>> = sides.iter().map(|side| side.map_or(old, |side| side.get(name))).collect();
        merged.extend(merge_value(old, &values)?.map(|value| (name.clone(), value)));
    }
    Some(Value::Map(merged))
}

/// Entries with a name or a deck, in their order.
fn merge_lists(base: &[Value], sides: &[Vec<Value>]) -> Option<Vec<Value>> {
    let all = |parts: &[&str]| -> Option<(Keyed, Vec<Keyed>)> {
        let sides: Option<Vec<Keyed>> = sides.iter().map(|side| by_key(side, parts)).collect();
        Some((by_key(base, parts)?, sides?))
    };
    // A deck may be taught in two terms.
    let (base, sides) = all(&["name", "deck"]).or_else(|| all(&["name", "deck", "term"]))?;
    let merged = keyed(&base, &sides, |_, base, sides| merge_value(base, sides));
    let item = |(_, entry): (String, Entry<Value, Option<Option<Value>>>)| match entry {
        Entry::Merged(value) => value,
        Entry::Open { .. } => None,
    };
    let items: Option<Vec<Option<Value>>> = merged.into_iter().map(item).collect();
    Some(items?.into_iter().flatten().collect())
}

type Keyed = Vec<(String, Value)>;

/// The entries by those of their fields; `None` when an entry has none of them, or two have the same.
fn by_key(items: &[Value], parts: &[&str]) -> Option<Keyed> {
    let key = |item: &Value| {
        let parts = parts.iter().filter_map(|part| item.get(part));
        let key = parts.map(Value::line).collect::<Vec<_>>().join("\n");
        (!key.is_empty()).then(|| (key, item.clone()))
    };
    let keyed: Keyed = items.iter().map(key).collect::<Option<_>>()?;
    let distinct: BTreeSet<&String> = keyed.iter().map(|(key, _)| key).collect();
    (distinct.len() == keyed.len()).then_some(keyed)
}

#[cfg(test)]
mod tests {
    use super::*;

    const BASE: &str = "# The settings.\nschool: Ambleford Quay School\nyears: [7, 8]\n\nlimits:\n  words_on_a_side: 40 # enough\n  questions_on_a_card: 3\n\nscheme:\n  - deck: year-7/map-skills\n    term: autumn\n  - deck: year-8/rivers\n    term: spring\n";

    #[test]
    fn different_keys_of_one_map_and_lessons_of_one_scheme_merge() {
        let ours = BASE
            .replace("words_on_a_side: 40 # enough", "words_on_a_side: 35")
            .replace("    term: spring\n", "    term: spring\n  - deck: year-8/coasts\n    term: summer\n");
        let theirs = BASE
            .replace("questions_on_a_card: 3", "questions_on_a_card: 2")
            .replace("term: spring", "term: summer")
            .replace("[7, 8]", "[7, 8, 9]");
        let merged = merge_settings(BASE, &[&ours, &theirs]).expect("merged");
        let expected = "# The settings.\nschool: Ambleford Quay School\nyears: [7, 8, 9]\n\nlimits:\n  words_on_a_side: 35\n  questions_on_a_card: 2\n\nscheme:\n  - deck: year-7/map-skills\n    term: autumn\n  - deck: year-8/rivers\n    term: summer\n  - deck: year-8/coasts\n    term: summer\n";
        assert_eq!(merged, expected);
        assert_eq!(merge_settings(BASE, &[&theirs, &ours]).as_deref(), Some(expected));
    }

    #[test]
    fn one_key_with_two_values_is_left_to_the_lines() {
        let sides = [BASE.replace("40", "35"), BASE.replace("40", "45")];
        assert_eq!(merge_settings(BASE, &[&sides[0], &sides[1]]), None);
    }
}
