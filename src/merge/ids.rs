//! Two new cards with one id but different questions: both stay, one gets a free id, and the links of
//! its side follow. Which one is decided by content, not by side.

use std::collections::{BTreeMap, BTreeSet};

use crate::deck::Value;
use crate::deck::outline::{CardText, DeckText, FieldText};

/// A card that got a free id.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Renamed {
    /// The side it came from.
    pub side: usize,
    /// The id it had.
    pub from: String,
    /// The id it has now.
    pub to: String,
}

/// Gives new cards that share an id but not the question an id each.
pub fn tell_apart(base: &DeckText, sides: &mut [DeckText]) -> Vec<Renamed> {
    let old: BTreeSet<&str> = base.cards.iter().map(|card| card.id.as_str()).collect();
    let mut taken: BTreeSet<String> = old.iter().map(|id| (*id).to_owned()).collect();
    let mut new: BTreeMap<String, BTreeMap<String, Vec<usize>>> = BTreeMap::new();
    for (number, side) in sides.iter().enumerate() {
        for card in &side.cards {
            taken.insert(card.id.clone());
            if !old.contains(card.id.as_str()) && !card.id.is_empty() {
                new.entry(card.id.clone()).or_default().entry(question(card)).or_default().push(number);
            }
        }
    }
    let mut renamed = Vec::new();
    for (id, by_question) in new {
        for numbers in by_question.into_values().skip(1) {
            let free = free_id(&id, &taken);
            taken.insert(free.clone());
            for side in numbers {
                rename(&mut sides[side], &id, &free);
                renamed.push(Renamed { side, from: id.clone(), to: free.clone() });
            }
        }
    }
    renamed
}

/// Cards of one id that ask the same are one card, whatever they answer.
fn question(card: &CardText) -> String {
    card.value("question").map(Value::line).unwrap_or_default()
}

fn free_id(id: &str, taken: &BTreeSet<String>) -> String {
    let numbered = (2..).map(|number| format!("{id}-{number}"));
    numbered.into_iter().find(|free| !taken.contains(free)).unwrap_or_else(|| id.to_owned())
}

fn rename(side: &mut DeckText, from: &str, to: &str) {
    for card in &mut side.cards {
        if card.id == from {
            card.id = to.to_owned();
            change(card, "id", Value::from(to));
        }
        for name in ["needs", "see"] {
            let Some(Value::List(links)) = card.value(name) else { continue };
            if links.iter().any(|link| link.as_text() == Some(from)) {
                let follow = |link: &Value| if link.as_text() == Some(from) { Value::from(to) } else { link.clone() };
                let links = Value::List(links.iter().map(follow).collect());
                change(card, name, links);
            }
        }
    }
}

fn change(card: &mut CardText, name: &str, value: Value) {
    if let Some(field) = card.fields.iter_mut().find(|field| field.name == name) {
        *field = FieldText { name: name.to_owned(), value, lead: std::mem::take(&mut field.lead), text: String::new() };
        card.raw.clear();
    }
}
