//! The versions of an undecided field: how they are written on the card, and how those of several
//! merges become one list.

use std::collections::{BTreeMap, BTreeSet};

use indexmap::IndexMap;

use super::card::{MergedCard, OpenField};
use super::label::Label;
use super::remarks::lead_with_remarks;
use crate::deck::Value;
use crate::deck::outline::FieldText;

/// Tells whose a value of a field is: the number of the side, the field, the value.
pub(super) type LabelOf<'a> = dyn Fn(usize, &str, Option<&Value>) -> Label + 'a;

/// The fields with what stands open written under `undecided`, and the names of what is open.
pub(super) fn with_open(merged: MergedCard, label: &LabelOf<'_>) -> (Vec<FieldText>, Vec<String>) {
    let mut fields = merged.fields;
    let mut new: Vec<(String, Vec<Value>)> = Vec::new();
    for OpenField { name, open } in merged.open {
        let sides = open.sides().iter().flat_map(|side| side.by.iter().map(|&by| (by, side.value.as_ref())));
        let versions = sides.map(|(by, value)| version(&label(by, &name, value), value)).collect();
        new.push((name, versions));
    }
    for joined in merged.joined {
        let versions = joined.values.iter().map(|(by, value)| {
            let value = value.as_ref();
            version(&label(*by, &joined.name, value), value)
        });
        new.push((joined.name.clone(), versions.collect()));
    }
    if new.is_empty() {
        return (fields, Vec::new());
    }
    let at = fields.iter().position(|field| field.name == "undecided");
    let before = at.map(|at| fields.remove(at));
    let mut lead = before.as_ref().map(lead_with_remarks).unwrap_or_default();
    merged.remarks.iter().for_each(|remark| lead.push_str(&format!("{remark}\n")));
    let mut entries = before.and_then(|field| field.value.as_map().cloned()).unwrap_or_default();
    let mut names = Vec::new();
    for (name, mut versions) in new {
        versions.extend(entries.get(&name).and_then(Value::as_list).unwrap_or_default().iter().cloned());
        entries.insert(name.clone(), versions_as_one(versions));
        names.push(name);
    }
    entries.sort_keys();
    fields.push(FieldText { name: "undecided".to_owned(), value: Value::Map(entries), lead, text: String::new() });
    (fields, names)
}

/// One version as it is written.
fn version(label: &Label, value: Option<&Value>) -> Value {
    let mut fields = IndexMap::new();
    let parts = [("side", Some(&label.side)), ("by", label.by.as_ref()), ("when", label.when.as_ref())];
    for (name, text) in parts {
        if let Some(text) = text.filter(|text| !text.is_empty()) {
            fields.insert(name.to_owned(), Value::Text(text.clone()));
        }
    }
    match value {
        Some(value) => fields.insert("value".to_owned(), value.clone()),
        None => fields.insert("removed".to_owned(), Value::from("true")),
    };
    Value::Map(fields)
}

/// Versions as one list in the order of their values: those with one value are one version with all
/// the names, and two with the same name but different values are numbered, so that each has a name
/// of its own.
pub(super) fn versions_as_one(versions: Vec<Value>) -> Value {
    let mut by_value: BTreeMap<Option<Value>, Names> = BTreeMap::new();
    for version in &versions {
        let names = by_value.entry(version.get("value").cloned()).or_default();
        for (at, part) in PARTS.into_iter().enumerate() {
            let said = version.get(part).map(Value::line).unwrap_or_default();
            let said = said.split(", ").filter(|name| !name.is_empty()).map(str::to_owned);
            names.0[at].extend(said);
        }
    }
    let mut taken: BTreeSet<String> = BTreeSet::new();
    let mut list = Vec::with_capacity(by_value.len());
    for (value, mut names) in by_value {
        names.0[0] = names.0[0].iter().map(|side| free(side, &mut taken)).collect();
        list.push(version(&names.label(), value.as_ref()));
    }
    Value::List(list)
}

const PARTS: [&str; 3] = ["side", "by", "when"];

/// The names, people and days of one version.
#[derive(Default)]
struct Names([BTreeSet<String>; 3]);

impl Names {
    fn label(&self) -> Label {
        let [side, by, when] = &self.0;
        let joined = |names: &BTreeSet<String>| names.iter().cloned().collect::<Vec<_>>().join(", ");
        let some = |names: &BTreeSet<String>| (!names.is_empty()).then(|| joined(names));
        Label { side: joined(side), by: some(by), when: some(when) }
    }
}

fn free(side: &str, taken: &mut BTreeSet<String>) -> String {
    let numbered = (2..).map(|number| format!("{side}-{number}"));
    let name = std::iter::once(side.to_owned()).chain(numbered).find(|name| !taken.contains(name));
    let name = name.unwrap_or_else(|| side.to_owned());
    taken.insert(name.clone());
    name
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(side: &str, value: Option<&str>) -> Value {
        version(&Label { side: side.to_owned(), by: None, when: None }, value.map(Value::from).as_ref())
    }

    #[test]
    fn one_value_is_one_version_and_each_version_has_a_name_of_its_own() {
        let list = vec![said("theirs", Some("b")), said("ours", Some("a")), said("theirs", Some("a")), said("x", None)];
        let one = versions_as_one(list.clone());
        let expected = vec![said("x", None), said("ours, theirs", Some("a")), said("theirs-2", Some("b"))];
        assert_eq!(one, Value::List(expected));
        let turned = versions_as_one(list.into_iter().rev().collect());
        assert_eq!(turned, one);
    }
}
