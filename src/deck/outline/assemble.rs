//! From the parts of a deck back to its text.

use super::{CardText, DeckText, FieldText};
use crate::deck::value::Value;
use crate::deck::{write, yaml};

/// The text of a deck made of `parts`.
///
/// Cards that still carry their own lines (`raw`) at the deck's column are put back byte for byte.
pub fn deck_text(parts: &DeckText) -> String {
    let mut text = parts.head.clone();
    for field in &parts.fields {
        push_field(&mut text, field, 0, parts.newline);
    }
    text.push_str(&parts.cards_line);
    let column = parts.cards.iter().find(|card| !card.raw.is_empty()).map_or(2, |card| card.dash);
    for card in &parts.cards {
        end_line(&mut text, parts.newline);
        text.push_str(&card.lead);
        if !card.raw.is_empty() && card.dash == column {
            text.push_str(&card.raw);
        } else {
            text.push_str(&card_text(card, column, parts.newline));
        }
    }
    if !parts.tail.is_empty() {
        end_line(&mut text, parts.newline);
    }
    text.push_str(&parts.tail);
    text
}

/// The lines of a card made of its fields, with its dash in `column`; without its lead.
///
/// What they say is what the fields say: where the typed text of the fields does not read back so in
/// its new place, it is written anew.
pub fn card_text(card: &CardText, column: usize, newline: &str) -> String {
    let typed = typed_text(card, column, newline);
    if says(&typed, card) { typed } else { canonical_text(card, column, newline) }
}

fn typed_text(card: &CardText, column: usize, newline: &str) -> String {
    let offset = card.offset.max(2);
    let mut text = String::new();
    for (at, field) in card.fields.iter().enumerate() {
        if at == 0 {
            // Nothing can stand between the dash and the first field.
            let lead = indented(&field.lead, column, newline, true);
            text.push_str(&format!("{lead}{}-{}", " ".repeat(column), " ".repeat(offset - 1)));
            text.push_str(&indented(&field.typed(), column + offset, newline, false));
            text.push_str(newline);
        } else {
            push_field(&mut text, field, column + offset, newline);
        }
    }
    text.push_str(&indented(&card.trail, column + offset, newline, true));
    text
}

fn canonical_text(card: &CardText, column: usize, newline: &str) -> String {
    let fields = Value::Map(card.values());
    let text = write::entries(&[fields], column).replace('\n', newline);
    text + &indented(&card.trail, column + 2, newline, true)
}

/// Whether the lines of a card read back as its fields.
fn says(text: &str, card: &CardText) -> bool {
    let Ok(tree) = yaml::parse(text) else { return false };
    let read = tree.root.as_ref().and_then(yaml::Node::list).filter(|items| items.len() == 1);
    read.is_some_and(|items| Value::from_node(&items[0]) == Value::Map(card.values()))
}

fn push_field(text: &mut String, field: &FieldText, column: usize, newline: &str) {
    text.push_str(&indented(&field.lead, column, newline, true));
    text.push_str(&" ".repeat(column));
    text.push_str(&indented(&field.typed(), column, newline, false));
    text.push_str(newline);
}

/// `text` with `column` blanks before each line that is not empty (but the first, unless `whole`).
fn indented(text: &str, column: usize, newline: &str, whole: bool) -> String {
    let mut out = String::with_capacity(text.len() + column);
    for (at, line) in text.split_inclusive('\n').enumerate() {
        let body = line.trim_end_matches('\n');
        if (at > 0 || whole) && !body.is_empty() {
            out.push_str(&" ".repeat(column));
        }
        out.push_str(body);
        if line.ends_with('\n') {
            out.push_str(newline);
        }
    }
    out
}

fn end_line(text: &mut String, newline: &str) {
    if !text.is_empty() && !text.ends_with('\n') {
        text.push_str(newline);
    }
}
