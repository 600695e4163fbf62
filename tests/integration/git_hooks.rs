//! The hook as git runs it: it judges what is staged, and leaves everything as it is.

use super::support::env::TestEnv;

const DECK: &str = "decks/year-7/thermometer/cards.yaml";

/// A new department with its hooks.
fn department() -> TestEnv {
    let env = TestEnv::new();
    env.deckle(&["start", "."]).fine();
    env
}

/// A card with an answer of that many words.
fn card(id: &str, words: usize) -> String {
    let answer: Vec<String> = (0..words).map(|at| format!("word{at}")).collect();
    format!("\n  - id: {id}\n    question: What about {id}?\n    answer: {}\n", answer.join(" "))
}

fn append(env: &TestEnv, path: &str, text: &str) {
    env.write(path, env.read(path) + text);
}

/// Index, working folder and stash, as git tells them.
fn state(env: &TestEnv) -> String {
    [&["status", "--porcelain=v2"][..], &["diff"], &["diff", "--cached"], &["stash", "list"], &["rev-parse", "HEAD"]]
        .map(|args| env.git(args).fine())
        .concat()
}

#[test]
fn a_new_department_passes_its_own_checks_and_is_committed() {
    let env = department();
    assert_eq!(env.deckle(&["check"]).fine(), "no findings in 1 deck with 3 cards\n");
    assert_eq!(env.git(&["status", "--porcelain"]).fine(), "");
    assert_eq!(env.git(&["log", "--format=%an: %s"]).fine(), "Mara Okonjo: Start the department\n");
    let again = env.deckle(&["start", "."]);
    assert_eq!(again.status, Some(2), "{}", again.text());
}

#[test]
fn a_commit_that_brings_in_a_mistake_is_refused_and_a_good_one_passes() {
    let env = department();
    append(&env, DECK, &card("long", 41));
    let before = state(&env);
    let refused = env.git(&["commit", "--all", "--message", "x"]);
    assert_eq!(refused.status, Some(1));
    assert!(refused.text().contains("the answer side has 41 words, more than 40"), "{}", refused.text());
    assert_eq!(state(&env), before, "nothing is changed by refusing");
    env.git(&["restore", DECK]).fine();
    append(&env, DECK, &card("short", 4));
    env.git(&["commit", "--quiet", "--all", "--message", "x"]).fine();
}

#[test]
fn only_what_is_staged_counts() {
    let env = department();
    append(&env, DECK, &card("good", 3));
    env.git(&["add", DECK]).fine();
    append(&env, DECK, &card("long", 60));
    let unstaged = env.git(&["diff"]).fine();
    env.git(&["commit", "--quiet", "--message", "the good one"]).fine();
    assert_eq!(env.git(&["diff"]).fine(), unstaged, "what is not staged stays as it is");
    // The other way round: mended in the folder, and still broken in the index.
    env.git(&["add", DECK]).fine();
    env.git(&["restore", "--source", "HEAD", "--worktree", DECK]).fine();
    assert_eq!(env.git(&["commit", "--message", "the long one"]).status, Some(1));
}

#[test]
fn committing_one_path_judges_that_path() {
    let env = department();
    append(&env, DECK, &card("long", 60));
    env.git(&["add", DECK]).fine();
    append(&env, "decks/year-7/thermometer/notes.md", "\n## More\n\nMore to come.\n");
    env.git(&["commit", "--quiet", "--message", "notes", "decks/year-7/thermometer/notes.md"]).fine();
    assert_eq!(env.git(&["commit", "--message", "cards", DECK]).status, Some(1));
}

#[test]
fn an_older_mistake_stops_nobody() {
    let env = department();
    append(&env, DECK, &card("old", 60));
    env.git(&["commit", "--quiet", "--no-verify", "--all", "--message", "somebody's slip"]).fine();
    append(&env, DECK, &card("new", 3));
    env.git(&["commit", "--quiet", "--all", "--message", "mine"]).fine();
    // Not even who makes it a little better.
    let shorter = env.read(DECK).replace(" word59", "");
    env.write(DECK, shorter);
    env.git(&["commit", "--quiet", "--all", "--message", "shorter"]).fine();
    assert_eq!(env.deckle(&["check"]).status, Some(1));
    assert_eq!(env.deckle(&["check", "--since", "HEAD~1"]).status, Some(0));
}

#[test]
fn blanks_and_other_alphabets_in_paths() {
    let env = department();
    let deck = "decks/year-7/Größe und Maß/cards.yaml";
    env.write(deck, format!("title: Größen\nyear: 7\ncards:{}", card("groesse", 50)));
    env.git(&["add", "--all"]).fine();
    let refused = env.git(&["commit", "--message", "x"]);
    assert!(refused.text().contains("decks/year-7/Größe und Maß/cards.yaml:6 (card `groesse`)"), "{}", refused.text());
    env.write(deck, format!("title: Größen\nyear: 7\ncards:{}", card("groesse", 5)));
    env.git(&["add", "--all"]).fine();
    env.git(&["commit", "--quiet", "--message", "x"]).fine();
}

#[test]
fn in_a_linked_worktree() {
    let env = department();
    env.git(&["worktree", "add", "--quiet", "-b", "proposal", "aside"]).fine();
    let deck = format!("aside/{DECK}");
    append(&env, &deck, &card("long", 60));
    let in_worktree = |args: &[&str]| env.git(&[&["-C", "aside"], args].concat());
    assert_eq!(in_worktree(&["commit", "--all", "--message", "x"]).status, Some(1));
    let shorter = env.read(&deck).replace(" word10", "").split(" word20").next().expect("there").to_owned() + "\n";
    env.write(&deck, shorter);
    in_worktree(&["commit", "--quiet", "--all", "--message", "x"]).fine();
}

#[test]
fn a_department_in_a_folder_of_the_repository() {
    let env = TestEnv::new();
    env.git(&["init", "--quiet"]).fine();
    env.deckle(&["start", "geography"]).fine();
    let deck = format!("geography/{DECK}");
    append(&env, &deck, &card("long", 60));
    let refused = env.git(&["commit", "--all", "--message", "x"]);
    assert_eq!(refused.status, Some(1), "{}", refused.text());
    env.write(&deck, env.read(&deck).split("\n  - id: long").next().expect("there").to_owned() + &card("short", 5));
    env.git(&["commit", "--quiet", "--all", "--message", "x"]).fine();
    assert_eq!(env.deckle(&["-C", "geography", "check", "--at", "HEAD"]).status, Some(0));
}

#[test]
fn without_the_program_the_hook_says_how_to_get_it() {
    let env = department();
    append(&env, DECK, &card("good", 3));
    let mut command = env.command("git");
    command.args(["commit", "--all", "--message", "x"]).env("PATH", "/usr/bin:/bin");
    let output = command.output().expect("git runs");
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(!output.status.success() && said.contains("deckle is not on your path"), "{said}");
}

#[test]
fn removing_undoes_exactly_what_was_installed() {
    let env = TestEnv::new();
    env.git(&["init", "--quiet"]).fine();
    env.write("decks/department.yaml", "department: Geography\nschool: S\nyears: [7]\n");
    let config = || env.read(".git/config");
    let before = config();
    let said = env.deckle(&["hooks"]).fine();
    assert!(said.contains("core.hooksPath"), "{said}");
    assert_ne!(config(), before);
    env.deckle(&["hooks"]).fine();
    env.deckle(&["hooks", "--remove"]).fine();
    assert_eq!(config(), before);
    assert_eq!(env.git(&["status", "--porcelain"]).fine(), "?? decks/\n", "no file is left in the working folder");
    assert!(env.deckle(&["hooks", "--remove"]).fine().contains("nothing to take out"));
}

#[test]
fn somebodys_own_hooks_are_never_overwritten() {
    let env = TestEnv::new();
    env.git(&["init", "--quiet"]).fine();
    env.write("decks/department.yaml", "department: Geography\nschool: S\nyears: [7]\n");
    env.write(".git/hooks/pre-commit", "#!/bin/sh\necho mine\n");
    let said = env.deckle(&["hooks"]);
    assert_eq!(said.status, Some(1));
    assert!(said.stdout.contains("your own hooks are left as they are (pre-commit)"), "{}", said.text());
    assert_eq!(env.read(".git/hooks/pre-commit"), "#!/bin/sh\necho mine\n");
    assert_eq!(env.git(&["config", "core.hooksPath"]).status, Some(1), "not set");
}

/// A department in which Ada and Ben gave one card different answers, each on a branch of their own.
fn two_answers() -> TestEnv {
    let env = department();
    append(&env, DECK, &card("gust", 3));
    env.git(&["commit", "--quiet", "--all", "--message", "gust"]).fine();
    for (name, word) in [("ada", "strong"), ("ben", "sudden")] {
        env.git(&["switch", "--quiet", "--create", name, "main"]).fine();
        env.write(DECK, env.read(DECK).replace("answer: word0 word1 word2", &format!("answer: a {word} wind")));
        env.git(&["commit", "--quiet", "--all", "--message", name]).fine();
    }
    env
}

#[test]
fn a_rebase_does_not_commit_what_is_undecided() {
    let env = two_answers();
    assert_eq!(env.git(&["rebase", "ada"]).status, Some(1));
    assert!(env.read(DECK).contains("undecided:"), "{}", env.read(DECK));
    env.git(&["add", "--all"]).fine();
    let head = env.git(&["rev-parse", "HEAD"]).fine();
    let mut git = env.command("git");
    let refused = git.env("GIT_EDITOR", "true").args(["rebase", "--continue"]).output().expect("git runs");
    let said = String::from_utf8_lossy(&refused.stderr).into_owned();
    assert!(!refused.status.success(), "{said}");
    assert!(said.contains("answer of `gust`") && said.contains("`git rebase --continue`"), "{said}");
    assert_eq!(env.git(&["rev-parse", "HEAD"]).fine(), head);
    env.deckle(&["settle", "gust", "answer", "--take", "a sudden, strong wind"]).fine();
    env.git(&["add", "--all"]).fine();
    let mut git = env.command("git");
    let done = git.env("GIT_EDITOR", "true").args(["rebase", "--continue"]).output().expect("git runs");
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    assert_eq!(env.git(&["log", "--format=%s", "-2"]).fine(), "ben\nada\n");
    assert_eq!(env.git(&["status", "--porcelain"]).fine(), "");
}

#[test]
fn what_is_undecided_is_not_committed_even_without_the_check_and_not_sent() {
    let env = two_answers();
    env.git(&["init", "--quiet", "--bare", "shared.git"]).fine();
    env.git(&["push", "--quiet", "./shared.git", "main"]).fine();
    assert_eq!(env.git(&["merge", "ada"]).status, Some(1));
    env.git(&["add", "--all"]).fine();
    assert_eq!(env.git(&["commit", "--no-verify", "--no-edit"]).status, Some(1));
    // Somebody without hooks commits it, and somebody with hooks would send it.
    env.git(&["-c", "core.hooksPath=/dev/null", "commit", "--quiet", "--no-edit"]).fine();
    let refused = env.git(&["push", "./shared.git", "ben"]);
    assert_eq!(refused.status, Some(1), "{}", refused.text());
    assert!(
        refused.stderr.contains("answer of `gust`") && refused.stderr.contains("Nothing was sent."),
        "{}",
        refused.text()
    );
    // It is not this commit's fault any more.
    append(&env, DECK, &card("good", 3));
    env.git(&["commit", "--quiet", "--all", "--message", "another card"]).fine();
    env.deckle(&["settle", "gust", "answer", "--take", "ours"]).fine();
    env.git(&["commit", "--quiet", "--all", "--message", "settled"]).fine();
    env.git(&["push", "--quiet", "./shared.git", "ben"]).fine();
}

#[test]
fn two_departments_in_one_repository_are_both_checked() {
    let env = department();
    env.deckle(&["start", "history"]).fine();
    let said = env.deckle(&["-C", "history", "hooks"]);
    assert_eq!(said.status, Some(0), "{}", said.text());
    assert!(said.stdout.contains("they check every department here"), "{}", said.text());
    for deck in [DECK.to_owned(), format!("history/{DECK}")] {
        append(&env, &deck, &card("long", 50));
        let refused = env.git(&["commit", "--all", "--message", "x"]);
        assert!(refused.status == Some(1) && refused.text().contains("more than 40"), "{deck}: {}", refused.text());
        env.git(&["restore", &deck]).fine();
    }
    append(&env, &format!("history/{DECK}"), &card("short", 4));
    env.git(&["commit", "--quiet", "--all", "--message", "x"]).fine();
}
