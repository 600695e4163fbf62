//! Changing one field of one card in a deck's text, and nothing else.

use super::{DeckText, FieldText, deck_text, outline};
use crate::deck::fields;
use crate::deck::value::Value;
use crate::deck::write;
use crate::deck::yaml::{self, Node, Shape, Style};

/// Why a field could not be changed.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
pub enum EditError {
    /// The deck's text cannot be taken apart.
    #[error("the deck cannot be read; put right first what `deckle check` says about it")]
    Unreadable,
    /// No such card.
    #[error("there is no card `{0}` in this deck")]
    NoCard(String),
}

/// The deck's text with a field of a card set to `value`, or taken out; every other line is as it was.
///
/// A new field takes its usual place among the fields. What was above the field stays above it.
///
/// # Errors
///
/// When the deck cannot be read or has no such card.
pub fn set_field(text: &str, id: &str, name: &str, value: Option<&Value>) -> Result<String, EditError> {
    let changed = set(text, id, name, value.map(|value| written(name, value)))?;
    let Some(value) = value else { return Ok(changed) };
    let now = if name == "id" { value.as_text().unwrap_or(id) } else { id };
    let reads = |changed: &str| {
        outline(changed).is_some_and(|parts| parts.card(now).and_then(|card| card.value(name)) == Some(value))
    };
    if reads(&changed) {
        return Ok(changed);
    }
    // Blanks on the line behind text in lines would belong to it: on one line nothing does.
    set(text, id, name, Some(FieldText { text: write::line_of_field(name, value), ..written(name, value) }))
}

fn set(text: &str, id: &str, name: &str, value: Option<FieldText>) -> Result<String, EditError> {
    let mut parts = outline(text).ok_or(EditError::Unreadable)?;
    let newline = parts.newline;
    let card = parts.cards.iter_mut().find(|card| card.id == id).ok_or_else(|| EditError::NoCard(id.to_owned()))?;
    let at = card.fields.iter().position(|field| field.name == name);
    match (at, value) {
        (None, None) => return Ok(text.to_owned()),
        (Some(at), None) => {
            card.fields.remove(at);
        }
        (Some(at), Some(field)) if card.fields[at].value == field.value => return Ok(text.to_owned()),
        (Some(at), Some(field)) => {
            let lead = std::mem::take(&mut card.fields[at].lead);
            card.fields[at] = FieldText { lead, ..field };
        }
        (None, Some(field)) => {
            let at = place_of(name, &card.fields);
            card.fields.insert(at, field);
        }
    }
    let column = card.dash;
    card.raw = super::card_text(card, column, newline);
    Ok(put_together(&parts, text))
}

/// A field in our own style.
pub(crate) fn written(name: &str, value: &Value) -> FieldText {
    FieldText {
        name: name.to_owned(),
        value: value.clone(),
        lead: String::new(),
        text: write::lines_of_field(name, value),
    }
}

/// Where a new field goes: behind the last field that usually stands before it.
pub(crate) fn place_of(name: &str, present: &[FieldText]) -> usize {
    let rank = |name: &str| fields::CARD.iter().position(|field| field.name == name).unwrap_or(usize::MAX);
    let own = rank(name);
    present
        .iter()
        .rposition(|field| rank(&field.name) < own)
        .map_or(0, |at| at + 1)
        .max(usize::from(!present.is_empty()))
}

fn put_together(parts: &DeckText, before: &str) -> String {
    let mut text = deck_text(parts);
    if !before.ends_with('\n') {
        drop_last_line_end(&mut text);
    }
    text
}

/// Takes the last line end off a deck's text, unless it belongs to a text in lines.
pub(crate) fn drop_last_line_end(text: &mut String) {
    let last = yaml::parse(text).ok().and_then(|tree| tree.root).map(last_value);
    let belongs = last.is_some_and(|last| {
        let in_lines = matches!(last.style, Style::Literal | Style::Folded);
        in_lines && last.span.end() == text.len() && last.text().is_some_and(|said| said.ends_with('\n'))
    });
    if !belongs {
        text.truncate(text.trim_end_matches(['\n', '\r']).len());
    }
}

fn last_value(mut node: Node) -> Node {
    while let Some(inner) = match &mut node.shape {
        Shape::Text(_) => None,
        Shape::List(items) => items.pop(),
        Shape::Map(entries) => entries.pop().map(|entry| entry.value),
    } {
        node = inner;
    }
    node
}

#[cfg(test)]
mod tests {
    use super::*;

    const DECK: &str = "# Weather\ntitle: T\nyear: 8\n\ncards:\n\n  # the first\n  - id: a\n    question: \"What?\"  # why\n\n    # on the answer\n    answer: |\n      one\n      two\n    needs: [b]\n    # behind a\n\n  - id: b\n    question: Who?\n    answer: 8\n# the end\n";

    #[test]
    fn parts_put_together_are_the_same_bytes() {
        for text in [
            DECK.to_owned(),
            DECK.replace('\n', "\r\n"),
            DECK.trim_end().to_owned(),
            format!("\u{feff}{DECK}"),
            "cards:\n- id: a\n  question: x\n-   id: b\n    question: y\n".to_owned(),
            "title: x\ncards: []\n".to_owned(),
            "cards:\n  - {id: a, question: b}\n  - &x\n    id: b\n".to_owned(),
        ] {
            let parts = outline(&text).unwrap_or_else(|| panic!("readable: {text}"));
            assert_eq!(deck_text(&parts), text);
        }
    }

    #[test]
    fn lines_that_are_kept_are_replaced_whole_where_the_file_ends_in_one() {
        for header in ["|", "|-", "|+", ">+", "|2+"] {
            for (lines, end) in [("      one\n      two", ""), ("      one\n      two\n", ""), ("      one\n\n", "\n")]
            {
                let text = format!("cards:\n  - id: a\n    question: Q\n    answer: {header}\n{lines}{end}");
                let changed = set_field(&text, "a", "answer", Some(&Value::from("new"))).expect("the card is there");
                assert_eq!(changed.trim_end(), "cards:\n  - id: a\n    question: Q\n    answer: new", "{text:?}");
            }
        }
    }

    #[test]
    fn cards_made_of_their_fields_are_the_same_bytes() {
        for text in [
            DECK.to_owned(),
            DECK.replace('\n', "\r\n"),
            "cards:\n-   id: b\n    question: y\n    answer:\n    - a\n    - b\n".to_owned(),
        ] {
            let parts = outline(&text).expect("readable");
            for card in &parts.cards {
                assert_eq!(super::super::card_text(card, card.dash, parts.newline), card.raw, "{card:?}");
            }
        }
    }

    #[test]
    fn setting_a_field_touches_nothing_else() {
        let changed = set_field(DECK, "a", "answer", Some(&Value::from("one: two"))).expect("set");
        assert_eq!(changed, DECK.replace("|\n      one\n      two\n", "\"one: two\"\n"));
        let changed = set_field(DECK, "b", "answer", Some(&Value::from("8"))).expect("set");
        assert_eq!(changed, DECK);
        let changed = set_field(DECK, "b", "tier", Some(&Value::from("core"))).expect("set");
        assert_eq!(changed, DECK.replace("answer: 8\n", "answer: 8\n    tier: core\n"));
        let changed = set_field(DECK, "a", "needs", None).expect("set");
        assert_eq!(changed, DECK.replace("    needs: [b]\n", ""));
    }

    #[test]
    fn a_last_line_end_that_belongs_to_the_text_is_written() {
        let text = "cards:\n  - id: a\n    question: x\n    answer: y";
        for value in ["one\n", "one\ntwo\n", "one\n\n"] {
            let changed = set_field(text, "a", "answer", Some(&Value::from(value))).expect("set");
            let other: serde_yaml::Value = serde_yaml::from_str(&changed).expect("sound");
            assert_eq!(other["cards"][0]["answer"].as_str(), Some(value), "{changed:?}");
        }
    }

    /// It wrote the first one anew and then dropped it for the second.
    #[test]
    fn a_field_that_stands_twice_is_not_set() {
        let text = "cards:\n  - id: a\n    answer: x\n    answer: y\n";
        assert_eq!(set_field(text, "a", "answer", Some(&Value::from("z"))), Err(EditError::Unreadable));
    }

    #[test]
    fn a_name_too_long_to_stand_before_a_colon_reads_back() {
        let text = "cards:\n  - id: a\n    answer: y\n  - {id: b, answer: z}\n";
        for name in ["n".repeat(1025), "é: ".repeat(1100), "n".repeat(1024)] {
            for value in [Value::from("z"), Value::from("two\nlines"), Value::List(vec!["x".into(), "y".into()])] {
                for id in ["a", "b"] {
                    let changed = set_field(text, id, &name, Some(&value)).expect("set");
                    let parts = outline(&changed).unwrap_or_else(|| panic!("{changed}"));
                    assert_eq!(parts.card(id).and_then(|card| card.value(&name)), Some(&value), "{changed}");
                }
            }
        }
    }

    #[test]
    fn a_new_id_is_written_as_any_text() {
        let changed = set_field(DECK, "b", "id", Some(&Value::from("b-2"))).expect("set");
        assert_eq!(changed, DECK.replace("- id: b\n", "- id: b-2\n"));
    }

    #[test]
    fn a_line_of_blanks_behind_a_card_is_no_line_of_its_text() {
        for text in ["cards:\n- question: a\n  id: x\n     \n- id: y\n", "cards:\n- id: x\n  question: a\n     \n \t\n"]
        {
            for value in ["one\ntwo", "one\ntwo\n"] {
                let changed = set_field(text, "x", "new", Some(&Value::from(value))).expect("set");
                let parts = outline(&changed).unwrap_or_else(|| panic!("{changed:?}"));
                assert_eq!(
                    parts.card("x").and_then(|card| card.value("new")),
                    Some(&Value::from(value)),
                    "{changed:?}"
                );
            }
        }
    }

    #[test]
    fn a_missing_last_line_end_stays_missing() {
        let text = "cards:\n  - id: a\n    question: x\n    answer: y";
        assert_eq!(set_field(text, "a", "answer", Some(&Value::from("z"))).expect("set"), text.replace('y', "z"));
    }
}
