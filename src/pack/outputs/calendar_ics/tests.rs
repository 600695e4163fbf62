//! Calendars of small departments.

use std::collections::BTreeSet;

use super::*;
use crate::change::support::{department, files};
use crate::deck::Department;
use crate::pack::support::pack;
use crate::pack::{Edition, Origin, choose};

fn geography(title: &str, more: &str) -> Department {
    let settings = format!(
        "department: Geography\nschool: Ambleford Quay School\nyears: [8]\n\
        terms:\n  - {{name: autumn, starts: 2026-09-02, ends: 2026-12-18}}\n  - {{name: spring, starts: 2027-01-05, ends: 2027-03-25}}\n\
        scheme:\n{more}"
    );
    let card = |id: &str| format!("  - {{id: {id}, question: Q {id}, answer: A}}\n");
    let deck =
        |title: &str, id: &str| format!("title: {title}\nyear: 8\ncards:\n{}{}", card(id), card(&format!("{id}-2")));
    department(&files(&[
        ("decks/department.yaml", &settings),
        ("decks/rivers/cards.yaml", &deck(title, "r")),
        ("decks/coasts/cards.yaml", &deck("Coasts", "c")),
    ]))
}

const DATED: &str = "  - {deck: rivers, term: autumn, taught_on: 2026-09-21}\n  - {deck: coasts, term: spring, taught_on: 2027-01-11}\n";

fn written(department: &Department, edition: Edition) -> String {
    let chosen = choose(department, 8, "autumn").unwrap();
    let origin = Origin { edition, commit: "0".repeat(40), released: "2026-11-25T11:00:00+01:00".to_owned() };
    let pack = crate::pack::content::pack(&chosen, origin, None);
    let input = PackInput { pack: &pack, before: None, differences: None, department, files: &[] };
    String::from_utf8(write(&input).unwrap()).unwrap()
}

fn values<'t>(text: &'t str, name: &str) -> Vec<&'t str> {
    text.split("\r\n").filter_map(|line| line.strip_prefix(name)?.strip_prefix(':')).collect()
}

#[test]
fn a_calendar_in_full() {
    let text = written(&geography("Rivers", DATED), Edition::Number(2));
    let first = text.split("BEGIN:VEVENT\r\n").nth(1).unwrap();
    let uid = values(first, "UID")[0];
    let expected = format!(
        "UID:{uid}\r\nDTSTAMP:20261125T100000Z\r\nSEQUENCE:2\r\nDTSTART;VALUE=DATE:20260922\r\nDTEND;VALUE=DATE:20260923\r\n\
        SUMMARY:Geography: Rivers (day 1)\r\nDESCRIPTION:2 questions\\, about 1 min.\\nCards 1 to 2 of the pack\\, edition \r\n 2.\r\n\
        CATEGORIES:Rivers\r\nTRANSP:TRANSPARENT\r\nEND:VEVENT\r\n"
    );
    assert_eq!(first, expected);
    assert_eq!(values(&text, "DTSTART;VALUE=DATE"), ["20260922", "20260928", "20261012"]);
    assert!(
        text.starts_with("BEGIN:VCALENDAR\r\nVERSION:2.0\r\n") && text.ends_with("END:VEVENT\r\nEND:VCALENDAR\r\n")
    );
}

#[test]
fn identifiers_stay_and_sequences_rise() {
    let department = geography("Rivers", DATED);
    let moved = geography("River landscapes", &DATED.replace("2026-09-21", "2026-10-05"));
    let (first, second) = (written(&department, Edition::Number(1)), written(&moved, Edition::Number(2)));
    let uids = values(&first, "UID");
    assert_eq!(uids, values(&second, "UID"));
    assert_eq!(uids.iter().collect::<BTreeSet<_>>().len(), 3);
    assert_ne!(values(&first, "DTSTART;VALUE=DATE"), values(&second, "DTSTART;VALUE=DATE"));
    assert_eq!(values(&second, "SEQUENCE"), ["2"; 3]);
    assert_eq!(values(&written(&department, Edition::Preview), "SEQUENCE"), ["0"; 3]);
    // The same deck in next year's autumn is another check.
    let uid = |term: &str| plan::uid(&department, 8, &topic(term), &check());
    assert_ne!(uid("autumn-2026"), uid("autumn-2027"));
}

fn topic(term: &str) -> Topic {
    Topic { term: term.to_owned(), deck: "rivers".to_owned(), title: String::new(), taught_on: None, cards: vec![1] }
}

fn check() -> Check {
    let day = jiff::civil::date(2026, 9, 22);
    Check { day, topic: 0, number: 1, after: 1, due: day, part: 1, parts: 1, cards: 0..1, questions: 1 }
}

#[test]
fn identifiers_are_fixed_for_ever() {
    // Were this ever to change, every calendar out there would show each check twice.
    let uid = plan::uid(&geography("Rivers", DATED), 8, &topic("autumn-2026"), &check());
    assert_eq!(uid, "c399d7aa-3b30-8fd2-8100-059c6d15e03c");
}

#[test]
fn a_calendar_without_dates_is_still_one() {
    let text = written(&geography("Rivers", "  - {deck: rivers, term: autumn}\n"), Edition::Number(1));
    assert_eq!((text.matches("BEGIN:VJOURNAL").count(), text.matches("BEGIN:VEVENT").count()), (1, 0));
    assert!(text.contains("DTSTART;VALUE=DATE:20261125\r\n"));
}

#[test]
fn hostile_titles_stay_text() {
    let title = "\"x\\r\\nEND:VEVENT\\r\\nBEGIN:VALARM;,\\\\ \\u202E老老老老老老老老老老老老老老老老老老老老老老老老老老老老老\"";
    let text = written(&geography(title, DATED), Edition::Number(1));
    let kinds: BTreeSet<&str> = values(&text, "BEGIN").into_iter().collect();
    assert_eq!(kinds, BTreeSet::from(["VCALENDAR", "VEVENT"]));
    assert!(text.split("\r\n").all(|line| line.len() <= 75 && !line.contains(['\n', '\r', '\u{202e}'])));
}

#[test]
fn card_numbers_are_put_together() {
    assert_eq!(ranges(&[4]), "Card 4");
    assert_eq!(ranges(&[1, 2, 3, 7, 9, 10]), "Cards 1 to 3, 7, 9 to 10");
    let numbered = pack(vec![crate::pack::support::card("a", "A?", "a")]);
    assert_eq!(numbered.cards[0].number, 1);
}
