//! The list is read as if anybody had written to it.

use super::model::Shelf;
use super::support::{corrected, entry, shelf, withdrawn};

#[test]
fn the_list_reads_back_equal_and_does_not_depend_on_the_order() {
    let entries =
        vec![entry(9, "autumn-2026", 1), withdrawn(corrected(8, "autumn-2026", 2), "why"), entry(8, "autumn-2026", 1)];
    let one = shelf(entries.clone());
    assert_eq!(Shelf::read(one.json().as_bytes()), Ok(one.clone()));
    let other = shelf(entries.into_iter().rev().collect());
    assert_eq!(one.json(), other.json());
    assert_eq!(
        one.current.iter().map(|current| (current.year, current.tag.as_deref())).collect::<Vec<_>>(),
        [(8, Some("packs/year-8/autumn-2026/1")), (9, Some("packs/year-9/autumn-2026/1")),]
    );
}

#[test]
fn a_list_that_leads_elsewhere_is_refused() {
    let sound = shelf(vec![entry(8, "autumn-2026", 1)]).json();
    for (was, is, why) in [
        ("\"folder\": \"year-8/autumn-2026/edition-1\"", "\"folder\": \"../../etc\"", "another folder"),
        ("\"name\": \"cards.pdf\"", "\"name\": \"../cards.pdf\"", "a name that no pack has"),
        ("edition-1.zip", "edition-2.zip", "a name that no pack has"),
        ("packs/year-8/autumn-2026/1\",\n      \"dep", "packs/year-8/autumn-2026/2\",\n      \"dep", "than its tag"),
        ("\"format\": 1", "\"format\": 2", "format 2"),
        ("2026-11-01T10:00:00+00:00", "yesterday", "a date that is none"),
        ("urn:uuid:", "https:", "no name of a shelf"),
        ("\"cards\": 41", "\"cards\": 41, \"more\": 1", "unknown field"),
        ("{", "", "expected"),
    ] {
        let changed = sound.replacen(was, is, 1);
        assert_ne!(changed, sound, "{was}");
        let told = Shelf::read(changed.as_bytes()).expect_err(was);
        assert!(told.contains(why), "{was}: {told}");
    }
    let mut twice = shelf(vec![entry(8, "autumn-2026", 1)]);
    twice.editions.push(twice.editions[0].clone());
    assert_eq!(Shelf::read(twice.json().as_bytes()), Err("it has packs/year-8/autumn-2026/1 twice".to_owned()));
}
