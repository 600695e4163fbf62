//! `deckle check` and `deckle explain` as commands: flags, streams, exit status.

use super::support::env::TestEnv;

const DECK: &str = "decks/year-7/thermometer/cards.yaml";

fn department() -> TestEnv {
    let env = TestEnv::new();
    env.deckle(&["start", "."]).fine();
    env
}

/// A card whose question another card asks already.
const TWICE: &str =
    "\n  - id: again\n    question: Which instrument measures air temperature?\n    answer: A thermometer\n";

#[test]
fn findings_go_to_stdout_and_give_exit_status_1() {
    let env = department();
    env.write(DECK, env.read(DECK) + TWICE);
    let said = env.deckle(&["check"]);
    assert_eq!(said.status, Some(1));
    let expected = "\
error: two cards ask the same question            [duplicate-question]
  decks/year-7/thermometer/cards.yaml:27 (card `again`)
   27 |     question: Which instrument measures air temperature?
  first asked at decks/year-7/thermometer/cards.yaml:6 (card `thermometer`)
  help: keep one and let other cards link to it with `see: [thermometer]`

1 error in 1 deck with 4 cards
";
    assert_eq!(said.stdout, expected);
    assert_eq!(said.stderr, "");
}

#[test]
fn json_is_the_documented_contract() {
    let env = department();
    env.write(DECK, env.read(DECK) + TWICE);
    let said = env.deckle(&["check", "--format", "json"]);
    let json: serde_json::Value = serde_json::from_str(&said.stdout).expect("JSON");
    let schema = std::fs::read_to_string(super::support::root().join("schema/findings.schema.json")).expect("there");
    let schema: serde_json::Value = serde_json::from_str(&schema).expect("JSON");
    assert!(jsonschema::is_valid(&schema, &json), "{json:#}");
    let finding = &json["findings"][0];
    assert_eq!(finding["start"], serde_json::json!({"line": 27, "column": 15}));
    assert_eq!(finding["end"], serde_json::json!({"line": 27, "column": 57}));
    assert_eq!(finding["related"][0]["card"], "thermometer");
    assert_eq!(json["summary"], serde_json::json!({"errors": 1, "warnings": 0, "advice": 0, "decks": 1, "cards": 4}));
}

#[test]
fn paths_choose_what_is_shown_not_what_is_judged() {
    let env = department();
    env.write("decks/year-7/other/cards.yaml", format!("title: Other\nyear: 7\ncards:{TWICE}"));
    let first = env.deckle(&["check", "decks/year-7/thermometer"]);
    let second = env.deckle(&["check", DECK, "decks/year-7/other/cards.yaml"]);
    assert_eq!((first.status, second.status), (Some(1), Some(1)), "{}{}", first.text(), second.text());
    assert!(first.stdout.contains("first asked at decks/year-7/other/cards.yaml"), "{}", first.text());
    let within = env.deckle(&["-C", "decks/year-7/other", "check", "."]);
    assert_eq!(within.status, Some(0), "{}", within.text());
    assert_eq!(within.stderr, "shown is . only; 1 error is elsewhere: `deckle check` shows all\n");
    let outside = env.deckle(&["check", "/"]);
    assert_eq!(outside.status, Some(2), "{}", outside.text());
}

#[test]
fn any_commit_and_a_bare_repository_can_be_judged() {
    let env = department();
    env.write(DECK, env.read(DECK) + TWICE);
    env.git(&["commit", "--quiet", "--all", "--no-verify", "--message", "twice"]).fine();
    assert_eq!(env.deckle(&["check", "--at", "HEAD~1"]).status, Some(0));
    assert_eq!(env.deckle(&["check", "--at", "HEAD"]).status, Some(1));
    assert_eq!(env.deckle(&["check", "--at", "HEAD", "--since", "HEAD"]).status, Some(0));
    assert_eq!(env.deckle(&["check", "--since", "HEAD~1"]).status, Some(1));
    assert_eq!(env.deckle(&["check", "--at", "nothing"]).status, Some(2));
    env.git(&["clone", "--quiet", "--bare", ".", "shared.git"]).fine();
    assert_eq!(env.deckle(&["-C", "shared.git", "check", "--at", "main~1"]).status, Some(0));
    let bare = env.deckle(&["-C", "shared.git", "check"]);
    assert!(bare.status == Some(1) && bare.stdout.contains("two cards ask the same question"), "{}", bare.text());
}

#[test]
fn a_folder_that_is_no_repository_can_be_checked_and_one_that_is_no_department_not() {
    let env = TestEnv::new();
    env.write("x/decks/department.yaml", "department: Geography\nschool: S\nyears: [7]\n");
    env.write("x/decks/year-7/a/cards.yaml", format!("title: A\nyear: 7\ncards:{TWICE}"));
    assert_eq!(env.deckle(&["-C", "x/decks/year-7", "check"]).fine(), "no findings in 1 deck with 1 card\n");
    let nothing = env.deckle(&["check"]);
    assert_eq!(nothing.status, Some(2));
    assert!(nothing.stdout.is_empty() && nothing.stderr.contains("there is no department"), "{}", nothing.text());
    let staged = env.deckle(&["-C", "x", "check", "--staged"]);
    assert_eq!(staged.status, Some(2), "{}", staged.text());
}

#[test]
fn repairs_are_made_and_the_rest_is_reported() {
    let env = department();
    let deck = env.read(DECK);
    env.write(
        DECK,
        deck.replace("answer: A thermometer", "Answer: A thermometer").replace("1.5 metres\n", "about: 1.5 metres\n"),
    );
    assert_eq!(env.deckle(&["check"]).status, Some(1));
    let said = env.deckle(&["check", "--fix"]);
    assert!(said.stderr.contains("2 findings repaired"), "{}", said.text());
    assert_eq!(env.read(DECK), deck.replace("1.5 metres\n", "\"about: 1.5 metres\"\n"));
    let again = env.deckle(&["check", "--fix"]);
    assert!(again.stderr.contains("nothing could be repaired"), "{}", again.text());
}

#[test]
fn reading_leaves_no_trace() {
    let env = department();
    env.write(DECK, env.read(DECK) + TWICE);
    let before = env.git(&["status", "--porcelain", "--ignored"]).fine();
    for command in
        [&["check"][..], &["check", "--staged"], &["review"], &["settle"], &["explain"], &["tidy", "--check"]]
    {
        assert!(env.deckle(command).status.is_some_and(|status| status < 2), "{command:?}");
    }
    assert_eq!(env.git(&["status", "--porcelain", "--ignored"]).fine(), before);
}

#[test]
fn rules_are_explained() {
    let env = TestEnv::new();
    let said = env.deckle(&["explain", "too-many-words"]).fine();
    for part in ["too-many-words (error)", "Wrong:", "Right:", "allow:\n      too-many-words:"] {
        assert!(said.contains(part), "{said}");
    }
    let unknown = env.deckle(&["explain", "to-many-words"]);
    assert_eq!(unknown.status, Some(2));
    assert!(unknown.stderr.contains("did you mean `too-many-words`?"), "{}", unknown.text());
    let schema = serde_json::from_str(include_str!("../../schema/explain.schema.json")).expect("JSON");
    let schema = jsonschema::validator_for(&schema).expect("a schema");
    for named in [&["explain"][..], &["explain", "too-many-words"]] {
        let json = env.deckle(&[named, &["--format", "json"]].concat()).fine();
        schema.validate(&serde_json::from_str(&json).expect("JSON")).expect("it keeps to its schema");
    }
    let all = env.deckle(&["explain", "--all", "--format", "markdown"]).fine();
    for rule in deckle::check::all() {
        assert!(all.contains(&format!("## {}\n", rule.name)), "{}", rule.name);
    }
}

#[test]
fn a_reader_that_goes_away_is_no_error() {
    let env = department();
    let script = format!("{} explain --all | head -n 1; exit ${{PIPESTATUS[0]}}", env!("CARGO_BIN_EXE_deckle"));
    let output = env.command("bash").args(["-c", &script]).output().expect("bash runs");
    assert!(output.status.success(), "{output:?}");
    assert!(output.stderr.is_empty(), "{}", String::from_utf8_lossy(&output.stderr));
}
