//! Printing the cards of a pack in other ways than the pack itself holds them.

use std::io::Read;

use crate::support::env::{Said, TestEnv};
use crate::support::repo;

const SETTINGS: &str = "department: Geography\nschool: Ambleford Quay School\nyears: [7, 8]\nterms:\n  - name: autumn\n    starts: 2026-09-02\n    ends: 2026-12-18\nscheme:\n  - deck: year-8/rivers\n    term: autumn\n";

fn department() -> TestEnv {
    let env = repo::department();
    env.write("decks/department.yaml", SETTINGS);
    repo::commit(&env, "Mara Okonjo", "the scheme of work");
    env
}

fn cards_of(env: &TestEnv, zip: &str) -> Vec<u8> {
    let zip = std::fs::File::open(env.path(zip)).expect("the zip is there");
    let mut zip = zip::ZipArchive::new(zip).expect("it can be read");
    let mut cards = Vec::new();
    zip.by_name("cards.pdf").expect("it is printed").read_to_end(&mut cards).expect("whole");
    cards
}

fn file(env: &TestEnv, path: &str) -> Vec<u8> {
    std::fs::read(env.path(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

#[test]
fn a_pack_is_printed_as_it_was_whatever_came_after() {
    let env = department();
    let release = ["release", "--year", "8", "--term", "autumn", "--out", "packs"];
    env.deckle(&release).fine();
    env.deckle(&[&release[..], &["--preview"]].concat()).fine();
    let river = env.read("decks/year-8/rivers/cards.yaml");
    env.write("decks/year-8/rivers/cards.yaml", river.replace("title: Rivers", "title: Great rivers"));
    repo::commit(&env, "Mara Okonjo", "another title");
    for name in ["edition-1", "preview"] {
        let name = format!("geography-year-8-autumn-2026-{name}");
        let zip = format!("packs/{name}.zip");
        let said = env.deckle(&["print", &zip, "--out", "printed"]).fine();
        let path = format!("printed/{name}-cards.pdf");
        assert!(said.contains(&path), "{said}");
        assert!(file(&env, &path) == cards_of(&env, &zip), "{name} is printed in another way than it was");
    }
}

#[test]
fn cards_that_are_committed_are_printed_without_a_pack() {
    let env = department();
    let now = ["print", "--year", "8", "--term", "autumn", "--out", "printed"];
    let other = ["--paper", "a6", "--flip", "short", "--backs", "blank"];
    env.deckle(&[&now[..], &other].concat()).fine();
    env.deckle(&now).fine();
    let blank = file(&env, "printed/geography-year-8-autumn-2026-preview-cards-a6-short-blank.pdf");
    let full = file(&env, "printed/geography-year-8-autumn-2026-preview-cards.pdf");
    assert!(blank.starts_with(b"%PDF") && full.starts_with(b"%PDF") && blank != full);
}

#[test]
fn corrected_cards_alone_are_printed_in_any_size() {
    let env = department();
    let release = ["release", "--year", "8", "--term", "autumn", "--out", "packs"];
    env.deckle(&release).fine();
    let rivers = env.read("decks/year-8/rivers/cards.yaml");
    env.write("decks/year-8/rivers/cards.yaml", rivers.replace("It is a kind of delta thing.", "It has 3 arms."));
    repo::commit(&env, "Mara Okonjo", "put right");
    env.deckle(&release).fine();
    let edition = |number: u8| format!("packs/geography-year-8-autumn-2026-edition-{number}.zip");
    let printed = |more: &[&str]| {
        env.deckle(&[&["print", &edition(2), "--corrections", "--out", "printed"], more].concat()).fine()
    };
    let said = printed(&["--paper", "a6", "--flip", "short"]) + &printed(&[]);
    for name in ["corrections-a6-short.pdf", "corrections.pdf"] {
        let path = format!("printed/geography-year-8-autumn-2026-edition-2-{name}");
        assert!(said.contains(&path) && file(&env, &path).starts_with(b"%PDF"), "{said}");
    }
    let zip = std::fs::File::open(env.path(&edition(2))).expect("the zip is there");
    let mut inside = Vec::new();
    let mut zip = zip::ZipArchive::new(zip).expect("it can be read");
    zip.by_name("corrections.pdf").expect("it is printed").read_to_end(&mut inside).expect("whole");
    assert!(file(&env, "printed/geography-year-8-autumn-2026-edition-2-corrections.pdf") == inside);
    let first = env.deckle(&["print", &edition(1), "--corrections"]);
    assert!(first.status == Some(2) && first.stderr.contains("no card of this pack was put right"), "{}", first.text());
}

#[test]
fn what_is_usual_is_up_to_the_department() {
    let env = department();
    let now = ["print", "--year", "8", "--term", "autumn", "--out", "printed"];
    env.deckle(&[&now[..], &["--paper", "a6", "--flip", "short"]].concat()).fine();
    env.write("decks/department.yaml", format!("{SETTINGS}print: {{paper: a6, flip: short}}\n"));
    repo::commit(&env, "Mara Okonjo", "our printers");
    env.deckle(&now).fine();
    env.deckle(&[&now[..], &["--paper", "standard"]].concat()).fine();
    env.deckle(&["release", "--preview", "--year", "8", "--term", "autumn", "--out", "packs"]).fine();
    let printed = |name: &str| file(&env, &format!("printed/geography-year-8-autumn-2026-preview-{name}.pdf"));
    let usual = printed("cards");
    assert!(printed("cards-standard") != usual && printed("cards-a6-short").len().abs_diff(usual.len()) < 500);
    assert!(cards_of(&env, "packs/geography-year-8-autumn-2026-preview.zip") == usual);
}

#[test]
fn what_is_no_pack_of_this_department_is_not_printed() {
    let refused = |said: Said, why: &str| {
        assert_eq!(said.status, Some(2), "{}", said.text());
        assert!(said.stderr.contains(why), "{}", said.text());
    };
    let env = department();
    env.deckle(&["release", "--year", "8", "--term", "autumn", "--out", "packs"]).fine();
    let name = "packs/geography-year-8-autumn-2026-edition-1.zip";
    let mut zip = file(&env, name);
    let middle = zip.len() / 2;
    zip[middle] ^= 1;
    env.write("packs/broken.zip", zip);
    refused(env.deckle(&["print", "packs/broken.zip", "--out", "printed"]), "this pack cannot be printed");
    env.git(&["tag", "--delete", "packs/year-8/autumn-2026/1"]).fine();
    refused(env.deckle(&["print", name, "--out", "printed"]), "has no tag");
    refused(env.deckle(&["print", "--out", "printed"]), "required");
    assert!(!env.path("printed").exists());
}

#[test]
fn cards_that_do_not_fit_are_named() {
    let env = department();
    let rivers = env.read("decks/year-8/rivers/cards.yaml");
    let long = "unbreakable".repeat(20);
    env.write(
        "decks/year-8/rivers/cards.yaml",
        format!("{rivers}  - id: long-word\n    question: Which?\n    answer: {long}\n"),
    );
    repo::commit(&env, "Mara Okonjo", "a long word");
    let said = env.deckle(&["print", "--year", "8", "--term", "autumn", "--out", "printed"]);
    assert_eq!(said.status, Some(1), "{}", said.text());
    assert!(said.stdout.contains("side-too-full") && said.stdout.contains("long-word"), "{}", said.text());
    assert!(!env.path("printed").exists());
}
