//! Reading what the merge left undecided.

use super::reader::{Fields, Reader, shown};
use crate::deck::card::{Text, Undecided, Version};
use crate::deck::value::Value;
use crate::deck::yaml::Node;

/// The undecided fields of a card.
pub fn undecided(reader: &mut Reader<'_>, fields: &Fields<'_>) -> Vec<Undecided> {
    let Some(node) = reader.optional(fields, "undecided") else { return Vec::new() };
    let Some(entries) = node.map() else {
        let help = "the merge writes this field; run `deckle settle` to decide it".to_owned();
        reader.report(
            "wrong-shape",
            node.span,
            "undecided",
            format!("expected fields with their versions, but found {}", shown(node)),
            help,
        );
        return Vec::new();
    };
    let mut undecided = Vec::with_capacity(entries.len());
    for entry in entries {
        let Some(field) = reader.text(&entry.key, "undecided") else { continue };
        let versions = versions(reader, &entry.value, &field);
        undecided.push(Undecided { field, versions });
    }
    undecided
}

fn versions(reader: &mut Reader<'_>, node: &Node, field: &Text) -> Vec<Version> {
    let items = node.list().unwrap_or_default();
    let read: Option<Vec<_>> = items.iter().map(version).collect();
    match read {
        Some(versions) if versions.len() >= 2 => versions,
        _ => {
            let message = format!(
                "expected two or more versions of `{}`, each with `side:` and `value:` or `removed: true`",
                field.value
            );
            let help =
                "the merge writes this field; put back what it wrote, or delete it and write the field as it should be"
                    .to_owned();
            reader.report("wrong-shape", node.span, "undecided", message, help);
            Vec::new()
        }
    }
}

fn version(node: &Node) -> Option<Version> {
    let text = |name: &str| node.get(name).and_then(Node::text).map(str::to_owned);
    let known = ["side", "by", "when", "value", "removed"];
    let entries = node.map()?;
    if entries.iter().any(|entry| !entry.key.text().is_some_and(|key| known.contains(&key))) {
        return None;
    }
    let removed = text("removed").is_some_and(|word| word.eq_ignore_ascii_case("true"));
    let value = node.get("value").map(Value::from_node);
    if removed == value.is_some() {
        return None;
    }
    Some(Version { side: text("side").filter(|side| !side.is_empty())?, by: text("by"), when: text("when"), value })
}
