//! Random departments in real repositories: each teacher on a branch, put together by `reconcile` in
//! two orders and by plain `git merge` one after another, held against the oracle; with figures beside
//! git alone.

use std::collections::BTreeMap;

use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

use super::department::{Department, Edit, departments, edited, scripts};
use super::departments::{said as said_by, texts};
use super::oracle::{Expected, oracle};
use crate::support::env::TestEnv;
use crate::support::repo::sound;

/// Notes with a paragraph for each teacher.
const NOTES: &str = "decks/year-8/notes.md";

fn runner(seed: u8) -> TestRunner {
    TestRunner::new_with_rng(Config::default(), TestRng::from_seed(RngAlgorithm::ChaCha, &[seed; 32]))
}

fn notes(changed: &[usize]) -> String {
    let paragraph = |who: usize| match changed.contains(&who) {
        true => format!("## Part {who}\n\nTeacher {who} has read this.\n\nA line between.\n\n"),
        false => format!("## Part {who}\n\nNobody has read this yet.\n\nA line between.\n\n"),
    };
    (0..6).map(paragraph).collect()
}

/// A repository with the base on main and a branch for each side.
fn history(base: &Department, sides: &[Department]) -> TestEnv {
    let env = TestEnv::new();
    env.git(&["init", "--quiet"]).fine();
    env.write("decks/department.yaml", "department: Geography\nschool: Ambleford Quay School\nyears: [8]\n");
    env.write(".gitattributes", "cards.yaml merge=deckle\n");
    // Line ends are the model's business here.
    env.git(&["config", "core.autocrlf", "false"]).fine();
    env.git(&[
        "config",
        "merge.deckle.driver",
        "deckle merge-driver %O %A %B --path %P --ours-name %X --theirs-name %Y",
    ])
    .fine();
    put(&env, base, &notes(&[]));
    commit(&env);
    for (who, side) in sides.iter().enumerate() {
        env.git(&["switch", "--quiet", "--create", &format!("t{who}"), "main"]).fine();
        put(&env, side, &notes(&[who]));
        commit(&env);
    }
    env
}

fn put(env: &TestEnv, department: &Department, notes: &str) {
    _ = std::fs::remove_dir_all(env.path("decks/year-8"));
    for (name, text) in texts(department) {
        env.write(&format!("decks/{name}/cards.yaml"), text);
    }
    env.write(NOTES, notes);
}

fn commit(env: &TestEnv) {
    env.git(&["add", "--all"]).fine();
    env.git(&["commit", "--quiet", "--no-verify", "--message", "work"]).fine();
}

/// The decks in the working folder.
fn there(env: &TestEnv) -> BTreeMap<String, String> {
    let files = walkdir::WalkDir::new(env.path("decks")).into_iter().filter_map(Result::ok);
    let decks = files.filter(|file| file.file_name() == "cards.yaml");
    let top = env.path("decks");
    decks
        .map(|file| {
            let folder = file.path().parent().and_then(|folder| folder.strip_prefix(&top).ok()).expect("below decks");
            let name = folder.to_str().expect("a name").to_owned();
            (name, std::fs::read_to_string(file.path()).expect("readable"))
        })
        .collect()
}

fn sides_of(base: &Department, scripts: &[Vec<Edit>]) -> Vec<Department> {
    scripts.iter().enumerate().map(|(who, script)| edited(base, script, who)).collect()
}

/// The values without who wrote them, as the oracle has them.
fn found(env: &TestEnv) -> Expected {
    said_by(&there(env))
}

#[test]
fn reconcile_gives_what_the_oracle_says_in_any_order() {
    let mut runner = runner(11);
    let strategy = (departments(), scripts(2..7));
    for _ in 0..20 {
        let (base, scripts) = strategy.new_tree(&mut runner).expect("a history").current();
        let sides = sides_of(&base, &scripts);
        let expected = oracle(&base, &sides);
        let env = history(&base, &sides);
        let mut names: Vec<String> = (0..sides.len()).map(|who| format!("t{who}")).collect();
        for _ in 0..2 {
            names.reverse();
            env.git(&["switch", "--quiet", "--force", "main"]).fine();
            let mut arguments = vec!["reconcile"];
            arguments.extend(names.iter().map(String::as_str));
            let said = env.deckle(&arguments);
            assert!(matches!(said.status, Some(0 | 1)), "{}", said.text());
            assert_eq!(found(&env), expected, "{names:?}: {}\n{:#?}", said.text(), there(&env));
            assert_eq!(env.read(NOTES), notes(&(0..sides.len()).collect::<Vec<_>>()));
            let heads = env.path(".git/MERGE_HEAD");
            if said.status == Some(1) {
                // What is undecided may be committed by who insists, with all parents.
                assert!(heads.exists(), "{}", said.text());
                env.git(&["add", "--all"]).fine();
                env.git(&["commit", "--quiet", "--no-edit", "--no-verify"]).fine();
            }
            assert!(!heads.exists());
            let parents = env.git(&["log", "-1", "--format=%P"]).fine().split_whitespace().count();
            let changed: Vec<String> = names.iter().map(|name| env.git(&["rev-parse", name]).fine()).collect();
            assert_eq!(parents, 1 + changed.len(), "{}", said.text());
            assert_eq!(env.git(&["status", "--porcelain"]).fine(), "");
            sound(&env);
            env.git(&["reset", "--quiet", "--hard", "HEAD^1"]).fine();
        }
    }
}

#[test]
fn giving_up_restores_every_byte() {
    let mut runner = runner(12);
    let strategy = (departments(), scripts(2..5));
    let mut given_up = 0;
    for _ in 0..12 {
        let (base, scripts) = strategy.new_tree(&mut runner).expect("a history").current();
        let sides = sides_of(&base, &scripts);
        let env = history(&base, &sides);
        env.git(&["switch", "--quiet", "main"]).fine();
        let (before, head) = (there(&env), env.git(&["rev-parse", "HEAD"]).fine());
        let names: Vec<String> = (0..sides.len()).map(|who| format!("t{who}")).collect();
        let mut arguments = vec!["reconcile"];
        arguments.extend(names.iter().map(String::as_str));
        if env.deckle(&arguments).status == Some(1) {
            given_up += 1;
            env.git(&["merge", "--abort"]).fine();
            assert_eq!(there(&env), before);
            assert_eq!(env.git(&["rev-parse", "HEAD"]).fine(), head);
            assert_eq!(env.git(&["status", "--porcelain"]).fine(), "");
        }
    }
    assert!(given_up > 3, "{given_up}");
}

/// Edits that stay within a deck, which is what git's merge driver is asked about. A card
/// that comes or goes under another id is found again by what it says at each step, so none does here.
fn within_decks(scripts: Vec<Vec<Edit>>) -> Vec<Vec<Edit>> {
    let renames = |edit: &Edit| {
        matches!(edit, Edit::Within { edit: super::model::Edit::Rename { .. } | super::model::Edit::Delete { .. }, .. })
    };
    let keep = |edit: &Edit| matches!(edit, Edit::Within { .. } | Edit::Retitle { .. }) && !renames(edit);
    scripts.into_iter().map(|script| script.into_iter().filter(keep).collect()).collect()
}

#[test]
fn plain_git_merge_with_the_driver_leaves_the_same_cards() {
    let mut runner = runner(13);
    let strategy = (departments(), scripts(2..6));
    for _ in 0..15 {
        let (base, scripts) = strategy.new_tree(&mut runner).expect("a history").current();
        let sides = sides_of(&base, &within_decks(scripts));
        let env = history(&base, &sides);
        env.git(&["switch", "--quiet", "main"]).fine();
        for who in 0..sides.len() {
            let merged = env.git(&["merge", "--quiet", "--no-ff", "--no-edit", "--no-verify", &format!("t{who}")]);
            if merged.status != Some(0) {
                assert!(merged.text().contains("deckle settle"), "{}", merged.text());
                commit(&env);
            }
        }
        assert_eq!(found(&env), oracle(&base, &sides), "{:#?}", there(&env));
    }
}

#[derive(Debug, Default)]
struct Figures {
    conflicts: usize,
    wrong: usize,
}

#[allow(clippy::print_stderr)] // the figures are printed, so that they can be quoted
#[test]
fn fewer_conflicts_than_plain_git_merge_and_no_wrong_merge() {
    let mut runner = runner(14);
    let strategy = (departments(), scripts(2..3));
    let (mut ours, mut gits, histories) = (Figures::default(), Figures::default(), 40);
    for _ in 0..histories {
        let (base, scripts) = strategy.new_tree(&mut runner).expect("a history").current();
        let sides = sides_of(&base, &scripts);
        let expected = oracle(&base, &sides);
        let env = history(&base, &sides);
        env.git(&["switch", "--quiet", "t0"]).fine();
        let said = env.deckle(&["reconcile", "t1"]);
        assert!(matches!(said.status, Some(0 | 1)), "{}", said.text());
        ours.conflicts += usize::from(!expected.undecided.is_empty());
        ours.wrong += usize::from(found(&env) != expected);
        let alone = history(&base, &sides);
        alone.git(&["switch", "--quiet", "t0"]).fine();
        alone.git(&["config", "--unset", "merge.deckle.driver"]).fine();
        match alone.git(&["merge", "--quiet", "--no-ff", "--no-edit", "t1"]).status {
            Some(0) => {
                let texts = there(&alone);
                let readable = texts.values().all(|text| deckle::deck::outline::outline(text).is_some());
                let cards: Vec<_> = texts
                    .values()
                    .flat_map(|text| text.lines().filter_map(|line| line.trim_start().strip_prefix("- id:")))
                    .collect();
                let once = cards.iter().all(|card| cards.iter().filter(|other| *other == card).count() == 1);
                gits.wrong += usize::from(!readable || !once || said_by(&texts) != expected);
            }
            _ => gits.conflicts += 1,
        }
    }
    eprintln!("of {histories} merges of departments: deckle {ours:?}, git merge {gits:?}");
    assert_eq!(ours.wrong, 0);
    assert!(ours.conflicts < gits.conflicts, "deckle {ours:?}, git merge {gits:?}");
}
