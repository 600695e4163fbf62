//! The schema files against the reader: an editor that goes by them says the same as `deckle`.
//!
//! Both are asked about the same text: the reader by its findings about structure, the schema by a
//! JSON Schema library over what a second YAML reader makes of it. Left out, because they cannot agree
//! by nature, are:
//!
//! - an empty value, `answer:` and no more: other readers hand on the same `null` as for `answer: null`,
//!   which is text here;
//! - a field written twice: other readers hand on one of the two, or nothing;
//! - texts behind `&` and `!`, which other readers take for names and types without a word;
//! - a term that ends before it starts: a schema cannot compare two fields;
//! - what is named at `YEARS` and `OTHER_TEXTS` in `support/values.rs`.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::{Arc, LazyLock};

use deckle::check;
use deckle::deck::settings::read_settings;
use deckle::deck::{Department, RESERVED, Value, fields, read_deck, write, yaml};
use deckle::finding::Finding;
use deckle::merge::{Label, merge_texts};
use deckle::place::SourceFile;
use deckle::report;
use jsonschema::Validator;
use proptest::prelude::*;
use serde_json::{Value as Json, json};

use crate::support::memory::MemorySnapshot;
use crate::support::typed::{hand, typed, typed_by};
use crate::support::values;
use crate::support::{rewrite, root};

/// The rules about structure.
const STRUCTURE: [&str; 5] = ["unreadable", "unknown-field", "missing-field", "wrong-shape", "bad-id"];

static DECK: LazyLock<Validator> = LazyLock::new(|| validator("deck"));
static DEPARTMENT: LazyLock<Validator> = LazyLock::new(|| validator("department"));
static FINDINGS: LazyLock<Validator> = LazyLock::new(|| validator("findings"));

proptest! {
    #![proptest_config(values::cases(512))]

    #[test]
    fn sound_decks_are_sound_to_both((_, deck) in typed(values::deck())) {
        prop_assert_eq!(deck_verdicts(&deck.text), Verdicts::sound(), "{}", deck.text);
    }

    #[test]
    fn sound_settings_are_sound_to_both((_, settings) in typed(values::settings())) {
        prop_assert_eq!(settings_verdicts(&settings.text), Verdicts::sound(), "{}", settings.text);
    }

    #[test]
    fn changed_decks_are_judged_alike((_, deck) in typed(values::changed(values::deck()))) {
        let verdicts = deck_verdicts(&deck.text);
        prop_assert!(verdicts.agree(), "{verdicts:#?}\n{}", deck.text);
    }

    #[test]
    fn changed_settings_are_judged_alike((_, settings) in typed(values::changed(values::settings()))) {
        let verdicts = settings_verdicts(&settings.text);
        prop_assert!(verdicts.agree(), "{verdicts:#?}\n{}", settings.text);
    }

    #[test]
    fn what_the_merge_writes_is_sound_to_both(
        (base, sides) in (values::deck_with_own_ids(), hand()).prop_flat_map(|(base, hand)| {
            let text = typed_by(hand, &base).text;
            (Just(text), [typed(values::edited(base.clone())), typed(values::edited(base))])
        }),
    ) {
        let label = |side: usize, _: &str, _: &str| Label {
            side: ["ours", "theirs"][side].to_owned(),
            by: Some("Mara Okonjo".to_owned()),
            when: Some("2026-11-02".to_owned()),
        };
        let sides = sides.map(|(_, side)| side.text);
        if let Some(merged) = merge_texts(&base, &[&sides[0], &sides[1]], &label) {
            let [ours, theirs] = sides;
            let verdicts = deck_verdicts(&merged.text);
            prop_assert_eq!(verdicts, Verdicts::sound(), "{}\n===\n{}\n===\n{}\n===\n{}", base, ours, theirs, merged.text);
        }
    }

    #[test]
    fn reports_keep_to_their_schema((_, deck) in typed(values::changed(values::deck()))) {
        let mut files = MemorySnapshot::default();
        files.put("decks/year-8/x/cards.yaml", deck.text.as_str());
        let department = Department::read(&files).expect("readable");
        let report: Json = serde_json::from_str(&report::json::report(&check::check(&department))).expect("JSON");
        let errors: Vec<_> = FINDINGS.iter_errors(&report).map(|error| format!("{}: {error}", error.instance_path())).collect();
        prop_assert!(errors.is_empty() && report["summary"]["errors"].as_u64() > Some(0), "{errors:?}\n{}", deck.text);
    }

    #[test]
    fn broken_lines_are_judged_alike(
        before in values::words(),
        line in proptest::sample::select(BROKEN_LINES),
    ) {
        let title = deckle::deck::write::scalar(&before);
        let text = format!("title: {title}\nyear: 8\ncards:\n  - id: a\n{line}\n  - id: b\n    question: Who?\n    answer: x\n");
        let verdicts = deck_verdicts(&text);
        prop_assert!(verdicts.agree() && verdicts.reader.is_some(), "{verdicts:#?}\n{text}");
    }
}

#[test]
fn every_single_change_of_a_deck_is_judged_alike() {
    judged_alike(FULL_DECK, deck_verdicts);
}

#[test]
fn every_single_change_of_settings_is_judged_alike() {
    judged_alike(FULL_SETTINGS, settings_verdicts);
}

/// Makes every change to the text and compares the verdicts, with texts in quotes and without.
#[track_caller]
fn judged_alike(sound: &str, verdicts_on: fn(&str) -> Verdicts) {
    assert_eq!(verdicts_on(sound), Verdicts::sound());
    let sound = Value::from_node(&yaml::parse(sound).expect("sound").root.expect("a value"));
    let (mut broken, mut all) = (0, 0);
    for changed in values::all_changes(&sound) {
        let plain = typed_by(Vec::new(), &changed).text;
        let quoted = changed.as_map().map(|fields| fields.iter().map(|(name, value)| write::field(name, value, 0)));
        for text in quoted.map(Iterator::collect::<String>).into_iter().chain([plain]) {
            let verdicts = verdicts_on(&text);
            assert!(verdicts.agree(), "{verdicts:#?}\n{text}");
            broken += usize::from(verdicts.reader.is_some());
            all += 1;
        }
    }
    assert!(broken > 1000 && all - broken > 1000, "{broken} broken of {all}");
}

/// A deck with every field.
const FULL_DECK: &str = "\
title: Measuring the weather
year: 7
undecided:
  title:
    - side: ours
      value: Measuring the weather
    - side: theirs
      value: Weather instruments
cards:
  - id: anemometer
    question: Which instrument measures wind speed?
    answer: An anemometer
    ordered: false
    accept: [anemometer]
    also:
      - question: Which two units does it give?
        answer: [knots, metres per second]
        ordered: false
        accept: [knots and metres per second]
        source: notes.md#instruments
        quote: In knots or metres per second.
    both_ways: true
    source: notes.md#instruments
    quote: [Wind speed is measured with an anemometer.]
    needs: [wind]
    see: [beaufort-scale]
    pictures:
      - file: pictures/cups.svg
        side: answer
        alt: Three cups on arms
        credit: Mara Okonjo
        licence: CC BY 4.0
    tier: core
    caution: Keep clear of the arms.
    draft: false
    tags: [fieldwork]
    allow:
      giveaway: The word is in the name.
    undecided:
      answer:
        - side: ours
          by: Mara Okonjo
          when: 2026-11-02
          value: An anemometer
        - side: theirs
          by: Idris Penhale
          when: 2026-11-03
          removed: true
";

/// Settings with every field.
const FULL_SETTINGS: &str = "\
department: Geography
school: Ambleford Quay School
years: [7, 8]
terms:
  - name: autumn
    starts: 2026-09-02
    ends: 2026-12-18
holidays:
  - name: Autumn half term
    starts: 2026-10-26
    ends: 2026-12-30
limits:
  words_on_a_side: 40
  questions_on_a_card: 3
  points_in_an_answer: 5
  words_in_a_section: 450
  seconds_for_a_question: 30
session:
  minutes: 20
  review_days: [1, 7, 21]
print:
  paper: a6
  flip: short
colours:
  year-8/rivers: '#1f5f5b'
  year-8/coasts:
    band: '#f2d7e6'
    text: '#1a1a1a'
scheme:
  - deck: year-8/rivers
    term: autumn
    taught_on: 2026-09-23
leads: [m.okonjo@ambleford-quay.example]
policy:
  no-source: warning
  giveaway: off
";

/// Lines of a card with something in them that YAML cannot read, or reads as something else.
const BROKEN_LINES: &[&str] = &[
    "    question: Erosion: what is it?\n    answer: x",
    "\tquestion: What?\n    answer: x",
    "    question: \"What?\n    answer: x",
    "    question: 'What?\n    answer: x",
    "    question: What?\n    answer: [1] is",
    "    question: What?\n    answer: {1} is",
    "    question: What?\n    answer: @home",
    "    question: What?\n    answer: `code`",
    "    question: What?\n    answer: %5",
    "    question: What?\n    answer: > 5 km",
    "    question: What?\n    answer: | x",
    "    question: What?\n    answer: - 5",
    "    question: What?\n    answer: *bold* move",
    "    question: What?\n   answer: x",
    "    question: What?\n    answer:x",
    "    question: What?\n    answer",
];

#[test]
fn the_demonstration_is_sound_to_both() {
    let decks = files(&root().join("decks"), "cards.yaml");
    assert!(decks.len() >= 8, "{decks:?}");
    for path in decks {
        assert_eq!(deck_verdicts(&text(&path)), Verdicts::sound(), "{}", path.display());
    }
    let settings = text(&root().join("decks/department.yaml"));
    assert_eq!(settings_verdicts(&settings), Verdicts::sound());
}

#[test]
fn schemas_are_valid_and_so_are_their_examples() {
    for (name, least) in [("deck", 20), ("department", 15), ("findings", 1)] {
        let schema = json_of(name);
        assert!(jsonschema::draft202012::meta::is_valid(&schema), "{name}");
        let mut examples = Vec::new();
        examples_in(&schema, &mut examples);
        assert!(examples.len() >= least, "{name}: {}", examples.len());
        for (part, example) in examples {
            let mut part = part.clone();
            part["$defs"] = schema["$defs"].clone();
            let part = validator_of(&part);
            let errors: Vec<_> = part.iter_errors(example).map(|error| error.to_string()).collect();
            assert!(errors.is_empty(), "{name}: {example} {errors:?}");
        }
    }
}

#[test]
fn every_field_is_described_for_editors() {
    for name in ["deck", "department", "findings"] {
        let schema = json_of(name);
        let mut parts = vec![(name.to_owned(), &schema)];
        while let Some((path, part)) = parts.pop() {
            for (field, inside) in part["properties"].as_object().into_iter().flatten() {
                let named = format!("{path}.{field}");
                let target = target(&schema, inside);
                assert!(inside.get("title").or(target.get("title")).is_some() || name == "findings", "{named}");
                let described = inside.get("description").or(target.get("description")).is_some();
                assert!(described || inside.get("enum").is_some() || name == "findings", "{named}");
                parts.push((named, inside));
            }
            parts.extend(part.get("items").map(|items| (format!("{path}[]"), items)));
            for (name, part) in part["$defs"].as_object().into_iter().flatten() {
                parts.push((name.clone(), part));
            }
        }
    }
}

#[test]
fn fields_and_reserved_words_are_those_of_the_reader() {
    let schema = json_of("deck");
    let card: Vec<_> = fields::CARD.iter().map(|field| field.name).collect();
    assert_eq!(names(&schema["properties"]), fields::DECK);
    assert_eq!(names(&schema["$defs"]["card"]["properties"]), card);
    assert_eq!(names(&schema["$defs"]["also"]["properties"]), fields::ALSO);
    assert_eq!(names(&schema["$defs"]["picture"]["properties"]), fields::PICTURE);
    assert_eq!(schema["$defs"]["id"]["not"]["enum"], json!(RESERVED));
}

#[test]
fn the_rules_in_the_findings_schema_are_those_of_the_registry() {
    let rules: BTreeSet<_> = check::all().iter().map(|rule| rule.name).collect();
    if rewrite() {
        let mut schema = json_of("findings");
        schema["$defs"]["rule"]["enum"] = json!(rules);
        renew(&schema);
    }
    let listed = json_of("findings")["$defs"]["rule"]["enum"].clone();
    assert_eq!(listed, json!(rules), "run `DECKLE_REWRITE_FIXTURES=1 cargo test schema` to write the list anew");
}

#[test]
fn findings_of_another_shape_are_refused() {
    let sound = json_of("findings")["examples"][0].clone();
    assert!(FINDINGS.is_valid(&sound));
    let places = [
        "/findings/0/deck",
        "/findings/0/card",
        "/findings/0/field",
        "/findings/0/help",
        "/findings/0/related/0/deck",
        "/findings/0/related/0/card",
    ];
    for place in places {
        assert!(FINDINGS.is_valid(&with(&sound, place, Json::Null)), "{place} may be null");
    }
    let wrong = [
        ("/format", json!(2)),
        ("/findings/0/rule", json!("no-such-rule")),
        ("/findings/0/level", json!("fatal")),
        ("/findings/0/start/line", json!(0)),
        ("/findings/0/end/column", json!(1.5)),
        ("/findings/0/path", Json::Null),
        ("/findings/0/message", json!("")),
        ("/findings/0/repairable", json!("no")),
        ("/summary/advice", json!(-1)),
    ];
    for (place, value) in wrong {
        assert!(!FINDINGS.is_valid(&with(&sound, place, value)), "{place}");
    }
    for place in ["", "/findings/0", "/findings/0/start", "/findings/0/related/0", "/summary"] {
        let whole = sound.pointer(place).and_then(Json::as_object).expect("an object");
        for name in whole.keys() {
            let mut less = whole.clone();
            less.remove(name);
            assert!(!FINDINGS.is_valid(&with(&sound, place, less.into())), "{place} without {name}");
        }
        let mut more = whole.clone();
        more.insert("more".to_owned(), json!(1));
        assert!(!FINDINGS.is_valid(&with(&sound, place, more.into())), "{place} with more");
    }
}

/// What both say about one text; `None` when it is sound.
#[derive(Debug, PartialEq)]
struct Verdicts {
    reader: Option<Vec<String>>,
    schema: Option<Vec<String>>,
}

impl Verdicts {
    fn sound() -> Self {
        Self { reader: None, schema: None }
    }

    fn agree(&self) -> bool {
        self.reader.is_some() == self.schema.is_some()
    }
}

fn deck_verdicts(text: &str) -> Verdicts {
    let file = Arc::new(SourceFile::new("decks/year-8/x/cards.yaml", text));
    Verdicts { reader: said(&read_deck("year-8/x", file).findings), schema: by_schema(&DECK, text) }
}

fn settings_verdicts(text: &str) -> Verdicts {
    let file = Arc::new(SourceFile::new("decks/department.yaml", text));
    Verdicts { reader: said(&read_settings(file).findings), schema: by_schema(&DEPARTMENT, text) }
}

fn said(findings: &[Finding]) -> Option<Vec<String>> {
    let said = |finding: &Finding| format!("{}: {} ({:?})", finding.rule, finding.message, finding.place.start);
    let said: Vec<_> = findings.iter().filter(|finding| STRUCTURE.contains(&finding.rule)).map(said).collect();
    (!said.is_empty()).then_some(said)
}

fn by_schema(schema: &Validator, text: &str) -> Option<Vec<String>> {
    // Editors take the byte order mark off before they read.
    let value = match serde_yaml::from_str(text.trim_start_matches('\u{feff}')) {
        Ok(value) => json_from(value),
        Err(error) => return Some(vec![error.to_string()]),
    };
    let errors: Vec<_> =
        schema.iter_errors(&value).map(|error| format!("{}: {error}", error.instance_path())).collect();
    (!errors.is_empty()).then_some(errors)
}

/// What an editor hands to its JSON Schema library.
fn json_from(value: serde_yaml::Value) -> Json {
    match value {
        serde_yaml::Value::Sequence(items) => items.into_iter().map(json_from).collect(),
        serde_yaml::Value::Mapping(fields) => {
            let name = |name| match json_from(name) {
                Json::String(name) => name,
                other => other.to_string(),
            };
            Json::Object(fields.into_iter().map(|(key, value)| (name(key), json_from(value))).collect())
        }
        serde_yaml::Value::Tagged(tagged) => json_from(tagged.value),
        other => serde_json::to_value(other).expect("a plain value"),
    }
}

fn validator(name: &str) -> Validator {
    validator_of(&json_of(name))
}

fn validator_of(schema: &Json) -> Validator {
    jsonschema::options().should_validate_formats(true).build(schema).expect("a valid schema")
}

fn path_of(name: &str) -> PathBuf {
    root().join(format!("schema/{name}.schema.json"))
}

fn json_of(name: &str) -> Json {
    serde_json::from_str(&text(&path_of(name))).expect("JSON")
}

/// Puts the list of rules of `schema` into the file, one rule a line, and leaves the rest as it is.
fn renew(schema: &Json) {
    let path = path_of("findings");
    let before = text(&path);
    let start = before.find("\"description\": \"The rule's name.").expect("the rule");
    let start = start + before[start..].find("\"enum\": [").expect("its list") + "\"enum\": [".len();
    let end = start + before[start..].find(']').expect("its end");
    let rules = schema["$defs"]["rule"]["enum"].as_array().expect("a list");
    let lines: Vec<_> = rules.iter().map(|rule| format!("\n        {rule}")).collect();
    let after = format!("{}{}\n      {}", &before[..start], lines.join(","), &before[end..]);
    std::fs::write(path, after).expect("written");
}

/// All examples in `schema`, each with the part that it is an example of.
fn examples_in<'s>(schema: &'s Json, found: &mut Vec<(&'s Json, &'s Json)>) {
    match schema {
        Json::Object(fields) => {
            let examples = fields.get("examples").and_then(Json::as_array);
            found.extend(examples.into_iter().flatten().map(|example| (schema, example)));
            let inside = fields.iter().filter(|(name, _)| *name != "examples");
            inside.for_each(|(_, part)| examples_in(part, found));
        }
        Json::Array(items) => items.iter().for_each(|item| examples_in(item, found)),
        _ => {}
    }
}

/// What a part refers to, or the part.
fn target<'s>(schema: &'s Json, part: &'s Json) -> &'s Json {
    let reference = part["$ref"].as_str().and_then(|reference| reference.strip_prefix('#'));
    reference.and_then(|pointer| schema.pointer(pointer)).unwrap_or(part)
}

fn names(fields: &Json) -> Vec<&str> {
    fields.as_object().into_iter().flatten().map(|(name, _)| name.as_str()).collect()
}

fn with(value: &Json, pointer: &str, part: Json) -> Json {
    let mut value = value.clone();
    *value.pointer_mut(pointer).expect("it is there") = part;
    value
}

fn text(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

fn files(folder: &Path, name: &str) -> Vec<PathBuf> {
    let files = walkdir::WalkDir::new(folder).sort_by_file_name().into_iter().map(|entry| entry.expect("readable"));
    files.filter(|entry| entry.file_name() == name).map(walkdir::DirEntry::into_path).collect()
}
