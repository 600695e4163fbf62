//! Histories that are no simple forks: branches that took each other in, and several branches at once.

use std::collections::BTreeSet;

use super::support::env::TestEnv;
use super::support::repo::{
    NOTES, RIVERS, WEATHER, branch, card, change, clean, commit, department, ends, parents, sound, tip,
};

/// Lets git merge decks by this program, or by lines.
fn driver(env: &TestEnv, by_cards: bool) {
    let call = "deckle merge-driver %O %A %B --path %P --ours-name %X --theirs-name %Y";
    if by_cards {
        env.git(&["config", "merge.deckle.driver", call]).fine();
    } else {
        _ = env.git(&["config", "--unset", "merge.deckle.driver"]);
    }
}

/// Ada and Ben each add a card at the end of one deck, and each take the other's first commit in; so the two
/// branches have two best common ancestors. Then each words their own card in another way.
fn crossed() -> TestEnv {
    let env = department();
    let weather = env.read(WEATHER);
    branch(&env, "ada", &[(WEATHER, weather.clone() + &card("frost", "Frozen dew."))]);
    branch(&env, "ben", &[(WEATHER, weather + &card("dew", "Water on grass."))]);
    let (ada, ben) = (tip(&env, "ada"), tip(&env, "ben"));
    for (mine, other) in [("ada", &ben), ("ben", &ada)] {
        env.git(&["switch", "--quiet", mine]).fine();
        _ = ends(env.deckle(&["reconcile", other]), 0);
    }
    env.git(&["switch", "--quiet", "ada"]).fine();
    change(&env, "ada", &[(WEATHER, env.read(WEATHER).replace("Water on grass.\n", "Water on cold grass.\n"))]);
    env.git(&["switch", "--quiet", "ben"]).fine();
    change(&env, "ben", &[(WEATHER, env.read(WEATHER).replace("meant by frost?", "meant by a frost?"))]);
    assert_eq!(env.git(&["merge-base", "--all", "ada", "ben"]).fine().lines().count(), 2);
    env
}

#[test]
fn a_crossing_that_lines_cannot_merge_comes_out_with_both_cards() {
    let env = crossed();
    driver(&env, false);
    // With either of the two ancestors as the base, lines are in conflict.
    for base in env.git(&["merge-base", "--all", "ada", "ben"]).fine().lines() {
        for (version, name) in [(base, "base"), ("ada", "ours"), ("ben", "theirs")] {
            env.write(&format!("../{name}"), env.git(&["show", &format!("{version}:{WEATHER}")]).fine());
        }
        let lines = env.git(&["merge-file", "-p", "../ours", "../base", "../theirs"]);
        assert!(lines.status != Some(0) && lines.stdout.contains("<<<<<<<"), "{}", lines.text());
    }
    let whole = |env: &TestEnv| {
        let deck = env.read(WEATHER);
        assert!(deck.contains("meant by dew?\n    answer: Water on cold grass.\n"), "{deck}");
        assert!(deck.contains("meant by a frost?\n    answer: Frozen dew.\n"), "{deck}");
        assert_eq!(deck.matches("- id:").count(), 5, "{deck}");
        clean(env);
    };
    driver(&env, true);
    let ben = tip(&env, "ben");
    env.git(&["merge", "--quiet", "--no-edit", "ada"]).fine();
    whole(&env);
    env.git(&["reset", "--quiet", "--hard", &ben]).fine();
    _ = ends(env.deckle(&["reconcile", "ada"]), 0);
    assert_eq!(parents(&env), [ben, tip(&env, "ada")]);
    whole(&env);
}

/// Both had to decide between the same two wordings when they took each other in, and decided differently.
/// From one ancestor alone it looks as if only one of them had changed anything.
#[test]
fn a_crossing_that_lines_would_decide_by_themselves_is_asked_about() {
    let env = department();
    let weather = env.read(WEATHER);
    branch(&env, "ada", &[(WEATHER, weather.replace("kind of gale", "sort of gale"))]);
    branch(&env, "ben", &[(WEATHER, weather.replace("kind of gale", "type of gale"))]);
    let (ada, ben) = (tip(&env, "ada"), tip(&env, "ben"));
    for (mine, other, taken) in [("ada", &ben, "sort"), ("ben", &ada, "type")] {
        env.git(&["switch", "--quiet", mine]).fine();
        _ = ends(env.deckle(&["reconcile", other]), 1);
        env.deckle(&["settle", "gale", "--take", &format!("It is a {taken} of gale thing.")]).fine();
        commit(&env, "Ada Brandt", "settled");
    }
    assert_eq!(env.git(&["merge-base", "--all", "ada", "ben"]).fine().lines().count(), 2);
    // With Ben's first commit as the base, only Ada's answer is new: by lines, Ben's decision would be lost.
    for (version, name) in [(&*ben, "base"), ("ada", "ours"), ("ben", "theirs")] {
        env.write(&format!("../{name}"), env.git(&["show", &format!("{version}:{WEATHER}")]).fine());
    }
    let lines = env.git(&["merge-file", "-p", "../ours", "../base", "../theirs"]).fine();
    assert!(lines.contains("sort of gale") && !lines.contains("type of gale"), "{lines}");
    let said = ends(env.deckle(&["reconcile", "ada"]), 1);
    assert!(said.stdout.contains("deckle settle gale answer"), "{}", said.text());
    let deck = env.read(WEATHER);
    assert!(deck.contains("value: It is a sort of gale") && deck.contains("value: It is a type of gale"), "{deck}");
    env.git(&["merge", "--abort"]).fine();
    clean(&env);
}

/// Three proposals over two decks: cards at one place, fields of one card, a list, an order, a card that goes to
/// the other deck, notes.
fn three() -> TestEnv {
    let env = department();
    env.write(
        WEATHER,
        env.read(WEATHER).replace("kind of front thing.\n", "kind of front thing.\n    accept: [A front]\n"),
    );
    commit(&env, "Mara Okonjo", "wordings that count");
    let (weather, rivers, notes) = (env.read(WEATHER), env.read(RIVERS), env.read(NOTES));
    let accept = |words: &str| weather.replace("[A front]", words);
    branch(
        &env,
        "ada",
        &[
            (WEATHER, accept("[A front, Fronts]").replace("kind of gale", "sort of gale") + &card("frost", "Ice.")),
            (NOTES, notes.replace("A river runs.", "A river runs downhill.")),
        ],
    );
    branch(
        &env,
        "ben",
        &[
            (
                WEATHER,
                accept("[A front, The front]").replace("meant by gale", "meant by a gale") + &card("dew", "Wet."),
            ),
            (NOTES, notes.replace("A delta is a mouth.", "A delta is a wide mouth.")),
        ],
    );
    let isobar = card("isobar", "It is a kind of isobar thing.");
    branch(
        &env,
        "cyd",
        &[
            (WEATHER, accept("[Front]").replace(&isobar, "") + &card("hail", "Ice too.")),
            (RIVERS, rivers.clone() + &isobar + &card("ford", "Shallow.")),
        ],
    );
    env
}

const ORDERS: [[&str; 3]; 6] = [
    ["ada", "ben", "cyd"],
    ["ada", "cyd", "ben"],
    ["ben", "ada", "cyd"],
    ["ben", "cyd", "ada"],
    ["cyd", "ada", "ben"],
    ["cyd", "ben", "ada"],
];

#[test]
fn any_order_of_three_branches_gives_the_same_tree() {
    let env = three();
    let main = tip(&env, "main");
    let mut trees = BTreeSet::new();
    for order in ORDERS {
        env.git(&["reset", "--quiet", "--hard", &main]).fine();
        _ = ends(env.deckle(&[&["reconcile"], order.as_slice()].concat()), 0);
        assert_eq!(parents(&env)[1..], order.map(|name| tip(&env, name)));
        trees.insert(tip(&env, "HEAD^{tree}"));
        clean(&env);
    }
    assert_eq!(trees.len(), 1, "{trees:?}");
    let (weather, rivers) = (env.read(WEATHER), env.read(RIVERS));
    assert!(weather.contains("meant by a gale?\n    answer: It is a sort of gale"), "{weather}");
    assert!(["frost", "dew", "hail"].iter().all(|id| weather.contains(&format!("- id: {id}\n"))), "{weather}");
    assert!(rivers.contains("- id: isobar\n") && !weather.contains("isobar"), "{rivers}{weather}");
    assert!(weather.contains("accept: [Front, Fronts, The front]"), "{weather}");
}

/// The cards of both decks, each by its own lines, in no order.
fn cards(env: &TestEnv) -> BTreeSet<String> {
    let decks = [WEATHER, RIVERS].map(|path| env.read(path));
    decks.iter().flat_map(|deck| deck.split("  - id: ").skip(1)).map(str::to_owned).collect()
}

#[test]
fn one_after_another_in_any_order_gives_the_same_cards() {
    let env = three();
    let main = tip(&env, "main");
    _ = ends(env.deckle(&["reconcile", "ada", "ben", "cyd"]), 0);
    let together = cards(&env);
    for by_git in [false, true] {
        driver(&env, by_git);
        for order in ORDERS {
            env.git(&["reset", "--quiet", "--hard", &main]).fine();
            for name in order {
                if by_git {
                    env.git(&["merge", "--quiet", "--no-edit", name]).fine();
                } else {
                    _ = ends(env.deckle(&["reconcile", name]), 0);
                }
            }
            assert_eq!(cards(&env), together, "{order:?}, by git's own merge: {by_git}");
            assert_eq!(env.git(&["status", "--porcelain"]).fine(), "");
        }
    }
    sound(&env);
}

/// Git's own merge of several branches at once knows no merge drivers and stops where lines meet.
#[test]
fn several_branches_at_once_are_merged_where_gits_own_merge_gives_up() {
    let env = three();
    driver(&env, true);
    let main = tip(&env, "main");
    let said = env.git(&["merge", "--no-edit", "ada", "ben", "cyd"]);
    assert_ne!(said.status, Some(0), "{}", said.text());
    env.git(&["reset", "--quiet", "--hard", &main]).fine();
    _ = ends(env.deckle(&["reconcile", "ada", "ben", "cyd"]), 0);
    assert_eq!(parents(&env).len(), 4);
    clean(&env);
}
