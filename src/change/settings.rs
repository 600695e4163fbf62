//! Which settings changed.

use super::model::SettingChange;
use super::values::Values;
use crate::deck::{Settings, Value, yaml};

/// The settings that differ, in the order written, those that are gone last; and whether the file
/// differs in layout alone.
pub(super) fn changes(before: &Settings, now: &Settings) -> (Vec<SettingChange>, bool) {
    if before.file.text == now.file.text {
        return (Vec::new(), false);
    }
    let (was, is) = (values(&before.file.text), values(&now.file.text));
    let gone = was.keys().filter(|key| !is.contains_key(*key));
    let mut changes: Vec<SettingChange> = Vec::new();
    for key in is.keys().chain(gone) {
        let (before, after) = (was.get(key).cloned(), is.get(key).cloned());
        if before != after {
            changes.push(SettingChange { key: key.clone(), before, after });
        }
    }
    let layout = changes.is_empty();
    (changes, layout)
}

fn values(text: &str) -> Values {
    match yaml::read(text).tree.root.as_ref().map(Value::from_node) {
        Some(Value::Map(values)) => values,
        _ => Values::new(),
    }
}
