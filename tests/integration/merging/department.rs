//! Random departments and random teachers: cards move between decks, decks are renamed, joined and
//! split.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;

use super::model::{self, Deck, Style};

/// Decks by name.
pub type Department = BTreeMap<String, Deck>;

/// An edit that a teacher makes to a department; numbers are taken modulo what there is.
#[derive(Clone, Debug)]
pub enum Edit {
    /// An edit within one deck.
    Within { deck: usize, edit: model::Edit },
    /// A card of the same id for every teacher; `asks` tells whether they ask the same.
    AddShared { deck: usize, name: usize, asks: bool },
    /// A link to a card that every teacher may have added.
    LinkShared { deck: usize, card: usize, name: usize },
    /// A card goes to another deck.
    Move { from: usize, card: usize, to: usize, at: usize },
    /// A deck's folder gets another name.
    Rename { deck: usize, name: usize },
    /// A deck gets another title.
    Retitle { deck: usize, name: usize },
    /// All cards of a deck go to another one, and the deck goes.
    Join { deck: usize, into: usize },
    /// The second half of a deck goes to a new one.
    Split { deck: usize, name: usize },
    /// The deck goes, with its cards.
    Drop { deck: usize },
}

const STYLE: Style = Style { crlf: false, last_line_end: true, blank_between: true, dash: 2 };

pub fn departments() -> impl Strategy<Value = Department> {
    let style = (any::<bool>(), any::<bool>(), any::<bool>(), 0..3usize)
        .prop_map(|(crlf, last_line_end, blank_between, dash)| Style { crlf, last_line_end, blank_between, dash });
    let deck = (1..5usize, style, prop::collection::vec(model::edit(), 0..3));
    prop::collection::vec(deck, 2..5).prop_map(|decks| {
        let mut department = Department::new();
        for (number, (count, style, edits)) in decks.into_iter().enumerate() {
            let cards = (0..count).map(|at| model::new_card(&format!("card-{number}-{at}"), at + number)).collect();
            let mut deck = Deck { title: format!("Topic {number}"), cards, style };
            let edits = edits.iter().filter(|edit| {
                !matches!(edit, model::Edit::Add { .. } | model::Edit::Link { .. } | model::Edit::Rename { .. })
            });
            edits.for_each(|edit| model::apply(&mut deck, edit, "base"));
            department.insert(format!("year-8/topic-{number}"), deck);
        }
        department
    })
}

pub fn scripts(teachers: std::ops::Range<usize>) -> impl Strategy<Value = Vec<Vec<Edit>>> {
    prop::collection::vec(prop::collection::vec(edit(), 0..6), teachers)
}

fn edit() -> impl Strategy<Value = Edit> {
    let n = 0..40usize;
    prop_oneof![
        10 => (n.clone(), model::edit()).prop_map(|(deck, edit)| Edit::Within { deck, edit }),
        2 => (n.clone(), 0..2usize, any::<bool>()).prop_map(|(deck, name, asks)| Edit::AddShared { deck, name, asks }),
        2 => (n.clone(), n.clone(), 0..2usize).prop_map(|(deck, card, name)| Edit::LinkShared { deck, card, name }),
        4 => (n.clone(), n.clone(), n.clone(), n.clone()).prop_map(|(from, card, to, at)| Edit::Move { from, card, to, at }),
        1 => (n.clone(), 0..4usize).prop_map(|(deck, name)| Edit::Rename { deck, name }),
        1 => (n.clone(), 0..3usize).prop_map(|(deck, name)| Edit::Retitle { deck, name }),
        1 => (n.clone(), n.clone()).prop_map(|(deck, into)| Edit::Join { deck, into }),
        1 => (n.clone(), 0..4usize).prop_map(|(deck, name)| Edit::Split { deck, name }),
        1 => n.prop_map(|deck| Edit::Drop { deck }),
    ]
}

pub fn edited(base: &Department, script: &[Edit], who: usize) -> Department {
    let mut department = base.clone();
    script.iter().for_each(|edit| apply(&mut department, edit, who));
    department
}

fn apply(department: &mut Department, edit: &Edit, who: usize) {
    let names: Vec<String> = department.keys().cloned().collect();
    let Some(count) = (!names.is_empty()).then_some(names.len()) else { return };
    match *edit {
        // An id stands once in a department, whatever the deck.
        Edit::Within { edit: model::Edit::Add { name, .. }, .. }
            if ids(department).contains(&format!("new-t{who}-{name}")) => {}
        Edit::Within { deck, edit: model::Edit::Rename { card, name, shared } } => {
            let deck = &department[&names[deck % count]];
            let new = model::new_id(deck, card, name, shared, &format!("t{who}"));
            let Some((old, new)) = new.filter(|(_, new)| !ids(department).contains(new)) else { return };
            let cards = department.values_mut().flat_map(|deck| &mut deck.cards);
            cards.filter(|card| card.id == old).for_each(|card| card.id.clone_from(&new));
            department.values_mut().for_each(|deck| model::follow(deck, &old, &new));
        }
        Edit::Within { deck, ref edit } => {
            let deck = department.get_mut(&names[deck % count]).expect("there");
            model::apply(deck, edit, &format!("t{who}"));
        }
        Edit::AddShared { deck, name, asks } => {
            let id = format!("shared-{name}");
            if !ids(department).contains(&id) {
                let number = if asks { 500 } else { 600 + who };
                let card = model::new_card(&id, number);
                department.get_mut(&names[deck % count]).expect("there").cards.push(card);
            }
        }
        Edit::LinkShared { deck, card, name } => {
            let id = format!("shared-{name}");
            let known = ids(department).contains(&id);
            let cards = &mut department.get_mut(&names[deck % count]).expect("there").cards;
            if known && !cards.is_empty() {
                let at = card % cards.len();
                let links = cards[at].fields.entry("needs").or_default();
                if !links.contains(&id) {
                    links.push(id);
                }
            }
        }
        Edit::Move { from, card, to, at } => {
            let cards = &mut department.get_mut(&names[from % count]).expect("there").cards;
            if cards.is_empty() {
                return;
            }
            let at_card = card % cards.len();
            let card = cards.remove(at_card);
            let cards = &mut department.get_mut(&names[to % count]).expect("there").cards;
            cards.insert(at % (cards.len() + 1), card);
        }
        Edit::Rename { deck, name } => {
            let new = format!("year-8/renamed-{name}");
            if !department.contains_key(&new) {
                let deck = department.remove(&names[deck % count]).expect("there");
                department.insert(new, deck);
            }
        }
        Edit::Retitle { deck, name } => {
            department.get_mut(&names[deck % count]).expect("there").title = format!("Title {name}");
        }
        Edit::Join { deck, into } if deck % count != into % count => {
            let mut gone = department.remove(&names[deck % count]).expect("there");
            department.get_mut(&names[into % count]).expect("there").cards.append(&mut gone.cards);
        }
        Edit::Join { .. } => {}
        Edit::Split { deck, name } => {
            let new = format!("year-8/part-{name}");
            let cards = &mut department.get_mut(&names[deck % count]).expect("there").cards;
            if cards.len() > 1 && !names.contains(&new) {
                let cards = cards.split_off(cards.len() / 2);
                department.insert(new, Deck { title: format!("Part {name}"), cards, style: STYLE });
            }
        }
        Edit::Drop { deck } => _ = department.remove(&names[deck % count]),
    }
}

pub fn ids(department: &Department) -> BTreeSet<String> {
    department.values().flat_map(|deck| &deck.cards).map(|card| card.id.clone()).collect()
}
