//! `deckle check --part K/N`: the parts together are the whole.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

use deckle::check::{self, Part};
use deckle::deck::Department;
use deckle::finding::Finding;
use deckle::snapshot::{FolderSnapshot, Snapshot};
use proptest::prelude::*;
use proptest::test_runner::Config;

use super::support::env::TestEnv;
use super::support::memory::MemorySnapshot;
use super::support::root;

fn found(snapshot: &dyn Snapshot) -> Vec<Finding> {
    check::check(&Department::read(snapshot).expect("readable")).findings
}

/// The demonstration as it is; without its notes, so that most decks have findings; and a small department
/// with findings in settings, in notes and between decks.
static WHOLES: LazyLock<Vec<Vec<Finding>>> = LazyLock::new(|| {
    let demonstration = FolderSnapshot::new(root());
    let mut bare = MemorySnapshot::default();
    for entry in demonstration.files().expect("readable") {
        if !entry.path.ends_with(".md") {
            bare.put(&entry.path, demonstration.read(&entry.path).expect("readable"));
        }
    }
    let mut small = MemorySnapshot::default();
    small.put(
        "decks/department.yaml",
        "department: Geography\nschool: Ambleford Quay School\nyears: [7, 8]\nlevel: x\n",
    );
    small.put("decks/cards.yml", "");
    for (deck, speed) in [("year-7/wind", 34), ("year-8/wind", 32), ("year-8/gales", 30)] {
        let id = deck.replace('/', "-");
        let card = format!("  - id: {id}\n    question: At what speed does a gale begin?\n    answer: {speed} knots\n");
        small.put(
            &format!("decks/{deck}/cards.yaml"),
            format!("title: Wind\nyear: 8\ncards:\n{card}    needs: [none]\n"),
        );
        small.put(&format!("decks/{deck}/notes.md"), format!("# Wind\n\n{}\n", "Wind blows. ".repeat(400)));
    }
    vec![found(&demonstration), found(&bare), found(&small)]
});

fn part(number: usize, of: usize) -> Part {
    format!("{number}/{of}").parse().expect("a part")
}

proptest! {
    #![proptest_config(Config { cases: 60, failure_persistence: None, ..Config::default() })]
    #[test]
    fn every_finding_is_in_one_part_and_a_deck_in_one(of in 1_usize..40) {
        for whole in WHOLES.iter() {
            let mut together = Vec::new();
            let mut parts_of_deck: BTreeMap<&str, BTreeSet<usize>> = BTreeMap::new();
            for number in 1..=of {
                let part = part(number, of);
                let own: Vec<&Finding> = whole.iter().filter(|finding| part.holds(finding)).collect();
                for deck in own.iter().filter_map(|finding| finding.deck.as_deref()) {
                    parts_of_deck.entry(deck).or_default().insert(number);
                }
                together.extend(own.into_iter().cloned());
            }
            deckle::finding::sort(&mut together);
            prop_assert_eq!(&together, whole);
            prop_assert!(parts_of_deck.values().all(|parts| parts.len() == 1), "{:?}", parts_of_deck);
        }
    }
}

#[test]
fn there_is_something_to_share_out() {
    let filled =
        |whole: &[Finding]| (1..=3).filter(|&number| whole.iter().any(|found| part(number, 3).holds(found))).count();
    assert!(WHOLES[1].len() > 20 && filled(&WHOLES[1]) == 3, "{}", WHOLES[1].len());
    assert!(WHOLES[2].len() > 5 && filled(&WHOLES[2]) > 1, "{:#?}", WHOLES[2]);
}

#[test]
fn the_command_tells_each_finding_in_one_part() {
    let env = TestEnv::new();
    env.deckle(&["start", "."]).fine();
    for name in ["hail", "sleet", "snow", "dew"] {
        let card = format!("  - id: {name}\n    question: What is {name}?\n    answer: Water\n    see: [none]\n");
        env.write(&format!("decks/year-8/{name}/cards.yaml"), format!("title: T\nyear: 8\ncards:\n{card}"));
    }
    let findings = |arguments: &[&str]| {
        let said = env.deckle(&[&["check", "--format", "json"], arguments].concat());
        let json: serde_json::Value = serde_json::from_str(&said.stdout).expect("JSON");
        let findings: Vec<String> =
            json["findings"].as_array().expect("a list").iter().map(ToString::to_string).collect();
        assert_eq!(said.status, Some(i32::from(json["summary"]["errors"] != 0)), "{}", said.text());
        findings
    };
    let mut whole = findings(&[]);
    let mut together: Vec<String> = ["1/3", "2/3", "3/3"].iter().flat_map(|part| findings(&["--part", part])).collect();
    whole.sort();
    together.sort();
    assert!(whole.len() >= 4, "{whole:#?}");
    assert_eq!(together, whole);
    let said = env.deckle(&["check", "--part", "4/3"]);
    assert_eq!(said.status, Some(2), "{}", said.text());
    assert!(said.stderr.contains("such as 1/4"), "{}", said.text());
}
