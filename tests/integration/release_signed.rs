//! Tags of packs that are signed, because the user's settings of git say so.

use super::releasing::{ALL, YEAR_8, department};
use super::support::env::TestEnv;
use super::support::repo::ends;
use super::support::signing::{key, sign};

const TAG: &str = "packs/year-8/autumn-2026/1";

/// Somebody who signs tags.
fn signing() -> TestEnv {
    let env = department();
    sign(&env, &["tag.gpgSign"]);
    env
}

#[test]
fn tags_are_signed_as_git_is_told_to() {
    let env = signing();
    env.deckle(&ALL).fine();
    let verified = ends(env.git(&["tag", "--verify", TAG]), 0);
    assert!(verified.text().contains("Good \"git\" signature for mara.okonjo"), "{}", verified.text());
    // A signature at the end of a tag's message is no part of what the message says of the pack.
    env.deckle(&["verify", YEAR_8, "--rebuild"]).fine();
    assert!(env.deckle(&ALL).fine().contains("nothing new"));
    let plain = department();
    plain.deckle(&ALL).fine();
    assert!(!plain.git(&["cat-file", "tag", TAG]).fine().contains("SIGNATURE"));
    let zip = |env: &TestEnv| std::fs::read(env.path(YEAR_8)).expect("the pack");
    assert!(zip(&env) == zip(&plain), "the pack itself does not depend on who signs");
}

#[test]
fn a_tag_that_cannot_be_signed_is_not_set_and_the_next_run_finishes() {
    let env = signing();
    env.git(&["config", "user.signingKey", "/nowhere/key"]).fine();
    let said = ends(env.deckle(&ALL), 2);
    assert!(said.stderr.contains("but the tag packs/year-7/autumn-2026/1 cannot be set"), "{}", said.text());
    assert_eq!(env.git(&["tag"]).fine(), "");
    assert!(env.path(YEAR_8).exists());
    env.git(&["config", "user.signingKey", &key(&env)]).fine();
    env.deckle(&ALL).fine();
    _ = ends(env.git(&["tag", "--verify", TAG]), 0);
}

#[test]
fn nothing_is_written_when_git_does_not_know_who_releases() {
    let env = department();
    let anonymous = [("GIT_COMMITTER_NAME", ""), ("GIT_COMMITTER_EMAIL", "")];
    env.git(&["config", "user.useConfigOnly", "true"]).fine();
    let said = ends(env.deckle_with(&anonymous, &ALL), 2);
    assert!(said.stderr.contains("git does not know who you are"), "{}", said.text());
    assert!(!env.path("out").exists());
}
