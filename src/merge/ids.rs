//! Two new cards with one id but different questions: both stay, one gets a free id, and the links of
//! its side follow. Which one is decided by content, not by side.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::department::Decks;
use super::remarks::lead_with_remarks;
use super::renames::own_id;
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

/// Gives new cards that share an id but not the question an id each; the sides as they are then, when
/// there are such cards.
pub fn tell_apart(base: &DeckText, sides: &[&DeckText]) -> (Option<Vec<DeckText>>, Vec<Renamed>) {
    let cards: Vec<Vec<&CardText>> = sides.iter().map(|side| side.cards.iter().collect()).collect();
    let moves = plan(&base.cards.iter().collect::<Vec<_>>(), &cards, &|_| false);
    if moves.is_empty() {
        return (None, Vec::new());
    }
    let mut sides: Vec<DeckText> = sides.iter().map(|side| (*side).clone()).collect();
    for new in &moves {
        follow(&mut sides[new.renamed.side], new);
    }
    (Some(sides), moves.into_iter().map(|new| new.renamed).collect())
}

/// The same over whole departments: `is_taken` tells the ids in decks that are not among these.
pub fn tell_apart_in_departments(base: &Decks, sides: &mut [Decks], is_taken: &dyn Fn(&str) -> bool) -> Vec<Renamed> {
    let base: Vec<&CardText> = base.values().flat_map(|deck| &deck.cards).collect();
    let cards: Vec<Vec<&CardText>> =
        sides.iter().map(|side| side.values().flat_map(|deck| &deck.cards).collect()).collect();
    let moves = plan(&base, &cards, is_taken);
    for new in &moves {
        for deck in sides[new.renamed.side].values_mut() {
            if deck.cards.iter().any(|card| new.concerns(card)) {
                follow(Arc::make_mut(deck), new);
            }
        }
    }
    moves.into_iter().map(|new| new.renamed).collect()
}

/// A free id for the cards of one side that ask one question.
struct NewId {
    renamed: Renamed,
    question: String,
}

impl NewId {
    fn is_its(&self, card: &CardText) -> bool {
        card.id == self.renamed.from && question(card) == self.question
    }

    fn concerns(&self, card: &CardText) -> bool {
        let links = ["needs", "see"].iter().filter_map(|name| card.value(name)?.as_list());
        self.is_its(card) || links.flatten().any(|link| link.as_text() == Some(self.renamed.from.as_str()))
    }
}

/// Which side's cards get which free id.
fn plan(base: &[&CardText], sides: &[Vec<&CardText>], is_taken: &dyn Fn(&str) -> bool) -> Vec<NewId> {
    let old: BTreeSet<&str> = base.iter().map(|card| card.id.as_str()).collect();
    let mut taken = old.clone();
    let mut new: BTreeMap<&str, BTreeMap<String, BTreeSet<usize>>> = BTreeMap::new();
    for (number, side) in sides.iter().enumerate() {
        for card in side {
            taken.extend([card.id.as_str(), own_id(card)]);
            if !old.contains(card.id.as_str()) && !card.id.is_empty() {
                new.entry(&card.id).or_default().entry(question(card)).or_default().insert(number);
            }
        }
    }
    let mut given: BTreeSet<String> = BTreeSet::new();
    let mut moves = Vec::new();
    for (id, by_question) in new {
        // A side that has the id twice made that slip by itself; the checks tell it.
        let mut keeps: BTreeSet<usize> = BTreeSet::new();
        for (at, (question, numbers)) in by_question.into_iter().enumerate() {
            let others: BTreeSet<usize> = numbers.difference(&keeps).copied().collect();
            keeps.extend(numbers);
            if at == 0 || others.is_empty() {
                continue;
            }
            let is_free = |free: &str| !taken.contains(free) && !given.contains(free) && !is_taken(free);
            let free = free_id(id, is_free);
            given.insert(free.clone());
            moves.extend(others.into_iter().map(|side| NewId {
                renamed: Renamed { side, from: id.to_owned(), to: free.clone() },
                question: question.clone(),
            }));
        }
    }
    moves
}

/// Cards of one id that ask the same are one card, whatever they answer.
fn question(card: &CardText) -> String {
    card.value("question").map(Value::line).unwrap_or_default()
}

fn free_id(id: &str, is_free: impl Fn(&str) -> bool) -> String {
    let numbered = (2..).map(|number| format!("{id}-{number}"));
    numbered.into_iter().find(|free| is_free(free)).unwrap_or_else(|| id.to_owned())
}

fn follow(side: &mut DeckText, new: &NewId) {
    let Renamed { from, to, .. } = &new.renamed;
    for card in &mut side.cards {
        if new.is_its(card) {
            card.id.clone_from(to);
            change(card, "id", Value::from(to.as_str()));
        }
        for name in ["needs", "see"] {
            let Some(Value::List(links)) = card.value(name) else { continue };
            if links.iter().any(|link| link.as_text() == Some(from)) {
                let follow = |link: &Value| {
                    if link.as_text() == Some(from) { Value::from(to.as_str()) } else { link.clone() }
                };
                let links = Value::List(links.iter().map(follow).collect());
                change(card, name, links);
            }
        }
    }
}

/// Gives a field another value, to be written anew.
pub(super) fn change(card: &mut CardText, name: &str, value: Value) {
    if let Some(field) = card.fields.iter_mut().find(|field| field.name == name) {
        *field = FieldText { name: name.to_owned(), value, lead: lead_with_remarks(field), text: String::new() };
        card.raw.clear();
    }
}
