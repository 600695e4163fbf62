//! Commands of which every step fails in turn, or is the last before the program is killed.

use super::env::{Said, TestEnv};

/// The exit status of a program that was ended at a step.
pub const ENDED: i32 = deckle::snapshot::step::ENDED;

/// What was done to a command.
#[derive(Clone, Debug)]
pub struct Faulty {
    /// Where, in words for a failing test.
    pub what: String,
    /// Whether the program was killed; else the step failed and the program went on to its end.
    pub killed: bool,
    /// What it said.
    pub said: Said,
}

/// How many steps a command takes that changes something.
#[track_caller]
pub fn steps(env: &TestEnv, args: &[&str]) -> usize {
    let said = env.copy().deckle_with(&[("DECKLE_FAULT", "count")], args);
    let counted = said.stderr.lines().find_map(|line| line.strip_prefix("steps: ")?.parse().ok());
    counted.unwrap_or_else(|| panic!("no steps were counted: {}", said.text()))
}

/// Runs a command in a copy of `env` for each of its steps, once with the step failing and once with
/// the program killed there, and hands what is left to `judge`.
#[track_caller]
pub fn at_every_step(env: &TestEnv, args: &[&str], mut judge: impl FnMut(&TestEnv, &Faulty)) {
    let steps = steps(env, args);
    assert!(steps > 0, "`deckle {}` takes no step", args.join(" "));
    for step in 1..=steps {
        for kind in ["fails", "ends"] {
            let copy = env.copy();
            let plan = format!("{kind}:{step}");
            let said = copy.deckle_with(&[("DECKLE_FAULT", &plan)], args);
            let killed = kind == "ends";
            assert_eq!(said.status == Some(ENDED), killed, "{plan} of {steps}: {}", said.text());
            judge(&copy, &Faulty { what: format!("{plan} of {steps}"), killed, said });
        }
    }
}

/// Nothing in the making was left anywhere in the working folder or git's.
#[track_caller]
pub fn no_leftovers(env: &TestEnv, what: &str) {
    let files = walkdir::WalkDir::new(env.work()).into_iter().filter_map(Result::ok);
    let left: Vec<_> = files.filter(|entry| entry.file_name().to_string_lossy().starts_with(".deckle-")).collect();
    assert!(left.is_empty(), "{what}: {left:?}");
}
