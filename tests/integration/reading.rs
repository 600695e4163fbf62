//! Reading, writing and editing decks: what is written reads back equal, what nobody touched stays
//! byte for byte, every place is right, and no text makes it panic.

use std::collections::BTreeMap;
use std::fmt::Debug;
use std::path::Path;
use std::sync::Arc;

use deckle::deck::outline::{DeckText, EditError, deck_text, outline, set_field};
use deckle::deck::settings::read_settings;
use deckle::deck::yaml::{Node, Shape, Style};
use deckle::deck::{Deck, Department, Value, fields, read_deck, write, yaml};
use deckle::finding::{Finding, Level};
use deckle::place::{SourceFile, Span};
use proptest::prelude::*;
use proptest::sample::{Index, select};
use serde_json::{Value as Json, json};

use crate::support::memory::MemorySnapshot;
use crate::support::root;
use crate::support::typed::typed;
use crate::support::values;

proptest! {
    #![proptest_config(values::cases(128))]

    #[test]
    fn departments_read_back_equal(
        settings in values::settings(),
        decks in prop::collection::btree_map("year-[1-9]/[a-z]{1,6}", values::deck(), 0..4),
    ) {
        let mut files = MemorySnapshot::default();
        files.put("decks/department.yaml", written(&settings));
        decks.iter().for_each(|(name, deck)| files.put(&format!("decks/{name}/cards.yaml"), written(deck)));
        let department = Department::read(&files).expect("readable");
        prop_assert_eq!(&said(department.settings.findings.iter()), "");
        prop_assert_eq!(says(&department.settings.file.text), settings);
        prop_assert_eq!(department.decks.len(), decks.len());
        for (deck, (name, value)) in department.decks.iter().zip(&decks) {
            prop_assert_eq!(&deck.name, name);
            prop_assert_eq!(&said(deck.findings.iter()), "", "{}", deck.file.text);
            prop_assert_eq!(&says(&deck.file.text), value);
            prop_assert_eq!(deck.cards.len(), value.get("cards").and_then(Value::as_list).expect("a list").len());
        }
    }

    #[test]
    fn however_it_is_typed_it_says_the_same((value, deck) in typed(values::deck())) {
        prop_assert_eq!(&says(&deck.text), &value, "{}", deck.text);
        let (read, again) = (read(&deck.text), read(&written(&value)));
        let errors = read.findings.iter().filter(|finding| finding.level == Level::Error);
        prop_assert_eq!(&said(errors), "", "{}", deck.text);
        prop_assert_eq!(without_places(&read.cards), without_places(&again.cards), "{}", deck.text);
    }

    #[test]
    fn another_reader_reads_the_same_strings((value, deck) in typed(values::deck())) {
        let other: serde_yaml::Value = serde_yaml::from_str(deck.text.trim_start_matches('\u{feff}')).expect("sound");
        if let Some(difference) = difference(&value, &other) {
            prop_assert!(false, "{difference}\n{}", deck.text);
        }
    }

    #[test]
    fn places_hold_what_was_typed((_, deck) in typed(values::deck())) {
        let root = yaml::parse(&deck.text).expect("sound").root.expect("a value");
        let mut scalars = Vec::new();
        scalars_in(&root, &mut scalars);
        prop_assert_eq!(scalars.len(), deck.scalars.len());
        for (node, typed) in scalars.iter().zip(&deck.scalars) {
            prop_assert_eq!(node.text(), Some(typed.says.as_str()));
            let (there, typed_text) = (node.span.of(&deck.text), typed.typed.as_str());
            if typed.in_lines {
                prop_assert_eq!(there.trim(), typed_text.trim(), "{}", deck.text);
            } else {
                prop_assert_eq!(there, typed_text, "{}", deck.text);
            }
        }
    }

    #[test]
    fn a_deck_taken_apart_is_put_together_again((value, deck) in typed(values::deck())) {
        let Some(parts) = outline(&deck.text) else {
            prop_assert!(in_brackets(&deck.text), "{}", deck.text);
            return Ok(());
        };
        prop_assert_eq!(&deck_text(&parts), &deck.text);
        let cards: Vec<_> = parts.cards.iter().map(|card| Value::Map(card.values())).collect();
        prop_assert_eq!(&Value::List(cards), value.get("cards").expect("cards"), "{}", deck.text);
    }

    #[test]
    fn setting_a_field_changes_that_field_only(
        (value, deck) in typed(values::deck_with_own_ids()),
        at in any::<Index>(),
        name in select(&fields::CARD[1..]),
        new in prop::option::weighted(0.8, prop_oneof![values::text(), field_value()]),
    ) {
        let cards = value.get("cards").and_then(Value::as_list).expect("a list");
        if cards.is_empty() {
            return Ok(());
        }
        let at = at.index(cards.len());
        let id = cards[at].get("id").and_then(Value::as_text).expect("an id");
        if in_brackets(&deck.text) {
            prop_assert_eq!(set_field(&deck.text, id, name.name, new.as_ref()), Err(EditError::Unreadable));
            return Ok(());
        }
        let changed = set_field(&deck.text, id, name.name, new.as_ref()).expect("set");
        let mut expected = cards.to_vec();
        let Value::Map(card) = &mut expected[at] else { unreachable!("cards are maps") };
        match &new {
            Some(new) => _ = card.insert(name.name.to_owned(), new.clone()),
            None => _ = card.shift_remove(name.name),
        }
        let got = says(&changed);
        prop_assert_eq!(got.get("cards"), Some(&Value::List(expected)), "{}\n=====\n{}", deck.text, changed);
        let other: serde_yaml::Value = serde_yaml::from_str(changed.trim_start_matches('\u{feff}')).expect("sound");
        if let Some(difference) = difference(&got, &other) {
            prop_assert!(false, "{difference}\n{changed}");
        }
        let (before, after) = (outline(&deck.text).expect("parts"), outline(&changed).expect("parts"));
        if let Some(difference) = difference_but(&before, &after, at, name.name) {
            prop_assert!(false, "{difference}\n{}\n=====\n{}", deck.text, changed);
        }
    }

    #[test]
    fn one_broken_card_costs_no_other(
        mut cards in prop::collection::vec(values::card(), 2..6),
        at in any::<Index>(),
        slip in select(SLIPS),
    ) {
        let at = if slip.moves_dash { 1 + at.index(cards.len() - 1) } else { at.index(cards.len()) };
        values::number(&mut cards);
        let Value::Map(card) = &mut cards[at] else { unreachable!("cards are maps") };
        for (name, text) in [("question", "What is it?"), ("answer", "x")] {
            card.insert(name.to_owned(), Value::from(text));
        }
        card.sort_by(|a, _, b, _| place_of(a).cmp(&place_of(b)));
        let texts: Vec<_> = cards.iter().map(|card| write::entries(std::slice::from_ref(card), 2)).collect();
        let (broken, line_in_card) = slip.slipped_into(&texts[at]);
        let before = format!("title: T\nyear: 8\ncards:\n{}", texts[..at].concat());
        let text = format!("{before}{broken}{}", texts[at + 1..].concat());
        let deck = read(&text);
        let line = before.matches('\n').count() + line_in_card;
        let found: Vec<_> = deck.findings.iter().map(|finding| (finding.rule, finding.place.start.line)).collect();
        prop_assert!(found.contains(&(slip.rule, line)), "{:?} not among {found:?}\n{text}", (slip.rule, line));
        for (place, (card, written)) in cards.iter().zip(&texts).enumerate() {
            let id = card.get("id").and_then(Value::as_text).expect("an id");
            let alone = read(&format!("title: T\nyear: 8\ncards:\n{written}"));
            let there = deck.cards.iter().find(|card| &*card.id == id).map(std::slice::from_ref);
            let same = there.is_some_and(|there| without_places(there) == without_places(&alone.cards));
            prop_assert!(same || place == at, "`{id}` is not what it was\n{found:?}\n{text}");
        }
    }
}

proptest! {
    #![proptest_config(values::cases(256))]

    #[test]
    fn no_text_makes_it_panic(text in any::<String>(), lines in "([ \t]{0,4}[-?:&*!|>'\"%@`{}\\[\\],#a~0. ]{0,6}\r?\n){0,12}") {
        whatever_it_is(&text)?;
        whatever_it_is(&lines)?;
    }

    #[test]
    fn no_mangled_deck_makes_it_panic((_, deck) in typed(values::deck()), edits in prop::collection::vec(edit(), 1..6)) {
        whatever_it_is(&mangled(&deck.text, &edits))?;
    }

    #[test]
    fn no_mangled_settings_make_it_panic(
        (_, settings) in typed(values::settings()),
        edits in prop::collection::vec(edit(), 1..6),
    ) {
        whatever_it_is(&mangled(&settings.text, &edits))?;
    }
}

/// Writes down what the demonstration says and where, for `tests/python/check_schema.py` to hold
/// against a third reader: for each file its scalars in order, names of fields included.
#[test]
fn the_reading_of_the_demonstration_is_written_down() {
    let root = root();
    let mut files = BTreeMap::new();
    for entry in walkdir::WalkDir::new(root.join("decks")).into_iter().map(|entry| entry.expect("readable")) {
        if entry.path().extension().is_some_and(|extension| extension == "yaml") {
            let path = entry.path().strip_prefix(&root).expect("below").to_str().expect("UTF-8").to_owned();
            let text = std::fs::read_to_string(entry.path()).expect("readable");
            files.insert(path, scalars_of(&text));
        }
    }
    assert!(files.len() > 8 && files.values().map(Vec::len).sum::<usize>() > 2000);
    let written = serde_json::to_string_pretty(&files).expect("JSON");
    std::fs::write(Path::new(env!("CARGO_TARGET_TMPDIR")).join("reading.json"), written).expect("written");
}

fn scalars_of(text: &str) -> Vec<Json> {
    let file = SourceFile::new("", text);
    let root = yaml::parse(text).expect("sound").root.expect("a value");
    let mut scalars = Vec::new();
    scalars_in(&root, &mut scalars);
    let scalar = |node: &&Node| {
        let in_lines = matches!(node.style, Style::Literal | Style::Folded);
        let (start, end) = (file.position(node.span.start()), file.position(node.span.end()));
        json!({ "says": node.text(), "in_lines": in_lines, "start": start, "end": end })
    };
    scalars.iter().map(scalar).collect()
}

/// Reads the text in every way, and holds what comes out against what must always be so.
fn whatever_it_is(text: &str) -> Result<(), TestCaseError> {
    let fits = |span: Span| text.get(span.start()..span.end()).is_some();
    let reading = yaml::read(text);
    for problem in &reading.problems {
        prop_assert!(fits(problem.span), "{problem:?} in {text:?}");
        prop_assert!(problem.repair.as_ref().is_none_or(|(span, _)| fits(*span)), "{problem:?} in {text:?}");
        prop_assert!(!problem.message.is_empty() && !problem.help.is_empty(), "{problem:?}");
    }
    let mut scalars = Vec::new();
    reading.tree.root.iter().for_each(|root| scalars_in(root, &mut scalars));
    prop_assert!(scalars.iter().all(|node| fits(node.span)), "{text:?}");
    let (deck, settings) = (read(text), read_settings(file(text)));
    for finding in deck.findings.iter().chain(&settings.findings) {
        prop_assert!(fits(finding.place.span), "{finding:?} in {text:?}");
        prop_assert!(finding.repair.iter().all(|repair| fits(repair.span)), "{finding:?} in {text:?}");
    }
    if let Some(parts) = outline(text) {
        prop_assert_eq!(deck_text(&parts), text);
        prop_assert_eq!(
            set_field(text, "no-such-card", "answer", None),
            Err(EditError::NoCard("no-such-card".to_owned()))
        );
        for card in parts.cards.iter().filter(|card| !card.id.is_empty()) {
            set_field(text, &card.id, "tier", Some(&Value::from("core"))).expect("it is there");
        }
    }
    Ok(())
}

/// A change to some bytes.
#[derive(Clone, Debug)]
enum Edit {
    Without(Index, usize),
    With(Index, &'static str),
    Twice(Index, Index, usize),
}

fn edit() -> impl Strategy<Value = Edit> {
    let pieces = &[
        "\t", "\"", "'", ": ", "- ", "\n", "\r", " #", "*a", "&a ", "!b ", "[", "{", "}", "|", ">", "?", "\n---\n",
        "\n...\n", "\u{feff}", "\0", "é", "🌍", "cards:", "\n  - ", "%", "\u{85}", "\u{2028}",
    ];
    prop_oneof![
        (any::<Index>(), 1..20_usize).prop_map(|(at, len)| Edit::Without(at, len)),
        (any::<Index>(), select(&pieces[..])).prop_map(|(at, piece)| Edit::With(at, piece)),
        (any::<Index>(), any::<Index>(), 1..60_usize).prop_map(|(from, to, len)| Edit::Twice(from, to, len)),
    ]
}

fn mangled(text: &str, edits: &[Edit]) -> String {
    let mut bytes = text.as_bytes().to_vec();
    for edit in edits {
        let places = bytes.len() + 1;
        let range = |at: &Index, len: usize| at.index(places)..(at.index(places) + len).min(bytes.len());
        match edit {
            Edit::Without(at, len) => _ = bytes.drain(range(at, *len)),
            Edit::With(at, piece) => _ = bytes.splice(range(at, 0), piece.bytes()),
            Edit::Twice(from, to, len) => {
                let piece = bytes[range(from, *len)].to_vec();
                bytes.splice(range(to, 0), piece);
            }
        }
    }
    String::from_utf8_lossy(&bytes).into_owned()
}

/// One of the eight slips that people make most, as it is made in a card with `question: What is it?`
/// and `answer: x`.
#[derive(Clone, Debug)]
struct SlipIn {
    rule: &'static str,
    line: &'static str,
    becomes: &'static str,
    moves_dash: bool,
}

impl SlipIn {
    /// The card's text with the slip in it, and the line of the slip in it, from 1.
    fn slipped_into(&self, card: &str) -> (String, usize) {
        if self.moves_dash {
            return (card.replacen("  - ", self.becomes, 1), 1);
        }
        let line = format!("    {}\n", self.line);
        let at = card.find(&line).unwrap_or_else(|| panic!("{line:?} in {card}"));
        let lines_before = card[..at].matches('\n').count() + self.becomes.matches('\n').count();
        (format!("{}{}\n{}", &card[..at], self.becomes, &card[at + line.len()..]), lines_before + 1)
    }
}

const fn slip(rule: &'static str, line: &'static str, becomes: &'static str) -> SlipIn {
    SlipIn { rule, line, becomes, moves_dash: false }
}

const QUESTION: &str = "question: What is it?";
const ANSWER: &str = "answer: x";
const UNREADABLE: &str = "unreadable";

const SLIPS: &[SlipIn] = &[
    slip(UNREADABLE, QUESTION, "    question: Erosion: what is it?"),
    slip(UNREADABLE, ANSWER, "    answer: It is: x"),
    slip(UNREADABLE, QUESTION, "\tquestion: What is it?"),
    slip(UNREADABLE, ANSWER, "  \tanswer: x"),
    slip(UNREADABLE, QUESTION, "    question: \"What is it?"),
    slip(UNREADABLE, ANSWER, "    answer: 'x"),
    slip(UNREADABLE, ANSWER, "    answer: *bold* move"),
    slip(UNREADABLE, ANSWER, "    answer: & so on"),
    slip(UNREADABLE, ANSWER, "    answer: !important"),
    slip(UNREADABLE, ANSWER, "    answer: %5"),
    slip(UNREADABLE, ANSWER, "    answer: @home"),
    slip(UNREADABLE, ANSWER, "    answer: [1] is it"),
    slip(UNREADABLE, ANSWER, "    answer: {1} is it"),
    slip(UNREADABLE, ANSWER, "    answer: > 5 km"),
    slip(UNREADABLE, ANSWER, "    answer: | x |"),
    slip(UNREADABLE, ANSWER, "    answer: - 5"),
    slip(UNREADABLE, ANSWER, "    answer: ? x"),
    slip(UNREADABLE, ANSWER, "    answer: `x`"),
    slip("swallowed-text", ANSWER, "    answer: # x"),
    SlipIn { rule: UNREADABLE, line: "", becomes: " - ", moves_dash: true },
    SlipIn { rule: UNREADABLE, line: "", becomes: "   - ", moves_dash: true },
    SlipIn { rule: UNREADABLE, line: "", becomes: "- ", moves_dash: true },
    slip(UNREADABLE, ANSWER, "    answer: x\n    question: Which?"),
    slip("unknown-field", QUESTION, "    Question: What is it?"),
    slip("unknown-field", ANSWER, "    anwser: x"),
    slip("swallowed-text", ANSWER, "    answer: The A #1 route"),
];

fn file(text: &str) -> Arc<SourceFile> {
    Arc::new(SourceFile::new("decks/year-8/x/cards.yaml", text))
}

fn read(text: &str) -> Deck {
    read_deck("year-8/x", file(text))
}

/// What a text says, without places.
fn says(text: &str) -> Value {
    let tree = yaml::parse(text).unwrap_or_else(|error| panic!("{error:?} in {text}"));
    Value::from_node(&tree.root.expect("a value"))
}

/// The text of a map in our own style.
fn written(value: &Value) -> String {
    let fields = value.as_map().expect("a map").iter();
    fields.map(|(name, value)| write::field(name, value, 0)).collect()
}

fn said<'f>(findings: impl Iterator<Item = &'f Finding>) -> String {
    findings.map(|finding| format!("{}: {} {:?}\n", finding.rule, finding.message, finding.place.start)).collect()
}

/// How something looks when places do not count.
fn without_places(value: &(impl Debug + ?Sized)) -> String {
    let shown = format!("{value:?}");
    let mut parts = shown.split("Span { start: ");
    let first = parts.next().unwrap_or_default().to_owned();
    parts.fold(first, |shown, part| shown + part.split_once('}').map_or(part, |(_, rest)| rest))
}

/// Whether the cards stand in brackets, so that the deck cannot be taken apart.
fn in_brackets(text: &str) -> bool {
    let root = yaml::parse(text).expect("sound").root.expect("a value");
    let cards = root.get("cards").expect("cards");
    cards.style == Style::Flow && cards.list().is_some_and(|cards| !cards.is_empty())
}

fn scalars_in<'n>(node: &'n Node, found: &mut Vec<&'n Node>) {
    match &node.shape {
        Shape::Text(_) => found.push(node),
        Shape::List(items) => items.iter().for_each(|item| scalars_in(item, found)),
        Shape::Map(entries) => {
            for entry in entries {
                scalars_in(&entry.key, found);
                scalars_in(&entry.value, found);
            }
        }
    }
}

/// Where another reader's strings, lists and fields differ from ours.
fn difference(ours: &Value, other: &serde_yaml::Value) -> Option<String> {
    match (ours, other) {
        (Value::Text(text), serde_yaml::Value::String(string)) if text == string => None,
        (Value::Text(text), serde_yaml::Value::String(string)) => Some(format!("{text:?} is {string:?}")),
        // A number, a truth value or nothing, to that reader.
        (Value::Text(text), other) if !other.is_sequence() && !other.is_mapping() && !text.is_empty() => None,
        (Value::List(items), serde_yaml::Value::Sequence(others)) if items.len() == others.len() => {
            items.iter().zip(others).find_map(|(item, other)| difference(item, other))
        }
        (Value::Map(fields), serde_yaml::Value::Mapping(others)) if fields.len() == others.len() => {
            fields.iter().zip(others).find_map(|((name, field), (other_name, other))| {
                difference(&Value::from(name.as_str()), other_name).or_else(|| difference(field, other))
            })
        }
        (ours, other) => Some(format!("{ours:?} is {other:?}")),
    }
}

/// What differs between two decks, but for the field `name` of the card at `at`.
fn difference_but(before: &DeckText, after: &DeckText, at: usize, name: &str) -> Option<String> {
    let rest = |deck: &DeckText| (deck.head.clone(), deck.fields.clone(), deck.cards_line.clone(), deck.tail.clone());
    if rest(before) != rest(after) {
        return Some(format!("outside the cards: {:?} {:?}", rest(before), rest(after)));
    }
    if before.cards.len() != after.cards.len() {
        return Some("another number of cards".to_owned());
    }
    for (place, (old, new)) in before.cards.iter().zip(&after.cards).enumerate() {
        if place != at && old != new {
            return Some(format!("another card: {old:?} {new:?}"));
        }
    }
    let (mut old, mut new) = (before.cards[at].clone(), after.cards[at].clone());
    // Nothing can stand between a card's dash and its first field.
    if old.fields[0].name == name && new.fields[0].name != name {
        old.lead += &std::mem::take(&mut old.fields[1].lead);
        let trimmed = |lead: &str| lead.lines().map(|line| line.trim().to_owned() + "\n").collect();
        (old.lead, new.lead) = (trimmed(&old.lead), trimmed(&new.lead));
    }
    if (&old.id, &old.lead, &old.trail, old.dash) != (&new.id, &new.lead, &new.trail, new.dash) {
        return Some(format!("around the fields: {old:?} {new:?}"));
    }
    let others = |fields: &[deckle::deck::outline::FieldText]| {
        fields.iter().filter(|field| field.name != name).map(|field| format!("{field:?}\n")).collect::<String>()
    };
    let (old, new) = (others(&old.fields), others(&new.fields));
    (old != new).then(|| format!("another field: {old}{new}"))
}

/// Something a field may be set to.
fn field_value() -> BoxedStrategy<Value> {
    let list = prop::collection::vec(values::text(), 0..3).prop_map(Value::List);
    let card = values::card().prop_map(|card| Value::List(vec![card]));
    prop_oneof![list, card].boxed()
}

fn place_of(name: &str) -> Option<usize> {
    fields::CARD.iter().position(|field| field.name == name)
}
