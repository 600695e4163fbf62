//! With what earlier runs kept and without, `deckle check` says the same.

use proptest::prelude::*;

use super::support::env::TestEnv;

const DECK: &str = "decks/year-7/thermometer/cards.yaml";
const TWICE: &str =
    "\n  - id: again\n    question: Which instrument measures air temperature?\n    answer: A thermometer\n";

fn department() -> TestEnv {
    let env = TestEnv::new();
    env.deckle(&["start", "."]).fine();
    env
}

/// Runs a check as it is, again, and without what was kept; all three must say the same.
#[track_caller]
fn same(env: &TestEnv, arguments: &[&str]) {
    let plain = [&["check", "--no-cache"], arguments].concat();
    let expected = env.deckle(&plain);
    let kept = [&["check"], arguments].concat();
    assert_eq!(env.deckle(&kept), expected, "{arguments:?}");
    assert_eq!(env.deckle(&kept), expected, "{arguments:?}, again");
}

fn all_ways(env: &TestEnv) {
    for arguments in [
        &[][..],
        &["--format", "json"],
        &["--format", "sarif"],
        &["--staged"],
        &["--at", "HEAD"],
        &["--since", "HEAD"],
        &["decks/year-7"],
    ] {
        same(env, arguments);
    }
}

/// What may happen to a department between two checks.
#[derive(Clone, Copy, Debug)]
enum Step {
    Twice,
    Restore,
    SameSize,
    Notes,
    LineEnds,
    Settings,
    Extra,
    Stage,
    Commit,
    Spoil,
}

fn step() -> impl Strategy<Value = Step> {
    use Step::{Commit, Extra, LineEnds, Notes, Restore, SameSize, Settings, Spoil, Stage, Twice};
    prop::sample::select(vec![Twice, Restore, SameSize, Notes, LineEnds, Settings, Extra, Stage, Commit, Spoil])
}

fn take(env: &TestEnv, original: &str, step: Step) {
    let notes = "decks/year-7/thermometer/notes.md";
    let settings = "decks/department.yaml";
    match step {
        Step::Twice => env.write(DECK, env.read(DECK) + TWICE),
        Step::Restore => env.write(DECK, original),
        Step::SameSize => env.write(DECK, env.read(DECK).replace("thermometer\n", "thermometre\n")),
        Step::Notes => env.write(notes, env.read(notes).replace("1.5", "2.5")),
        Step::LineEnds => env.write(DECK, env.read(DECK).replace('\n', "\r\n")),
        Step::Settings => env.write(settings, env.read(settings) + "limits:\n  words_on_a_side: 3\n"),
        Step::Extra => env.write("decks/year-7/extra/cards.yaml", format!("title: E\nyear: 7\ncards:{TWICE}")),
        Step::Stage => _ = env.git(&["add", "--all"]),
        Step::Commit => _ = env.git(&["commit", "--quiet", "--all", "--no-verify", "--message", "more"]),
        Step::Spoil => {
            let folders = [".git/deckle/cache-v1", ".git/deckle/index-v1"].map(|folder| env.path(folder));
            let entries = folders.iter().flat_map(|folder| std::fs::read_dir(folder).into_iter().flatten());
            for (at, entry) in entries.filter_map(Result::ok).enumerate() {
                let bytes = std::fs::read(entry.path()).expect("readable");
                let spoilt = [&b""[..], &bytes[..bytes.len() / 2], &[&bytes[..], b"x"].concat()][at % 3].to_vec();
                std::fs::write(entry.path(), spoilt).expect("written");
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_happens_to_the_files_nothing_old_is_said(steps in prop::collection::vec(step(), 1..5)) {
        let env = department();
        let original = env.read(DECK);
        env.deckle(&["check"]).fine();
        for step in steps {
            take(&env, &original, step);
            all_ways(&env);
        }
    }
}

#[test]
fn several_checks_at_once_say_the_same_and_leave_whole_files() {
    let env = department();
    env.write(DECK, env.read(DECK) + TWICE);
    let expected = env.deckle(&["check", "--no-cache"]);
    for _ in 0..3 {
        let started: Vec<_> = (0..6)
            .map(|_| {
                let mut command = env.command(env!("CARGO_BIN_EXE_deckle"));
                command.arg("check").stdout(std::process::Stdio::piped()).spawn().expect("starts")
            })
            .collect();
        std::fs::remove_dir_all(env.path(".git/deckle")).ok();
        for child in started {
            let output = child.wait_with_output().expect("ends");
            assert_eq!(String::from_utf8_lossy(&output.stdout), expected.stdout);
        }
    }
    same(&env, &[]);
}

#[test]
fn a_check_without_it_keeps_nothing() {
    let env = department();
    std::fs::remove_dir_all(env.path(".git/deckle")).ok();
    env.deckle(&["check", "--no-cache"]).fine();
    assert!(!env.path(".git/deckle").exists());
    env.deckle(&["check"]).fine();
    assert_eq!(std::fs::read_dir(env.path(".git/deckle/cache-v1")).expect("kept").count(), 1);
}
