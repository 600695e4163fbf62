//! `deckle propose`: branch, check, commit and push in one go, or nothing at all.

use super::support::repo::{RIVERS, WEATHER, card, commit, department, ends, sound, tip};

#[test]
fn changes_become_a_branch_named_from_the_words_and_are_sent() {
    let env = department();
    env.git(&["clone", "--quiet", "--bare", ".", "../shared.git"]).fine();
    env.git(&["remote", "add", "origin", "../shared.git"]).fine();
    let main = tip(&env, "main");
    env.write(WEATHER, env.read(WEATHER) + &card("frost", "Frozen dew."));
    env.write("decks/year-8/rivers/pictures/new.svg", "<svg xmlns=\"http://www.w3.org/2000/svg\"/>\n");
    env.write("scratch.txt", "mine\n");
    let said = ends(env.deckle(&["propose", "Weather: a card on frost!"]), 0);
    assert!(
        said.stdout.contains("proposed on the new branch `weather-a-card-on-frost` (cards: 1 added)"),
        "{}",
        said.text()
    );
    assert!(said.stdout.contains("sent to origin"), "{}", said.text());
    assert_eq!(env.git(&["branch", "--show-current"]).fine(), "weather-a-card-on-frost\n");
    assert_eq!(env.git(&["log", "-1", "--format=%s|%P"]).fine(), format!("Weather: a card on frost!|{main}\n"));
    assert_eq!(env.git(&["status", "--porcelain"]).fine(), "?? scratch.txt\n");
    assert_eq!(tip(&env, "main"), main);
    assert_eq!(
        env.git(&["ls-remote", "origin", "weather-a-card-on-frost"]).fine().split_whitespace().next(),
        Some(tip(&env, "HEAD").as_str())
    );
    // More changes go onto the same proposal.
    env.write(RIVERS, env.read(RIVERS).replace("kind of delta", "sort of delta"));
    let said = ends(env.deckle(&["propose", "and deltas"]), 0);
    assert!(
        said.stdout.contains("added to your branch `weather-a-card-on-frost` (cards: 1 edited)"),
        "{}",
        said.text()
    );
    // A name that is taken, here or there, gets a number.
    env.git(&["switch", "--quiet", "main"]).fine();
    env.git(&["branch", "--quiet", "-D", "weather-a-card-on-frost"]).fine();
    env.write(WEATHER, env.read(WEATHER) + &card("dew", "Water."));
    let said = ends(env.deckle(&["propose", "weather: a card on frost"]), 0);
    assert!(said.stdout.contains("`weather-a-card-on-frost-2`"), "{}", said.text());
    sound(&env);
}

#[test]
fn mistakes_are_shown_and_everything_is_as_it_was() {
    let env = department();
    let index = std::fs::read(env.path(".git/index")).expect("an index");
    env.write(WEATHER, env.read(WEATHER) + "  - id: hail\n    question: What is hail?\n");
    let status = env.git(&["status", "--porcelain"]).fine();
    let said = ends(env.deckle(&["propose", "hail"]), 1);
    assert!(said.stdout.contains("[missing-field]") && said.stderr.contains("nothing was changed"), "{}", said.text());
    assert_eq!(env.git(&["branch", "--all", "--format=%(refname)"]).fine(), "refs/heads/main\n");
    assert_eq!(env.git(&["status", "--porcelain"]).fine(), status);
    assert_eq!(env.git(&["diff", "--cached"]).fine(), "");
    assert!(!index.is_empty());
}

#[test]
fn a_hook_that_says_no_leaves_everything_as_it_was() {
    let env = department();
    env.write(".git/hooks/pre-commit", "#!/bin/sh\necho 'not on a Friday' >&2\nexit 1\n");
    env.command("chmod").args(["+x", ".git/hooks/pre-commit"]).status().expect("chmod runs");
    env.write(WEATHER, env.read(WEATHER) + &card("frost", "Frozen dew."));
    let said = ends(env.deckle(&["propose", "frost"]), 2);
    assert!(said.stderr.contains("not on a Friday") && said.stderr.contains("as they were"), "{}", said.text());
    assert_eq!(env.git(&["branch", "--all", "--format=%(refname)"]).fine(), "refs/heads/main\n");
    assert_eq!(env.git(&["status", "--porcelain"]).fine(), format!(" M {WEATHER}\n"));
}

#[test]
fn nothing_changed_is_nothing_to_propose_and_a_remote_that_is_away_loses_nothing() {
    let env = department();
    let said = ends(env.deckle(&["propose", "nothing"]), 0);
    assert!(said.stdout.contains("nothing to propose"), "{}", said.text());
    env.git(&["remote", "add", "origin", "../nowhere.git"]).fine();
    env.write(WEATHER, env.read(WEATHER) + &card("frost", "Frozen dew."));
    let said = ends(env.deckle(&["propose", "frost"]), 2);
    assert!(
        said.stderr.contains("committed here") && said.stderr.contains("git push --set-upstream origin frost"),
        "{}",
        said.text()
    );
    assert_eq!(env.git(&["status", "--porcelain"]).fine(), "");
    assert_eq!(env.git(&["branch", "--show-current"]).fine(), "frost\n");
}

#[test]
fn other_peoples_older_mistakes_stop_nobody() {
    let env = department();
    env.write(RIVERS, env.read(RIVERS) + "  - id: ford\n    question: What is a ford?\n");
    commit(&env, "Mara Okonjo", "an old mistake");
    env.write(WEATHER, env.read(WEATHER) + &card("frost", "Frozen dew."));
    let said = ends(env.deckle(&["propose", "frost"]), 0);
    assert!(said.stdout.contains("deckle reconcile frost"), "{}", said.text());
}
