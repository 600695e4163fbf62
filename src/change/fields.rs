//! Which fields of a card differ.

use serde::Serialize;

use super::effect::{Effect, effect_of};
use super::values::Values;
use super::words::{Run, runs};
use crate::deck::fields::{self, Holds};
use crate::deck::value::Value;

/// A field that differs.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FieldChange {
    /// The field, such as `answer` or `also[0].answer`; of a removed further question, as it was.
    pub field: String,
    /// What it said; nothing when it was not there.
    pub before: Option<Value>,
    /// What it says; nothing when it is gone.
    pub after: Option<Value>,
    /// What that means to those who learn from the card.
    pub effect: Effect,
    /// The words that differ, of a text that is in both.
    pub words: Vec<Run>,
}

/// The fields that differ, in the order of the table of fields, unknown ones last.
///
/// The order of `accept`, `needs`, `see` and `tags` does not count. Further questions are found again
/// by what they ask, else by their place.
pub fn field_changes(before: &Values, after: &Values) -> Vec<FieldChange> {
    changes_under("", before, after)
}

fn changes_under(prefix: &str, before: &Values, after: &Values) -> Vec<FieldChange> {
    let ordered = before.contains_key("ordered") || after.contains_key("ordered");
    let mut changes = Vec::new();
    for name in names(before, after) {
        let (was, is) = (before.get(name), after.get(name));
        if same(name, was, is) {
            continue;
        }
        let further = (was.and_then(questions), is.and_then(questions));
        if name == "also" && (further.0.is_some() || further.1.is_some()) {
            changes.extend(further_changes(was, is, &further.0.unwrap_or_default(), &further.1.unwrap_or_default()));
        } else {
            changes.push(change(format!("{prefix}{name}"), was, is, ordered));
        }
    }
    changes
}

fn change(field: String, before: Option<&Value>, after: Option<&Value>, ordered: bool) -> FieldChange {
    let effect = effect_of(&field, before, after, ordered);
    let words = match (before, after) {
        (Some(before), Some(after)) if is_text(&field) => runs(&joined(before), &joined(after)),
        _ => Vec::new(),
    };
    FieldChange { field, before: before.cloned(), after: after.cloned(), effect, words }
}

/// The names of the fields of either, in the order of the table.
fn names<'a>(before: &'a Values, after: &'a Values) -> Vec<&'a str> {
    let known = fields::CARD.iter().map(|field| field.name);
    let mut unknown: Vec<&str> = before.keys().chain(after.keys()).map(String::as_str).collect();
    unknown.retain(|name| fields::card_field(name).is_none());
    unknown.sort_unstable();
    unknown.dedup();
    known.chain(unknown).collect()
}

fn same(name: &str, before: Option<&Value>, after: Option<&Value>) -> bool {
    let as_set = fields::card_field(name).is_some_and(|field| !field.ordered);
    match (before, after) {
        (Some(Value::List(before)), Some(Value::List(after))) if as_set => {
            let sorted = |items: &[Value]| -> Vec<Value> {
                let mut items = items.to_vec();
                items.sort();
                items.dedup();
                items
            };
            before == after || sorted(before) == sorted(after)
        }
        _ => before == after,
    }
}

fn is_text(field: &str) -> bool {
    let name = field.rsplit('.').next().unwrap_or(field);
    fields::card_field(name).is_some_and(|field| matches!(field.holds, Holds::Text | Holds::TextOrList))
}

fn joined(value: &Value) -> String {
    value.as_text().map_or_else(|| value.line(), str::to_owned)
}

/// The further questions, when all of them have fields.
fn questions(value: &Value) -> Option<Vec<&Values>> {
    value.as_list()?.iter().map(Value::as_map).collect()
}

fn further_changes(was: Option<&Value>, is: Option<&Value>, before: &[&Values], after: &[&Values]) -> Vec<FieldChange> {
    let entry =
        |value: Option<&Value>, at: usize| value.and_then(Value::as_list).and_then(|items| items.get(at)).cloned();
    let pairs = aligned(before, after);
    let mut changes = Vec::new();
    for (at, now) in after.iter().enumerate() {
        match pairs[at] {
            Some(old) => changes.extend(changes_under(&format!("also[{at}]."), before[old], now)),
            None => changes.push(change(format!("also[{at}]"), None, entry(is, at).as_ref(), false)),
        }
    }
    for at in (0..before.len()).filter(|at| !pairs.contains(&Some(*at))) {
        changes.push(change(format!("also[{at}]"), entry(was, at).as_ref(), None, false));
    }
    if changes.is_empty() {
        // The same questions in another order.
        let (before, after) = (was.cloned(), is.cloned());
        changes.push(FieldChange {
            field: "also".to_owned(),
            before,
            after,
            effect: Effect::Wording,
            words: Vec::new(),
        });
    }
    changes
}

/// For each further question after, which one it was before.
fn aligned(before: &[&Values], after: &[&Values]) -> Vec<Option<usize>> {
    let mut free: Vec<usize> = (0..before.len()).collect();
    let mut pairs: Vec<Option<usize>> = Vec::with_capacity(after.len());
    for now in after {
        let asked = now.get("question");
        let found = free.iter().position(|&at| asked.is_some() && before[at].get("question") == asked);
        pairs.push(found.map(|found| free.remove(found)));
    }
    let mut left = free.into_iter();
    for pair in pairs.iter_mut().filter(|pair| pair.is_none()) {
        *pair = left.next();
    }
    pairs
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::deck::yaml::parse;

    fn differing(before: &str, after: &str) -> Vec<String> {
        let read = |text: &str| match Value::from_node(&parse(text).unwrap().root.unwrap()) {
            Value::Map(fields) => fields,
            other => panic!("{other:?}"),
        };
        let line = |value: &Option<Value>| value.as_ref().map_or("-".to_owned(), Value::line);
        let changes = field_changes(&read(before), &read(after));
        let show = |change: &FieldChange| {
            format!("{} {}: {} > {}", change.effect.word(), change.field, line(&change.before), line(&change.after))
        };
        changes.iter().map(show).collect()
    }

    #[test]
    fn fields_stand_in_the_order_of_the_table() {
        assert_eq!(
            differing(
                "{tags: [a], needs: [b, c], answer: 34 knots, question: Q?, weight: 1}",
                "{question: Q?, answer: 35 knots, needs: [c, b, b], tags: [a, d], weight: 2}"
            ),
            ["fact answer: 34 knots > 35 knots", "other tags: a > a; d", "other weight: 1 > 2"]
        );
    }

    #[test]
    fn further_questions_are_found_by_what_they_ask() {
        let before = "{also: [{question: A?, answer: a}, {question: B?, answer: b}]}";
        assert_eq!(
            differing(before, "{also: [{question: B?, answer: bee}, {question: A?, answer: a}]}"),
            ["fact also[0].answer: b > bee"]
        );
        assert_eq!(
            differing(before, "{also: [{question: A?, answer: a}, {question: The B?, answer: b}]}"),
            ["wording also[1].question: B? > The B?"]
        );
        assert_eq!(
            differing(before, "{also: [{question: B?, answer: b}]}"),
            ["fact also[0]: question: A?, answer: a > -"]
        );
        assert_eq!(
            differing("{also: [{question: B?, answer: b}]}", before),
            ["fact also[0]: - > question: A?, answer: a"]
        );
        assert_eq!(
            differing("{answer: a}", &format!("{{answer: a, {}", &before[1..])),
            ["fact also[0]: - > question: A?, answer: a", "fact also[1]: - > question: B?, answer: b"]
        );
        let turned = "{also: [{question: B?, answer: b}, {question: A?, answer: a}]}";
        assert_eq!(differing(before, turned).len(), 1);
        assert!(differing(before, turned)[0].starts_with("wording also: "));
    }

    #[test]
    fn words_are_compared_in_texts_only() {
        let text = |text: &str| -> Values { [("answer".to_owned(), Value::from(text))].into() };
        let words = &field_changes(&text("34 knots"), &text("35 knots"))[0].words;
        assert_eq!(words.len(), 3);
        let set: Values = [("tags".to_owned(), Value::List(vec![Value::from("a")]))].into();
        assert!(field_changes(&set, &Values::new())[0].words.is_empty());
    }
}
