//! Cards that get another id in a merge by git, which shows the merge driver one deck at a time, and what links
//! to them from other decks.

use super::support::env::TestEnv;
use super::support::repo::{RIVERS, WEATHER, branch, card, clean, commit, department, ends, parents, tip};

fn new(question: &str) -> String {
    format!("  - id: flow\n    question: {question}\n    answer: It flows.\n")
}

fn needs(id: &str, link: &str) -> String {
    format!("{}    needs: [{link}] # first\n", card(id, "Shallow."))
}

/// Ada and Ben each add a card `flow` to one deck, and Ben one in another deck that needs his.
fn two_called_flow() -> TestEnv {
    let env = department();
    env.deckle(&["hooks"]).fine();
    let (weather, rivers) = (env.read(WEATHER), env.read(RIVERS));
    branch(&env, "ada", &[(WEATHER, weather.clone() + &new("How does air flow?"))]);
    branch(
        &env,
        "ben",
        &[(WEATHER, weather + &new("How does water flow?")), (RIVERS, rivers + &needs("ford", "flow"))],
    );
    env.git(&["switch", "--quiet", "ada"]).fine();
    env
}

#[test]
fn a_link_from_another_deck_to_a_card_that_was_told_apart_is_not_committed_as_it_is() {
    let env = two_called_flow();
    let heads = [tip(&env, "ada"), tip(&env, "ben")];
    let said = env.git(&["merge", "--no-edit", "ben"]);
    assert_ne!(said.status, Some(0), "{}", said.text());
    let line = format!("needs of `ford` in {RIVERS}: `flow` should be `flow-2`");
    assert!(said.stderr.contains(&line) && said.stderr.contains("deckle settle --links"), "{}", said.text());
    assert_eq!(tip(&env, "HEAD"), heads[0]);
    let listed = ends(env.deckle(&["settle"]), 1);
    assert!(listed.stdout.contains(&line), "{}", listed.text());
    let followed = ends(env.deckle(&["settle", "--links"]), 0);
    assert!(followed.stdout.contains("1 field follows now"), "{}", followed.text());
    assert!(env.read(RIVERS).contains("    needs:\n      - flow-2\n") || env.read(RIVERS).contains("needs: [flow-2]"));
    env.git(&["commit", "--quiet", "--all", "--no-edit"]).fine();
    assert_eq!(parents(&env), heads);
    clean(&env);
    // It is what reconcile makes of the two.
    let by_git = [WEATHER, RIVERS].map(|path| env.read(path));
    env.git(&["reset", "--quiet", "--hard", &heads[0]]).fine();
    _ = ends(env.deckle(&["reconcile", "ben"]), 0);
    let cards = |text: &str| {
        deckle::deck::outline::outline(text)
            .expect("readable")
            .cards
            .iter()
            .map(|card| card.values())
            .collect::<Vec<_>>()
    };
    assert_eq!(by_git.map(|text| cards(&text)), [WEATHER, RIVERS].map(|path| cards(&env.read(path))));
    clean(&env);
}

#[test]
fn who_means_the_other_card_may_say_so() {
    let env = two_called_flow();
    assert_ne!(env.git(&["merge", "--no-edit", "ben"]).status, Some(0));
    // Ben's card now needs Ada's on purpose: somebody has worked on the deck.
    env.write(RIVERS, env.read(RIVERS).replace("# first", "# air, as agreed"));
    env.git(&["commit", "--quiet", "--all", "--no-edit"]).fine();
    assert!(env.read(RIVERS).contains("needs: [flow] # air"));
    clean(&env);
}

#[test]
fn one_id_in_two_decks_is_told_apart_with_its_links() {
    let env = department();
    env.deckle(&["hooks"]).fine();
    let (weather, rivers) = (env.read(WEATHER), env.read(RIVERS));
    branch(&env, "ada", &[(WEATHER, weather.clone() + &new("How does air flow?"))]);
    branch(
        &env,
        "ben",
        &[
            (RIVERS, rivers + &new("How does water flow?")),
            (WEATHER, weather.replace("kind of gale thing.\n", "kind of gale thing.\n    see: [flow, levee]\n")),
        ],
    );
    env.git(&["switch", "--quiet", "ada"]).fine();
    // Git's merge has the id twice, which the check tells.
    let said = env.git(&["merge", "--no-edit", "ben"]);
    assert!(said.status != Some(0) && said.text().contains("[duplicate-id]"), "{}", said.text());
    _ = ends(env.deckle(&["settle", "--links"]), 0);
    assert!(env.read(RIVERS).contains("- id: flow-2\n    question: How does water flow?"), "{}", env.read(RIVERS));
    let weather = env.read(WEATHER);
    assert!(
        weather.contains("flow-2") && weather.contains("- id: flow\n    question: How does air flow?"),
        "{weather}"
    );
    assert!(ends(env.deckle(&["settle", "--links"]), 0).stdout.contains("every link has followed"));
    env.git(&["commit", "--quiet", "--all", "--no-edit"]).fine();
    clean(&env);
}

#[test]
fn a_link_to_a_card_that_another_branch_calls_by_a_new_id_follows() {
    let env = department();
    env.deckle(&["hooks"]).fine();
    let (weather, rivers) = (env.read(WEATHER), env.read(RIVERS));
    branch(&env, "ada", &[(WEATHER, weather.replace("- id: gale", "- id: strong-wind"))]);
    branch(&env, "ben", &[(RIVERS, rivers + &needs("ford", "gale"))]);
    env.git(&["switch", "--quiet", "ada"]).fine();
    let said = env.git(&["merge", "--no-edit", "ben"]);
    assert!(said.status != Some(0) && said.text().contains("[missing-link]"), "{}", said.text());
    _ = ends(env.deckle(&["settle", "--links"]), 0);
    assert!(env.read(RIVERS).contains("strong-wind"), "{}", env.read(RIVERS));
    env.git(&["commit", "--quiet", "--all", "--no-edit"]).fine();
    clean(&env);
}

#[test]
fn without_a_merge_there_is_nothing_to_follow() {
    let env = department();
    env.write(RIVERS, env.read(RIVERS) + &card("ford", "Shallow."));
    assert_eq!(ends(env.deckle(&["settle", "--links"]), 0).stdout, "every link has followed\n");
    commit(&env, "Ada Brandt", "a ford");
}
