//! `deckle review` in real repositories: what waits, card by card, since the last look.

use super::support::env::TestEnv;
use super::support::repo::{NOTES, RIVERS, WEATHER, branch, card, change, commit, department, ends, tip};

fn two_proposals() -> TestEnv {
    let env = department();
    let (weather, rivers) = (env.read(WEATHER), env.read(RIVERS));
    let asked_twice = "  - id: bend\n    question: What is meant by meander?\n    answer: A bend.\n";
    branch(&env, "ada", &[(WEATHER, weather.replace("kind of gale", "sort of gale") + &card("frost", "Frozen dew."))]);
    branch(&env, "ben", &[(WEATHER, weather.replace("kind of gale", "type of gale")), (RIVERS, rivers + asked_twice)]);
    env
}

#[track_caller]
fn valid(schema: &str, text: &str) -> serde_json::Value {
    let json: serde_json::Value = serde_json::from_str(text).expect("JSON");
    let schema: serde_json::Value = serde_json::from_str(schema).expect("JSON");
    let errors: Vec<String> = jsonschema::validator_for(&schema)
        .expect("a schema")
        .iter_errors(&json)
        .map(|error| error.to_string())
        .collect();
    assert_eq!(errors, Vec::<String>::new());
    json
}

#[test]
fn the_first_screen_lists_what_waits() {
    let env = two_proposals();
    env.write(RIVERS, env.read(RIVERS).replace("kind of levee", "sort of levee"));
    let said = env.deckle(&["review"]).fine();
    let expected = "2 proposals wait to go into main\n\
        \nada\n  Ada Penhale, 5 October 2026, 1 commit\n  1 card added, 1 card edited; brings in no findings\n  \
        changes 1 card that ben changes too\n  deckle review ada\n\
        \nben\n  Ben Penhale, 5 October 2026, 1 commit\n  1 card added, 1 card edited; brings in 1 error\n  \
        changes 1 card that ada changes too\n  deckle review ben\n\
        \nnot committed yet in your folder: 1 card edited\n  deckle review --uncommitted\n";
    assert_eq!(said, expected);
    let json =
        valid(include_str!("../../schema/proposals.schema.json"), &env.deckle(&["review", "--format", "json"]).fine());
    assert_eq!(json["proposals"][1]["brings_in"]["errors"], 1);
    assert_eq!(json["proposals"][0]["seen"], "new");
    let markdown = env.deckle(&["review", "--format", "markdown"]).fine();
    assert!(markdown.contains("- `ben`: `Ben Penhale`, 5 October 2026\n"), "{markdown}");
    assert!(env.deckle(&["review", "--format", "html"]).fine().contains("<h2>ben</h2>"));
}

/// A lead who read `no card changed` would have passed over it.
#[test]
fn a_proposal_that_changes_no_card_says_what_it_changes() {
    let env = department();
    let settings = "decks/department.yaml";
    let notes = env.read(NOTES);
    let files = [
        (NOTES, notes + "\n## Fords\n\nA ford is shallow.\n"),
        (settings, env.read(settings) + "session:\n  minutes: 15\n"),
    ];
    branch(&env, "ada", &files);
    let said = env.deckle(&["review"]).fine();
    let expected = "  no card changed; 1 section of the notes changed, settings changed; brings in no findings\n";
    assert!(said.contains(expected), "{said}");
    let one = env.deckle(&["review", "ada"]).fine();
    assert!(one.contains("\nno card changed; 1 section of the notes changed, settings changed\n"), "{one}");
    let json =
        valid(include_str!("../../schema/proposals.schema.json"), &env.deckle(&["review", "--format", "json"]).fine());
    let beside = serde_json::json!({"decks": 0, "notes": 1, "pictures": 0, "settings": 1});
    assert_eq!(json["proposals"][0]["beside_cards"], beside);
    let together = env.deckle(&["reconcile", "ada", "--dry-run"]).fine();
    assert!(together.contains("  ada: no cards changed, but other files: notes, pictures or settings\n"), "{together}");
}

/// All cards of a branch would look new.
#[test]
fn a_clone_with_part_of_the_history_says_so() {
    let env = department();
    let rivers = env.read(RIVERS);
    branch(&env, "ada", &[(RIVERS, rivers.clone() + &card("ford", "A shallow crossing."))]);
    env.write(RIVERS, rivers.replace("kind of delta", "sort of delta"));
    commit(&env, "Mara Okonjo", "main goes on");
    let whole = format!("file://{}", env.work().display());
    env.git(&["clone", "--quiet", "--depth", "1", "--no-single-branch", &whole, "part"]).fine();
    let part = env.path("part");
    let part = part.to_str().expect("plain");
    env.git(&["-C", part, "branch", "--quiet", "ada", "origin/ada"]).fine();
    let missing = |args: &[&str]| {
        let said = ends(env.deckle(&[&["-C", part], args].concat()), 2).stderr;
        assert!(said.contains("only the newest part of the history; `git fetch --unshallow`"), "{said}");
    };
    missing(&["review", "ada"]);
    missing(&["reconcile", "ada"]);
    missing(&["check", "--since", "HEAD~1"]);
}

#[test]
fn merged_branches_wait_no_longer_and_shared_ones_count_once() {
    let env = two_proposals();
    env.git(&["clone", "--quiet", "--bare", ".", "shared.git"]).fine();
    env.git(&["remote", "add", "origin", "shared.git"]).fine();
    env.git(&["fetch", "--quiet", "origin"]).fine();
    env.git(&["branch", "--quiet", "--delete", "--force", "ben"]).fine();
    _ = ends(env.deckle(&["reconcile", "ada"]), 0);
    let said = env.deckle(&["review"]).fine();
    assert!(said.starts_with("1 proposal waits to go into main\n\norigin/ben\n"), "{said}");
    // By its short name it is found too.
    let shown = ends(env.deckle(&["review", "ben"]), 1).stdout;
    assert!(shown.starts_with("what origin/ben adds to main\nby Ben Penhale, 5 October 2026, 1 commit\n"), "{shown}");
}

#[test]
fn a_branch_is_shown_facts_first_with_the_notes_beside_it() {
    let env = department();
    let notes = "# Rivers\n\n## Length\n\nThe Amble is 12 kilometres long.\n";
    let asked =
        "  - id: amble\n    question: How long is the Amble?\n    answer: 21 kilometres\n    source: notes.md#length\n";
    env.write(NOTES, notes);
    env.write(RIVERS, env.read(RIVERS) + asked);
    commit(&env, "Mara Okonjo", "notes");
    let (rivers, weather) = (env.read(RIVERS), env.read(WEATHER));
    branch(
        &env,
        "ada",
        &[
            (RIVERS, rivers.replace("21 kilometres", "12 kilometres")),
            (WEATHER, weather.replace("What is meant by gale?", "What do people mean by gale?")),
        ],
    );
    let said = env.deckle(&["review", "ada"]).fine();
    let place = |words: &str| said.find(words).unwrap_or_else(|| panic!("{words}: {said}"));
    assert!(place("facts that change") < place("edited, fact: amble in year-8/rivers"), "{said}");
    assert!(
        place("the notes (notes.md#length):\n      The Amble is 12 kilometres long.") < place("edited, wording: gale")
    );
    // The same as the range, but for whose work it is.
    assert_eq!(env.deckle(&["review", "main..ada"]).fine(), said);
    let json = valid(
        include_str!("../../schema/review.schema.json"),
        &env.deckle(&["review", "ada", "--format", "json"]).fine(),
    );
    assert_eq!(json["decks"][1]["cards"][0]["passage"]["text"], "The Amble is 12 kilometres long.");
}

#[test]
fn since_the_last_review_only_what_is_new() {
    let env = department();
    let weather = env.read(WEATHER);
    let first = weather.clone() + &card("frost", "Frozen dew.");
    branch(&env, "ada", &[(WEATHER, first.clone())]);
    let before = env.git(&["status", "--porcelain", "--ignored"]).fine();
    // A look without the flag is not remembered.
    _ = env.deckle(&["review", "ada"]).fine();
    assert_eq!(env.git(&["for-each-ref", "refs/deckle"]).fine(), "");
    let all = env.deckle(&["review", "ada", "--since-last-review"]).fine();
    assert!(all.starts_with("what ada adds to main\n") && all.contains("added: frost"), "{all}");
    assert_eq!(env.git(&["rev-parse", "refs/deckle/reviewed/ada"]).fine().trim(), tip(&env, "ada"));
    assert!(env.deckle(&["review"]).fine().contains("you have looked at all of it"));
    assert!(env.deckle(&["review", "--since-last-review"]).fine().starts_with("no proposal with something new"));
    // The main branch goes on, and Ada takes that in and adds a card.
    change(&env, "cyd", &[(RIVERS, env.read(RIVERS).replace("kind of levee", "sort of levee"))]);
    env.git(&["switch", "--quiet", "ada"]).fine();
    env.git(&["merge", "--quiet", "--no-edit", "main"]).fine();
    change(&env, "ada", &[(WEATHER, first + &card("dew", "Water."))]);
    env.git(&["switch", "--quiet", "main"]).fine();
    assert!(env.deckle(&["review"]).fine().contains("has gone on since you last looked"));
    let new = env.deckle(&["review", "ada", "--since-last-review"]).fine();
    assert!(new.starts_with("what is new on ada since your last look\n"), "{new}");
    assert!(new.contains("added: dew") && !new.contains("frost") && !new.contains("levee"), "{new}");
    let nothing = env.deckle(&["review", "ada", "--since-last-review"]).fine();
    assert!(nothing.contains("no card changed"), "{nothing}");
    assert_eq!(env.git(&["status", "--porcelain", "--ignored"]).fine(), before);
    // What is merged is forgotten with the next look at something else.
    _ = ends(env.deckle(&["reconcile", "ada"]), 0);
    branch(&env, "ben", &[(RIVERS, env.read(RIVERS) + &card("ford", "Shallow."))]);
    _ = env.deckle(&["review", "ben", "--since-last-review"]).fine();
    assert_eq!(env.git(&["for-each-ref", "--format=%(refname)", "refs/deckle"]).fine(), "refs/deckle/reviewed/ben\n");
    _ = ends(env.deckle(&["review", "main", "--since-last-review"]), 2);
    super::support::repo::sound(&env);
}

#[test]
fn a_comment_shows_what_was_typed_and_mentions_nobody() {
    let env = department();
    let hostile = "'@idris <b>x</b> [a](https://example.org) | `` ` `` #1 **c** ![p](q)'";
    branch(&env, "ada", &[(WEATHER, env.read(WEATHER).replace("It is a kind of gale thing.", hostile))]);
    let text = env.deckle(&["review", "ada", "--format", "markdown"]).fine();
    let mut fence: Option<&str> = None;
    for line in text.lines() {
        let ticks = line.len() - line.trim_start_matches('`').len();
        match fence {
            None if ticks >= 3 => fence = Some(&line[..ticks]),
            Some(open) if line == open => fence = None,
            None => assert!(!line.contains("@idris") && !line.contains("<b>") && !line.contains("]("), "{line}"),
            Some(_) => {}
        }
    }
    assert!(fence.is_none() && text.contains("@idris"), "{text}");
}

#[test]
fn cards_that_lean_on_changed_notes_are_listed_with_their_state_before_and_now() {
    let env = department();
    let cards = "  - id: amble\n    question: How long is the Amble?\n    answer: 12 kilometres\n    source: notes.md#length\n    quote: The Amble is 12 kilometres long.\n  - id: source\n    question: Where does the Amble rise?\n    answer: On Gull Moor\n    source: notes.md#length\n    quote: It rises on Gull Moor.\n";
    let notes = "# Rivers\n\n## Length\n\nThe Amble is 12 kilometres long. It rises on Gull Moor.\n";
    env.write(NOTES, notes);
    env.write(RIVERS, env.read(RIVERS) + cards);
    commit(&env, "Mara Okonjo", "notes");
    branch(&env, "ada", &[(NOTES, notes.replace("12 kilometres", "14 kilometres"))]);
    let said = ends(env.deckle(&["review", "ada"]), 1).stdout;
    let listed = "    cards made from it:\n      amble: supported before, contradicted now\n      source: supported, as before\n";
    assert!(said.contains(listed), "{said}");
    let json = ends(env.deckle(&["review", "ada", "--format", "json"]), 1).stdout;
    let json = valid(include_str!("../../schema/review.schema.json"), &json);
    let expected = serde_json::json!([
        {"card": "amble", "before": "supported", "now": "contradicted"},
        {"card": "source", "before": "supported", "now": "supported"},
    ]);
    assert_eq!(json["notes"][0]["leaning"], expected);
    let markdown = ends(env.deckle(&["review", "ada", "--format", "markdown"]), 1).stdout;
    assert!(markdown.contains("- `amble`: supported before, contradicted now\n"), "{markdown}");
    // The check tells the same before its findings, which are those that got worse.
    env.git(&["switch", "--quiet", "ada"]).fine();
    let checked = ends(env.deckle(&["check", "--since", "main"]), 1).stdout;
    let (notes, findings) = checked.split_once("\n\n").expect("two parts");
    assert!(notes.starts_with("notes\n") && notes.contains(listed.trim_end()), "{checked}");
    assert!(findings.contains("card `amble`") && !findings.contains("card `source`"), "{checked}");
    let json = ends(env.deckle(&["check", "--since", "main", "--format", "json"]), 1).stdout;
    let json = valid(include_str!("../../schema/findings.schema.json"), &json);
    assert_eq!(json["notes"][0]["leaning"], expected);
    let elsewhere = ends(env.deckle(&["check", "--since", "main", "decks/department.yaml"]), 0).stdout;
    assert!(!elsewhere.contains("amble"), "{elsewhere}");
    let same = env.deckle(&["check", "--since", "ada", "--format", "json"]).fine();
    assert_eq!(valid(include_str!("../../schema/findings.schema.json"), &same)["notes"], serde_json::json!([]));
}

#[test]
fn a_picture_with_a_new_look_is_named_in_every_form() {
    let env = department();
    let picture = "decks/year-8/rivers/pictures/ford.svg";
    let drawn = |colour: &str| format!("<svg xmlns=\"http://www.w3.org/2000/svg\"><rect fill=\"{colour}\"/></svg>\n");
    env.write(picture, drawn("red"));
    let shown = "    pictures:\n      - file: pictures/ford.svg\n        alt: A ford\n        credit: Mara Okonjo\n        licence: CC0-1.0\n";
    env.write(RIVERS, env.read(RIVERS) + shown);
    commit(&env, "Mara Okonjo", "a picture");
    branch(&env, "ada", &[(picture, drawn("blue"))]);
    let said = |format: &str| env.deckle(&["review", "ada", "--format", format]).fine();
    assert!(said("text").contains(&format!("picture, new look: {picture} on delta\n")), "{}", said("text"));
    assert!(
        said("markdown").contains(&format!("**picture**, new look: `{picture}` on `delta`\n")),
        "{}",
        said("markdown")
    );
    assert!(said("html").contains("Picture, new look: "), "{}", said("html"));
    let json = valid(include_str!("../../schema/review.schema.json"), &said("json"));
    assert_eq!(json["pictures"][0], serde_json::json!({"path": picture, "cards": ["delta"], "effect": "picture"}));
}

#[test]
fn a_card_with_another_id_is_edited_and_not_removed_and_added() {
    let env = department();
    let weather = env.read(WEATHER).replace("id: gale", "id: strong-wind").replace("kind of gale", "sort of gale");
    branch(&env, "ada", &[(WEATHER, weather)]);
    let said = env.deckle(&["review", "ada"]).fine();
    assert!(said.contains("1 card edited") && !said.contains("removed"), "{said}");
    assert!(said.contains("    id\n      was: [gale]\n      now: [strong-wind]\n"), "{said}");
}
