//! Quizzes from the command line: what is written where, and from which commit.

use serde_json::Value;

use super::support::env::TestEnv;
use super::support::repo::{RIVERS, clean, commit, department, ends};

const SETTINGS: &str = "department: Geography\nschool: Ambleford Quay School\nyears: [7, 8]\nterms:\n  - name: autumn\n    starts: 2026-09-02\n    ends: 2026-12-18\nscheme:\n  - deck: year-8/rivers\n    term: autumn\n    taught_on: 2026-09-23\n";

fn taught() -> TestEnv {
    let env = department();
    env.write("decks/department.yaml", SETTINGS);
    env.write(".gitignore", "/out\n");
    commit(&env, "Mara Okonjo", "the scheme of work");
    env
}

const QUIZ: [&str; 5] = ["quiz", "--year", "8", "--on", "2026-09-24"];

fn with<'a>(more: &[&'a str]) -> Vec<&'a str> {
    [&QUIZ[..], more].concat()
}

#[test]
fn a_quiz_is_the_same_for_the_same_commit_day_and_seed() {
    let env = taught();
    let said = env.deckle(&with(&["--out", "out/one.pdf"])).fine();
    assert_eq!(said, "3 questions for year 8 on Thursday 24 September 2026: out/one.pdf\n");
    // Neither what is not committed nor what comes later is asked of an earlier commit.
    let rivers = env.read(RIVERS);
    env.write(RIVERS, rivers.replace("meander", "bend"));
    env.deckle(&with(&["--out", "out/uncommitted.pdf"])).fine();
    commit(&env, "Ben Castell", "another word");
    env.deckle(&with(&["--out", "out/earlier.pdf", "--at", "HEAD~1"])).fine();
    env.deckle(&with(&["--out", "out/later.pdf"])).fine();
    let file = |name: &str| std::fs::read(env.path(&format!("out/{name}.pdf"))).expect("it is there");
    assert!(file("one").starts_with(b"%PDF") && file("one") == file("uncommitted") && file("one") == file("earlier"));
    assert!(file("one") != file("later"));
    clean(&env);
}

#[test]
fn a_quiz_is_written_as_a_text_and_for_programs() {
    let env = taught();
    let text = env.deckle(&with(&["--format", "text"])).fine();
    assert!(
        text.contains("What is meant by levee?") && text.contains("It is a kind of levee thing. (Rivers)"),
        "{text}"
    );
    let json: Value = serde_json::from_str(&env.deckle(&with(&["--format", "json"])).fine()).expect("JSON");
    let schema = serde_json::from_str(include_str!("../../schema/quiz.schema.json")).expect("JSON");
    jsonschema::validator_for(&schema).expect("a schema").validate(&json).expect("it keeps to its schema");
    assert_eq!(json["questions"].as_array().map(Vec::len), Some(3));
    let said = env.deckle(&with(&["--format", "json", "--out", "out/quiz.json"]));
    assert_eq!(said.stdout, "");
    assert!(said.stderr.contains("no more cards"), "{}", said.text());
    assert_eq!(serde_json::from_str::<Value>(&env.read("out/quiz.json")).expect("JSON"), json);
}

#[test]
fn why_there_is_no_quiz_is_said_plainly() {
    let env = taught();
    let said = ends(env.deckle(&["quiz", "--year", "8", "--on", "2026-09-21"]), 2);
    assert!(said.stderr.contains("Rivers is the first, on Wednesday 23 September 2026"), "{}", said.text());
    assert!(said.stderr.contains("`--on 2026-09-24`"), "{}", said.text());
    let said = ends(env.deckle(&["quiz", "--year", "8", "--on", "24/9/2026"]), 2);
    assert!(said.stderr.contains("such as 2026-11-25"), "{}", said.text());
    let saturday = env.deckle(&["quiz", "--year", "8", "--on", "2026-09-26", "--format", "text"]);
    assert!(saturday.stderr.contains("the next school day is Monday 28 September 2026"), "{}", saturday.text());
    env.write("decks/department.yaml", SETTINGS.replace("scheme:", "schema:"));
    commit(&env, "Ben Castell", "a slip");
    let said = ends(env.deckle(&QUIZ), 1);
    assert!(said.stdout.contains("unknown-field") && said.stderr.contains("there is no quiz"), "{}", said.text());
    assert!(!env.path("quiz.pdf").exists());
}
