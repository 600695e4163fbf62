//! Checks of a part against checks of the whole, with an index on disk: whole, damaged, and of others.

use std::collections::BTreeMap;
use std::path::Path;

use proptest::prelude::*;

use super::{Index, keep};
use crate::change::Review;
use crate::check::partial::{check_part, check_recorded};
use crate::check::{Report, check};
use crate::deck::Department;
use crate::report::review::Heading;
use crate::report::{json, review};
use crate::snapshot::{Entry, Kind, Listing, Snapshot, SnapshotError};

/// Files in memory.
#[derive(Clone, Debug)]
struct Files(BTreeMap<String, String>);

impl Snapshot for Files {
    fn files(&self) -> Result<Vec<Entry>, SnapshotError> {
        let entry = |(path, text): (&String, &String)| Entry {
            path: path.clone(),
            kind: Kind::File { size: text.len() as u64 },
        };
        Ok(self.0.iter().map(entry).collect())
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SnapshotError> {
        Ok(self.0[path].clone().into_bytes())
    }

    fn listing(&self) -> Option<Listing> {
        let files = self.0.iter().map(|(path, text)| (path.clone(), format!("100644 {text}")));
        Some(Listing { store: "memory".to_owned(), files: files.collect(), tree: None })
    }
}

fn whole(files: &Files) -> Report {
    check(&Department::read(files).expect("texts"))
}

fn keep_whole(path: &Path, files: &Files) -> Report {
    let (report, record) = check_recorded(&Department::read(files).expect("texts"));
    let record = record.expect("nothing is odd");
    keep(path, "program", &files.listing().expect("in memory"), &record);
    report
}

/// The report by what was kept; nothing where the whole is to be checked.
fn part(path: &Path, files: &Files) -> Option<Report> {
    let opened = Index::open(path, "program")?;
    let changed = opened.differing(files)?;
    check_part(&opened.index()?, files, &changed)
}

#[track_caller]
fn assert_same(part: &Report, whole: &Report) {
    assert_eq!(part.findings, whole.findings);
    assert_eq!(part.summary, whole.summary);
}

/// A card, by numbers that are taken modulo what there is.
#[derive(Clone, Debug)]
struct Card {
    id: usize,
    asks: (usize, usize, usize),
    answer: usize,
    needs: Option<usize>,
    see: Option<usize>,
    quote: usize,
    extra: usize,
}

#[derive(Clone, Debug)]
struct Deck {
    year: usize,
    cards: Vec<Card>,
}

fn card() -> impl Strategy<Value = Card> {
    let link = || prop::option::weighted(0.2, 0..60usize);
    (0..60usize, (0..8usize, 0..24usize, 0..24usize), 0..12usize, link(), link(), 0..120usize, 0..24usize)
        .prop_map(|(id, asks, answer, needs, see, quote, extra)| Card { id, asks, answer, needs, see, quote, extra })
}

fn deck() -> impl Strategy<Value = Deck> {
    (0..3usize, prop::collection::vec(card(), 0..7)).prop_map(|(year, cards)| Deck { year, cards })
}

const THINGS: [&str; 24] = [
    "river",
    "isobar",
    "delta",
    "glacier",
    "chalk",
    "estuary",
    "Orrin",
    "Peru",
    "meander",
    "gorge",
    "reef",
    "dune",
    "oxbow lake",
    "wave",
    "34 knots",
    "mouth",
    "basin",
    "ridge",
    "storm",
    "harbour",
    "beach",
    "canyon",
    "spit",
    "bay",
];

const ANSWERS: [&str; 12] = [
    "34 knots",
    "32 knots",
    "A line on a map",
    "lines on maps",
    "Chalk",
    "[chalk, flint]",
    "[flint, chalk]",
    "The Pacific",
    "Lima",
    "1980",
    "Where the river ends",
    "A bend",
];

/// What the notes of every deck say, by section.
const SAID: [&str; 3] =
    ["A gale begins at 34 knots.", "An isobar joins places of equal pressure.", "Chalk is a soft rock."];

/// A section and what a card quotes from it: as it stands; moved; reworded; contradicted; lost.
fn quoted(number: usize) -> Option<(usize, &'static str)> {
    match number {
        0..100 => Some((number % 3, SAID[number % 3])),
        100 => Some((0, SAID[1])),
        101 => Some((1, "An isobar joins the places that have equal pressure.")),
        102 => Some((0, "A gale begins at 32 knots.")),
        103 => Some((2, "Nobody has ever written this down.")),
        _ => None,
    }
}

impl Card {
    fn text(&self) -> String {
        let (mould, one, other) = self.asks;
        let (one, other) = (THINGS[one], THINGS[other]);
        let question = match mould {
            0 => format!("What is a {one}?"),
            1 => format!("Define the term {one}."),
            2 => format!("Which {one} is near the {other}?"),
            3 => format!("Name the {one} beside the {other}."),
            4 => format!("Where does the {one} begin?"),
            5 => format!("Where does the {one} start?"),
            6 => format!("How far is the {one} from the {other} of the {one} in winter?"),
            _ => format!("what is *a {one}*"),
        };
        let mut text =
            format!("  - id: c{}\n    question: {question}\n    answer: {}\n", self.id, ANSWERS[self.answer]);
        let list = |name: &str, to: Option<usize>| to.map(|to| format!("    {name}: [c{to}]\n")).unwrap_or_default();
        text += &(list("needs", self.needs) + &list("see", self.see));
        if let Some((section, said)) = quoted(self.quote) {
            text += &format!("    source: notes.md#s{section}\n    quote: {said}\n");
        }
        text + match self.extra {
            0 => "    both_ways: true\n",
            1 => "    allow: {duplicate-question: it is asked again on purpose}\n",
            2 => "    allow: {similar-question: on purpose}\n",
            3 => "    also:\n      - question: Where does it start?\n        answer: Lima\n",
            4 => "    also:\n      - question: What is a delta?\n        answer: A bend\n",
            5 => "    unknown: x\n",
            6 => "    pictures: [{file: pictures/a.svg}]\n",
            7 => "    ordered: true\n",
            8 => "    source: notes.md#none\n",
            _ => "",
        }
    }
}

fn text(deck: &Deck) -> String {
    let cards: String = deck.cards.iter().map(Card::text).collect();
    format!("title: T\nyear: {}\ncards:{}\n{cards}", 7 + deck.year, if cards.is_empty() { " []" } else { "" })
}

fn path(deck: usize) -> String {
    format!("decks/year-7/d{deck}/cards.yaml")
}

fn department(decks: &[Deck]) -> Files {
    let mut files = BTreeMap::new();
    let settings = "department: G\nschool: S\nyears: [7, 8, 9]\npolicy:\n  unconnected-questions: 'off'\nterms:\n  - {name: autumn, starts: 2026-09-01, ends: 2026-12-18}\nscheme:\n  - {deck: year-7/d3, term: autumn}\n  - {deck: year-7/d0, term: autumn}\n  - {deck: year-7/d1, term: autumn}\n";
    files.insert("decks/department.yaml".to_owned(), settings.to_owned());
    for (at, deck) in decks.iter().enumerate() {
        files.insert(path(at), text(deck));
        let notes: String = SAID.iter().enumerate().map(|(at, said)| format!("## S{at}\n\n{said}\n\n")).collect();
        files.insert(format!("decks/year-7/d{at}/notes.md"), format!("# N\n\n{notes}"));
    }
    Files(files)
}

#[derive(Clone, Debug)]
enum Edit {
    Set(usize, usize, Card),
    Add(usize, usize, Card),
    Remove(usize, usize),
    Move(usize, usize, usize),
    Reorder(usize, usize),
    Year(usize, usize),
    Deck(usize, Deck),
    Spoil(usize, usize),
}

fn edit() -> impl Strategy<Value = Edit> {
    let n = || 0..40usize;
    prop_oneof![
        6 => (n(), n(), card()).prop_map(|(deck, at, card)| Edit::Set(deck, at, card)),
        3 => (n(), n(), card()).prop_map(|(deck, at, card)| Edit::Add(deck, at, card)),
        2 => (n(), n()).prop_map(|(deck, at)| Edit::Remove(deck, at)),
        2 => (n(), n(), n()).prop_map(|(deck, at, to)| Edit::Move(deck, at, to)),
        1 => (n(), n()).prop_map(|(deck, at)| Edit::Reorder(deck, at)),
        1 => (n(), 0..3usize).prop_map(|(deck, year)| Edit::Year(deck, year)),
        1 => (n(), deck()).prop_map(|(deck, other)| Edit::Deck(deck, other)),
        1 => (n(), 0..4usize).prop_map(|(deck, how)| Edit::Spoil(deck, how)),
    ]
}

fn edited(decks: &[Deck], edits: &[Edit]) -> Files {
    let (mut decks, count) = (decks.to_vec(), decks.len());
    let mut spoilt = Vec::new();
    for edit in edits.iter().cloned() {
        match edit {
            Edit::Set(deck, at, card) => {
                let cards = &mut decks[deck % count].cards;
                let len = cards.len().max(1);
                if let Some(place) = cards.get_mut(at % len) {
                    *place = card;
                }
            }
            Edit::Add(deck, at, card) => {
                let cards = &mut decks[deck % count].cards;
                let len = cards.len() + 1;
                cards.insert(at % len, card);
            }
            Edit::Remove(deck, at) => _ = take(&mut decks[deck % count].cards, at),
            Edit::Move(deck, at, to) => {
                let taken = take(&mut decks[deck % count].cards, at);
                decks[to % count].cards.extend(taken);
            }
            Edit::Reorder(deck, at) => {
                let taken = take(&mut decks[deck % count].cards, at);
                let cards = &mut decks[deck % count].cards;
                taken.into_iter().for_each(|card| cards.insert(0, card));
            }
            Edit::Year(deck, year) => decks[deck % count].year = year,
            Edit::Deck(deck, other) => decks[deck % count] = other,
            Edit::Spoil(deck, how) => spoilt.push((deck % count, how)),
        }
    }
    let mut files = department(&decks);
    for (deck, how) in spoilt {
        let text = files.0.get_mut(&path(deck)).expect("a deck");
        *text = match how {
            0 => text.replace("year: ", "years: "),
            1 => format!("{text}  - id: late\n    question: \"open\n"),
            2 => text.replace('\n', "\r\n"),
            _ => text.replacen("question: ", "question: Name: ", 1),
        };
    }
    files
}

fn take(cards: &mut Vec<Card>, at: usize) -> Option<Card> {
    (!cards.is_empty()).then(|| cards.remove(at % cards.len()))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    /// The law: what a part says is what the whole says.
    #[test]
    fn a_part_says_what_the_whole_says(
        decks in prop::collection::vec(deck(), 2..14),
        edits in prop::collection::vec(edit(), 1..5),
    ) {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("index");
        let before = department(&decks);
        let report = keep_whole(&path, &before);
        assert_same(&report, &whole(&before));
        let now = edited(&decks, &edits);
        let expected = whole(&now);
        if let Some(found) = part(&path, &now) {
            assert_same(&found, &expected);
        }
        if let Some(review) = Review::of_decks(&before, &now, &report, &expected) {
            let read = |files: &Files| Department::read(files).expect("texts");
            let expected = Review::new(&read(&before), &read(&now));
            let heading = Heading::of("it");
            prop_assert_eq!(review::review(&review, &heading, 100), review::review(&expected, &heading, 100));
            prop_assert_eq!(json::pretty(&review), json::pretty(&expected));
        }
    }
}

/// Nearly all edits are worked out in part, and change what is found.
#[test]
fn few_edits_need_the_whole() {
    use proptest::strategy::ValueTree;
    use proptest::test_runner::TestRunner;
    let mut runner = TestRunner::deterministic();
    let (cases, mut parts, mut others) = (100, 0, 0);
    for _ in 0..cases {
        let decks = prop::collection::vec(deck(), 4..14).new_tree(&mut runner).expect("decks").current();
        let edits = prop::collection::vec(edit(), 1..3).new_tree(&mut runner).expect("edits").current();
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("index");
        let report = keep_whole(&path, &department(&decks));
        let found = part(&path, &edited(&decks, &edits));
        parts += usize::from(found.is_some());
        others += usize::from(found.is_some_and(|found| found.findings != report.findings));
    }
    assert!(parts > cases / 2 && others > cases / 4, "{parts} in part, {others} with other findings, of {cases}");
}

/// Whatever byte is damaged, and wherever the file is cut: it says the same as the whole, or nothing.
#[test]
fn damage_counts_as_missing() {
    use proptest::strategy::ValueTree;
    use proptest::test_runner::TestRunner;
    let mut runner = TestRunner::deterministic();
    let decks = prop::collection::vec(deck(), 10).new_tree(&mut runner).expect("decks").current();
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("index");
    keep_whole(&path, &department(&decks));
    // The first card that has an answer of its own after an edit.
    let edits = (0..10).flat_map(|deck| (0..3).map(move |card| (deck, card)));
    let now = edits.filter(|(deck, card)| decks[*deck].cards.len() > *card).map(|(deck, card)| {
        let mut other = decks.clone();
        other[deck].cards[card].answer = (other[deck].cards[card].answer + 1) % ANSWERS.len();
        department(&other)
    });
    let mut now = now;
    let now = now.find(|now| part(&path, now).is_some()).expect("a part is enough");
    let expected = whole(&now);
    assert_same(&part(&path, &now).expect("a part is enough"), &expected);
    assert!(Index::open(&path, "another program").is_none());
    let bytes = std::fs::read(&path).expect("kept");
    let step = bytes.len() / 160 + 1;
    for at in (0..bytes.len()).step_by(step).chain(0..48) {
        let mut spoilt = bytes.clone();
        spoilt[at] ^= 1;
        for spoilt in [&spoilt[..], &bytes[..at]] {
            std::fs::write(&path, spoilt).expect("written");
            part(&path, &now).iter().for_each(|found| assert_same(found, &expected));
        }
    }
}
