//! `deckle reconcile` in real repositories: one commit with all parents, or a merge that git itself
//! understands.

use super::support::repo::{
    NOTES, RIVERS, WEATHER, branch, card, change, clean, commit, department, ends, parents, tip,
};

#[test]
fn three_proposals_become_one_commit_with_all_parents() {
    let env = department();
    let (weather, rivers) = (env.read(WEATHER), env.read(RIVERS));
    let settings = env.read("decks/department.yaml");
    branch(
        &env,
        "ada",
        &[
            (WEATHER, weather.clone() + &card("frost", "Frozen dew.")),
            ("decks/department.yaml", settings.replace("side: 40", "side: 35")),
            (NOTES, env.read(NOTES).replace("A river runs.", "A river runs downhill.")),
        ],
    );
    branch(
        &env,
        "ben",
        &[
            (WEATHER, weather.replace("kind of gale", "sort of gale") + &card("dew", "Water on grass.")),
            ("decks/department.yaml", settings.replace("card: 3", "card: 2")),
            (NOTES, env.read(NOTES).replace("A delta is a mouth.", "A delta is a mouth in arms.")),
        ],
    );
    branch(&env, "cyd", &[(RIVERS, rivers.replace("title: Rivers", "title: Rivers and streams"))]);
    let said = ends(env.deckle(&["reconcile", "ada", "ben", "cyd"]), 0);
    assert!(said.stdout.contains("ben: cards: 1 added, 1 edited\n"), "{}", said.text());
    assert_eq!(parents(&env).len(), 4);
    assert_eq!(parents(&env)[1..], [tip(&env, "ada"), tip(&env, "ben"), tip(&env, "cyd")]);
    assert_eq!(
        env.git(&["log", "-1", "--format=%an|%s"]).fine(),
        "Mara Okonjo|Merge branches 'ada', 'ben' and 'cyd'\n"
    );
    let expected = weather.replace("kind of gale", "sort of gale")
        + &card("dew", "Water on grass.")
        + &card("frost", "Frozen dew.");
    assert_eq!(env.read(WEATHER), expected);
    assert!(env.read(RIVERS).starts_with("title: Rivers and streams\n"));
    assert!(env.read(NOTES).contains("downhill") && env.read(NOTES).contains("in arms"));
    assert!(env.read("decks/department.yaml").contains("words_on_a_side: 35\n  questions_on_a_card: 2\n"));
    clean(&env);
    let again = ends(env.deckle(&["reconcile", "ben", "ada"]), 0);
    assert!(again.stdout.contains("nothing to do"), "{}", again.text());
}

#[test]
fn a_card_moved_by_one_and_edited_by_others_arrives_moved_and_edited() {
    let env = department();
    let (weather, rivers) = (env.read(WEATHER), env.read(RIVERS));
    let moved = card("front", "It is a kind of front thing.");
    branch(&env, "ada", &[(WEATHER, weather.replace(&moved, "")), (RIVERS, rivers.clone() + &moved)]);
    branch(&env, "ben", &[(WEATHER, weather.replace("kind of front", "sort of front"))]);
    branch(&env, "cyd", &[(WEATHER, weather.replace("meant by front", "meant by a front"))]);
    _ = ends(env.deckle(&["reconcile", "cyd", "ben", "ada"]), 0);
    assert_eq!(env.read(WEATHER), weather.replace(&moved, ""));
    let arrived = moved.replace("kind of", "sort of").replace("by front", "by a front");
    assert_eq!(env.read(RIVERS), rivers + &arrived);
    clean(&env);
}

#[test]
fn a_renamed_folder_keeps_what_others_wrote_into_it() {
    let env = department();
    let rivers = env.read(RIVERS);
    env.git(&["switch", "--quiet", "--create", "ada"]).fine();
    env.git(&["mv", "decks/year-8/rivers", "decks/year-8/running-water"]).fine();
    commit(&env, "Ada Brandt", "another name");
    env.git(&["switch", "--quiet", "main"]).fine();
    branch(
        &env,
        "ben",
        &[
            (RIVERS, rivers.replace("kind of levee", "sort of levee") + &card("ford", "A shallow crossing.")),
            (NOTES, env.read(NOTES).replace("A river runs.", "A river runs downhill.")),
            ("decks/year-8/rivers/pictures/ford.svg", "<svg xmlns=\"http://www.w3.org/2000/svg\"/>\n".to_owned()),
        ],
    );
    _ = ends(env.deckle(&["reconcile", "ada", "ben"]), 0);
    assert!(!env.path("decks/year-8/rivers").exists());
    let deck = env.read("decks/year-8/running-water/cards.yaml");
    assert_eq!(deck, rivers.replace("kind of levee", "sort of levee") + &card("ford", "A shallow crossing."));
    assert!(env.read("decks/year-8/running-water/notes.md").contains("downhill"));
    assert!(env.path("decks/year-8/running-water/pictures/ford.svg").exists());
    clean(&env);
}

#[test]
fn two_decks_made_one_and_one_made_two_keep_later_edits() {
    let env = department();
    let (weather, rivers) = (env.read(WEATHER), env.read(RIVERS));
    let cards = rivers.split_once("cards:\n").expect("cards").1;
    branch(&env, "ada", &[(RIVERS, String::new()), (WEATHER, weather.clone() + cards)]);
    let front = card("front", "It is a kind of front thing.");
    let part = format!("title: Fronts\nyear: 7\ncards:\n{front}");
    branch(&env, "ben", &[(WEATHER, weather.replace(&front, "")), ("decks/year-7/fronts/cards.yaml", part)]);
    branch(
        &env,
        "cyd",
        &[
            (RIVERS, rivers.replace("kind of delta", "sort of delta") + &card("ford", "A shallow crossing.")),
            (WEATHER, weather.replace("kind of front", "sort of front")),
        ],
    );
    _ = ends(env.deckle(&["reconcile", "ada", "ben", "cyd"]), 0);
    assert!(!env.path(RIVERS).exists());
    let deck = env.read(WEATHER);
    assert!(["sort of delta", "- id: ford", "- id: gale"].iter().all(|part| deck.contains(part)), "{deck}");
    assert!(!deck.contains("- id: front"), "{deck}");
    assert!(env.read("decks/year-7/fronts/cards.yaml").contains("sort of front"));
    clean(&env);
}

#[test]
fn an_answer_edited_three_ways_stops_in_a_merge_that_git_understands() {
    let env = department();
    let weather = env.read(WEATHER);
    for name in ["ada", "ben", "cyd"] {
        branch(
            &env,
            name,
            &[(
                WEATHER,
                weather.replace(
                    "It is a kind of gale thing.",
                    &format!("Force {} and more.", name.len() + name.as_bytes()[0] as usize),
                ),
            )],
        );
    }
    let head = tip(&env, "HEAD");
    let said = ends(env.deckle(&["reconcile", "cyd", "ada", "ben"]), 1);
    assert!(
        said.stdout.contains("deckle settle gale answer") && said.stdout.contains("Ada Penhale, 2026-10-05"),
        "{}",
        said.text()
    );
    assert_eq!(tip(&env, "HEAD"), head);
    assert_eq!(env.read(".git/MERGE_HEAD").lines().count(), 3);
    assert_eq!(env.git(&["status", "--porcelain"]).fine(), format!("UU {WEATHER}\n"));
    assert_eq!(env.git(&["ls-files", "--unmerged"]).fine().lines().count(), 3);
    let yaml: serde_yaml::Value = serde_yaml::from_str(&env.read(WEATHER)).expect("sound YAML");
    let versions = yaml["cards"][0]["undecided"]["answer"].as_sequence().expect("versions").clone();
    let sides: Vec<_> = versions.iter().map(|version| version["side"].as_str().expect("a side").to_owned()).collect();
    assert_eq!(sides, ["ada", "ben", "cyd"]);
    assert_ne!(env.git(&["commit", "--no-edit"]).status, Some(0));
    env.deckle(&["settle", "gale", "--take", "ben"]).fine();
    env.git(&["add", "--all"]).fine();
    env.git(&["commit", "--quiet", "--no-edit"]).fine();
    assert!(
        env.read(WEATHER).contains(&format!("Force {} and more.", 3 + 'b' as usize))
            && !env.read(WEATHER).contains("undecided")
    );
    assert_eq!(parents(&env), [head, tip(&env, "cyd"), tip(&env, "ada"), tip(&env, "ben")]);
    clean(&env);
}

#[test]
fn merge_abort_takes_everything_back() {
    let env = department();
    let (weather, rivers) = (env.read(WEATHER), env.read(RIVERS));
    branch(
        &env,
        "ada",
        &[
            (WEATHER, weather.replace("kind of gale", "sort of gale")),
            ("decks/year-8/rivers/pictures/new.svg", "<svg xmlns=\"http://www.w3.org/2000/svg\"/>\n".to_owned()),
            (NOTES, String::new()),
        ],
    );
    branch(
        &env,
        "ben",
        &[
            (WEATHER, weather.replace("kind of gale", "type of gale")),
            (RIVERS, rivers.clone() + &card("ford", "Shallow.")),
        ],
    );
    env.write("scratch.txt", "mine\n");
    _ = ends(env.deckle(&["reconcile", "ada", "ben"]), 1);
    assert!(!env.path(NOTES).exists() && env.path("decks/year-8/rivers/pictures/new.svg").exists());
    env.git(&["merge", "--abort"]).fine();
    assert_eq!((env.read(WEATHER), env.read(RIVERS)), (weather, rivers));
    assert!(env.path(NOTES).exists() && !env.path("decks/year-8/rivers/pictures").exists());
    assert_eq!(env.git(&["status", "--porcelain"]).fine(), "?? scratch.txt\n");
    for file in ["MERGE_HEAD", "MERGE_MSG", "MERGE_MODE"] {
        assert!(!env.path(".git").join(file).exists(), "{file}");
    }
}

#[test]
fn uncommitted_changes_that_it_would_touch_are_named_and_kept() {
    let env = department();
    let (weather, rivers) = (env.read(WEATHER), env.read(RIVERS));
    branch(
        &env,
        "ada",
        &[(WEATHER, weather.clone() + &card("frost", "Frozen dew.")), ("decks/year-7/new.md", "# New\n".to_owned())],
    );
    branch(&env, "ben", &[(WEATHER, weather.replace("kind of gale", "sort of gale"))]);
    env.write(WEATHER, weather.replace("isobar", "isobars"));
    env.write("decks/year-7/new.md", "# Mine\n");
    let said = ends(env.deckle(&["reconcile", "ada", "ben"]), 2);
    assert!(
        said.stderr.contains(&format!("  {WEATHER}\n")) && said.stderr.contains("  decks/year-7/new.md\n"),
        "{}",
        said.text()
    );
    assert_eq!(env.read(WEATHER), weather.replace("isobar", "isobars"));
    assert!(!env.path(".git/MERGE_HEAD").exists());
    env.git(&["restore", WEATHER]).fine();
    std::fs::remove_file(env.path("decks/year-7/new.md")).expect("removed");
    // Changes elsewhere are not in the way, and stay.
    env.write(RIVERS, rivers.replace("meander", "meanders"));
    _ = ends(env.deckle(&["reconcile", "ada", "ben"]), 0);
    assert_eq!(env.git(&["status", "--porcelain"]).fine(), format!(" M {RIVERS}\n"));
    // What is staged would be committed along.
    env.git(&["restore", RIVERS]).fine();
    branch(&env, "cyd", &[(WEATHER, env.read(WEATHER).replace("kind of front", "sort of front"))]);
    branch(&env, "dan", &[(WEATHER, env.read(WEATHER) + &card("hail", "Ice."))]);
    env.write(RIVERS, rivers.replace("meander", "meanders"));
    env.git(&["add", "--all"]).fine();
    let said = ends(env.deckle(&["reconcile", "cyd", "dan"]), 2);
    assert!(said.stderr.contains(&format!("{RIVERS} (staged)")), "{}", said.text());
}

#[test]
fn a_dry_run_and_json_write_nothing() {
    let env = department();
    let weather = env.read(WEATHER);
    branch(&env, "ada", &[(WEATHER, weather.replace("kind of gale", "sort of gale"))]);
    branch(&env, "ben", &[(WEATHER, weather.replace("kind of gale", "type of gale") + &card("dew", "Water."))]);
    let files = || {
        walkdir::WalkDir::new(env.work())
            .into_iter()
            .filter_map(Result::ok)
            .filter(|entry| entry.file_type().is_file())
            .count()
    };
    let before = files();
    let said = ends(env.deckle(&["reconcile", "ada", "ben", "--dry-run", "--format", "json"]), 1);
    assert_eq!(files(), before);
    assert_eq!(env.read(WEATHER), weather);
    let json: serde_json::Value = serde_json::from_str(&said.stdout).expect("JSON");
    let schema: serde_json::Value =
        serde_json::from_str(include_str!("../../schema/reconcile.schema.json")).expect("JSON");
    let errors: Vec<String> = jsonschema::validator_for(&schema)
        .expect("a schema")
        .iter_errors(&json)
        .map(|error| error.to_string())
        .collect();
    assert_eq!(errors, Vec::<String>::new());
    assert_eq!(json["state"], "dry-run");
    assert_eq!(json["undecided"][0]["versions"][1]["side"], "ben");
    assert_eq!(json["branches"][1]["cards"]["added"], 1);
}

#[test]
fn what_the_combination_brings_in_is_said_and_not_committed() {
    let env = department();
    let rivers = env.read(RIVERS);
    let new = |id: &str| {
        rivers.clone()
            + &format!("  - id: {id}\n    question: What is attrition?\n    answer: Stones that knock together\n")
    };
    branch(&env, "ada", &[(RIVERS, new("attrition"))]);
    branch(&env, "ben", &[(RIVERS, new("wear"))]);
    let said = ends(env.deckle(&["reconcile", "ada", "ben"]), 1);
    assert!(said.stdout.contains("two cards ask the same question"), "{}", said.text());
    assert_eq!(parents(&env).len(), 0);
    env.git(&["merge", "--abort"]).fine();
    clean(&env);
}

#[test]
fn one_branch_that_only_goes_on_is_a_fast_forward() {
    let env = department();
    let weather = env.read(WEATHER);
    branch(&env, "ada", &[(WEATHER, weather + &card("frost", "Frozen dew."))]);
    _ = ends(env.deckle(&["reconcile", "ada"]), 0);
    assert_eq!(tip(&env, "HEAD"), tip(&env, "ada"));
    clean(&env);
}

#[test]
fn branches_that_stand_on_each_other_count_once() {
    let env = department();
    let weather = env.read(WEATHER);
    let first = weather.replace("kind of gale", "sort of gale");
    branch(&env, "ada", &[(WEATHER, first.clone())]);
    env.git(&["switch", "--quiet", "--create", "ben", "ada"]).fine();
    change(&env, "ben", &[(WEATHER, first.replace("sort of gale", "type of gale"))]);
    env.git(&["switch", "--quiet", "ada"]).fine();
    change(&env, "ada", &[(WEATHER, first.clone() + &card("frost", "Frozen dew."))]);
    env.git(&["switch", "--quiet", "main"]).fine();
    branch(&env, "cyd", &[(WEATHER, weather + &card("dew", "Water."))]);
    // Ben saw Ada's wording and went on from it: nothing is undecided.
    _ = ends(env.deckle(&["reconcile", "cyd", "ada", "ben"]), 0);
    let deck = env.read(WEATHER);
    assert!(["type of gale", "- id: frost", "- id: dew"].iter().all(|part| deck.contains(part)), "{deck}");
    clean(&env);
}

#[test]
fn histories_that_cross_merge_their_bases_first() {
    let env = department();
    let weather = env.read(WEATHER);
    branch(&env, "ada", &[(WEATHER, weather.replace("kind of gale", "sort of gale"))]);
    branch(&env, "ben", &[(WEATHER, weather.replace("kind of front", "sort of front"))]);
    // Each takes the other's first commit in.
    let (ada, ben) = (tip(&env, "ada"), tip(&env, "ben"));
    for (mine, other) in [("ada", &ben), ("ben", &ada)] {
        env.git(&["switch", "--quiet", mine]).fine();
        _ = ends(env.deckle(&["reconcile", other]), 0);
        assert_eq!(parents(&env).len(), 2);
    }
    env.git(&["switch", "--quiet", "ada"]).fine();
    change(&env, "ada", &[(WEATHER, env.read(WEATHER).replace("sort of gale", "type of gale"))]);
    env.git(&["switch", "--quiet", "ben"]).fine();
    change(&env, "ben", &[(WEATHER, env.read(WEATHER).replace("sort of front", "type of front"))]);
    assert_eq!(env.git(&["merge-base", "--all", "ada", "ben"]).fine().lines().count(), 2);
    _ = ends(env.deckle(&["reconcile", "ada"]), 0);
    let expected = weather.replace("kind of gale", "type of gale").replace("kind of front", "type of front");
    assert_eq!(env.read(WEATHER), expected);
    clean(&env);
}

#[test]
fn a_bare_repository_takes_a_merge_and_refuses_what_is_undecided() {
    let env = department();
    let weather = env.read(WEATHER);
    branch(&env, "ada", &[(WEATHER, weather.clone() + &card("frost", "Frozen dew."))]);
    branch(&env, "ben", &[(WEATHER, weather.replace("kind of gale", "sort of gale"))]);
    branch(&env, "cyd", &[(WEATHER, weather.replace("kind of gale", "type of gale"))]);
    env.git(&["clone", "--quiet", "--bare", ".", "shared.git"]).fine();
    let asked = ends(env.deckle(&["-C", "shared.git", "reconcile", "ada"]), 2);
    assert!(asked.stderr.contains("--into main"), "{}", asked.text());
    let asked = ends(env.deckle(&["-C", "shared.git", "reconcile", "ada", "--into", "mian"]), 2);
    assert!(asked.stderr.contains("no branch `mian`") && asked.stderr.contains("mean `main`"), "{}", asked.text());
    let said = ends(env.deckle(&["-C", "shared.git", "reconcile", "ada", "ben", "--into", "main"]), 0);
    assert!(said.stdout.contains("put together in one commit on main"), "{}", said.text());
    let shown = env.git(&["-C", "shared.git", "show", &format!("main:{WEATHER}")]).fine();
    assert!(shown.contains("sort of gale") && shown.contains("- id: frost"), "{shown}");
    assert_eq!(env.git(&["-C", "shared.git", "log", "-1", "--format=%P", "main"]).fine().split_whitespace().count(), 3);
    let main = env.git(&["-C", "shared.git", "rev-parse", "main"]).fine();
    let refused = ends(env.deckle(&["-C", "shared.git", "reconcile", "cyd", "--into", "main"]), 1);
    assert!(refused.stdout.contains("nothing was written"), "{}", refused.text());
    assert_eq!(env.git(&["-C", "shared.git", "rev-parse", "main"]).fine(), main);
    assert_eq!(env.git(&["-C", "shared.git", "fsck", "--strict"]).status, Some(0));
}

#[test]
fn files_that_cannot_be_put_together_are_conflicts_in_gits_own_way() {
    let env = department();
    env.write("decks/year-8/rivers/pictures/map.png", [0_u8, 1, 2, 3]);
    commit(&env, "Mara Okonjo", "a picture");
    let notes = env.read(NOTES);
    for (name, byte) in [("ada", 7_u8), ("ben", 9)] {
        env.git(&["switch", "--quiet", "--create", name, "main"]).fine();
        env.write("decks/year-8/rivers/pictures/map.png", [0_u8, 1, 2, byte]);
        env.write(NOTES, notes.replace("A meander is a bend.", &format!("A meander is a bend of {byte}.")));
        commit(&env, "Ada Brandt", name);
    }
    env.git(&["switch", "--quiet", "ada"]).fine();
    let said = ends(env.deckle(&["reconcile", "ben"]), 1);
    assert!(said.stdout.contains("git checkout ben -- decks/year-8/rivers/pictures/map.png"), "{}", said.text());
    let status = env.git(&["status", "--porcelain"]).fine();
    assert_eq!(status, format!("UU {NOTES}\nUU decks/year-8/rivers/pictures/map.png\n"));
    assert!(
        env.read(NOTES).contains("<<<<<<< ada\n") && env.read(NOTES).contains(">>>>>>> ben\n"),
        "{}",
        env.read(NOTES)
    );
    env.git(&["merge", "--abort"]).fine();
    clean(&env);
}

#[test]
fn two_new_cards_with_one_id_are_told_apart_over_all_decks() {
    let env = department();
    let (weather, rivers) = (env.read(WEATHER), env.read(RIVERS));
    let new = |question: &str| format!("  - id: flow\n    question: {question}\n    answer: It flows.\n");
    let linked = format!("{}    needs: [flow]\n", card("ford", "Shallow."));
    branch(&env, "ada", &[(WEATHER, weather + &new("How does air flow?"))]);
    branch(
        &env,
        "ben",
        &[(RIVERS, rivers.clone() + &new("How does water flow?")), (WEATHER, env.read(WEATHER) + &linked)],
    );
    let said = ends(env.deckle(&["reconcile", "ben", "ada"]), 0);
    assert!(said.stdout.contains("the one of ben is now `flow-2`"), "{}", said.text());
    assert!(env.read(RIVERS).contains("- id: flow-2\n    question: How does water flow?"), "{}", env.read(RIVERS));
    let weather = env.read(WEATHER);
    assert!(
        weather.contains("- id: flow\n    question: How does air flow?") && weather.contains("needs: [flow-2]"),
        "{weather}"
    );
    clean(&env);
}

#[test]
fn a_card_moved_to_two_decks_is_settled_by_moving_it() {
    let env = department();
    let (weather, rivers) = (env.read(WEATHER), env.read(RIVERS));
    let front = card("front", "It is a kind of front thing.");
    let part = |title: &str| format!("title: {title}\nyear: 7\ncards:\n{}", card(&title.to_lowercase(), "A thing."));
    let other = "decks/year-7/air/cards.yaml";
    branch(&env, "ada", &[(WEATHER, weather.replace(&front, "")), (RIVERS, rivers.clone() + &front)]);
    branch(&env, "ben", &[(WEATHER, weather.replace(&front, "")), (other, part("Air") + &front)]);
    _ = ends(env.deckle(&["reconcile", "ada", "ben"]), 1);
    assert!(env.read(other).contains("- id: front") && !env.read(RIVERS).contains("front"));
    let shown = env.deckle(&["settle", "front"]);
    assert!(
        shown.stdout.contains("ada:      puts it into year-8/rivers (Ada Penhale, 2026-10-05)"),
        "{}",
        shown.text()
    );
    env.deckle(&["settle", "front", "deck", "--take", "ada"]).fine();
    assert_eq!(env.read(RIVERS), rivers + &front);
    assert_eq!(env.read(other), part("Air"));
    env.git(&["add", "--all"]).fine();
    env.git(&["commit", "--quiet", "--no-edit"]).fine();
    clean(&env);
}

#[test]
fn the_notes_stand_beside_an_undecided_answer() {
    let env = department();
    env.write(NOTES, "# Rivers\n\n## Length\n\nThe Amble is 12 kilometres long.\n");
    let asked = "  - id: amble\n    question: How long is the Amble?\n    answer: Long\n    source: notes.md#length\n";
    env.write(RIVERS, env.read(RIVERS) + asked);
    commit(&env, "Mara Okonjo", "notes");
    let rivers = env.read(RIVERS);
    branch(&env, "ada", &[(RIVERS, rivers.replace("answer: Long", "answer: 12 kilometres"))]);
    branch(&env, "ben", &[(RIVERS, rivers.replace("answer: Long", "answer: 21 kilometres"))]);
    _ = ends(env.deckle(&["reconcile", "ada", "ben"]), 1);
    let shown = env.deckle(&["settle", "amble"]).stdout;
    assert!(shown.contains("the notes (notes.md#length):\n    The Amble is 12 kilometres long.\n"), "{shown}");
    let line = |words: &str| shown.lines().find(|line| line.contains(words)).expect("a version").to_owned();
    assert!(line("12 kilometres (Ada").ends_with("<- the notes support this"), "{shown}");
    assert!(!line("21 kilometres").contains("support"), "{shown}");
    assert!(shown.contains("--take ada|ben|both|TEXT"), "{shown}");
}

#[test]
fn an_interrupted_run_is_finished_by_a_second_one() {
    let env = department();
    let weather = env.read(WEATHER);
    branch(&env, "ada", &[(WEATHER, weather.clone() + &card("frost", "Frozen dew."))]);
    branch(&env, "ben", &[(WEATHER, weather.replace("kind of gale", "sort of gale"))]);
    let merged = weather.replace("kind of gale", "sort of gale") + &card("frost", "Frozen dew.");
    // As it stands when it was stopped behind the state of the merge and the working files.
    let heads = format!("{}\n{}\n", tip(&env, "ada"), tip(&env, "ben"));
    env.write(".git/MERGE_HEAD", heads);
    env.write(".git/MERGE_MODE", "no-ff");
    env.write(WEATHER, &merged);
    _ = ends(env.deckle(&["reconcile", "ada", "ben"]), 0);
    assert_eq!(env.read(WEATHER), merged);
    assert_eq!(parents(&env).len(), 3);
    clean(&env);
}

#[test]
fn hooks_identity_and_signing_are_gits_own() {
    let mut env = department();
    let weather = env.read(WEATHER);
    branch(&env, "ada", &[(WEATHER, weather.clone() + &card("frost", "Frozen dew."))]);
    branch(&env, "ben", &[(WEATHER, weather.replace("kind of gale", "sort of gale"))]);
    let hook = "#!/bin/sh\necho 'Reviewed-by: the lead' >> \"$1\"\n";
    env.write(".git/hooks/commit-msg", hook);
    env.write("../sign.sh", "#!/bin/sh\necho signed > \"$(dirname \"$0\")/signed\"\necho '[GNUPG:] SIG_CREATED ' >&2\nprintf -- '-----BEGIN PGP SIGNATURE-----\\n\\nabc\\n-----END PGP SIGNATURE-----\\n'\n");
    for path in [".git/hooks/commit-msg", "../sign.sh"] {
        env.command("chmod").args(["+x", path]).status().expect("chmod runs");
    }
    let program = env.path("../sign.sh").display().to_string();
    env.git(&["config", "gpg.program", &program]).fine();
    env.git(&["config", "commit.gpgSign", "true"]).fine();
    env.author("Idris Penhale", "2026-10-07T10:00:00+00:00");
    _ = ends(env.deckle(&["reconcile", "ada", "ben"]), 0);
    let commit = env.git(&["cat-file", "commit", "HEAD"]).fine();
    assert!(commit.contains("author Idris Penhale <idris.penhale@"), "{commit}");
    assert!(commit.contains("gpgsig -----BEGIN") && commit.contains("Reviewed-by: the lead"), "{commit}");
}
