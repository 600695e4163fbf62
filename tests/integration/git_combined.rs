//! What only the combination of proposals brings in: said by `deckle reconcile` from the decks that the
//! merge touches, as if it had looked at all of them.

use super::support::repo::{NOTES, RIVERS, WEATHER, branch, card, change, clean, deck, department, ends, parents};

/// A deck that no proposal touches.
const ROCKS: &str = "decks/year-8/rocks/cards.yaml";

fn needs(id: &str, other: &str) -> String {
    card(id, "It is a thing of its own.") + &format!("    needs: [{other}]\n")
}

#[test]
fn a_link_to_a_card_that_another_proposal_takes_out_is_said() {
    let env = department();
    change(&env, "main", &[(ROCKS, deck("Rocks", &["chalk"]))]);
    let (weather, rivers) = (env.read(WEATHER), env.read(RIVERS));
    let front = card("front", "It is a kind of front thing.");
    branch(&env, "ada", &[(WEATHER, weather.replace(&front, "") + &needs("dew", "chalk"))]);
    branch(&env, "ben", &[(RIVERS, rivers + &needs("oxbow", "front") + &needs("scar", "chalk"))]);
    let said = ends(env.deckle(&["reconcile", "ada", "ben"]), 1).stdout;
    assert!(said.contains("there is no card `front`") && !said.contains("`chalk`"), "{said}");
    env.git(&["merge", "--abort"]).fine();
    clean(&env);
}

#[test]
fn links_to_decks_that_nobody_touched_are_no_news() {
    let env = department();
    change(&env, "main", &[(ROCKS, deck("Rocks", &["chalk", "shale"]))]);
    let weather = env.read(WEATHER);
    branch(&env, "ada", &[(WEATHER, weather.clone() + &needs("dew", "chalk"))]);
    branch(&env, "ben", &[(WEATHER, weather + &needs("hail", "shale"))]);
    _ = ends(env.deckle(&["reconcile", "ada", "ben"]), 0);
    assert_eq!(parents(&env).len(), 3);
    clean(&env);
}

#[test]
fn a_circle_through_a_deck_that_nobody_touched_is_said() {
    let env = department();
    let chalk = "title: Rocks\nyear: 8\ncards:\n".to_owned() + &needs("chalk", "delta");
    change(&env, "main", &[(ROCKS, chalk)]);
    let add = |text: String, id: &str, other: &str| {
        let line = format!("kind of {id} thing.\n");
        text.replace(&line, &format!("{line}    needs: [{other}]\n"))
    };
    branch(&env, "ada", &[(WEATHER, add(env.read(WEATHER), "gale", "chalk"))]);
    branch(&env, "ben", &[(RIVERS, add(env.read(RIVERS), "delta", "gale"))]);
    let said = ends(env.deckle(&["reconcile", "ada", "ben"]), 1).stdout;
    assert!(said.contains("need each other in a circle"), "{said}");
    env.git(&["merge", "--abort"]).fine();
}

#[test]
fn a_quote_that_another_proposal_takes_out_of_the_notes_is_said() {
    let env = department();
    let quoting = card("bend", "A meander") + "    source: notes.md#bends\n    quote: A meander is a bend.\n";
    branch(&env, "ada", &[(RIVERS, env.read(RIVERS) + &quoting)]);
    branch(&env, "ben", &[(NOTES, env.read(NOTES).replace("A meander is a bend.", "Water wanders about."))]);
    let said = ends(env.deckle(&["reconcile", "ada", "ben"]), 1).stdout;
    assert!(said.contains("bend") && said.contains("quote"), "{said}");
    env.git(&["merge", "--abort"]).fine();
    clean(&env);
}
