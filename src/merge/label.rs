//! Who wrote what: how the values of an undecided field are kept on the card.

use indexmap::IndexMap;

use super::algebra::Open;
use crate::deck::Value;

/// Whose a value is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Label {
    /// `ours`, `theirs`, or a branch.
    pub side: String,
    /// Who wrote it.
    pub by: Option<String>,
    /// When, as a date.
    pub when: Option<String>,
}

/// Tells whose the value of a field is, from the number of the side, the card's id (empty for the
/// deck's own fields) and the field's name.
pub type Labels<'a> = dyn Fn(usize, &str, &str) -> Label + 'a;

/// The versions of one field as they are written under `undecided`, in the order of their contents.
pub fn undecided_value(open: &Open<Value>, label: impl Fn(usize) -> Label) -> Value {
    let mut versions = Vec::new();
    for side in open.sides() {
        // Sides that wrote the same share one entry; the first of them names it.
        let labels: Vec<Label> = side.by.iter().map(|&number| label(number)).collect();
        let joined = |part: fn(&Label) -> Option<&str>| {
            let mut parts: Vec<&str> = labels.iter().filter_map(part).filter(|part| !part.is_empty()).collect();
            parts.sort_unstable();
            parts.dedup();
            parts.join(", ")
        };
        let mut fields = IndexMap::new();
        let mut put = |name: &str, text: String| {
            if !text.is_empty() {
                fields.insert(name.to_owned(), Value::Text(text));
            }
        };
        put("side", joined(|label| Some(&label.side)));
        put("by", joined(|label| label.by.as_deref()));
        put("when", joined(|label| label.when.as_deref()));
        match &side.value {
            Some(value) => fields.insert("value".to_owned(), value.clone()),
            None => fields.insert("removed".to_owned(), Value::from("true")),
        };
        versions.push(Value::Map(fields));
    }
    Value::List(versions)
}
