//! What every command writes where, and its exit status, for the three outcomes: fine, findings, and the
//! work could not be done.

use super::support::env::{Said, TestEnv};
use super::support::repo::ends;

const DECK: &str = "decks/year-7/thermometer/cards.yaml";

/// A card whose question another card asks already, in a style of its own.
const TWICE: &str =
    "\n  - id: again\n    question: Which instrument measures air temperature?\n    answer:   A thermometer\n";

/// A command and which of the two streams it writes to.
type Row = (&'static [&'static str], bool, bool);

const OUT: bool = true;
const ERR: bool = true;
const NOTHING: bool = false;

/// In a sound department: exit status 0.
const FINE: &[Row] = &[
    (&["hooks"], OUT, NOTHING),
    (&["check"], OUT, NOTHING),
    (&["check", "--quiet"], NOTHING, NOTHING),
    (&["check", "--format", "json"], OUT, NOTHING),
    (&["check", "--format", "junit"], OUT, NOTHING),
    (&["check", "--format", "sarif"], OUT, NOTHING),
    (&["check", "--staged"], OUT, NOTHING),
    (&["explain"], OUT, NOTHING),
    (&["explain", "--all"], OUT, NOTHING),
    // What was passed over is no part of the cards.
    (&["draft", "decks/year-7/thermometer/notes.md#the-instrument"], NOTHING, ERR),
    (&["cite"], OUT, NOTHING),
    (&["coverage"], OUT, NOTHING),
    (&["find", "air"], OUT, NOTHING),
    (&["review"], OUT, NOTHING),
    (&["review", "HEAD"], OUT, NOTHING),
    (&["propose", "nothing yet"], OUT, NOTHING),
    (&["reconcile", "other", "--dry-run"], OUT, NOTHING),
    (&["settle"], OUT, NOTHING),
    (&["tidy"], OUT, NOTHING),
    (&["tidy", "--check"], OUT, NOTHING),
    (&["plan"], OUT, NOTHING),
    (&["map"], OUT, NOTHING),
    (&["diff-driver", DECK], OUT, NOTHING),
    (&["receive"], NOTHING, NOTHING),
    (&["completions", "bash"], OUT, NOTHING),
    (&["completions", "--man"], OUT, NOTHING),
    (&["--help"], OUT, NOTHING),
    (&["--version"], OUT, NOTHING),
];

/// Where a card asks what another one asks, staged and committed: exit status 1.
const FINDINGS: &[Row] = &[
    (&["check"], OUT, NOTHING),
    (&["check", "--quiet"], OUT, NOTHING),
    (&["check", "--format", "json"], OUT, NOTHING),
    (&["check", "--format", "junit"], OUT, NOTHING),
    (&["check", "--format", "sarif"], OUT, NOTHING),
    (&["check", "--at", "HEAD"], OUT, NOTHING),
    (&["review", "HEAD"], OUT, NOTHING),
    (&["review", "HEAD~1..HEAD", "--format", "json"], OUT, NOTHING),
    (&["tidy", "--check"], OUT, NOTHING),
    (&["release", "--year", "7", "--term", "autumn"], OUT, ERR),
    (&["verify", "junk.zip"], OUT, NOTHING),
];

/// In a folder without a department: exit status 2, and nothing on stdout.
const CANNOT: &[&[&str]] = &[
    &["hooks"],
    &["check"],
    &["check", "--no-such-option"],
    &["explain", "no-such-rule"],
    &["draft", "notes.md#x"],
    &["cite"],
    &["coverage"],
    &["find", "air"],
    &["review"],
    &["propose", "x"],
    &["reconcile", "other"],
    &["settle"],
    &["tidy"],
    &["release", "--year", "7", "--term", "autumn"],
    &["verify", "none.zip"],
    &["print", "none.zip"],
    &["quiz", "--year", "7", "--on", "2026-11-25"],
    &["plan"],
    &["map"],
    &["diff-driver", "none"],
    &["merge-driver", "a", "b", "c", "--path", "x"],
    &["receive"],
    &["completions", "no-such-shell"],
    &["start", "taken/x"],
    &["tour", "--keep", "taken/x"],
    &["no-such-command"],
];

fn department() -> TestEnv {
    let env = TestEnv::new();
    env.deckle(&["start", "."]).fine();
    env.git(&["branch", "other"]).fine();
    env
}

fn broken() -> TestEnv {
    let env = department();
    env.write(DECK, env.read(DECK) + TWICE);
    env.write("junk.zip", "no zip");
    env.git(&["commit", "--quiet", "--all", "--no-verify", "--message", "twice"]).fine();
    env
}

#[track_caller]
fn keeps_to(row: &Row, said: Said, status: i32) {
    let (args, out, err) = row;
    let said = ends(said, status);
    let streams = (!said.stdout.is_empty(), !said.stderr.is_empty());
    assert_eq!(streams, (*out, *err), "deckle {}: {}", args.join(" "), said.text());
    for text in [&said.stdout, &said.stderr] {
        assert!(text.is_empty() || text.ends_with('\n'), "deckle {}: {text:?}", args.join(" "));
        assert!(!text.contains('\u{1b}'), "no colours where nobody looks: deckle {}", args.join(" "));
    }
}

#[test]
fn results_go_to_stdout_and_messages_to_stderr() {
    let env = department();
    FINE.iter().for_each(|row| keeps_to(row, env.deckle(row.0), 0));
    let env = broken();
    FINDINGS.iter().for_each(|row| keeps_to(row, env.deckle(row.0), 1));
    let env = TestEnv::new();
    env.write("taken", "a file");
    for args in CANNOT {
        keeps_to(&(*args, NOTHING, ERR), env.deckle(args), 2);
    }
}

#[test]
fn a_reader_that_goes_away_changes_no_exit_status() {
    for (env, rows, status) in [(department(), FINE, 0), (broken(), FINDINGS, 1)] {
        for (args, ..) in rows {
            let script = "\"$0\" \"$@\" | true; exit ${PIPESTATUS[0]}";
            let mut bash = env.command("bash");
            let output = bash.args(["-c", script, env!("CARGO_BIN_EXE_deckle")]).args(*args).output().expect("bash");
            let complaint = String::from_utf8_lossy(&output.stderr);
            assert!(!complaint.contains("panicked") && !complaint.contains("pipe"), "{args:?}: {complaint}");
            assert_eq!(output.status.code(), Some(status), "{args:?}: {complaint}");
        }
    }
}

#[test]
fn what_could_not_be_done_is_named() {
    let env = TestEnv::new();
    env.write("taken", "a file");
    for args in [["start", "taken/x"], ["tour", "--keep=taken/x"]] {
        let said = ends(env.deckle(&args), 2);
        assert!(said.stderr.contains("taken/x") && !said.stderr.contains("output"), "{}", said.text());
    }
}

#[cfg(target_os = "linux")]
#[test]
fn output_that_cannot_be_written_is_told() {
    let env = department();
    let mut bash = env.command("bash");
    let script = "\"$0\" check --format json > /dev/full";
    let output = bash.args(["-c", script, env!("CARGO_BIN_EXE_deckle")]).output().expect("bash runs");
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("the output cannot be written"), "{output:?}");
}

#[cfg(unix)]
#[test]
fn colour_is_for_terminals_and_no_color_is_respected() {
    use super::support::terminal::Terminal;
    let env = broken();
    let colours = ("TERM", "xterm-256color");
    let shown = |variables: &[(&str, &str)]| Terminal::deckle_with(&env, variables, &["check"]).ends(1);
    let said = shown(&[colours]);
    assert!(said.contains("\u{1b}[") && said.contains("error"), "{said:?}");
    for variables in [&[colours, ("NO_COLOR", "1")][..], &[("TERM", "dumb")]] {
        let said = shown(variables);
        assert!(!said.contains('\u{1b}') && said.contains("error"), "{variables:?}: {said:?}");
    }
    let mut piped = env.command(env!("CARGO_BIN_EXE_deckle"));
    let output = piped.env_remove("NO_COLOR").env("TERM", "xterm-256color").arg("check").output().expect("it runs");
    assert!(!String::from_utf8_lossy(&output.stdout).contains('\u{1b}'));
}
