//! Whose commits those of `reconcile`, `settle` and `propose` are, and that they are signed: as git is told to.

use super::support::env::TestEnv;
use super::support::repo::{WEATHER, branch, card, clean, department, ends, parents, sound, tip};
use super::support::signing::{key, sign};

/// Two proposals that go together, and a third that words an answer in another way than the second.
fn proposals() -> TestEnv {
    let env = department();
    let weather = env.read(WEATHER);
    branch(&env, "ada", &[(WEATHER, weather.clone() + &card("frost", "Frozen dew."))]);
    branch(&env, "ben", &[(WEATHER, weather.replace("kind of gale", "sort of gale"))]);
    branch(&env, "cyd", &[(WEATHER, weather.replace("kind of gale", "type of gale"))]);
    env
}

fn signing() -> TestEnv {
    let env = proposals();
    sign(&env, &["commit.gpgSign"]);
    env
}

/// The commit is signed with Mara Okonjo's key, and hers.
#[track_caller]
fn is_signed(env: &TestEnv, folder: &str, commit: &str) {
    let verified = ends(env.git(&["-C", folder, "verify-commit", commit]), 0);
    assert!(verified.text().contains("Good \"git\" signature for mara.okonjo"), "{}", verified.text());
    let who = env.git(&["-C", folder, "log", "-1", "--format=%an <%ae>, %cn", commit]).fine();
    assert_eq!(who, "Mara Okonjo <mara.okonjo@ambleford-quay.example>, Mara Okonjo\n");
}

#[test]
fn a_reconciled_commit_is_signed() {
    let env = signing();
    _ = ends(env.deckle(&["reconcile", "ada", "ben"]), 0);
    assert_eq!(parents(&env).len(), 3);
    is_signed(&env, ".", "HEAD");
    clean(&env);
}

#[test]
fn a_reconciled_commit_in_a_bare_repository_is_signed() {
    let env = signing();
    env.git(&["clone", "--quiet", "--bare", ".", "../shared.git"]).fine();
    let signers = format!("{}.signers", key(&env));
    for (setting, value) in [
        ("gpg.format", "ssh"),
        ("user.signingKey", &*key(&env)),
        ("commit.gpgSign", "true"),
        ("gpg.ssh.allowedSignersFile", &*signers),
    ] {
        env.git(&["-C", "../shared.git", "config", setting, value]).fine();
    }
    _ = ends(env.deckle(&["-C", "../shared.git", "reconcile", "ada", "ben", "--into", "main"]), 0);
    is_signed(&env, "../shared.git", "main");
    _ = ends(env.git(&["-C", "../shared.git", "fsck", "--strict"]), 0);
}

#[test]
fn a_proposal_is_signed() {
    let env = signing();
    env.write(WEATHER, env.read(WEATHER) + &card("dew", "Water."));
    _ = ends(env.deckle(&["propose", "a card on dew"]), 0);
    is_signed(&env, ".", "a-card-on-dew");
    clean(&env);
}

#[cfg(unix)]
#[test]
fn a_commit_that_settles_is_signed() {
    use super::support::terminal::Terminal;

    let env = signing();
    _ = ends(env.deckle(&["reconcile", "ben", "cyd"]), 1);
    let mut at = Terminal::deckle(&env, &["settle"]);
    at.answers("[1] ben, [2] cyd", "1");
    at.answers("Finish the merge with a commit now?", "y");
    at.sees("committed: ");
    at.ends(0);
    assert_eq!(parents(&env), ["main^1", "ben", "cyd"].map(|name| tip(&env, name)));
    is_signed(&env, ".", "HEAD");
    clean(&env);
}

#[test]
fn what_cannot_be_signed_is_not_committed_and_git_finishes_it() {
    let env = signing();
    let main = tip(&env, "main");
    env.git(&["config", "user.signingKey", "/nowhere/key"]).fine();
    let said = ends(env.deckle(&["reconcile", "ada", "ben"]), 2);
    assert!(said.stderr.contains("everything is merged but not committed"), "{}", said.text());
    assert_eq!(tip(&env, "main"), main);
    env.git(&["config", "user.signingKey", &key(&env)]).fine();
    _ = ends(env.deckle(&["reconcile", "ada", "ben"]), 0);
    is_signed(&env, ".", "HEAD");
    clean(&env);
}

#[test]
fn a_commit_is_of_whoever_git_says_it_is() {
    let env = proposals();
    let variables = [("GIT_AUTHOR_NAME", "Idris Penhale"), ("GIT_AUTHOR_EMAIL", "idris@ambleford-quay.example")];
    _ = ends(env.deckle_with(&variables, &["reconcile", "ada", "ben"]), 0);
    let who = env.git(&["log", "-1", "--format=%an <%ae>, %cn"]).fine();
    assert_eq!(who, "Idris Penhale <idris@ambleford-quay.example>, Mara Okonjo\n");
    env.git(&["clone", "--quiet", "--bare", ".", "../shared.git"]).fine();
    env.write(WEATHER, env.read(WEATHER) + &card("dew", "Water."));
    _ = ends(env.deckle_with(&variables, &["propose", "a card on dew"]), 0);
    assert_eq!(env.git(&["log", "-1", "--format=%an <%ae>, %cn"]).fine(), who);
    sound(&env);
}

/// Without a name in its settings, git would make one up from the computer's; told not to, it says no.
#[test]
fn nobody_is_made_up() {
    let env = proposals();
    env.git(&["config", "user.useConfigOnly", "true"]).fine();
    let main = tip(&env, "main");
    let nobody: Vec<(&str, &str)> =
        ["GIT_AUTHOR_NAME", "GIT_AUTHOR_EMAIL", "GIT_COMMITTER_NAME", "GIT_COMMITTER_EMAIL"]
            .map(|name| (name, ""))
            .into();
    let unnamed = [&nobody[..], &[("GIT_CONFIG_GLOBAL", "/dev/null")]].concat();
    let said = ends(env.deckle_with(&unnamed, &["reconcile", "ada", "ben"]), 2);
    assert!(said.stderr.contains("git does not know who you are"), "{}", said.text());
    assert_eq!(tip(&env, "main"), main);
    clean(&env);
    env.write(WEATHER, env.read(WEATHER) + &card("dew", "Water."));
    let said = ends(env.deckle_with(&unnamed, &["propose", "a card on dew"]), 2);
    assert!(said.stderr.contains("git does not know who you are"), "{}", said.text());
    assert_eq!(env.git(&["branch", "--show-current"]).fine(), "main\n");
    assert_eq!(env.git(&["status", "--porcelain"]).fine(), format!(" M {WEATHER}\n"));
}
