//! What a card's fields say, by name, for comparing two of them.

use indexmap::IndexMap;

use crate::deck::outline::CardText;
use crate::deck::{Card, Picture, Question, Text, Undecided, Value, Version, fields};

/// Fields with what they say, in the order of the table of fields.
pub type Values = IndexMap<String, Value>;

/// What the fields of a card say, but for its id.
///
/// Fields that say what is so without them (`draft: false`, `tier: core`, an empty list) are left
/// out, so that writing them down changes nothing.
pub fn values(card: &Card) -> Values {
    let mut values = question(card.own());
    let also: Vec<Value> = card.questions.iter().skip(1).map(|also| Value::Map(question(also))).collect();
    put(&mut values, "also", list(also));
    put(&mut values, "both_ways", flag(card.both_ways));
    put(&mut values, "needs", texts(&card.needs));
    put(&mut values, "see", texts(&card.see));
    put(&mut values, "pictures", list(card.pictures.iter().map(picture).collect()));
    put(&mut values, "tier", card.extension.then(|| Value::from("extension")));
    put(&mut values, "caution", card.caution.as_deref().and_then(text));
    put(&mut values, "draft", flag(card.draft));
    put(&mut values, "tags", texts(&card.tags));
    let allow = card.allow.iter().map(|waiver| (waiver.rule.value.to_string(), Value::from(&*waiver.reason)));
    put(&mut values, "allow", map(allow.collect()));
    put(&mut values, "undecided", map(card.undecided.iter().map(undecided).collect()));
    in_order(values)
}

/// The same, with what the typed card could not hold: fields that no card has, values of a wrong shape.
pub(super) fn values_as_typed(card: &Card, typed: Option<&CardText>) -> Values {
    let mut values = values(card);
    for field in typed.map(|typed| typed.fields.as_slice()).unwrap_or_default() {
        let name = field.name.as_str();
        let known = name == "id" || values.contains_key(name) || is_misspelt(name);
        if !known && !says_nothing(name, &field.value) {
            values.insert(field.name.clone(), field.value.clone());
        }
    }
    values
}

/// Whether the reader took it for another field.
fn is_misspelt(name: &str) -> bool {
    let names = fields::CARD.iter().map(|field| field.name);
    fields::card_field(name).is_none() && fields::nearest(name, names).is_some()
}

fn says_nothing(name: &str, value: &Value) -> bool {
    match value {
        Value::Text(text) => match text.trim().to_lowercase().as_str() {
            "" => true,
            "false" | "no" => matches!(name, "both_ways" | "draft" | "ordered"),
            "core" => name == "tier",
            _ => false,
        },
        Value::List(items) => items.is_empty(),
        Value::Map(fields) => fields.is_empty(),
    }
}

fn question(question: &Question) -> Values {
    let mut values = Values::new();
    put(&mut values, "question", text(&question.question));
    let points: Vec<Value> = question.answer.points.iter().filter_map(text).collect();
    let answer = if question.answer.listed { list(points) } else { points.into_iter().next() };
    put(&mut values, "answer", answer);
    put(&mut values, "ordered", flag(question.answer.ordered));
    put(&mut values, "accept", texts(&question.accept));
    put(&mut values, "source", question.source.as_ref().and_then(text));
    let one_quote = question.quotes.len() == 1;
    put(&mut values, "quote", if one_quote { text(&question.quotes[0]) } else { texts(&question.quotes) });
    values
}

fn picture(picture: &Picture) -> Value {
    let mut values = Values::new();
    put(&mut values, "file", text(&picture.file));
    put(&mut values, "side", picture.on_answer.then(|| Value::from("answer")));
    for (name, value) in [("alt", &picture.alt), ("credit", &picture.credit), ("licence", &picture.licence)] {
        put(&mut values, name, value.as_ref().and_then(text));
    }
    Value::Map(values)
}

fn undecided(undecided: &Undecided) -> (String, Value) {
    (undecided.field.value.to_string(), Value::List(undecided.versions.iter().map(version).collect()))
}

fn version(version: &Version) -> Value {
    let mut values = Values::new();
    put(&mut values, "side", Some(Value::from(version.side.as_str())));
    put(&mut values, "by", version.by.as_deref().map(Value::from));
    put(&mut values, "when", version.when.as_deref().map(Value::from));
    let removed = version.value.is_none().then(|| ("removed", Value::from("true")));
    let (name, value) = removed.unwrap_or_else(|| ("value", version.value.clone().unwrap_or_else(|| Value::from(""))));
    put(&mut values, name, Some(value));
    Value::Map(values)
}

fn put(values: &mut Values, name: &str, value: Option<Value>) {
    values.extend(value.map(|value| (name.to_owned(), value)));
}

fn text(text: &Text) -> Option<Value> {
    (!text.is_empty()).then(|| Value::Text(text.value.to_string()))
}

fn texts(texts: &[Text]) -> Option<Value> {
    list(texts.iter().map(|text| Value::Text(text.value.to_string())).collect())
}

fn list(items: Vec<Value>) -> Option<Value> {
    (!items.is_empty()).then_some(Value::List(items))
}

fn map(fields: Values) -> Option<Value> {
    (!fields.is_empty()).then_some(Value::Map(fields))
}

fn flag(set: bool) -> Option<Value> {
    set.then(|| Value::from("true"))
}

fn in_order(mut values: Values) -> Values {
    values.sort_by_cached_key(|name, _| fields::CARD.iter().position(|field| field.name == name));
    values
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::deck::{outline::outline, read_deck};
    use crate::place::SourceFile;

    fn read(card: &str) -> (Values, Values) {
        let text = format!("title: Rivers\nyear: 8\ncards:\n  - id: a\n{card}");
        let deck = read_deck("year-8/rivers", Arc::new(SourceFile::new("cards.yaml", text.clone())));
        let parts = outline(&text);
        let typed = parts.as_ref().and_then(|parts| parts.cards.first());
        (values(&deck.cards[0]), values_as_typed(&deck.cards[0], typed))
    }

    #[test]
    fn what_goes_without_saying_is_left_out() {
        let (short, _) = read("    question: Q?\n    answer: A\n");
        let (long, typed) = read(
            "    answer: A\n    question: |\n      Q?\n    tier: core\n    draft: false\n    both_ways: no\n    tags: []\n",
        );
        assert_eq!(short, long);
        assert_eq!(long, typed);
        assert_eq!(long.keys().collect::<Vec<_>>(), ["question", "answer"]);
    }

    #[test]
    fn all_fields_are_there_in_order() {
        let (values, _) = read(
            "    tags: [x]\n    undecided:\n      answer:\n        - {side: ours, value: A}\n        - {side: theirs, removed: true}\n    allow: {giveaway: why}\n    draft: true\n    caution: hot\n    tier: extension\n    pictures:\n      - {file: a.svg, side: answer, alt: x}\n    see: [c]\n    needs: [b]\n    quote: [p, q]\n    source: notes.md#s\n    both_ways: true\n    also:\n      - {question: Q2, answer: [x, y], ordered: true}\n    accept: [z]\n    answer: A\n    question: Q\n",
        );
        let names: Vec<&str> =
            fields::CARD.iter().map(|field| field.name).filter(|name| !matches!(*name, "id" | "ordered")).collect();
        assert_eq!(values.keys().collect::<Vec<_>>(), names);
        assert_eq!(values["undecided"].line(), "answer: side: ours, value: A; side: theirs, removed: true");
    }

    #[test]
    fn what_no_card_holds_is_kept_as_typed() {
        let (typed, all) = read("    question: Q\n    answer: A\n    weight: 3\n    Tags: [x]\n    accept: {a: b}\n");
        assert!(!typed.contains_key("weight"));
        assert_eq!(all["weight"], Value::from("3"));
        assert_eq!(all["accept"].line(), "a: b");
        assert!(all.contains_key("tags") && !all.contains_key("Tags"));
    }
}
