//! Plain `git merge` with the drivers: card by card, undecided where it must be, settled afterwards.

use super::support::env::{Said, TestEnv};

const DECK: &str = "decks/year-7/thermometer/cards.yaml";

/// A department in which each of two people has changed the deck on a branch of their own.
fn two_branches(ours: impl Fn(&str) -> String, theirs: impl Fn(&str) -> String) -> TestEnv {
    let mut env = TestEnv::new();
    env.deckle(&["start", "."]).fine();
    for (name, change) in [("ada", &ours as &dyn Fn(&str) -> String), ("ben", &theirs)] {
        env.git(&["switch", "--quiet", "--create", name, "main"]).fine();
        env.write(DECK, change(&env.read(DECK)));
        env.author(if name == "ada" { "Ada Brandt" } else { "Ben Castell" }, "2026-10-05T10:00:00+00:00");
        env.git(&["commit", "--quiet", "--all", "--message", name]).fine();
    }
    env.author("Mara Okonjo", "2026-10-06T10:00:00+00:00");
    env.git(&["switch", "--quiet", "ada"]).fine();
    env
}

fn merge(env: &TestEnv) -> Said {
    env.git(&["merge", "--no-edit", "ben"])
}

fn new_card(id: &str) -> String {
    format!("\n  - id: {id}\n    question: What is {id}?\n    answer: Something about it\n")
}

#[test]
fn different_cards_different_fields_and_one_place_merge_by_themselves() {
    let env = two_branches(
        |deck| deck.replace("answer: A thermometer", "answer: The thermometer") + &new_card("frost"),
        |deck| deck.replace("accept: [thermometer]", "accept: [thermometer, a glass thermometer]") + &new_card("dew"),
    );
    assert_eq!(merge(&env).status, Some(0));
    let deck = env.read(DECK);
    for part in ["answer: The thermometer\n", "[thermometer, a glass thermometer]", "- id: frost", "- id: dew"] {
        assert!(deck.contains(part), "{deck}");
    }
    assert_eq!(env.deckle(&["check"]).status, Some(0));
    assert_eq!(env.git(&["fsck"]).status, Some(0));
}

#[test]
fn a_question_edited_twice_stops_undecided_until_it_is_settled() {
    let env = two_branches(
        |deck| deck.replace("does it hang?", "does it hang, in metres?"),
        |deck| deck.replace("does it hang?", "should it hang?"),
    );
    let stopped = merge(&env);
    assert_eq!(stopped.status, Some(1), "{}", stopped.text());
    assert!(stopped.stderr.contains("deckle settle thermometer-height question"), "{}", stopped.text());
    let yaml: serde_yaml::Value = serde_yaml::from_str(&env.read(DECK)).expect("sound YAML");
    let versions = &yaml["cards"][1]["undecided"]["question"];
    assert_eq!(versions[0]["value"].as_str(), Some("How high above the ground does it hang, in metres?"));
    assert_eq!(versions[0]["by"].as_str(), Some("Ada Brandt"));
    assert_eq!(versions[1]["value"].as_str(), Some("How high above the ground should it hang?"));
    assert_eq!(versions[1]["by"].as_str(), Some("Ben Castell"));
    let refused = env.git(&["commit", "--all", "--no-edit"]);
    assert!(refused.status == Some(1) && refused.text().contains("[undecided]"), "{}", refused.text());
    assert_eq!(env.deckle(&["settle"]).status, Some(1));
    env.deckle(&["settle", "thermometer-height", "question", "--take", "theirs"]).fine();
    env.git(&["commit", "--quiet", "--all", "--no-edit"]).fine();
    assert!(
        env.read(DECK).contains("question: How high above the ground should it hang?\n")
            && !env.read(DECK).contains("undecided")
    );
    assert_eq!(env.git(&["log", "-1", "--format=%p"]).fine().split_whitespace().count(), 2);
}

#[test]
fn a_merge_can_be_given_up() {
    let env = two_branches(
        |deck| deck.replace("does it hang?", "does it hang, in metres?"),
        |deck| deck.replace("does it hang?", "should it hang?"),
    );
    let before = env.read(DECK);
    assert_eq!(merge(&env).status, Some(1));
    env.git(&["merge", "--abort"]).fine();
    assert_eq!(env.read(DECK), before);
    assert_eq!(env.git(&["status", "--porcelain"]).fine(), "");
}

#[test]
fn sound_alone_and_wrong_together_is_not_committed() {
    let question = "\n  - id: ID\n    question: What is frost?\n    answer: Frozen dew\n";
    let env = two_branches(
        |deck| deck.to_owned() + &question.replace("ID", "frost"),
        |deck| deck.to_owned() + &question.replace("ID", "hoar"),
    );
    let stopped = merge(&env);
    assert_eq!(stopped.status, Some(1), "{}", stopped.text());
    assert!(stopped.text().contains("two cards ask the same question"), "{}", stopped.text());
    env.git(&["merge", "--abort"]).fine();
}

#[test]
fn rebase_cherry_pick_and_stash_use_the_driver_too() {
    let edits = || {
        two_branches(
            |deck| deck.replace("answer: A thermometer", "answer: The thermometer") + &new_card("frost"),
            |deck| deck.replace("1.5 metres\n", "1.5 m\n") + &new_card("dew"),
        )
    };
    let both = |env: &TestEnv| {
        let deck = env.read(DECK);
        assert!(
            ["The thermometer", "1.5 m\n", "- id: frost", "- id: dew"].iter().all(|part| deck.contains(part)),
            "{deck}"
        );
    };
    let env = edits();
    env.git(&["rebase", "--quiet", "ben"]).fine();
    both(&env);
    let env = edits();
    env.git(&["cherry-pick", "ben"]).fine();
    both(&env);
    let env = edits();
    env.write(DECK, env.read(DECK).replace("year: 7\n", "year: 7 # again\n"));
    env.git(&["stash", "--quiet"]).fine();
    env.git(&["merge", "--quiet", "--no-edit", "ben"]).fine();
    env.git(&["stash", "pop", "--quiet"]).fine();
    both(&env);
    assert!(env.read(DECK).contains("year: 7 # again"));
}

/// Git is in the middle of nothing then, and keeps the stash.
#[test]
fn what_a_stash_leaves_undecided_is_settled_and_need_not_be_committed() {
    let env = two_branches(
        |deck| deck.replace("answer: A thermometer", "answer: The thermometer"),
        |deck| deck.replace("answer: A thermometer", "answer: One thermometer"),
    );
    env.git(&["switch", "--quiet", "--detach", "ben^"]).fine();
    env.git(&["restore", "--source", "ben", DECK]).fine();
    env.git(&["stash", "--quiet"]).fine();
    env.git(&["switch", "--quiet", "ada"]).fine();
    let popped = env.git(&["stash", "pop"]);
    assert!(popped.status == Some(1) && popped.stderr.contains("deckle settle"), "{}", popped.text());
    let said = env.deckle(&["settle", "thermometer", "--take", "theirs"]).fine();
    assert!(said.contains("finish with `git add --all`; what was put aside is kept until `git stash drop`"), "{said}");
    env.git(&["add", "--all"]).fine();
    assert_eq!(env.git(&["status", "--porcelain"]).fine(), format!("M  {DECK}\n"));
    assert!(env.read(DECK).contains("answer: One thermometer") && !env.read(DECK).contains("undecided"));
    assert_eq!(env.git(&["stash", "list"]).fine().lines().count(), 1);
}

#[test]
fn a_deck_that_cannot_be_read_is_merged_by_lines() {
    let mut env = TestEnv::new();
    env.deckle(&["start", "."]).fine();
    for name in ["ada", "ben"] {
        env.git(&["switch", "--quiet", "--create", name, "main"]).fine();
        env.write(DECK, env.read(DECK).replace("answer: A thermometer", &format!("answer: [{name}")));
        env.author(name, "2026-10-05T10:00:00+00:00");
        env.git(&["commit", "--quiet", "--no-verify", "--all", "--message", name]).fine();
    }
    let stopped = env.git(&["merge", "ada"]);
    assert_eq!(stopped.status, Some(1));
    let deck = env.read(DECK);
    assert!(deck.contains("<<<<<<<") && deck.contains("answer: [ada") && deck.contains("answer: [ben"), "{deck}");
    let told = env.deckle(&["settle"]);
    assert!(told.status == Some(1) && told.stdout.contains("Keep the right lines"), "{}", told.text());
}

#[test]
fn settle_says_what_to_do_where_git_left_its_marks() {
    let env = two_branches(
        |deck| deck.replace("does it hang?", "does it hang, in metres?"),
        |deck| deck.replace("does it hang?", "should it hang?"),
    );
    env.git(&["config", "--remove-section", "merge.deckle"]).fine();
    assert_eq!(merge(&env).status, Some(1));
    assert!(env.read(DECK).contains("<<<<<<<"));
    let told = env.deckle(&["settle"]);
    assert_eq!(told.status, Some(1), "{}", told.text());
    assert!(told.stdout.contains(&format!("git left both sides between `<<<<<<<` and `>>>>>>>` in {DECK}\n")));
    assert!(!told.stdout.contains("nothing is undecided"), "{}", told.text());
    let again = ["checkout", "--merge", "--", DECK];
    assert!(told.stdout.contains(&format!("    deckle hooks\n    git {}\n", again.join(" "))), "{}", told.text());
    let named = env.deckle(&["settle", "thermometer-height"]);
    assert!(named.status == Some(2) && named.stdout.contains("git left both sides"), "{}", named.text());

    env.deckle(&["hooks"]).fine();
    env.git(&again).fine();
    env.deckle(&["settle", "thermometer-height", "question", "--take", "theirs"]).fine();
    assert_eq!(env.deckle(&["settle"]).fine(), "nothing is undecided\n");
    env.git(&["add", DECK]).fine();
    env.git(&["commit", "--quiet", "--no-edit"]).fine();
    assert!(env.read(DECK).contains("should it hang?"));
}

#[test]
fn git_diff_and_log_show_cards() {
    let env = two_branches(
        |deck| deck.replace("does it hang?", "does it hang, in metres?"),
        |deck| deck.replace("year: 7", "year: 7 # ben"),
    );
    let diff = env.git(&["diff", "main", "ada"]).fine();
    assert!(diff.contains("thermometer-height\n") && diff.contains("in metres]?"), "{diff}");
    let log = env.git(&["log", "-p", "-1", "ada"]).fine();
    assert!(
        log.contains("card thermometer-height")
            && log.contains("+  question: How high above the ground does it hang, in metres?"),
        "{log}"
    );
}
