//! Broken, huge and malicious input: a finding, in time, and nothing else comes to harm.

use std::time::{Duration, Instant};

use deckle::check;
use deckle::deck::Department;
use deckle::finding::Finding;

use crate::support::env::TestEnv;
use crate::support::memory::MemorySnapshot;

const SETTINGS: &str = "department: Geography\nschool: Ambleford Quay School\nyears: [7, 8, 9]\n";
const SOUND: &str = "title: T\nyear: 8\ncards:\n  - id: a\n    question: What is it?\n    answer: Hail\n";

/// What the checks find in a department of these files, within the time that a teacher waits.
#[track_caller]
fn found(files: &[(&str, Vec<u8>)]) -> Vec<Finding> {
    let mut snapshot = MemorySnapshot::default();
    snapshot.put("decks/department.yaml", SETTINGS);
    files.iter().for_each(|(path, bytes)| snapshot.put(path, bytes.clone()));
    let start = Instant::now();
    let findings = check::check(&Department::read(&snapshot).expect("memory can be read")).findings;
    assert!(start.elapsed() < Duration::from_secs(60), "it took {:?}", start.elapsed());
    findings
}

fn rules(findings: &[Finding]) -> Vec<&'static str> {
    findings.iter().map(|finding| finding.rule).collect()
}

fn deck(text: &str) -> Vec<(&str, Vec<u8>)> {
    vec![("decks/year-8/a/cards.yaml", text.as_bytes().to_vec())]
}

#[test]
fn nesting_of_three_thousand_levels_is_refused_at_once() {
    let blocks: String = (0..3000).map(|depth| format!("{}a:\n", " ".repeat(depth))).collect();
    let found_in_blocks = found(&deck(&blocks));
    assert!(found_in_blocks.iter().any(|finding| finding.message.contains("goes deeper")), "{found_in_blocks:#?}");
    let dashes = format!("{SOUND}  - id: b\n    question: {}x\n    answer: y\n", "- ".repeat(3000));
    assert!(rules(&found(&deck(&dashes))).contains(&"unreadable"));
    let brackets = format!("{SOUND}  - id: b\n    question: {}\n    answer: y\n", "[".repeat(3000));
    let findings = found(&deck(&brackets));
    assert!(findings.iter().any(|finding| finding.message.contains("goes deeper")), "{findings:#?}");
}

#[test]
fn mending_a_large_file_full_of_slips_comes_to_an_end() {
    let slips = "  - id: b\n    question: Erosion: \"what: is [it\n    answer: - {x\n".repeat(20_000);
    let findings = found(&deck(&format!("{SOUND}{slips}")));
    assert!(findings.iter().any(|finding| finding.message.contains("reading was given up")), "{}", findings.len());
}

#[test]
fn no_message_speaks_the_parsers_language() {
    let broken = [
        "question: \"a \\q b\"",
        "question: [a",
        "question: [a}",
        "question: \"a\" b",
        "question: &",
        "question: !<x",
        "question: %a",
        "question: a\n   answer: b",
        "question:\n\t- a",
        "? [a\n    : b",
        "question: |x\n      a",
        "question: - a\n      - b",
        "question: {a: b",
        "question: @a",
        "answer: *",
        "question: 'a",
        "question: a: b: c",
        "question: \"\\ud800\"",
        "- a\n    question: b",
    ];
    let jargon = [
        "expected key",
        "mapping",
        "scalar",
        "flow",
        "block",
        "token",
        "node",
        "anchor",
        "directive",
        "indicator",
        "EOF",
        "eof",
        "escape character",
        "simple key",
        "YAML",
        "parsing",
        "scanning",
    ];
    for field in broken {
        let text = format!(
            "title: T\nyear: 8\ncards:\n  - id: a\n    {field}\n    answer: x\n  - id: z\n    question: Last?\n    answer: y\n"
        );
        for finding in found(&deck(&text)).iter().filter(|finding| finding.rule == "unreadable") {
            let said = format!("{} {}", finding.message, finding.help.as_deref().unwrap_or_default());
            let slip = jargon.iter().find(|word| said.contains(**word));
            assert!(slip.is_none(), "{field}: {said}");
        }
    }
}

/// They wrote the deck with a replacement sign in the place of each letter that they could not read.
#[test]
fn a_deck_that_is_not_saved_as_utf_8_is_not_written_to() {
    let env = TestEnv::new();
    env.deckle(&["start", "."]).fine();
    let deck = "decks/year-7/thermometer/cards.yaml";
    let latin = |text: &str| text.chars().map(|c| if c == '\u{fffd}' { 0xe9 } else { c as u8 }).collect::<Vec<u8>>();
    let text = env.read(deck).replace("question: ", "question:   ");
    let first = text.replacen("A thermometer", "A thermom\u{fffd}ter", 1);
    let before = latin(&first);
    env.write(deck, &before);
    for command in [
        &["tidy"][..],
        &["cite", "--write"],
        &["cite", "--renew", "--write"],
        &["draft", "decks/year-7/thermometer/notes.md#measuring-temperature", "--write"],
        &["check", "--fix"],
    ] {
        let said = env.deckle(command);
        assert!(said.status.is_some(), "{command:?}: {}", said.text());
        assert_eq!(std::fs::read(env.path(deck)).expect("there"), before, "{command:?}: {}", said.text());
    }
    let tidied = env.deckle(&["tidy"]);
    assert_eq!(tidied.status, Some(2), "{}", tidied.text());
    assert!(tidied.stderr.contains("not saved as UTF-8"), "{}", tidied.text());
}

#[test]
fn a_deck_of_too_many_cards_is_one_finding() {
    use deckle::deck::department::MAX_CARDS;
    let deck_of = |cards: usize| {
        let card = |n: usize| format!("  - {{id: a-{n}, question: What is hill number {n}?, answer: Peak{n}}}\n");
        format!("title: T\nyear: 8\ncards:\n{}", (0..cards).map(card).collect::<String>())
    };
    let too_many = |cards: usize| {
        let findings = found(&deck(&deck_of(cards)));
        findings.into_iter().filter(|finding| finding.rule == "unreadable").collect::<Vec<_>>()
    };
    assert!(too_many(MAX_CARDS).is_empty());
    let findings = too_many(MAX_CARDS + 1);
    assert_eq!(findings.len(), 1, "{findings:#?}");
    assert_eq!(findings[0].message, "this deck has 2001 cards; a deck may have 2000");
}

#[test]
fn a_field_of_too_many_letters_is_told_as_that() {
    use deckle::deck::department::MAX_FIELD;
    let told = |letters: usize| {
        let tagged = format!("{SOUND}    tags: [{}]\n", "é".repeat(letters));
        rules(&found(&deck(&tagged)))
    };
    assert!(told(MAX_FIELD).is_empty(), "{:?}", told(MAX_FIELD));
    assert_eq!(told(MAX_FIELD + 1), ["unreadable"]);
}
