//! Commands that write, stopped at every step or with every step refused: the old state or the new one,
//! and a second run comes to the end of it.

use super::support::env::{Said, TestEnv};
use super::support::fault::{Faulty, at_every_step, no_leftovers};
use super::support::repo::ends;

const DECK: &str = "decks/year-7/thermometer/cards.yaml";
const NOTES: &str = "decks/year-7/thermometer/notes.md";
const OTHER: &str = "decks/year-7/air/cards.yaml";

fn department() -> TestEnv {
    let env = TestEnv::new();
    env.deckle(&["start", "."]).fine();
    env
}

/// Two decks with the same things to mend, so that one can be done and the other not.
fn two_decks() -> TestEnv {
    let env = department();
    let deck = env.read(DECK);
    for (path, id) in [(DECK, "thermometer"), (OTHER, "barometer")] {
        let text = deck.replace("id: thermometer", &format!("id: {id}")).replace("    accept: ", "    Accept:   ");
        env.write(path, text);
    }
    env.write("decks/year-7/air/notes.md", env.read(NOTES));
    env
}

/// All files below the working folder but git's own, with what they hold.
fn files(env: &TestEnv) -> Vec<(String, Vec<u8>)> {
    let all = walkdir::WalkDir::new(env.work()).sort_by_file_name().into_iter().map(|entry| entry.expect("readable"));
    let own = all.filter(|entry| {
        entry.file_type().is_file() && !entry.path().components().any(|part| part.as_os_str() == ".git")
    });
    let named = |entry: walkdir::DirEntry| {
        let path = entry.path().strip_prefix(env.work()).expect("below").display().to_string();
        (path, std::fs::read(entry.path()).expect("readable"))
    };
    own.map(named).collect()
}

/// What went wrong is said, and in a sentence that a teacher can do something with.
#[track_caller]
fn is_told(fault: &Faulty) {
    if fault.killed {
        return;
    }
    let said = &fault.said;
    assert_eq!(said.status, Some(2), "{}: {}", fault.what, said.text());
    assert!(
        said.stderr.starts_with("deckle: ") || said.stderr.contains("\ndeckle: "),
        "{}: {}",
        fault.what,
        said.text()
    );
    assert!(said.stderr.contains("no room is left"), "{}: {}", fault.what, said.text());
}

/// Runs a command that rewrites decks at every fault: each file is the old one or the new one, and the
/// next run does what was left.
#[track_caller]
fn finished_by_a_second_run(env: &TestEnv, run: &[&str], again: impl Fn(&Said) -> bool) {
    let done = env.copy();
    let said = done.deckle(run);
    assert!(said.status.is_some_and(|status| status < 2), "{}", said.text());
    let (old, new) = (files(env), files(&done));
    assert_ne!(old, new, "{run:?} changes nothing");
    at_every_step(env, run, |left, fault| {
        for (path, bytes) in files(left).iter().filter(|(path, _)| !path.contains(".deckle-")) {
            let is = |files: &[(String, Vec<u8>)]| files.iter().any(|(other, held)| other == path && held == bytes);
            assert!(is(&old) || is(&new), "{}: {path} is {}", fault.what, String::from_utf8_lossy(bytes));
        }
        is_told(fault);
        let second = left.deckle(run);
        assert!(again(&second), "{}: {}", fault.what, second.text());
        assert_eq!(files(left), new, "{}", fault.what);
        no_leftovers(left, &fault.what);
    });
}

#[test]
fn start_is_finished_by_a_second_run() {
    let env = TestEnv::new();
    let run = ["start", "geography"];
    let done = env.copy();
    done.deckle(&run).fine();
    let git = |env: &TestEnv, args: &[&str]| env.git(&[&["-C", "geography"][..], args].concat());
    let tree = |env: &TestEnv| git(env, &["rev-parse", "HEAD^{tree}"]).fine();
    at_every_step(&env, &run, |left, fault| {
        let is_new = |(path, bytes): &(String, Vec<u8>)| files(&done).contains(&(path.clone(), bytes.clone()));
        let there = files(left);
        let odd: Vec<_> =
            there.iter().filter(|file| !file.0.contains(".deckle-") && !is_new(file)).map(|file| &file.0).collect();
        assert!(odd.is_empty(), "{}: {odd:?}", fault.what);
        // Without a first commit the department is there all the same; git says why there is none.
        let no_commit = fault.said.status == Some(0) && fault.said.stderr.contains("no room is left");
        if !no_commit {
            is_told(fault);
        }
        let again = left.deckle(&run);
        let was_done = again.status == Some(2) && again.stderr.contains("is already there");
        assert!(again.status == Some(0) || was_done, "{}: {}", fault.what, again.text());
        assert_eq!(files(left), files(&done), "{}", fault.what);
        assert_eq!(tree(left), tree(&done), "{}", fault.what);
        assert_eq!(git(left, &["status", "--porcelain"]).fine(), "", "{}", fault.what);
        assert_eq!(git(left, &["config", "core.hooksPath"]).fine(), "hooks\n", "{}", fault.what);
        no_leftovers(left, &fault.what);
    });
}

#[test]
fn start_leaves_what_is_not_its_own() {
    let env = TestEnv::new();
    env.write("decks/department.yaml", "department: History\n");
    let said = ends(env.deckle(&["start", "."]), 2);
    assert!(said.stderr.contains("is already there; nothing was written"), "{}", said.text());
    assert_eq!(files(&env).len(), 1);
    let env = department();
    let said = ends(env.deckle(&["start", "."]), 2);
    assert!(said.stderr.contains("is already there; nothing was written"), "{}", said.text());
}

/// What git is told about hooks and decks.
fn settings(env: &TestEnv) -> Vec<String> {
    let said = env.git(&["config", "--local", "--list"]).fine();
    let mut lines: Vec<String> =
        said.lines().filter(|line| line.contains("deckle") || line.contains("hooks")).map(str::to_owned).collect();
    lines.sort();
    lines
}

#[test]
fn hooks_are_put_in_and_taken_out_whole_in_the_end() {
    let env = department();
    // A department without hooks of its own has them in the git folder.
    env.git(&["rm", "--quiet", "-r", "hooks", ".gitattributes"]).fine();
    env.git(&["commit", "--quiet", "--no-verify", "--message", "no hooks"]).fine();
    env.deckle(&["hooks", "--remove"]).fine();
    _ = env.git(&["config", "--unset", "core.hooksPath"]);
    let without = settings(&env);
    let done = env.copy();
    done.deckle(&["hooks"]).fine();
    let with = settings(&done);
    let folder = done.path(".git/deckle-hooks");
    assert!(with.len() > 4 && folder.is_dir(), "{with:?}");
    at_every_step(&env, &["hooks"], |left, fault| {
        is_told(fault);
        left.deckle(&["hooks"]).fine();
        assert_eq!(settings(left).len(), with.len(), "{}", fault.what);
        assert!(left.path(".git/deckle-hooks/pre-commit").exists(), "{}", fault.what);
        assert_eq!(left.read(".git/info/attributes"), done.read(".git/info/attributes"), "{}", fault.what);
        no_leftovers(left, &fault.what);
    });
    at_every_step(&done, &["hooks", "--remove"], |left, fault| {
        is_told(fault);
        left.deckle(&["hooks", "--remove"]).fine();
        assert!(!left.path(".git/deckle-hooks").exists(), "{}", fault.what);
        // The folder's path differs from copy to copy, so only what is left over is looked at.
        let ours =
            settings(left).into_iter().filter(|line| !without.contains(line) && !line.starts_with("core.hookspath="));
        assert_eq!(ours.collect::<Vec<_>>(), Vec::<String>::new(), "{}", fault.what);
        no_leftovers(left, &fault.what);
    });
}

#[test]
fn repairs_are_finished_by_a_second_run() {
    finished_by_a_second_run(&two_decks(), &["check", "--fix"], |said| said.status.is_some_and(|status| status < 2));
}

#[test]
fn tidying_is_finished_by_a_second_run() {
    finished_by_a_second_run(&two_decks(), &["tidy"], |said| said.status == Some(0));
}

#[test]
fn citing_is_finished_by_a_second_run() {
    let env = two_decks();
    for path in [DECK, OTHER] {
        let lines = env.read(path);
        let uncited = lines.lines().filter(|line| !line.contains("source:") && !line.contains("quote:"));
        env.write(path, uncited.map(|line| format!("{line}\n")).collect::<String>());
    }
    finished_by_a_second_run(&env, &["cite", "--write"], |said| said.status.is_some_and(|status| status < 2));
}

#[test]
fn renewing_quotes_is_finished_by_a_second_run() {
    let env = two_decks();
    for path in [NOTES, "decks/year-7/air/notes.md"] {
        env.write(path, env.read(path).replace("## ", "## On "));
    }
    finished_by_a_second_run(&env, &["cite", "--renew"], |said| said.status == Some(0));
}

#[test]
fn drafting_is_finished_by_a_second_run_and_writes_no_stub_twice() {
    let env = department();
    let notes = env.read(NOTES);
    env.write(NOTES, notes + "\n## Frost\n\n**Ground frost** is when the ground is below 0 °C. An air frost needs 0 °C at 1.2 metres.\n");
    let section = format!("{NOTES}#frost");
    let run = ["draft", &section, "--write"];
    finished_by_a_second_run(&env, &run, |said| said.status == Some(0));
}

/// It said that all went well and left half of a department.
#[test]
fn a_reader_that_goes_away_stops_no_work() {
    let env = TestEnv::new();
    let script = format!("{} start geography | true; exit ${{PIPESTATUS[0]}}", env!("CARGO_BIN_EXE_deckle"));
    let output = env.command("bash").args(["-c", &script]).output().expect("bash runs");
    assert!(output.status.success(), "{output:?}");
    assert_eq!(env.git(&["-C", "geography", "log", "--format=%s"]).fine(), "Start the department\n");
}
