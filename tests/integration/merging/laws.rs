//! The laws of merging, over random decks and edits.

use std::collections::{BTreeMap, BTreeSet};

use deckle::deck::Value;
use deckle::deck::outline::{DeckText, deck_text, outline};
use deckle::merge::{Label, MergedText, merge_decks, merge_texts};
use proptest::prelude::*;

use super::model::{Edit, Expected, base, edited, oracle, render, script};

fn label(side: usize, _: &str, _: &str) -> Label {
    Label { side: ["ours", "theirs"][side].to_owned(), by: None, when: None }
}

pub fn merged(base: &str, ours: &str, theirs: &str) -> MergedText {
    merge_texts(base, &[ours, theirs], &label).expect("all three can be read")
}

pub fn read(text: &str) -> DeckText {
    outline(text).unwrap_or_else(|| panic!("a merged deck can be read: {text}"))
}

/// A value as the oracles give it: a list, sorted when it was written as one.
pub fn list(value: &Value) -> Vec<String> {
    match value {
        Value::List(items) => items.iter().map(Value::line).collect::<BTreeSet<_>>().into_iter().collect(),
        Value::Text(text) => vec![text.clone()],
        Value::Map(_) => panic!("no map among the model's values: {value:?}"),
    }
}

/// Cards by id with their fields, undecided ones apart, as the oracle gives them.
pub fn found(text: &str) -> Expected {
    let names = ["question", "answer", "caution", "quote", "needs"];
    let mut found = Expected::default();
    for card in read(text).cards {
        let fields = names.iter().filter_map(|name| Some((*name, list(card.value(name)?)))).collect::<BTreeMap<_, _>>();
        for (field, versions) in card.value("undecided").and_then(Value::as_map).into_iter().flatten() {
            let versions = versions.as_list().expect("versions").iter();
            let values = versions.map(|version| version.get("value").map(list)).collect();
            // Of a card that was taken out and edited, the edit is on the card itself.
            let values = if field == "card" { BTreeSet::new() } else { values };
            found.undecided.insert((card.id.clone(), field.clone()), values);
        }
        assert!(found.cards.insert(card.id.clone(), fields).is_none(), "{} stands twice", card.id);
    }
    found
}

/// The oracle's lists without order, as [`found`] gives them.
pub fn sorted(mut expected: Expected) -> Expected {
    for fields in expected.cards.values_mut() {
        if let Some(links) = fields.get_mut("needs") {
            links.sort();
        }
    }
    expected
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_merge_is_what_the_design_says((base, ours, theirs) in (base(), script(), script())) {
        let (ours, theirs) = (edited(&base, &ours, "ada"), edited(&base, &theirs, "ben"));
        let result = merged(&render(&base), &render(&ours), &render(&theirs));
        prop_assert_eq!(found(&result.text), sorted(oracle(&base, &ours, &theirs)), "{}", result.text);
    }

    #[test]
    fn swapping_the_sides_gives_the_same_cards((base, ours, theirs) in (base(), script(), script())) {
        let (ours, theirs) = (render(&edited(&base, &ours, "ada")), render(&edited(&base, &theirs, "ben")));
        let base = render(&base);
        let (one, two) = (merged(&base, &ours, &theirs), merged(&base, &theirs, &ours));
        prop_assert_eq!(found(&one.text), found(&two.text));
        let order = |text: &str| read(text).cards.iter().map(|card| card.id.clone()).collect::<Vec<_>>();
        prop_assert_eq!(order(&one.text), order(&two.text));
    }

    #[test]
    fn an_unchanged_side_gives_the_other_byte_for_byte((base, theirs) in (base(), script())) {
        let theirs = render(&edited(&base, &theirs, "ben"));
        let base = render(&base);
        prop_assert_eq!(&merged(&base, &base, &theirs).text, &theirs);
        prop_assert_eq!(&merged(&base, &theirs, &base).text, &theirs);
        prop_assert_eq!(&merged(&base, &theirs, &theirs).text, &theirs);
        // The same without the short way for texts that are equal as a whole.
        let (base, theirs) = (read(&base), read(&theirs));
        let parts = merge_decks(&base, &[&base, &theirs], &label).parts;
        let (put_together, theirs) = (deck_text(&parts), deck_text(&theirs));
        prop_assert_eq!(put_together.trim_end(), theirs.trim_end());
    }

    #[test]
    fn another_reader_reads_the_same_cards((base, ours, theirs) in (base(), script(), script())) {
        let result = merged(&render(&base), &render(&edited(&base, &ours, "ada")), &render(&edited(&base, &theirs, "ben")));
        let other: serde_yaml::Value = serde_yaml::from_str(&result.text).expect("sound YAML");
        let cards = other["cards"].as_sequence().expect("a list");
        let ids: Vec<_> = cards.iter().map(|card| card["id"].as_str().expect("an id").to_owned()).collect();
        let ours: Vec<_> = read(&result.text).cards.iter().map(|card| card.id.clone()).collect();
        prop_assert_eq!(ids, ours);
    }

    #[test]
    fn any_order_of_many_sides_gives_the_same_cards((base, scripts) in (base(), prop::collection::vec(script(), 3..5))) {
        let sides: Vec<String> = scripts.iter().enumerate().map(|(at, script)| render(&edited(&base, script, &format!("t{at}")))).collect();
        let base = render(&base);
        let merge = |sides: &[&str]| {
            let label = |side: usize, _: &str, _: &str| Label { side: format!("side-{side}"), by: None, when: None };
            merge_texts(&base, sides, &label).expect("readable").text
        };
        let forward: Vec<&str> = sides.iter().map(String::as_str).collect();
        let backward: Vec<&str> = forward.iter().rev().copied().collect();
        prop_assert_eq!(found(&merge(&forward)), found(&merge(&backward)));
    }

    #[test]
    fn one_after_another_leaves_the_same_cards_as_all_at_once((base, scripts) in (base(), prop::collection::vec(script(), 2..6))) {
        // A card that got another id is found again by what it says at each step, so none comes or goes here.
        let keeps_ids = |edit: &&Edit| !matches!(edit, Edit::Rename { .. } | Edit::Delete { .. });
        let scripts: Vec<Vec<_>> = scripts.iter().map(|script| script.iter().filter(keeps_ids).cloned().collect()).collect();
        let sides: Vec<String> = scripts.iter().enumerate().map(|(at, script)| render(&edited(&base, script, &format!("t{at}")))).collect();
        let base = render(&base);
        let label = |side: usize, _: &str, _: &str| Label { side: format!("side-{side}"), by: None, when: None };
        let at_once = merge_texts(&base, &sides.iter().map(String::as_str).collect::<Vec<_>>(), &label).expect("readable").text;
        let mut one_by_one = sides[0].clone();
        for side in &sides[1..] {
            one_by_one = merge_texts(&base, &[&one_by_one, side], &label).expect("readable").text;
        }
        prop_assert_eq!(found(&one_by_one), found(&at_once));
    }
}
