//! A value without its place: what a field says, for comparing, merging and writing.

use indexmap::IndexMap;
use serde::{Deserialize, Serialize};

use super::yaml::{Node, Shape};

/// Text, a list of values, or fields with values.
///
/// The order of fields does not count when values are compared; the order of lists does.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Value {
    /// Text as written, with the quoting taken off.
    Text(String),
    /// A list.
    List(Vec<Value>),
    /// Fields with their values; a field written twice counts with its first value.
    Map(IndexMap<String, Value>),
}

impl Value {
    /// What `node` says, without places.
    pub fn from_node(node: &Node) -> Self {
        match &node.shape {
            Shape::Text(text) => Value::Text(text.to_string()),
            Shape::List(items) => Value::List(items.iter().map(Value::from_node).collect()),
            Shape::Map(entries) => {
                let mut fields = IndexMap::with_capacity(entries.len());
                for entry in entries {
                    let name = entry.key.text().unwrap_or_default().to_owned();
                    fields.entry(name).or_insert_with(|| Value::from_node(&entry.value));
                }
                Value::Map(fields)
            }
        }
    }

    /// The text, when it is text.
    pub fn as_text(&self) -> Option<&str> {
        match self {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The list, when it is one.
    pub fn as_list(&self) -> Option<&[Value]> {
        match self {
            Value::List(items) => Some(items),
            _ => None,
        }
    }

    /// The fields, when it has them.
    pub fn as_map(&self) -> Option<&IndexMap<String, Value>> {
        match self {
            Value::Map(fields) => Some(fields),
            _ => None,
        }
    }

    /// The value of a field.
    pub fn get(&self, name: &str) -> Option<&Value> {
        self.as_map()?.get(name)
    }

    /// All its text on one line, for showing: list entries joined by `; `, fields as `name: value`.
    pub fn line(&self) -> String {
        match self {
            Value::Text(text) => text.split_whitespace().collect::<Vec<_>>().join(" "),
            Value::List(items) => items.iter().map(Value::line).collect::<Vec<_>>().join("; "),
            Value::Map(fields) => {
                fields.iter().map(|(name, value)| format!("{name}: {}", value.line())).collect::<Vec<_>>().join(", ")
            }
        }
    }
}

impl From<&str> for Value {
    fn from(text: &str) -> Self {
        Value::Text(text.to_owned())
    }
}

impl PartialOrd for Value {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Value {
    /// An order by content alone, in which equal values and no others are equal.
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        fn sorted(fields: &IndexMap<String, Value>) -> Vec<(&String, &Value)> {
            let mut fields: Vec<_> = fields.iter().collect();
            fields.sort_by_key(|(name, _)| *name);
            fields
        }
        fn rank(value: &Value) -> u8 {
            match value {
                Value::Text(_) => 0,
                Value::List(_) => 1,
                Value::Map(_) => 2,
            }
        }
        match (self, other) {
            (Value::Text(a), Value::Text(b)) => a.cmp(b),
            (Value::List(a), Value::List(b)) => a.cmp(b),
            (Value::Map(a), Value::Map(b)) => sorted(a).cmp(&sorted(b)),
            _ => rank(self).cmp(&rank(other)),
        }
    }
}
