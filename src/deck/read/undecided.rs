//! Reading what the merge left undecided.

use super::reader::{Fields, Reader, shown, truth};
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

/// One version; `None` when it is none that the merge could have written.
fn version(node: &Node) -> Option<Version> {
    let known = ["side", "by", "when", "value", "removed"];
    let entries = node.map()?;
    if entries.iter().any(|entry| !entry.key.text().is_some_and(|key| known.contains(&key))) {
        return None;
    }
    let removed = node.get("removed").map_or(Some(false), |word| truth(word.text()?))?;
    let value = node.get("value").map(Value::from_node);
    if removed == value.is_some() {
        return None;
    }
    Some(Version { side: words(node, "side")??, by: words(node, "by")?, when: words(node, "when")?, value })
}

/// The text of a field that may be missing; `None` when it holds something else, or nothing.
fn words(node: &Node, name: &str) -> Option<Option<String>> {
    let Some(value) = node.get(name) else { return Some(None) };
    value.text().filter(|text| !text.trim().is_empty()).map(|text| Some(text.to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::deck::yaml;

    fn read(text: &str) -> Option<Version> {
        version(&yaml::parse(text).expect("sound").root.expect("a value"))
    }

    #[test]
    fn a_version_holds_a_value_or_says_that_it_was_removed() {
        let version = read("{side: ours, by: Mara, value: [a, b]}").expect("read");
        assert_eq!((version.side.as_str(), version.by.as_deref()), ("ours", Some("Mara")));
        assert!(version.value.is_some());
        assert!(read("{side: ours, removed: yes}").expect("read").value.is_none());
        assert!(read("{side: ours, removed: false, value: x}").expect("read").value.is_some());
    }

    #[test]
    fn nothing_that_somebody_wrote_is_left_out_in_silence() {
        for text in [
            "{side: ours, by: [Mara, Idris], value: x}",
            "{side: ours, when: {day: 1}, value: x}",
            "{side: ' ', value: x}",
            "{side: ours, removed: perhaps, value: x}",
            "{side: ours, removed: true, value: x}",
            "{side: ours}",
        ] {
            assert_eq!(read(text), None, "{text}");
        }
    }
}
