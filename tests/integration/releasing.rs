//! Releasing the packs of all year groups, and building a pack again, from the command line.

use super::support::env::TestEnv;
use super::support::repo::{clean, commit, ends};

/// Two year groups, each with a deck in autumn.
pub(super) const SETTINGS: &str = "department: Geography\nschool: Ambleford Quay School\nyears: [7, 8]\n\
    terms:\n  - {name: autumn, starts: 2026-09-02, ends: 2026-12-18}\n  - {name: spring, starts: 2027-01-05, ends: 2027-03-25}\n\
    scheme:\n  - {deck: year-7/weather, term: autumn}\n  - {deck: year-8/rivers, term: autumn}\n";
const RIVERS: &str = "decks/year-8/rivers/cards.yaml";

/// A deck of one card.
pub(super) fn deck(title: &str, year: u8, id: &str, answer: &str) -> String {
    format!(
        "title: {title}\nyear: {year}\ncards:\n  - id: {id}\n    question: What is meant by {id}?\n    answer: {answer}\n"
    )
}

/// A pack of one card for each of two year groups.
pub fn department() -> TestEnv {
    let env = TestEnv::new();
    env.git(&["init", "--quiet"]).fine();
    env.write("decks/department.yaml", SETTINGS);
    env.write(".gitignore", "/out\n");
    env.write("decks/year-7/weather/cards.yaml", deck("Weather", 7, "gale", "Wind of at least 34 knots"));
    env.write(RIVERS, deck("Rivers", 8, "levee", "A raised bank beside a river"));
    commit(&env, "Mara Okonjo", "the department");
    env
}

/// Releases both.
pub const ALL: [&str; 6] = ["release", "--all", "--term", "autumn", "--out", "out"];
/// The pack of year 7.
pub const YEAR_7: &str = "out/geography-year-7-autumn-2026-edition-1.zip";
/// The pack of year 8.
pub const YEAR_8: &str = "out/geography-year-8-autumn-2026-edition-1.zip";

#[test]
fn all_packs_of_a_term_are_released_or_none() {
    let env = department();
    env.write(RIVERS, deck("Rivers", 8, "levee", "A raised bank beside a river").replace("answer:", "ansver:"));
    commit(&env, "Ben Castell", "a slip");
    let refused = ends(env.deckle(&ALL), 1);
    assert!(refused.stdout.contains(RIVERS), "{}", refused.text());
    assert_eq!(env.git(&["tag"]).fine(), "");
    assert!(!env.path("out").exists());

    env.write(RIVERS, deck("Rivers", 8, "levee", "A raised bank beside a river"));
    commit(&env, "Ben Castell", "put right");
    env.write(YEAR_8, "another file");
    assert!(ends(env.deckle(&ALL), 2).stderr.contains("is there already"));
    assert!(!env.path(YEAR_7).exists() && env.git(&["tag"]).fine().is_empty());
    std::fs::remove_file(env.path(YEAR_8)).expect("taken away");

    let said = env.deckle(&ALL).fine();
    assert!(said.contains(YEAR_7) && said.contains(YEAR_8), "{said}");
    assert_eq!(env.git(&["tag"]).fine(), "packs/year-7/autumn-2026/1\npacks/year-8/autumn-2026/1\n");

    env.write(RIVERS, deck("Rivers", 8, "levee", "A bank that a river in flood raised beside itself"));
    commit(&env, "Ben Castell", "better words");
    let json: serde_json::Value =
        serde_json::from_str(&env.deckle(&[&ALL[..], &["--format", "json"]].concat()).fine()).expect("JSON");
    let packs: Vec<_> = json["packs"].as_array().expect("packs").iter().map(|pack| &pack["tag"]).collect();
    assert_eq!(packs, ["packs/year-7/autumn-2026/1", "packs/year-8/autumn-2026/2"]);
    assert_eq!((&json["packs"][0]["new"], &json["packs"][1]["new"]), (&false.into(), &true.into()));

    let nothing = ends(env.deckle(&["release", "--all", "--term", "spring"]), 2);
    assert!(nothing.stderr.contains("the scheme has no deck in spring-2027"), "{}", nothing.text());
    _ = ends(env.deckle(&["release", "--all", "--year", "8", "--term", "autumn"]), 2);
    _ = ends(env.deckle(&["release", "--term", "autumn"]), 2);
    clean(&env);
}

#[test]
fn a_pack_is_built_again_from_its_commit() {
    let env = department();
    env.deckle(&ALL).fine();
    let said = env.deckle(&["verify", YEAR_8, "--rebuild"]).fine();
    assert!(said.contains("passed       built again from its commit, it is the same byte for byte"), "{said}");
    assert!(!env.deckle(&["verify", YEAR_8]).fine().contains("built again"));

    let mut bytes = std::fs::read(env.path(YEAR_8)).expect("the pack");
    let at = bytes.windows(11).position(|part| part == b"raised bank").expect("the answer");
    bytes[at] = b'R';
    env.write("out/other.zip", bytes);
    assert!(ends(env.deckle(&["verify", "out/other.zip", "--rebuild"]), 1).stdout.contains("do not give it to pupils"));

    std::fs::create_dir(env.path("../elsewhere")).expect("a folder");
    let pack = env.path(YEAR_8).display().to_string();
    let said = ends(env.deckle(&["-C", "../elsewhere", "verify", &pack, "--rebuild"]), 2);
    assert!(said.stderr.contains("no repository to build the pack from"), "{}", said.text());
}

#[test]
fn what_was_released_keeps_to_its_schema() {
    let schema = serde_json::from_str(include_str!("../../schema/release.schema.json")).expect("JSON");
    let schema = jsonschema::validator_for(&schema).expect("a schema");
    let env = department();
    let one = ["release", "--year", "8", "--term", "autumn", "--out", "out"];
    let told = |args: &[&str]| -> serde_json::Value {
        let json = env.deckle(&[args, &["--format", "json"]].concat()).fine();
        serde_json::from_str(&json).expect("JSON")
    };
    let (preview, made, same) = (told(&[&one[..], &["--preview"]].concat()), told(&one), told(&one));
    assert_eq!((&made["new"], &same["new"], &preview["tag"]), (&true.into(), &false.into(), &serde_json::Value::Null));
    for value in [&preview, &made, &same, &told(&ALL)] {
        let errors: Vec<String> = schema.iter_errors(value).map(|error| error.to_string()).collect();
        assert!(errors.is_empty(), "{errors:?}: {value:#}");
    }
    for (value, at) in [(&made, "/sha256"), (&made, "/tag"), (&same, "/tag"), (&same, "/new")] {
        let mut broken = value.clone();
        *broken.pointer_mut(at).expect("it is there") = serde_json::json!(7);
        assert!(!schema.is_valid(&broken), "{at}");
    }
}
