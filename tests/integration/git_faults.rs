//! Killed at every write, or with every write refused: the old state or the new one, and a second
//! run finishes.

use super::support::env::TestEnv;
use super::support::fault::{Faulty, at_every_step, no_leftovers};
use super::support::repo::{NOTES, RIVERS, WEATHER, branch, card, clean, department, ends, parents, sound, tip};

const WATCHED: [&str; 5] = [WEATHER, RIVERS, NOTES, NEW, "decks/year-8/rivers/pictures/ford.svg"];
const NEW: &str = "decks/year-7/fronts/cards.yaml";

fn files(env: &TestEnv) -> Vec<Option<String>> {
    WATCHED.iter().map(|path| std::fs::read_to_string(env.path(path)).ok()).collect()
}

/// Each file is the old one or the new one, and so is the branch.
#[track_caller]
fn old_or_new(env: &TestEnv, old: &TestEnv, new: &TestEnv, fault: &Faulty) {
    for (path, (file, (old, new))) in WATCHED.iter().zip(files(env).iter().zip(files(old).iter().zip(&files(new)))) {
        assert!(file == old || file == new, "{}: {path} is {file:?}", fault.what);
    }
    let head = tip(env, "HEAD");
    let merged = env.git(&["rev-parse", "HEAD^{tree}"]).fine() == new.git(&["rev-parse", "HEAD^{tree}"]).fine();
    assert!(head == tip(old, "HEAD") || merged, "{}", fault.what);
}

/// Proposals that move a card into a new deck, edit it, change notes and bring a picture.
fn proposals(env: &TestEnv) {
    let (weather, rivers) = (env.read(WEATHER), env.read(RIVERS));
    let front = card("front", "It is a kind of front thing.");
    let part = format!("title: Fronts\nyear: 7\ncards:\n{front}");
    branch(env, "ada", &[(WEATHER, weather.replace(&front, "")), (NEW, part)]);
    let picture = "<svg xmlns=\"http://www.w3.org/2000/svg\"/>\n".to_owned();
    let notes = env.read(NOTES).replace("A river runs.", "A river runs downhill.");
    branch(
        env,
        "ben",
        &[(WATCHED[4], picture), (NOTES, notes), (WEATHER, weather.replace("kind of front", "sort of front"))],
    );
    branch(env, "cyd", &[(RIVERS, rivers.replace("kind of levee", "sort of levee"))]);
}

#[test]
fn reconcile_is_finished_by_a_second_run() {
    let env = department();
    proposals(&env);
    let run = ["reconcile", "ada", "ben", "cyd"];
    let done = env.copy();
    _ = ends(done.deckle(&run), 0);
    at_every_step(&env, &run, |left, fault| {
        old_or_new(left, &env, &done, fault);
        sound(left);
        if !fault.killed && fault.said.status == Some(2) && tip(left, "HEAD") == tip(&env, "HEAD") {
            assert!(fault.said.stderr.contains("no room is left"), "{}", fault.said.text());
        }
        let again = left.deckle(&run);
        assert_eq!(again.status, Some(0), "{}: {}", fault.what, again.text());
        assert_eq!(files(left), files(&done), "{}", fault.what);
        assert_eq!(parents(left), parents(&done), "{}", fault.what);
        no_leftovers(left, &fault.what);
        clean(left);
    });
}

#[test]
fn a_write_that_is_refused_takes_the_merge_back() {
    let env = department();
    proposals(&env);
    let run = ["reconcile", "ada", "ben", "cyd"];
    at_every_step(&env, &run, |left, fault| {
        if fault.killed || tip(left, "HEAD") != tip(&env, "HEAD") || left.path(".git/MERGE_HEAD").exists() {
            return;
        }
        assert_eq!(files(left), files(&env), "{}", fault.what);
        clean(left);
    });
}

#[test]
fn a_reconcile_that_stops_is_finished_or_taken_back() {
    let env = department();
    let weather = env.read(WEATHER);
    branch(&env, "ada", &[(WEATHER, weather.replace("kind of gale", "sort of gale") + &card("dew", "Water."))]);
    branch(&env, "ben", &[(WEATHER, weather.replace("kind of gale", "type of gale")), (RIVERS, String::new())]);
    let run = ["reconcile", "ada", "ben"];
    let done = env.copy();
    _ = ends(done.deckle(&run), 1);
    at_every_step(&env, &run, |left, fault| {
        old_or_new(left, &env, &done, fault);
        let again = left.deckle(&run);
        assert_eq!(again.status, Some(1), "{}: {}", fault.what, again.text());
        assert_eq!(files(left), files(&done), "{}", fault.what);
        assert_eq!(left.git(&["ls-files", "--stage"]), done.git(&["ls-files", "--stage"]), "{}", fault.what);
        no_leftovers(left, &fault.what);
        left.git(&["merge", "--abort"]).fine();
        assert_eq!(files(left), files(&env), "{}", fault.what);
        clean(left);
    });
}

#[test]
fn a_bare_repository_is_in_the_old_state_or_the_new_one() {
    let env = department();
    proposals(&env);
    env.git(&["clone", "--quiet", "--bare", ".", "shared.git"]).fine();
    let run = ["-C", "shared.git", "reconcile", "ada", "ben", "cyd", "--into", "main"];
    let done = env.copy();
    _ = ends(done.deckle(&run), 0);
    let main = |env: &TestEnv| env.git(&["-C", "shared.git", "rev-parse", "main"]).fine();
    at_every_step(&env, &run, |left, fault| {
        assert!([main(&env), main(&done)].contains(&main(left)), "{}", fault.what);
        let again = left.deckle(&run);
        assert_eq!(again.status, Some(0), "{}: {}", fault.what, again.text());
        assert_eq!(main(left), main(&done), "{}", fault.what);
        assert_eq!(left.git(&["-C", "shared.git", "fsck", "--strict"]).status, Some(0), "{}", fault.what);
    });
}

#[test]
fn settling_is_finished_by_a_second_run() {
    let env = department();
    let weather = env.read(WEATHER);
    branch(&env, "ada", &[(WEATHER, weather.replace("kind of gale", "sort of gale"))]);
    branch(&env, "ben", &[(WEATHER, weather.replace("kind of gale", "type of gale"))]);
    _ = ends(env.deckle(&["reconcile", "ada", "ben"]), 1);
    settled_in_the_end(&env, &["settle", "gale", "answer", "--take", "ada"]);
}

#[test]
fn settling_a_deck_by_moving_a_card_is_finished_by_a_second_run() {
    let env = department();
    let (weather, rivers) = (env.read(WEATHER), env.read(RIVERS));
    let front = card("front", "It is a kind of front thing.");
    let part = format!("title: Fronts\nyear: 7\ncards:\n{}{front}", card("air", "A thing."));
    branch(&env, "ada", &[(WEATHER, weather.replace(&front, "")), (RIVERS, rivers + &front)]);
    branch(&env, "ben", &[(WEATHER, weather.replace(&front, "")), (NEW, part)]);
    _ = ends(env.deckle(&["reconcile", "ada", "ben"]), 1);
    settled_in_the_end(&env, &["settle", "front", "deck", "--take", "ada"]);
}

/// A second run comes to the same; when the first one was done already, there is nothing left to settle.
#[track_caller]
fn settled_in_the_end(env: &TestEnv, run: &[&str]) {
    let done = env.copy();
    _ = ends(done.deckle(run), 0);
    at_every_step(env, run, |left, fault| {
        old_or_new(left, env, &done, fault);
        let again = left.deckle(run);
        let nothing_left = again.status == Some(2) && again.stderr.contains("is undecided");
        assert!(again.status == Some(0) || nothing_left, "{}: {}", fault.what, again.text());
        assert_eq!(files(left), files(&done), "{}", fault.what);
        no_leftovers(left, &fault.what);
    });
}

#[test]
fn the_driver_leaves_our_version_or_the_merged_one() {
    let env = department();
    env.deckle(&["hooks"]).fine();
    let deck = |answer: &str, more: &str| format!("title: Weather\nyear: 7\ncards:\n{}{more}", card("gale", answer));
    env.write("base", deck("A wind.", ""));
    env.write("ours", deck("A strong wind.", ""));
    env.write("theirs", deck("A wind.", &card("dew", "Water.")));
    let run = ["merge-driver", "base", "ours", "theirs", "--path", WEATHER];
    let merged = deck("A strong wind.", &card("dew", "Water."));
    at_every_step(&env, &run, |left, fault| {
        let text = left.read("ours");
        assert!(text == deck("A strong wind.", "") || text == merged, "{}: {text}", fault.what);
        assert_ne!(fault.said.status, Some(0), "{}: git must not take it for merged", fault.what);
        left.deckle(&run).fine();
        assert_eq!(left.read("ours"), merged, "{}", fault.what);
        no_leftovers(left, &fault.what);
    });
}

#[test]
fn git_takes_a_driver_that_was_killed_for_a_conflict() {
    let env = department();
    env.deckle(&["hooks"]).fine();
    let weather = env.read(WEATHER);
    branch(&env, "ada", &[(WEATHER, weather.clone() + &card("dew", "Water."))]);
    branch(&env, "ben", &[(WEATHER, weather.clone() + &card("hail", "Ice."))]);
    env.git(&["merge", "--quiet", "--ff-only", "ada"]).fine();
    let mut git = env.command("git");
    let status = git.env("DECKLE_FAULT", "ends:1").args(["merge", "--no-edit", "ben"]).status().expect("git runs");
    assert!(!status.success());
    assert_eq!(env.git(&["status", "--porcelain"]).fine(), format!("UU {WEATHER}\n"));
    env.git(&["merge", "--abort"]).fine();
    env.git(&["merge", "--quiet", "--no-edit", "ben"]).fine();
    assert!(["- id: dew", "- id: hail"].iter().all(|id| env.read(WEATHER).contains(id)));
    clean(&env);
}

#[test]
fn a_proposal_is_finished_by_a_second_run() {
    let env = department();
    env.git(&["clone", "--quiet", "--bare", ".", "../shared.git"]).fine();
    env.git(&["remote", "add", "origin", "../shared.git"]).fine();
    env.write(WEATHER, env.read(WEATHER) + &card("dew", "Water."));
    env.write(NEW, format!("title: Fronts\nyear: 7\ncards:\n{}", card("air", "A thing.")));
    let run = ["propose", "Weather: dew and fronts"];
    let done = env.copy();
    _ = ends(done.deckle(&run), 0);
    let branch = "weather-dew-and-fronts";
    let shared = |env: &TestEnv, name: &str| env.git(&["-C", "../shared.git", "rev-parse", name]).stdout;
    at_every_step(&env, &run, |left, fault| {
        // What the teacher typed is there, and nobody else sees anything that is not whole.
        assert_eq!(files(left), files(&env), "{}", fault.what);
        assert_eq!(
            (tip(left, "main"), shared(left, "main")),
            (tip(&env, "main"), shared(&env, "main")),
            "{}",
            fault.what
        );
        sound(left);
        let again = left.deckle(&run);
        assert_eq!(again.status, Some(0), "{}: {}", fault.what, again.text());
        for env in [&done, left] {
            assert_eq!(env.git(&["branch", "--show-current"]).fine().trim(), branch, "{}", fault.what);
            assert_eq!(shared(env, branch).trim(), tip(env, branch), "{}", fault.what);
        }
        assert_eq!(tip(left, "HEAD^{tree}"), tip(&done, "HEAD^{tree}"), "{}", fault.what);
        assert_eq!(parents(left), [tip(&env, "main")], "{}", fault.what);
        no_leftovers(left, &fault.what);
        clean(left);
    });
}

#[test]
fn a_look_is_remembered_or_it_is_not() {
    let env = department();
    let weather = env.read(WEATHER);
    branch(&env, "ben", &[(WEATHER, weather.clone() + &card("hail", "Ice."))]);
    env.deckle(&["review", "ben", "--since-last-review"]).fine();
    env.git(&["branch", "--quiet", "-D", "ben"]).fine();
    branch(&env, "ada", &[(WEATHER, weather + &card("dew", "Water."))]);
    let run = ["review", "ada", "--since-last-review"];
    let looks = |env: &TestEnv| env.git(&["for-each-ref", "--format=%(refname) %(objectname)", "refs/deckle"]).fine();
    let done = env.copy();
    let shown = done.deckle(&run).fine();
    at_every_step(&env, &run, |left, fault| {
        let ben = looks(left).contains("reviewed/ben");
        assert!(ben || !looks(&done).contains("reviewed/ben"), "{}", fault.what);
        assert!(!looks(left).contains("reviewed/ada"), "{}: the look was not remembered", fault.what);
        sound(left);
        // What was shown then is shown again.
        assert_eq!(left.deckle(&run).fine(), shown, "{}", fault.what);
        assert_eq!(looks(left), looks(&done), "{}", fault.what);
        clean(left);
    });
}

#[test]
fn settling_an_id_is_finished_by_a_second_run() {
    let env = called_twice();
    settled_in_the_end(&env, &["settle", "gale", "id", "--take", "ada"]);
}

/// A card that got two ids, with a link to it in another deck.
fn called_twice() -> TestEnv {
    let env = department();
    let (weather, rivers) = (env.read(WEATHER), env.read(RIVERS));
    branch(&env, "ada", &[(WEATHER, weather.replace("id: gale", "id: strong-wind"))]);
    branch(&env, "ben", &[(WEATHER, weather.replace("id: gale", "id: storm"))]);
    branch(&env, "cyd", &[(RIVERS, rivers + "    needs: [gale]\n")]);
    _ = ends(env.deckle(&["reconcile", "ada", "ben", "cyd"]), 1);
    env
}

#[test]
fn a_card_that_got_two_ids_is_settled_and_links_to_it_follow() {
    let env = called_twice();
    let told = ends(env.deckle(&["settle"]), 1);
    assert!(
        told.stdout.contains("ada:      strong-wind") && told.stdout.contains("ben:      storm"),
        "{}",
        told.text()
    );
    let taken = env.deckle(&["settle", "gale", "id", "--take", "levee"]);
    assert!(taken.status == Some(2) && taken.stderr.contains("another card is called `levee`"), "{}", taken.text());
    env.deckle(&["settle", "gale", "id", "--take", "ben"]).fine();
    assert!(env.read(WEATHER).contains("- id: storm\n") && !env.read(WEATHER).contains("undecided"));
    assert!(env.read(RIVERS).contains("needs: [storm]"), "{}", env.read(RIVERS));
    assert!(env.deckle(&["check"]).status.is_some_and(|status| status == 0));
}

#[test]
fn a_new_id_on_one_branch_takes_edits_and_links_of_the_others_along() {
    let env = department();
    let (weather, rivers) = (env.read(WEATHER), env.read(RIVERS));
    let gale = card("gale", "It is a kind of gale thing.");
    let moved = weather.replace(&gale, "");
    branch(&env, "ada", &[(WEATHER, weather.replace("id: gale", "id: strong-wind"))]);
    branch(&env, "ben", &[(WEATHER, weather.replace("kind of gale", "sort of gale"))]);
    branch(
        &env,
        "cyd",
        &[
            (WEATHER, moved),
            (
                RIVERS,
                rivers.replace("It is a kind of delta thing.\n", "It is a kind of delta thing.\n    needs: [gale]\n")
                    + &gale,
            ),
        ],
    );
    _ = ends(env.deckle(&["reconcile", "ada", "ben", "cyd"]), 0);
    let rivers = env.read(RIVERS);
    assert!(
        rivers.contains(
            "- id: strong-wind\n    question: What is meant by gale?\n    answer: It is a sort of gale thing.\n"
        ),
        "{rivers}"
    );
    assert!(rivers.contains("needs: [strong-wind]") && !env.read(WEATHER).contains("gale"), "{rivers}");
    clean(&env);
}
