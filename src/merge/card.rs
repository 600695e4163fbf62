//! One card from its base and its sides, field by field.

use std::collections::{BTreeMap, BTreeSet};

use indexmap::IndexMap;

use super::algebra::{self, Entry, Open, Outcome, Policy, keyed, sequence, whole};
use super::comments::merge_comments;
use super::remarks::{keep_remarks, remarked};
use super::versions::versions_as_one;
use crate::deck::Value;
use crate::deck::fields::{self, Holds};
use crate::deck::outline::FieldText;

/// A field that two sides changed in different ways.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenField {
    /// Its name.
    pub name: String,
    /// The values.
    pub open: Open<Value>,
}

/// What the fields of a card, or of a deck, came to.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct MergedCard {
    /// The fields in order; those without typed text are to be written anew.
    pub fields: Vec<FieldText>,
    /// The fields that somebody has to decide. In `fields` they stand as they were before either
    /// change; a field that nobody had before stands as the least of its values if it must be there.
    pub open: Vec<OpenField>,
    /// Edits of fields that another side had already left undecided: they join its versions, and the
    /// field stands as it was before.
    pub joined: Vec<Joined>,
    /// Remarks about open fields that do not stand on the card, a line each.
    pub remarks: Vec<String>,
}

/// Values for a field that is undecided already.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Joined {
    /// The field.
    pub name: String,
    /// The values by side; `None` where a side took the field out.
    pub values: Vec<(usize, Option<Value>)>,
}

/// The fields of one card from its base and its sides; a side that has no such card has `None`.
///
/// A field that one side changed is taken as that side typed it. Lists without order are merged as
/// sets, questions under `also` one by one; texts are never blended.
pub fn merge_card(base: Option<&[FieldText]>, sides: &[Option<&[FieldText]>]) -> MergedCard {
    let mut merged = MergedCard::default();
    let mut kept: BTreeMap<&str, FieldText> = BTreeMap::new();
    for name in names(base, sides) {
        let base_field = base.and_then(|fields| named(fields, name));
        // A side without the card leaves the field alone.
        let side_fields: Vec<Option<&FieldText>> =
            sides.iter().map(|side| side.map_or(base_field, |fields| named(fields, name))).collect();
        let (field, open) = merge_field(name, base_field, &side_fields);
        let stands = field.is_some();
        if let Some(field) = field {
            kept.insert(name, field);
        }
        if open.is_some() && !stands {
            merged.remarks.extend(remarked(&side_fields));
        }
        merged.open.extend(open.map(|open| OpenField { name: name.to_owned(), open }));
    }
    let order = |fields: &[FieldText]| fields.iter().map(|field| field.name.clone()).collect::<Vec<_>>();
    let base_order = base.map(order).unwrap_or_default();
    let orders: Vec<Vec<String>> = sides.iter().map(|side| side.map_or_else(|| base_order.clone(), order)).collect();
    let names = kept.keys().map(|name| (*name).to_owned()).collect();
    for name in sequence(&base_order, &orders, &names) {
        merged.fields.extend(kept.remove(name.as_str()));
    }
    join(base, sides, &mut merged);
    merged
}

/// Finds the edits that some sides made to fields which other sides brought in as undecided.
///
/// Those who edited the field knew nothing of the versions, so their value is one more of them; had it
/// replaced the field alone, settling would lose it.
fn join(base: Option<&[FieldText]>, sides: &[Option<&[FieldText]>], merged: &mut MergedCard) {
    let undecided = |fields: &[FieldText], name: &str| {
        named(fields, "undecided").is_some_and(|field| field.value.get(name).is_some())
    };
    let now = named(&merged.fields, "undecided").and_then(|field| field.value.as_map().cloned()).unwrap_or_default();
    for name in now.keys() {
        let is_old = base.is_some_and(|base| undecided(base, name));
        if is_old || merged.open.iter().any(|open| open.name == *name) {
            continue;
        }
        let before = base.and_then(|base| named(base, name));
        let value_before = before.map(|field| &field.value);
        let mut values = Vec::new();
        for (number, side) in sides.iter().enumerate() {
            let Some(side) = side.filter(|side| !undecided(side, name)) else { continue };
            let value = named(side, name).map(|field| &field.value);
            if value != value_before {
                values.push((number, value.cloned()));
            }
        }
        if values.is_empty() {
            continue;
        }
        merged.joined.push(Joined { name: name.clone(), values });
        let at = merged.fields.iter().position(|field| field.name == *name);
        match (at, before) {
            (Some(at), Some(before)) => merged.fields[at] = before.clone(),
            (None, Some(before)) => {
                let at = crate::deck::outline::place_of(name, &merged.fields);
                merged.fields.insert(at, before.clone());
            }
            // A field that nobody had before stands only where it must be there.
            (Some(at), None) if !must_be_there(name) => {
                let field = merged.fields.remove(at);
                merged.remarks.extend(remarked(&[Some(&field)]));
            }
            (_, None) => {}
        }
    }
}

fn named<'a>(fields: &'a [FieldText], name: &str) -> Option<&'a FieldText> {
    fields.iter().find(|field| field.name == name)
}

fn names<'a>(base: Option<&'a [FieldText]>, sides: &[Option<&'a [FieldText]>]) -> BTreeSet<&'a str> {
    let all = sides.iter().flatten().copied().chain(base);
    all.flatten().map(|field| field.name.as_str()).collect()
}

/// One field: what it is now, and what stands open.
fn merge_field(
    name: &str,
    base: Option<&FieldText>,
    sides: &[Option<&FieldText>],
) -> (Option<FieldText>, Option<Open<Value>>) {
    // The text as typed decides where one side alone changed it, if only a comment.
    let typed = |field: &FieldText| Typed { text: field.typed().into_owned(), lead: field.lead.clone() };
    let base_typed = base.map(typed);
    let side_typed: Vec<Option<Typed>> = sides.iter().map(|side| side.map(typed)).collect();
    if let Outcome::Resolved(one) = whole(base_typed.as_ref(), &refs(&side_typed)) {
        let same = |field: &&&FieldText| one.as_ref() == Some(&typed(field));
        let field = base.iter().chain(sides.iter().flatten()).find(same);
        return (field.map(|field| (*field).clone()), None);
    }
    let lead = merge_comments(base.map(|field| &field.lead), &leads(base, sides));
    let values: Vec<Option<Value>> = sides.iter().map(|side| side.map(|field| field.value.clone())).collect();
    let base_value = base.map(|field| field.value.clone());
    let (value, open) = match merge_value(name, base_value.as_ref(), &refs(&values)) {
        Outcome::Resolved(value) => (value, None),
        Outcome::Open(open) => {
            let least = || open.sides().iter().find_map(|side| side.value.clone()).filter(|_| must_be_there(name));
            (open.base().cloned().or_else(least), Some(open))
        }
    };
    let typed = value.map(|value| {
        let mut field = typed_as(name, value, lead, base, sides);
        keep_remarks(&mut field, base, sides);
        field
    });
    (typed, open)
}

/// Fields without which a card, or a deck, cannot be read.
fn must_be_there(name: &str) -> bool {
    matches!(name, "id" | "question" | "answer" | "title" | "year")
}

#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Typed {
    text: String,
    lead: String,
}

fn refs<T>(values: &[Option<T>]) -> Vec<Option<&T>> {
    values.iter().map(Option::as_ref).collect()
}

fn leads<'a>(base: Option<&'a FieldText>, sides: &[Option<&'a FieldText>]) -> Vec<Option<&'a String>> {
    // A side that took the field out says nothing about the comment above it.
    sides.iter().map(|side| side.or(base).map(|field| &field.lead)).collect()
}

/// The field with `value`, as the side that changed it typed it.
fn typed_as(
    name: &str,
    value: Value,
    lead: String,
    base: Option<&FieldText>,
    sides: &[Option<&FieldText>],
) -> FieldText {
    let says = |field: &&FieldText| field.value == value;
    let base = base.filter(says);
    let changed =
        sides.iter().flatten().copied().filter(says).filter(|field| base.is_none_or(|base| base.text != field.text));
    let text = changed.map(|field| field.text.as_str()).min().or(base.map(|field| field.text.as_str()));
    FieldText { name: name.to_owned(), lead, text: text.unwrap_or_default().to_owned(), value }
}

/// What a field's values come to.
fn merge_value(name: &str, base: Option<&Value>, sides: &[Option<&Value>]) -> Outcome<Value> {
    let outcome = whole(base, sides);
    if outcome.is_resolved() {
        return outcome;
    }
    match (name, fields::card_field(name)) {
        ("also" | "pictures", _) => merge_entries(name, base, sides).unwrap_or(outcome),
        ("allow", _) => merge_map(base, sides, |_, base, sides| whole(base, sides)).unwrap_or(outcome),
        ("undecided", _) => {
            merge_map(base, sides, |_, base, sides| Outcome::Resolved(all_versions(base, sides))).unwrap_or(outcome)
        }
        (_, Some(field)) if !field.ordered && field.holds == Holds::List => merge_set(base, sides),
        _ => outcome,
    }
}

fn merge_set(base: Option<&Value>, sides: &[Option<&Value>]) -> Outcome<Value> {
    let field = |value: &Value| match value {
        Value::List(items) => algebra::Value::Many(items.clone()),
        other => algebra::Value::One(other.clone()),
    };
    let base = base.map(field);
    let sides: Vec<Option<_>> = sides.iter().map(|side| side.map(field)).collect();
    let plain = |value| match value {
        algebra::Value::Many(items) => Value::List(items),
        algebra::Value::One(item) => item,
    };
    match algebra::field(Policy::Set, base.as_ref(), &refs(&sides)) {
        Outcome::Resolved(value) => Outcome::Resolved(value.map(plain)),
        Outcome::Open(open) => Outcome::Open(Open::new(
            open.base().cloned().map(plain),
            open.sides()
                .iter()
                .flat_map(|side| side.by.iter().map(|&by| (by, side.value.clone().map(plain))))
                .collect::<Vec<_>>(),
        )),
    }
}

/// Questions under `also` by what they ask, pictures by their file; `None` when an entry would stay
/// open, so that the whole field does.
fn merge_entries(name: &str, base: Option<&Value>, sides: &[Option<&Value>]) -> Option<Outcome<Value>> {
    let key = if name == "also" { "question" } else { "file" };
    let entries = |value: Option<&Value>| -> Option<Vec<(String, Value)>> {
        let items = value.map_or(Some(&[][..]), Value::as_list)?;
        let keyed: Option<Vec<_>> = items.iter().map(|item| Some((item.get(key)?.line(), item.clone()))).collect();
        let keyed = keyed?;
        let distinct: BTreeSet<&String> = keyed.iter().map(|(key, _)| key).collect();
        (distinct.len() == keyed.len()).then_some(keyed)
    };
    let base = entries(base)?;
    let sides: Option<Vec<_>> = sides.iter().map(|side| entries(*side)).collect();
    let merged = keyed(&base, &sides?, |_, base, sides| {
        let fields = |value: &Value| value.as_map().cloned();
        merge_fields(
            base.and_then(fields).as_ref(),
            &sides.iter().map(|side| side.and_then(fields)).collect::<Vec<_>>(),
        )
    });
    let items: Option<Vec<Value>> = merged
        .into_iter()
        .map(|(_, entry)| match entry {
            Entry::Merged(fields) => fields.map(Value::Map),
            Entry::Open { .. } => None,
        })
        .collect();
    let items = items?;
    Some(Outcome::Resolved((!items.is_empty()).then_some(Value::List(items))))
}

/// The fields of an entry; `None` when one of them would stay open.
fn merge_fields(
    base: Option<&IndexMap<String, Value>>,
    sides: &[Option<IndexMap<String, Value>>],
) -> Option<IndexMap<String, Value>> {
    let text = |fields: &IndexMap<String, Value>| -> Vec<FieldText> {
        let field = |(name, value): (&String, &Value)| FieldText {
            name: name.clone(),
            value: value.clone(),
            lead: String::new(),
            text: value.line(),
        };
        fields.iter().map(field).collect()
    };
    let base = base.map(text);
    let sides: Vec<Option<Vec<FieldText>>> = sides.iter().map(|side| side.as_ref().map(text)).collect();
    let merged = merge_card(base.as_deref(), &sides.iter().map(Option::as_deref).collect::<Vec<_>>());
    merged.open.is_empty().then(|| merged.fields.into_iter().map(|field| (field.name, field.value)).collect())
}

/// Maps by key; `None` when a key would stay open.
fn merge_map(
    base: Option<&Value>,
    sides: &[Option<&Value>],
    mut each: impl FnMut(&str, Option<&Value>, &[Option<&Value>]) -> Outcome<Value>,
) -> Option<Outcome<Value>> {
    let empty = IndexMap::new();
    let map = |value: Option<&Value>| value.map_or(Some(empty.clone()), |value| value.as_map().cloned());
    let base = map(base)?;
    let sides: Option<Vec<IndexMap<String, Value>>> = sides.iter().map(|side| map(*side)).collect();
    let sides = sides?;
    let names: BTreeSet<&String> = base.keys().chain(sides.iter().flat_map(IndexMap::keys)).collect();
    let mut merged = IndexMap::new();
    for name in names {
        let values: Vec<Option<&Value>> = sides.iter().map(|side| side.get(name)).collect();
        match each(name, base.get(name), &values) {
            Outcome::Resolved(Some(value)) => _ = merged.insert(name.clone(), value),
            Outcome::Resolved(None) => {}
            Outcome::Open(_) => return None,
        }
    }
    Some(Outcome::Resolved((!merged.is_empty()).then_some(Value::Map(merged))))
}

/// What was left undecided before, on all sides: nobody's version is dropped unless somebody settled
/// the field.
fn all_versions(base: Option<&Value>, sides: &[Option<&Value>]) -> Option<Value> {
    match whole(base, sides) {
        Outcome::Resolved(value) => value,
        Outcome::Open(open) => {
            let lists = open.sides().iter().filter_map(|side| side.value.as_ref()?.as_list());
            let versions: Vec<Value> = lists.flatten().cloned().collect();
            (!versions.is_empty()).then(|| versions_as_one(versions))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn card(fields: &[(&str, &str)]) -> Vec<FieldText> {
        let value = |text: &str| match text.strip_prefix('[') {
            Some(list) => Value::List(
                list.trim_end_matches(']').split(' ').filter(|item| !item.is_empty()).map(Value::from).collect(),
            ),
            None => Value::from(text),
        };
        let field = |(name, text): &(&str, &str)| FieldText {
            name: (*name).into(),
            value: value(text),
            lead: String::new(),
            text: format!("{name}: {text}"),
        };
        fields.iter().map(field).collect()
    }

    fn merged(base: &[FieldText], ours: &[FieldText], theirs: &[FieldText]) -> MergedCard {
        merge_card(Some(base), &[Some(ours), Some(theirs)])
    }

    #[test]
    fn different_fields_merge_and_keep_what_was_typed() {
        let base = card(&[("id", "a"), ("question", "Q"), ("answer", "A")]);
        let ours = card(&[("id", "a"), ("question", "Q2"), ("answer", "A")]);
        let theirs = card(&[("id", "a"), ("question", "Q"), ("tier", "core"), ("answer", "A3")]);
        let expected = card(&[("id", "a"), ("question", "Q2"), ("tier", "core"), ("answer", "A3")]);
        assert_eq!(merged(&base, &ours, &theirs), MergedCard { fields: expected, ..MergedCard::default() });
    }

    #[test]
    fn one_answer_edited_twice_stays_open_with_the_old_text_on_the_card() {
        let base = card(&[("id", "a"), ("answer", "8")]);
        let result = merged(&base, &card(&[("id", "a"), ("answer", "9")]), &card(&[("id", "a"), ("answer", "10")]));
        assert_eq!(result.fields, base);
        let values: Vec<_> =
            result.open[0].open.sides().iter().map(|side| side.value.clone().expect("kept").line()).collect();
        assert_eq!((result.open[0].name.as_str(), values), ("answer", vec!["10".to_owned(), "9".to_owned()]));
    }

    #[test]
    fn lists_without_order_merge_as_sets() {
        let base = card(&[("id", "a"), ("needs", "[b c]")]);
        let result =
            merged(&base, &card(&[("id", "a"), ("needs", "[b c d]")]), &card(&[("id", "a"), ("needs", "[c]")]));
        assert_eq!(result.fields[1].value.line(), "c; d");
        assert!(result.open.is_empty());
    }

    #[test]
    fn removed_here_and_edited_there_stays_open() {
        let base = card(&[("id", "a"), ("caution", "x")]);
        let result = merged(&base, &card(&[("id", "a")]), &card(&[("id", "a"), ("caution", "y")]));
        assert_eq!(result.open.len(), 1);
        assert!(result.open[0].open.has_removal());
    }
}
