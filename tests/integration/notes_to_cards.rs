//! From notes to cards on the demonstration: what it covers, what is cited, what is drafted; and the
//! commands that show it.

use deckle::check::{self, Context};
use deckle::deck::outline::{outline, set_field};
use deckle::deck::{Department, Value};
use deckle::finding::Level;
use deckle::snapshot::{FolderSnapshot, Snapshot};
use deckle::source::draft::{appended, draft};
use deckle::source::{Coverage, citations};

use crate::support::env::TestEnv;
use crate::support::memory::MemorySnapshot;
use crate::support::{demonstration, root};

#[test]
fn nine_tenths_of_the_demonstrations_key_statements_have_a_card() {
    let department = demonstration();
    let coverage = Coverage::new(&Context::new(&department), |_| true);
    let open: Vec<_> = coverage.open().map(|(path, _, open)| format!("{path}:{}: {}", open.line, open.text)).collect();
    assert!(coverage.total.key_statements > 200, "{:?}", coverage.total);
    assert!(coverage.total.share() > 0.9, "{:?}\n{}", coverage.total, open.join("\n"));
    assert_eq!(open.len(), coverage.total.key_statements - coverage.total.covered);
}

#[test]
fn sources_that_were_taken_away_are_found_again() {
    let whole = demonstration();
    let department =
        changed(|path, text| if path.ends_with("cards.yaml") { without_sources(text) } else { text.to_owned() });
    let found = citations(&Context::new(&department), |_, _| true);
    let all = whole.cards().filter(|(_, card)| card.own().source.is_some()).count();
    assert_eq!(found.len(), all);
    let again = found.iter().filter(|citation| {
        let (_, card) = whole.card(&citation.card).expect("the card");
        let source = card.own().source.as_ref().map(|source| source.value.as_str());
        citation.questions[0].passage.as_ref().map(|passage| passage.source.as_str()) == source
    });
    let again = again.count();
    assert!(again * 100 >= all * 97, "{again} of {all}");
}

#[test]
fn cards_about_something_else_are_not_cited() {
    // The notes of the other year groups say nothing on these topics.
    let gone = ["year-8/tropical-storms", "year-9/population", "year-7/map-skills", "year-9/volcanoes"];
    let department = changed(|path, text| match path {
        path if path.ends_with("cards.yaml") => without_sources(text),
        path if gone.iter().any(|deck| path == format!("decks/{deck}/notes.md")) => "# Nothing\n".to_owned(),
        _ => text.to_owned(),
    });
    let found = citations(&Context::new(&department), |deck, _| gone.contains(&deck.name.as_str()));
    let cited: Vec<_> = found.iter().filter(|citation| citation.questions[0].passage.is_some()).collect();
    assert!(found.len() > 90 && cited.len() * 20 <= found.len(), "{} of {}: {cited:#?}", cited.len(), found.len());
}

#[test]
fn what_is_written_for_cards_passes_the_checks() {
    let department =
        changed(|path, text| if path.ends_with("cards.yaml") { without_sources(text) } else { text.to_owned() });
    let found = citations(&Context::new(&department), |_, _| true);
    let written = changed(|path, text| {
        let mine = found.iter().filter(|citation| citation.path == path && citation.finds());
        let text = if path.ends_with("cards.yaml") { without_sources(text) } else { text.to_owned() };
        mine.fold(text, |text, citation| citation.written(&text).expect("written"))
    });
    let errors = errors(&written);
    assert!(errors.is_empty(), "{}", errors.join("\n"));
    for ((_, before), (_, after)) in department.cards().zip(written.cards()) {
        for (before, after) in before.questions.iter().zip(&after.questions) {
            assert_eq!(before.question.value, after.question.value);
            assert_eq!(before.answer.text(), after.answer.text());
        }
    }
}

/// Stubs for every section of the demonstration, with its cards taken away.
#[test]
fn what_is_drafted_for_every_section_passes_the_checks() {
    let empty = |path: &str, text: &str| match path.ends_with("cards.yaml") {
        true => format!("{}cards: []\n", &text[..text.find("cards:").expect("cards")]),
        false => text.to_owned(),
    };
    let mut files = MemorySnapshot::default();
    copy(&mut files, empty);
    let notes: Vec<String> = demonstration().notes.keys().cloned().collect();
    let (mut stubs, mut left) = (0, Vec::new());
    for path in notes {
        let deck = path.replace("notes.md", "cards.yaml");
        let anchors: Vec<String> = {
            let department = Department::read(&files).expect("read");
            let context = Context::new(&department);
            context
                .all_notes
                .notes(&path)
                .expect("notes")
                .sections()
                .iter()
                .map(|section| section.anchor.clone())
                .collect()
        };
        for anchor in anchors {
            let department = Department::read(&files).expect("read");
            let context = Context::new(&department);
            let section = context.all_notes.notes(&path).and_then(|notes| notes.section(&anchor)).expect("a section");
            let found = draft(&context, &path, section, &format!("notes.md#{anchor}"));
            let before = files.text(&deck).expect("the deck").to_owned();
            let after = appended(&before, &found.stubs).expect("appended");
            let kept = before.strip_suffix("cards: []\n").unwrap_or(&before);
            assert!(after.starts_with(kept), "{after}");
            files.put(&deck, after);
            stubs += found.stubs.len();
            left.extend(found.passed_over.into_iter().map(|passed| passed.text));
        }
    }
    let department = Department::read(&files).expect("read");
    let errors = errors(&department);
    assert!(errors.is_empty(), "{}", errors.join("\n"));
    assert!(department.cards().all(|(_, card)| card.draft));
    assert!(stubs > 240 && left.len() * 10 < stubs, "{stubs} stubs, {} passed over", left.len());
    // A second round proposes nothing that is there.
    let coverage = Coverage::new(&Context::new(&department), |_| true);
    let open: Vec<&str> = coverage.open().map(|(_, _, statement)| statement.text.as_str()).collect();
    assert!(open.iter().all(|text| left.iter().any(|left| left == text)), "{open:?}");
}

#[test]
fn the_commands_show_and_write() {
    let env = TestEnv::new();
    department(&env);
    let shown = env.deckle(&["cite"]);
    assert_eq!(shown.status, Some(1), "{}", shown.text());
    assert!(shown.stdout.contains("supported by notes.md#gales (strength 0."), "{}", shown.text());
    assert!(shown.stdout.contains("nothing in the notes supports this card"), "{}", shown.text());
    sound("cite", &env.deckle(&["cite", "--format", "json"]).stdout);
    let before = env.read("decks/year-8/wind/cards.yaml");
    assert_eq!(env.deckle(&["cite", "gale-speed", "--write"]).status, Some(0));
    let lines = "    source: notes.md#gales\n    quote: A gale begins at 34 knots.\n";
    let after = before.replace("    answer: 34 knots\n", &format!("    answer: 34 knots\n{lines}"));
    assert_eq!(env.read("decks/year-8/wind/cards.yaml"), after);
    assert_eq!(env.deckle(&["cite", "nobody"]).status, Some(2));

    let shown = env.deckle(&["coverage", "decks/year-8"]);
    assert_eq!(shown.status, Some(0));
    assert!(shown.stdout.contains("███████░░░░░░░░░░░░░  33 %  1 of 3 key statements"), "{}", shown.text());
    assert!(shown.stdout.contains("no card: A storm is a fierce wind."), "{}", shown.text());
    sound("coverage", &env.deckle(&["coverage", "--format", "json"]).stdout);

    let shown = env.deckle(&["draft", "year-8/wind#storms"]);
    assert!(
        shown.stdout.contains("  - id: storm\n    question: What is a storm?\n    answer: a fierce wind\n"),
        "{}",
        shown.text()
    );
    assert!(env.deckle(&["draft", "year-8/wind#gales"]).stderr.contains("the card `gale-speed` has it already"));
    assert_eq!(env.read("decks/year-8/wind/cards.yaml"), after);
    assert_eq!(env.deckle(&["draft", "decks/year-8/wind/notes.md#storms", "--write"]).status, Some(0));
    assert!(env.read("decks/year-8/wind/cards.yaml").starts_with(&after));
    assert_eq!(env.deckle(&["draft", "year-8/wind"]).status, Some(2));
    env.write("decks/year-8/sea/notes.md", "# The sea\n\n## Tides\n\nA **tide** is the rise and fall of the sea.\n");
    assert_eq!(env.deckle(&["-C", "decks/year-8/sea", "draft", "notes.md#tides", "--write"]).status, Some(0));
    assert!(env.read("decks/year-8/sea/cards.yaml").starts_with("title: The sea\nyear: 8\ncards:\n  - id: tide\n"));
    assert!(!env.deckle(&["check"]).stdout.contains("error"), "{}", env.deckle(&["check"]).text());
}

#[test]
fn a_list_is_drafted_with_its_first_line_and_all_items_as_quotes() {
    let env = TestEnv::new();
    department(&env);
    let list = "# Ice\n\n## Frost\n\nFrost needs three things:\n\n- clear sky\n- calm air\n- cold ground\n\nIt is white. \
                Nobody likes it.\n\n## Snow\n\nIt lies.\n";
    env.write("decks/year-8/ice/notes.md", list);
    let section = "decks/year-8/ice/notes.md#frost";
    let written = env.deckle(&["draft", section, "--write"]);
    assert_eq!(written.status, Some(0), "{}", written.text());
    let forms = "no strong text, definition, quantity, date, cause, comparison, list or sequence";
    assert_eq!(written.stderr, format!("2 further sentences were read and left out: {forms}\n"));
    let deck = env.read("decks/year-8/ice/cards.yaml");
    let quotes =
        "    quote:\n      - \"Frost needs three things:\"\n      - clear sky\n      - calm air\n      - cold ground\n";
    assert!(deck.contains(quotes) && deck.contains("    answer:\n      - clear sky\n"), "{deck}");
    assert!(!env.deckle(&["check", "decks/year-8/ice"]).stdout.contains("quote"), "{deck}");
    assert!(env.deckle(&["draft", section]).stderr.contains("has it already"));
    let nothing = env.deckle(&["draft", "decks/year-8/ice/notes.md#snow"]);
    assert_eq!(nothing.stderr, format!("this section has no key statement: {forms} in its 1 sentence\n"));
    let text = env.read("decks/year-8/ice/notes.md").replace("calm air", "strong wind");
    env.write("decks/year-8/ice/notes.md", text);
    assert!(env.deckle(&["check", "decks/year-8/ice"]).text().contains("calm air"), "a changed item is found");
}

#[test]
fn cards_and_notes_are_found_by_their_words() {
    let env = TestEnv::new();
    department(&env);
    let shown = env.deckle(&["find", "gales", "beginning"]).fine();
    assert!(shown.starts_with("gale-speed in year-8/wind (decks/year-8/wind/cards.yaml:6)\n"), "{shown}");
    assert!(shown.ends_with("  decks/year-8/wind/notes.md:5, Gales\n    A gale begins at 34 knots.\n"), "{shown}");
    sound("find", &env.deckle(&["find", "gale", "stormm", "--format", "json"]).stdout);
    let nothing = env.deckle(&["find", "stormm"]);
    let expected = "nothing found\n`stormm` stands nowhere; the nearest: `storm`\n";
    assert_eq!((nothing.status, nothing.stdout.as_str(), nothing.stderr.as_str()), (Some(1), "", expected));
}

#[test]
fn quotes_are_renewed_for_one_card() {
    let env = TestEnv::new();
    department(&env);
    assert_eq!(env.deckle(&["cite", "gale-speed", "--write"]).status, Some(0));
    let notes = env.read("decks/year-8/wind/notes.md");
    env.write(
        "decks/year-8/wind/notes.md",
        notes.replace("A gale begins at 34 knots.", "A gale starts at thirty-four knots."),
    );
    let shown = env.deckle(&["cite", "gale-speed", "--renew"]);
    assert_eq!(shown.stdout, "1 quote renewed\n", "{}", shown.text());
    assert!(env.read("decks/year-8/wind/cards.yaml").contains("quote: \"A gale starts at thirty-four knots.\"\n"));
    assert_eq!(env.deckle(&["cite", "--renew"]).stdout, "every quote stands where its card says\n");
}

/// A small department, in a folder.
fn department(env: &TestEnv) {
    env.write("decks/department.yaml", "department: Geography\nschool: Ambleford Quay School\nyears: [8]\n");
    env.write(
        "decks/year-8/wind/notes.md",
        "# Wind\n\n## Gales\n\nA gale begins at 34 knots.\n\n## Storms\n\nA **storm** is a fierce wind. It lasts 6 hours.\n",
    );
    env.write(
        "decks/year-8/wind/cards.yaml",
        "title: Wind\nyear: 8\ncards:\n  # the first\n  - id: gale-speed\n    question: At which speed does a gale begin?\n    answer: 34 knots\n\n  - id: calm\n    question: Who sells sails?\n    answer: A sailmaker\n",
    );
}

/// Whether a result has the shape that its schema says.
#[track_caller]
fn sound(schema: &str, result: &str) {
    let text = std::fs::read_to_string(root().join(format!("schema/{schema}.schema.json"))).expect("the schema");
    let schema: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    assert!(jsonschema::draft202012::meta::is_valid(&schema));
    let result: serde_json::Value = serde_json::from_str(result).expect("JSON");
    let validator = jsonschema::validator_for(&schema).expect("a schema");
    let errors: Vec<_> =
        validator.iter_errors(&result).map(|error| format!("{}: {error}", error.instance_path())).collect();
    assert!(errors.is_empty(), "{errors:#?}\n{result:#}");
}

fn errors(department: &Department) -> Vec<String> {
    let findings = check::check(department).findings.into_iter().filter(|finding| finding.level == Level::Error);
    findings.map(|finding| format!("{}: {} ({:?})", finding.rule, finding.message, finding.card)).collect()
}

/// The demonstration with its files changed.
fn changed(change: impl Fn(&str, &str) -> String) -> Department {
    let mut files = MemorySnapshot::default();
    copy(&mut files, change);
    Department::read(&files).expect("read")
}

fn copy(files: &mut MemorySnapshot, change: impl Fn(&str, &str) -> String) {
    let folder = FolderSnapshot::new(root());
    for entry in folder.files().expect("the demonstration") {
        let bytes = folder.read(&entry.path).expect("a file");
        let changed = match std::str::from_utf8(&bytes) {
            Ok(text) => change(&entry.path, text).into_bytes(),
            Err(_) => bytes,
        };
        files.put(&entry.path, changed);
    }
}

/// A deck without sources and quotes.
fn without_sources(text: &str) -> String {
    let mut text = text.to_owned();
    for card in outline(&text.clone()).expect("a deck").cards {
        for field in ["source", "quote"] {
            text = set_field(&text, &card.id, field, None).expect("taken out");
        }
        let Some(Value::List(also)) = card.value("also") else { continue };
        let bare = |entry: &Value| {
            let mut entry = entry.clone();
            if let Value::Map(fields) = &mut entry {
                fields.shift_remove("source");
                fields.shift_remove("quote");
            }
            entry
        };
        let also = Value::List(also.iter().map(bare).collect());
        text = set_field(&text, &card.id, "also", Some(&also)).expect("set");
    }
    text
}
