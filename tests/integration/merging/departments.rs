//! Random departments, merged by the crate, against what the oracle expects.

use std::collections::BTreeMap;

use deckle::merge::{Decks, Label, MergedDepartment, merge_departments};
use proptest::prelude::*;

use super::department::{Department, Edit, departments, edited, scripts};
use super::laws::read;
use super::model::render;
use super::oracle::{Expected, Values, oracle};

/// The department as the crate reads it.
pub fn texts(department: &Department) -> BTreeMap<String, String> {
    department.iter().map(|(name, deck)| (name.clone(), render(deck))).collect()
}

pub fn decks(texts: &BTreeMap<String, String>) -> Decks {
    texts.iter().map(|(name, text)| (name.clone(), read(text).into())).collect()
}

pub fn merged(base: &Department, sides: &[Department]) -> MergedDepartment {
    let sides: Vec<Decks> = sides.iter().map(|side| decks(&texts(side))).collect();
    let label = |at: &deckle::merge::At<'_>| Label { side: format!("side-{}", at.side), by: None, when: None };
    merge_departments(&decks(&texts(base)), &sides.iter().collect::<Vec<_>>(), &|_| false, &label)
}

/// What merged texts say, as the oracle gives it.
pub fn said(texts: &BTreeMap<String, String>) -> Expected {
    let mut said = Expected::default();
    for (name, text) in texts {
        let deck = read(text);
        let list = super::laws::list;
        let mut undecided = |key: &str, fields: &[deckle::deck::outline::FieldText]| {
            let entries = fields.iter().find(|field| field.name == "undecided").and_then(|field| field.value.as_map());
            for (field, versions) in entries.into_iter().flatten() {
                let versions = versions.as_list().expect("versions").iter();
                let values: Values = versions.map(|version| version.get("value").map(list)).collect();
                let values = if field == "card" { Values::new() } else { values };
                said.undecided.insert((key.to_owned(), field.clone()), values);
            }
        };
        undecided(&format!("/{name}"), &deck.fields);
        for card in &deck.cards {
            undecided(&card.id, &card.fields);
            let fields = card.fields.iter().filter(|field| !matches!(field.name.as_str(), "id" | "undecided"));
            let fields = fields.map(|field| (field.name.clone(), list(&field.value))).collect();
            assert!(said.cards.insert(card.id.clone(), (name.clone(), fields)).is_none(), "{} stands twice", card.id);
        }
        let title = deck.fields.iter().find(|field| field.name == "title").expect("a title");
        said.decks.insert(name.clone(), title.value.line());
    }
    said
}

fn orders(merged: &MergedDepartment) -> BTreeMap<String, Vec<String>> {
    let ids = |text: &String| read(text).cards.iter().map(|card| card.id.clone()).collect();
    merged.decks.iter().map(|(name, text)| (name.clone(), ids(text))).collect()
}

fn sides_of(base: &Department, scripts: &[Vec<Edit>]) -> Vec<Department> {
    scripts.iter().enumerate().map(|(who, script)| edited(base, script, who)).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_department_is_merged_as_the_design_says((base, scripts) in (departments(), scripts(2..7))) {
        let sides = sides_of(&base, &scripts);
        let result = merged(&base, &sides);
        prop_assert_eq!(said(&result.decks), oracle(&base, &sides), "{:#?}", result.decks);
    }

    #[test]
    fn any_order_of_the_sides_gives_the_same_department((base, scripts) in (departments(), scripts(2..5))) {
        let mut sides = sides_of(&base, &scripts);
        let one = merged(&base, &sides);
        sides.reverse();
        let other = merged(&base, &sides);
        prop_assert_eq!(said(&one.decks), said(&other.decks));
        prop_assert_eq!(orders(&one), orders(&other));
    }

    #[test]
    fn one_changed_side_is_the_department_byte_for_byte((base, scripts) in (departments(), scripts(1..2))) {
        let side = sides_of(&base, &scripts).remove(0);
        let wanted = texts(&side);
        prop_assert_eq!(&merged(&base, std::slice::from_ref(&side)).decks, &wanted);
        prop_assert_eq!(&merged(&base, &[side.clone(), base.clone()]).decks, &wanted);
        prop_assert_eq!(&merged(&base, &[base.clone(), side.clone(), side.clone()]).decks, &wanted);
    }

    #[test]
    fn one_after_another_leaves_the_same_cards_as_all_at_once((base, scripts) in (departments(), scripts(2..6))) {
        // Decks and cards that come, go or are renamed are seen as they are at each step, so only fields here.
        let keeps_decks = |edit: &&Edit| !matches!(edit, Edit::Within { edit: super::model::Edit::Rename { .. } | super::model::Edit::Delete { .. }, .. } | Edit::Rename { .. } | Edit::Join { .. } | Edit::Split { .. } | Edit::Drop { .. } | Edit::AddShared { .. });
        let scripts: Vec<Vec<Edit>> = scripts.iter().map(|script| script.iter().filter(keeps_decks).cloned().collect()).collect();
        let sides = sides_of(&base, &scripts);
        let label = |at: &deckle::merge::At<'_>| Label { side: format!("side-{}", at.side), by: None, when: None };
        let old = decks(&texts(&base));
        let mut one_by_one = texts(&sides[0]);
        for side in &sides[1..] {
            let next = [decks(&one_by_one), decks(&texts(side))];
            one_by_one = merge_departments(&old, &[&next[0], &next[1]], &|_| false, &label).decks;
        }
        prop_assert_eq!(said(&one_by_one), said(&merged(&base, &sides).decks));
    }
}
