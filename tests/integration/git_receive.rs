//! The hook of a shared bare repository, run by `git push`.

use super::support::env::{Said, TestEnv};
use super::support::repo::{RIVERS, WEATHER, branch, card, change, commit, department, ends, tip};

/// A department with a shared repository beside it, whose hook is in, and which has main already.
fn shared() -> TestEnv {
    let env = department();
    env.git(&["clone", "--quiet", "--bare", ".", "../shared.git"]).fine();
    env.git(&["remote", "add", "origin", "../shared.git"]).fine();
    env.git(&["push", "--quiet", "--set-upstream", "origin", "main"]).fine();
    let said = ends(env.deckle(&["-C", "../shared.git", "hooks"]), 0);
    assert!(said.stdout.contains("hooks/pre-receive"), "{}", said.text());
    env
}

fn push(env: &TestEnv, name: &str) -> Said {
    env.git(&["push", "--quiet", "origin", name])
}

fn there(env: &TestEnv, name: &str) -> String {
    env.git(&["-C", "../shared.git", "rev-parse", "--verify", "--quiet", name]).stdout.trim().to_owned()
}

#[test]
fn sound_cards_get_through_and_mistakes_do_not() {
    let env = shared();
    change(&env, "ada", &[(WEATHER, env.read(WEATHER) + &card("frost", "Frozen dew."))]);
    _ = ends(push(&env, "main"), 0);
    assert_eq!(there(&env, "main"), tip(&env, "main"));
    let before = there(&env, "main");
    change(&env, "ada", &[(WEATHER, env.read(WEATHER) + "  - id: hail\n    question: What is hail?\n")]);
    let refused = ends(push(&env, "main"), 1);
    assert!(refused.stderr.contains("remote: 1 mistake would come into `main`"), "{}", refused.text());
    assert!(
        refused.stderr.contains(WEATHER) && refused.stderr.contains("Nothing was taken over here"),
        "{}",
        refused.text()
    );
    assert_eq!(there(&env, "main"), before);
    // A branch of one's own is nobody's business yet.
    env.git(&["switch", "--quiet", "--create", "hail"]).fine();
    _ = ends(push(&env, "hail"), 0);
}

#[test]
fn undecided_cards_stay_out() {
    let env = shared();
    let open = "    undecided:\n      answer:\n        - side: ada\n          value: A\n        - side: ben\n          value: B\n";
    change(&env, "ada", &[(WEATHER, env.read(WEATHER) + &card("frost", "Frozen dew.") + open)]);
    let refused = ends(push(&env, "main"), 1);
    assert!(
        refused.stderr.contains("[undecided]") && refused.stderr.contains("deckle settle frost answer"),
        "{}",
        refused.text()
    );
}

#[test]
fn what_was_wrong_before_stops_nobody() {
    let env = department();
    env.write(RIVERS, env.read(RIVERS) + "  - id: ford\n    question: What is a ford?\n");
    commit(&env, "Mara Okonjo", "an old mistake");
    env.git(&["clone", "--quiet", "--bare", ".", "../shared.git"]).fine();
    env.git(&["remote", "add", "origin", "../shared.git"]).fine();
    _ = ends(env.deckle(&["-C", "../shared.git", "hooks"]), 0);
    change(&env, "ada", &[(WEATHER, env.read(WEATHER) + &card("frost", "Frozen dew."))]);
    _ = ends(push(&env, "main"), 0);
    // A merge is judged by what it comes to, not commit by commit.
    branch(&env, "ben", &[(RIVERS, env.read(RIVERS) + "  - id: weir\n    question: What is a weir?\n")]);
    env.git(&["switch", "--quiet", "ben"]).fine();
    change(&env, "ben", &[(RIVERS, env.read(RIVERS) + "    answer: A low dam.\n")]);
    env.git(&["switch", "--quiet", "main"]).fine();
    env.git(&["merge", "--quiet", "--no-ff", "--no-edit", "ben"]).fine();
    _ = ends(push(&env, "main"), 0);
}

#[test]
fn tags_of_packs_are_made_by_release_and_never_move() {
    let env = shared();
    let name = "packs/year-8/autumn-2026/1";
    env.git(&["tag", name]).fine();
    let refused = ends(push(&env, name), 1);
    assert!(refused.stderr.contains("is no released pack: nobody's name is on it"), "{}", refused.text());
    let commit = env.git(&["rev-parse", "HEAD"]).fine();
    let digest = "0123456789abcdef".repeat(4);
    let message = |edition: u32, commit: &str, zip: &str| {
        format!("Geography, year 8, autumn 2026, edition {edition}\n\nCommit: {}\n\nSHA-256:\n{zip}\n", commit.trim())
    };
    let zip = format!("{digest}  geography-year-8-autumn-2026-edition-1.zip");
    let other = "f".repeat(40);
    for (message, why) in [
        ("an edition".to_owned(), "it holds no SHA-256 of a pack"),
        (message(1, &commit, "abc  x.zip"), "it holds no SHA-256 of a pack"),
        (message(1, &other, &zip), "another commit than the one it stands on"),
        (message(2, &commit, &zip), "another year group, term or edition"),
    ] {
        env.git(&["tag", "--force", "--annotate", "--message", &message, name]).fine();
        let refused = ends(push(&env, name), 1);
        assert!(refused.stderr.contains(why), "{why}: {}", refused.text());
    }
    // As a release would write it, but the commit gives no such pack.
    env.git(&["tag", "--force", "--annotate", "--message", &message(1, &commit, &zip), name]).fine();
    let refused = ends(push(&env, name), 1);
    assert!(refused.stderr.contains("it cannot be built from its commit"), "{}", refused.text());
    env.git(&["tag", "--annotate", "--message", "x", "packs/rivers"]).fine();
    let refused = ends(push(&env, "packs/rivers"), 1);
    assert!(refused.stderr.contains("a year group, a term and a number"), "{}", refused.text());
    change(&env, "ada", &[(WEATHER, env.read(WEATHER) + "  - id: hail\n    question: What is hail?\n")]);
    let commit = env.git(&["rev-parse", "HEAD"]).fine();
    env.git(&["tag", "--annotate", "--message", &message(2, &commit, &zip), "packs/year-8/autumn-2026/2"]).fine();
    let refused = ends(push(&env, "packs/year-8/autumn-2026/2"), 1);
    assert!(refused.stderr.contains("its cards have 1 mistake"), "{}", refused.text());
    _ = ends(env.git(&["push", "--quiet", "origin", "HEAD:refs/tags/other"]), 0);
}

/// The same, with terms and a scheme, so that packs can be released.
fn releasing() -> TestEnv {
    let env = shared();
    let more = "terms:\n  - {name: autumn, starts: 2026-09-02, ends: 2026-12-18}\nscheme:\n  - {deck: year-8/rivers, term: autumn}\n";
    change(&env, "ada", &[("decks/department.yaml", env.read("decks/department.yaml") + more)]);
    _ = ends(push(&env, "main"), 0);
    env
}

const RELEASE: [&str; 7] = ["release", "--year", "8", "--term", "autumn", "--out", "../packs"];

#[test]
fn a_tag_is_taken_when_its_commit_gives_the_very_pack() {
    let env = releasing();
    let first = "packs/year-8/autumn-2026/1";
    env.deckle(&RELEASE).fine();
    let taken = ends(push(&env, first), 0);
    assert!(taken.stderr.contains("building `packs/year-8/autumn-2026/1` again to compare it"), "{}", taken.text());
    env.git(&["tag", "--force", "--annotate", "--message", "another", first]).fine();
    let refused = ends(env.git(&["push", "--quiet", "--force", "origin", first]), 1);
    assert!(refused.stderr.contains("is never changed or taken back"), "{}", refused.text());
    let refused = ends(env.git(&["push", "--quiet", "origin", "--delete", first]), 1);
    assert!(refused.stderr.contains("is never changed or taken back"), "{}", refused.text());
}

#[test]
fn two_editions_in_one_push_are_each_compared_and_a_changed_digest_is_refused() {
    let env = releasing();
    env.deckle(&RELEASE).fine();
    change(&env, "ben", &[(RIVERS, env.read(RIVERS).replace("kind of levee", "sort of levee"))]);
    env.deckle(&RELEASE).fine();
    let both = ["packs/year-8/autumn-2026/1", "packs/year-8/autumn-2026/2"];
    let message = env.git(&["tag", "--list", "--format=%(contents)", both[1]]).fine();
    let digest = message.lines().find(|line| line.ends_with("  cards.csv")).expect("a digest")[..64].to_owned();
    let zip = message.lines().find(|line| line.ends_with(".zip")).expect("a digest")[..64].to_owned();
    let forged = message.replace(&digest, &"0".repeat(64)).replace(&zip, &"1".repeat(64));
    let sound = tip(&env, both[1]);
    let target = tip(&env, &format!("{}^{{commit}}", both[1]));
    env.git(&["tag", "--force", "--annotate", "--message", &forged, both[1], &target]).fine();
    let refused = ends(env.git(&["push", "--quiet", "origin", "main", both[0], both[1]]), 1);
    assert!(
        refused.stderr.contains("is not what its commit gives: `cards.csv` would be another"),
        "{}",
        refused.text()
    );
    assert_eq!(there(&env, both[0]), "");
    env.git(&["update-ref", &format!("refs/tags/{}", both[1]), &sound]).fine();
    _ = ends(env.git(&["push", "--quiet", "origin", "main", both[0], both[1]]), 0);
    assert_eq!(there(&env, both[1]), sound);
}

#[test]
fn the_hook_goes_in_beside_others_and_out_again() {
    let env = shared();
    let hook = "../shared.git/hooks/pre-receive";
    assert_eq!(env.read(hook), include_str!("../../hooks/pre-receive"));
    _ = ends(env.deckle(&["-C", "../shared.git", "hooks"]), 0);
    _ = ends(env.deckle(&["-C", "../shared.git", "hooks", "--remove"]), 0);
    assert!(!env.path(hook).exists());
    env.write(hook, "#!/bin/sh\nexit 0\n");
    let kept = ends(env.deckle(&["-C", "../shared.git", "hooks"]), 1);
    assert!(kept.stdout.contains("left as it is"), "{}", kept.text());
    assert_eq!(env.read(hook), "#!/bin/sh\nexit 0\n");
}

#[test]
fn a_bare_repository_inside_a_department_is_judged_by_itself() {
    let env = department();
    env.git(&["clone", "--quiet", "--bare", ".", "shared.git"]).fine();
    env.write(WEATHER, "title: [broken\n");
    assert_eq!(env.deckle(&["check"]).status, Some(1));
    _ = ends(env.deckle(&["-C", "shared.git", "check"]), 0);
}
