//! Several programs at once on one clone: none corrupts what another one writes, and none waits for ever.

use std::process::{Child, Command, Output, Stdio};
use std::time::{Duration, Instant};

use super::support::env::TestEnv;
use super::support::repo::sound;

const DECK: &str = "decks/year-7/thermometer/cards.yaml";

fn department() -> TestEnv {
    let env = TestEnv::new();
    env.deckle(&["start", "."]).fine();
    env
}

/// Starts all of them before it waits for any, and fails when one takes longer than anybody waits.
#[track_caller]
fn at_once(commands: impl IntoIterator<Item = Command>) -> Vec<Output> {
    let start = |mut command: Command| {
        command.stdout(Stdio::piped()).stderr(Stdio::piped()).stdin(Stdio::null()).spawn().expect("it starts")
    };
    let children: Vec<Child> = commands.into_iter().map(start).collect();
    children.into_iter().map(within_time).collect()
}

#[track_caller]
fn within_time(mut child: Child) -> Output {
    let start = Instant::now();
    while child.try_wait().expect("it can be asked").is_none() {
        if start.elapsed() > Duration::from_secs(180) {
            _ = child.kill();
            panic!("it waits for ever: {:?}", child.wait_with_output());
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    child.wait_with_output().expect("it has ended")
}

fn command(env: &TestEnv, program: &str, args: &[&str]) -> Command {
    let mut command = env.command(program);
    command.args(args);
    command
}

fn said(output: &Output) -> String {
    format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr))
}

#[test]
fn of_two_commits_at_once_each_is_whole_or_told_to_wait() {
    let env = department();
    let decks = ["decks/year-7/air/cards.yaml", "decks/year-7/sea/cards.yaml"];
    for (at, path) in decks.iter().enumerate() {
        env.write(
            path,
            format!("title: T{at}\nyear: 7\ncards:\n  - id: a-{at}\n    question: What is a{at}?\n    answer: x\n"),
        );
    }
    env.git(&["add", "--all"]).fine();
    let commit = |path: &str| command(&env, "git", &["commit", "--quiet", "--message", path, "--", path]);
    for (path, output) in decks.iter().zip(at_once(decks.iter().map(|path| commit(path)))) {
        let waits = said(&output).contains(".lock") || said(&output).contains("cannot lock ref");
        assert!(output.status.success() || waits, "{}", said(&output));
        if !output.status.success() {
            assert!(commit(path).output().expect("git runs").status.success(), "{path}");
        }
    }
    assert_eq!(env.git(&["rev-list", "--count", "HEAD"]).fine(), "3\n");
    assert_eq!(env.git(&["status", "--porcelain"]).fine(), "");
    assert_eq!(env.deckle(&["check", "--at", "HEAD"]).status, Some(0));
    sound(&env);
}

fn released(env: &TestEnv) -> Vec<String> {
    env.git(&["tag", "--list", "packs/*"]).fine().lines().map(str::to_owned).collect()
}

#[test]
fn of_two_releases_at_once_one_makes_the_edition_and_none_is_broken() {
    let env = department();
    let release = |out: &str| {
        command(&env, env!("CARGO_BIN_EXE_deckle"), &["release", "--year", "7", "--term", "autumn", "--out", out])
    };
    let both = at_once([release("one"), release("two")]);
    let texts: Vec<String> = both.iter().map(said).collect();
    assert!(both.iter().any(|output| output.status.success()), "{texts:?}");
    assert!(both.iter().all(|output| matches!(output.status.code(), Some(0 | 2))), "{texts:?}");
    let tags = released(&env);
    assert_eq!(tags.len(), 1, "nothing was new for a second edition: {tags:?} {texts:?}");
    let packs = ["one", "two"].iter().flat_map(|out| std::fs::read_dir(env.path(out)).into_iter().flatten());
    let packs: Vec<_> = packs.map(|entry| entry.expect("readable").path().display().to_string()).collect();
    assert!(!packs.is_empty(), "{texts:?}");
    for pack in packs {
        assert!(!pack.contains(".deckle-"), "{pack}");
        env.deckle(&["verify", &pack]).fine();
    }
    sound(&env);
}

#[test]
fn checks_beside_a_release_and_an_edit_see_a_whole_department() {
    let env = department();
    env.write(DECK, env.read(DECK).replace("    accept: ", "    accept:   "));
    env.git(&["commit", "--quiet", "--all", "--message", "wider"]).fine();
    let deckle = |args: &[&str]| command(&env, env!("CARGO_BIN_EXE_deckle"), args);
    let release = deckle(&["release", "--year", "7", "--term", "autumn", "--out", "packs"]);
    let all = [release, deckle(&["tidy"])].into_iter().chain((0..6).map(|_| deckle(&["check"])));
    for output in at_once(all) {
        assert!(output.status.success(), "{}", said(&output));
    }
    assert_eq!(released(&env).len(), 1);
    sound(&env);
}
