//! Releasing and verifying, in small repositories.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use proptest::prelude::*;

use super::support::{Repo, department_files, made, signature};
use super::*;
use crate::change::support::Files;
use crate::finding::Level;

/// The files of a zip, by a reader of its own.
fn unzipped(zip: &[u8]) -> BTreeMap<String, Vec<u8>> {
    super::archive::read(zip).unwrap()
}

fn edited(path: &str, before: &str, after: &str) -> Files {
    let mut files = department_files();
    edit(&mut files, path, before, after);
    files
}

/// The mistake put right: on the card, and in the notes that it came from.
fn corrected() -> Files {
    let mut files = edited(RIVERS, "33 knots", "34 knots");
    edit(&mut files, "decks/year-8/rivers/notes.md", "33 knots", "34 knots");
    files
}

#[track_caller]
fn edit(files: &mut Files, path: &str, before: &str, after: &str) {
    let text = String::from_utf8(files[path].clone()).unwrap();
    assert!(text.contains(before), "{before} in {text}");
    files.insert(path.to_owned(), text.replace(before, after).into_bytes());
}

const RIVERS: &str = "decks/year-8/rivers/cards.yaml";
const COASTS: &str = "decks/year-8/coasts/cards.yaml";

#[track_caller]
fn keeps_to(schema: &str, json: &serde_json::Value) {
    let schema: serde_json::Value = serde_json::from_str(schema).unwrap();
    let validator = jsonschema::draft202012::new(&schema).unwrap();
    let errors: Vec<String> =
        validator.iter_errors(json).map(|error| format!("{error} at {}", error.instance_path())).collect();
    assert!(errors.is_empty(), "{errors:#?}\n{json:#}");
}

const PACK_SCHEMA: &str = include_str!("../../schema/pack.schema.json");

#[track_caller]
fn all_passed(verdict: &Verdict) {
    assert!(verdict.passed && verdict.checks.iter().all(|check| check.state == State::Passed), "{verdict:#?}");
    keeps_to(include_str!("../../schema/verify.schema.json"), &serde_json::to_value(verdict).unwrap());
}

#[track_caller]
fn only_failed(verdict: &Verdict, names: &[&str]) {
    let failed: Vec<&str> =
        verdict.checks.iter().filter(|check| check.state == State::Failed).map(|check| check.name).collect();
    assert_eq!(failed, names, "{verdict:#?}");
    assert!(!verdict.passed);
    assert_eq!(verdict.checks.len(), 7);
    keeps_to(include_str!("../../schema/verify.schema.json"), &serde_json::to_value(verdict).unwrap());
}

#[test]
fn a_first_edition() {
    let repo = Repo::with_department();
    let made = made(repo.release());
    assert_eq!(made.tag.as_deref(), Some("packs/year-8/autumn-2026/1"));
    assert_eq!(made.path, repo.out().join("geography-year-8-autumn-2026-edition-1.zip"));
    assert_eq!(std::fs::read(&made.path).unwrap(), made.built.zip);
    let pack = &made.built.pack;
    assert_eq!(pack.cards.iter().map(|card| card.id.as_str()).collect::<Vec<_>>(), ["gale", "wave", "fetch"]);
    assert_eq!(pack.cards.iter().map(|card| card.number).collect::<Vec<_>>(), [1, 2, 3]);
    assert_eq!(pack.topics.iter().map(|topic| topic.cards).collect::<Vec<_>>(), [2, 1]);
    assert_eq!((pack.commit.len(), pack.released.as_str()), (40, "2026-11-25T10:00:00+00:00"));
    assert!(pack.cards[1].pictures[0].sha256.is_some());
    assert_eq!(pack.topics[0].colour.as_ref().map(|colour| colour.band.as_str()), Some("#1f5f5b"));
    all_passed(&verify(Some(&repo.repository), &made.built.zip));
}

#[test]
fn the_files_of_a_pack() {
    let repo = Repo::with_department();
    let built = made(repo.release()).built;
    let files = unzipped(&built.zip);
    assert_eq!(
        files.keys().collect::<Vec<_>>(),
        ["calendar.ics", "cards.csv", "cards.pdf", "changes.md", "map.svg", "pack.json", "revise.html"]
    );
    let json: serde_json::Value = serde_json::from_slice(&files["pack.json"]).unwrap();
    keeps_to(PACK_SCHEMA, &json);
    assert_eq!(json["edition"], 1);
    assert_eq!(json["previous"], serde_json::Value::Null);
    assert_eq!(json["cautions"].as_array().unwrap().len(), CAUTIONS.len());
    let listed: Vec<&str> =
        json["files"].as_array().unwrap().iter().map(|file| file["name"].as_str().unwrap()).collect();
    assert_eq!(listed, ["cards.pdf", "cards.csv", "calendar.ics", "map.svg", "changes.md", "revise.html"]);
    assert_eq!(json["files"][0]["size"], files["cards.pdf"].len());
    let manifest: Manifest = serde_json::from_slice(&files["pack.json"]).unwrap();
    assert_eq!(manifest, Manifest::of(&built.pack, &built.files[..built.files.len() - 1]));
    assert!(String::from_utf8_lossy(&files["changes.md"]).contains("This is the first edition"));
}

#[test]
fn the_schema_refuses_what_is_no_pack() {
    let repo = Repo::with_department();
    let files = unzipped(&made(repo.release()).built.zip);
    let schema: serde_json::Value = serde_json::from_str(PACK_SCHEMA).unwrap();
    let validator = jsonschema::draft202012::new(&schema).unwrap();
    let json: serde_json::Value = serde_json::from_slice(&files["pack.json"]).unwrap();
    for (pointer, strange) in [
        ("/edition", serde_json::json!(0)),
        ("/edition", serde_json::json!("draft")),
        ("/commit", serde_json::json!("main")),
        ("/term", serde_json::json!("../x")),
        ("/cards/0/number", serde_json::json!("1")),
        ("/cards/0/questions", serde_json::json!([])),
        ("/files/0/name", serde_json::json!("../x")),
        ("/released", serde_json::json!("yesterday")),
        ("/cards/0/extra", serde_json::json!(1)),
    ] {
        let mut other = json.clone();
        match pointer.rsplit_once('/') {
            Some((parent, "extra")) => {
                _ = other.pointer_mut(parent).unwrap().as_object_mut().unwrap().insert("extra".into(), strange)
            }
            _ => *other.pointer_mut(pointer).unwrap() = strange,
        }
        assert!(!validator.is_valid(&other), "{pointer}");
    }
}

#[test]
fn nothing_new_is_no_new_edition() {
    let repo = Repo::with_department();
    let first = made(repo.release());
    let again = repo.release().unwrap();
    assert!(matches!(&again, Release::NothingNew(same) if same.edition == 1 && same.commit == first.built.pack.commit));
    let mut files = edited(RIVERS, "    tags: [wind]\n", "    # a remark\n    tags: [wind, speed]\n");
    edit(&mut files, "decks/year-8/rivers/notes.md", "A gale has", "Each gale has");
    edit(&mut files, RIVERS, "quote: A gale has", "quote: Each gale has");
    edit(&mut files, COASTS, "A ridge of sand", "A long ridge of sand");
    repo.commit(&files);
    assert!(matches!(repo.release().unwrap(), Release::NothingNew(_)));
    assert_eq!(repo.tags(), ["packs/year-8/autumn-2026/1"]);
    assert_eq!(std::fs::read_dir(repo.out()).unwrap().count(), 1);
}

#[test]
fn a_second_edition_tells_what_was_corrected() {
    let repo = Repo::with_department();
    let first = made(repo.release());
    let mut files = corrected();
    edit(&mut files, COASTS, "    draft: true\n", "");
    repo.commit(&files);
    let second = made(repo.release());
    assert_eq!(second.tag.as_deref(), Some("packs/year-8/autumn-2026/2"));
    let previous = second.built.pack.previous.as_ref().unwrap();
    assert_eq!((previous.edition, &previous.commit), (1, &first.built.pack.commit));
    let changes = String::from_utf8(unzipped(&second.built.zip)["changes.md"].clone()).unwrap();
    let corrected = changes.find("## Corrected").unwrap();
    assert!(
        changes[corrected..].contains("answer was: 33 knots") && corrected < changes.find("## New").unwrap(),
        "{changes}"
    );
    for made in [&first, &second] {
        all_passed(&verify(Some(&repo.repository), &made.built.zip));
        let tag = made.tag.as_deref().unwrap();
        assert!(rebuild(&repo.repository, tag).unwrap().zip == made.built.zip, "{tag}");
    }
    // A picture that looks different is something new, too.
    edit(&mut files, "decks/year-8/coasts/wave.svg", "<svg ", "<svg id='w' ");
    repo.commit(&files);
    let third = made(repo.release()).built;
    assert_eq!(third.differences.unwrap().otherwise.len(), 1);
}

#[test]
fn the_same_commit_gives_the_same_bytes() {
    let with = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| {
            let repo = Repo::with_department();
            let built = made(repo.release()).built;
            let tag = repo.repository.revparse_single("refs/tags/packs/year-8/autumn-2026/1^{commit}").unwrap().id();
            (built.pack, built.zip, tag)
        })
    };
    let (one, eight) = (with(1), with(8));
    assert_eq!((&one.0, one.2), (&eight.0, eight.2));
    assert!(one.1 == eight.1);
}

#[test]
fn a_folder_of_the_repository_can_be_the_department() {
    let repo = Repo::new(false, "subjects/geography/");
    repo.commit(&department_files());
    let first = made(repo.release()).built;
    let message = {
        let tag = repo.repository.revparse_single("refs/tags/packs/year-8/autumn-2026/1").unwrap();
        tag.peel_to_tag().unwrap().message().unwrap().unwrap().to_owned()
    };
    assert!(message.contains("\nFolder: subjects/geography/\n"), "{message}");
    assert!(message.contains(&format!("\n{}  {}\n", first.sha256, first.name)), "{message}");
    assert!(message.starts_with("Geography, year 8, autumn 2026, edition 1\n\nCards: 3\nTopics: 2\n"), "{message}");
    all_passed(&verify(Some(&repo.repository), &first.zip));
    assert!(rebuild(&repo.repository, "packs/year-8/autumn-2026/1").unwrap().zip == first.zip);
    // The department may move within its repository; the edition before is found where it was.
    let moved = Repo { prefix: "departments/geography/", ..repo };
    moved.commit(&corrected());
    assert_eq!(made(moved.release()).built.differences.unwrap().corrected.len(), 1);
}

#[test]
fn errors_in_the_chosen_decks_stop_a_release() {
    let repo = Repo::with_department();
    repo.commit(&edited(RIVERS, "    answer: 33 knots\n", ""));
    for result in [repo.release(), repo.preview()] {
        let Err(ReleaseError::Findings(found)) = result else { panic!("{result:?}") };
        assert!(found.iter().all(|finding| finding.level == Level::Error));
        assert_eq!(found.iter().map(|finding| finding.rule).collect::<Vec<_>>(), ["missing-field"]);
    }
    assert!(repo.tags().is_empty() && !repo.out().exists());
    // The same mistake in a deck that is not taught then stops nothing.
    let storms = |cards: &str| {
        let mut files = department_files();
        let text = format!("title: Storms\nyear: 8\ncards:\n{cards}");
        files.insert("decks/year-8/storms/cards.yaml".to_owned(), text.into_bytes());
        files
    };
    repo.commit(&storms("  - id: eye\n    question: What is the eye of a storm?\n"));
    made(repo.release());
    // But when it is one half of a pair, the other half is in the pack.
    repo.commit(&storms("  - id: strong-wind\n    question: Which wind speed is a gale?\n    answer: 50 knots\n"));
    let Err(ReleaseError::Findings(found)) = repo.release() else { panic!("released") };
    assert!(found.iter().all(|finding| finding.deck.as_deref() == Some("year-8/storms")), "{found:?}");
}

#[test]
fn settings_that_cannot_be_read_choose_nothing() {
    let repo = Repo::with_department();
    let path = "decks/department.yaml";
    repo.commit(&edited(path, "{name: autumn, starts: 2026-09-02", "{name: autumn, starts: September"));
    let Err(ReleaseError::Findings(found)) = repo.release() else { panic!("released") };
    assert!(found.iter().all(|finding| &*finding.place.path == path) && !found.is_empty());
    let mut files = department_files();
    files.remove(path);
    repo.commit(&files);
    assert!(matches!(repo.release(), Err(ReleaseError::Findings(_))));
}

#[test]
fn an_older_commit_takes_no_correction_back() {
    let repo = Repo::with_department();
    repo.commit(&corrected());
    made(repo.release());
    assert!(matches!(repo.release_at("main~1", &repo.out()), Err(ReleaseError::Older { tag }) if tag.ends_with("/1")));
    assert!(matches!(repo.release_at("nowhere", &repo.out()), Err(ReleaseError::Snapshot(_))));
}

#[test]
fn numbers_rise_from_the_newest_edition_and_other_tags_are_none() {
    let repo = Repo::with_department();
    let head = repo.repository.revparse_single("main").unwrap();
    for name in [
        "packs/year-8/autumn-2026/9",
        "packs/year-8/autumn-2026/10",
        "packs/year-8/autumn-2026/011",
        "packs/year-8/autumn-2026/x",
    ] {
        repo.repository.tag_lightweight(name, &head, false).unwrap();
    }
    assert!(matches!(repo.release().unwrap(), Release::NothingNew(NothingNew { edition: 10, .. })));
    repo.commit(&corrected());
    assert_eq!(made(repo.release()).tag.as_deref(), Some("packs/year-8/autumn-2026/11"));
}

#[test]
fn a_preview_has_no_number_and_no_tag() {
    let repo = Repo::with_department();
    let first = made(repo.preview());
    assert_eq!(first.path, repo.out().join("geography-year-8-autumn-2026-preview.zip"));
    assert!(first.tag.is_none() && repo.tags().is_empty());
    keeps_to(PACK_SCHEMA, &serde_json::from_slice(&unzipped(&first.built.zip)["pack.json"]).unwrap());
    made(repo.release());
    repo.commit(&corrected());
    let second = made(repo.preview());
    assert_eq!(second.built.differences.unwrap().corrected.len(), 1);
    assert_eq!(std::fs::read(second.path).unwrap(), second.built.zip);
    only_failed(&verify(Some(&repo.repository), &first.built.zip), &["tag"]);
    assert!(verify(None, &first.built.zip).passed);
}

#[test]
fn no_tag_without_a_whole_zip() {
    let repo = Repo::with_department();
    // The folder cannot be made: a file is in its place.
    let blocked = repo.folder.path().join("blocked");
    std::fs::write(&blocked, "").unwrap();
    assert!(matches!(repo.release_at("main", &blocked), Err(ReleaseError::Snapshot(_))));
    assert!(repo.tags().is_empty());
    // The tag cannot be set: another one is in its way.
    let head = repo.repository.revparse_single("main").unwrap();
    repo.repository.tag_lightweight("packs/year-8/autumn-2026", &head, false).unwrap();
    let error = repo.release().unwrap_err();
    assert!(matches!(&error, ReleaseError::Tag { path, .. } if path.exists()), "{error}");
    // Releasing again finishes the job.
    repo.repository.tag_delete("packs/year-8/autumn-2026").unwrap();
    let done = made(repo.release());
    all_passed(&verify(Some(&repo.repository), &std::fs::read(done.path).unwrap()));
}

#[test]
fn a_zip_that_is_there_is_never_replaced() {
    let repo = Repo::with_department();
    std::fs::create_dir(repo.out()).unwrap();
    let path = repo.out().join("geography-year-8-autumn-2026-edition-1.zip");
    std::fs::write(&path, "another pack").unwrap();
    assert!(matches!(repo.release(), Err(ReleaseError::Occupied { .. })));
    assert_eq!(std::fs::read(&path).unwrap(), b"another pack");
    assert!(repo.tags().is_empty());
}

#[test]
fn two_releases_at_once_do_not_meet() {
    let repo = Repo::with_department();
    let held = std::fs::File::create(repo.repository.commondir().join("deckle-release.lock")).unwrap();
    held.lock().unwrap();
    assert!(matches!(repo.release(), Err(ReleaseError::Busy)));
    drop(held);
    made(repo.release());
}

/// The zip again, with its files changed.
fn rezipped(zip: &[u8], change: impl Fn(&mut BTreeMap<String, Vec<u8>>)) -> Vec<u8> {
    let mut files = unzipped(zip);
    change(&mut files);
    let files: Vec<(&str, Vec<u8>)> = files.iter().map(|(name, bytes)| (name.as_str(), bytes.clone())).collect();
    super::archive::write(&files).unwrap()
}

fn in_manifest(zip: &[u8], before: &str, after: &str) -> Vec<u8> {
    rezipped(zip, |files| edit(files, "pack.json", before, after))
}

#[test]
fn a_pack_that_was_tampered_with_does_not_verify() {
    let repo = Repo::with_department();
    let zip = made(repo.release()).built.zip;
    let check = |zip: &[u8]| verify(Some(&repo.repository), zip);
    let replaced = rezipped(&zip, |files| _ = files.insert("cards.csv".to_owned(), b"number\r\n".to_vec()));
    only_failed(&check(&replaced), &["files", "digest"]);
    only_failed(&check(&rezipped(&zip, |files| _ = files.remove("changes.md"))), &["files", "digest"]);
    let extra = rezipped(&zip, |files| _ = files.insert("game.exe".to_owned(), Vec::new()));
    only_failed(&check(&extra), &["nothing-else", "digest"]);
    only_failed(&check(&rezipped(&zip, |files| _ = files.remove("pack.json"))), &["pack.json"]);
    only_failed(&check(&in_manifest(&zip, "33 knots", "43 knots")), &["digest"]);
    only_failed(&check(&in_manifest(&zip, "\"edition\": 1", "\"edition\": 2")), &["tag"]);
    only_failed(&check(&in_manifest(&zip, "\"format\": 1", "\"format\": 2")), &["pack.json"]);
    only_failed(&check(&in_manifest(&zip, "\"term\": \"autumn-2026\"", "\"term\": \"../x\"")), &["pack.json"]);
    only_failed(&check(&in_manifest(&zip, "\"number\": 2", "\"number\": 7")), &["pack.json"]);
    only_failed(&check(&in_manifest(&zip, "\"tier\"", "\"tear\"")), &["pack.json"]);
    only_failed(&check(b"no zip at all"), &["readable"]);
    only_failed(&check(&zip[..zip.len() - 3]), &["readable"]);
    let commit = made_up_commit(&zip);
    only_failed(&check(&in_manifest(&zip, &commit.0, &commit.1)), &["commit", "digest"]);
    // Without a repository only the pack itself is judged.
    only_failed(&verify(None, &replaced), &["files"]);
    // What cannot be read at all is not said to hold no pack.json.
    let cut = verify(None, &zip[..zip.len() / 2]);
    only_failed(&cut, &["readable"]);
    assert!(cut.checks.iter().any(|check| check.sentence == "not looked at: the zip cannot be read"));
    assert!(verify(None, &in_manifest(&zip, "33 knots", "43 knots")).passed);
}

fn made_up_commit(zip: &[u8]) -> (String, String) {
    let manifest: Manifest = serde_json::from_slice(&unzipped(zip)["pack.json"]).unwrap();
    (manifest.commit.clone(), manifest.commit.chars().rev().collect())
}

#[test]
fn a_tag_that_no_release_set_does_not_verify() {
    let repo = Repo::with_department();
    let zip = made(repo.release()).built.zip;
    repo.repository.tag_delete("packs/year-8/autumn-2026/1").unwrap();
    only_failed(&verify(Some(&repo.repository), &zip), &["tag"]);
    let head = repo.repository.revparse_single("main").unwrap();
    repo.repository.tag("packs/year-8/autumn-2026/1", &head, &signature(), "by hand", false).unwrap();
    only_failed(&verify(Some(&repo.repository), &zip), &["digest"]);
    repo.repository.tag_delete("packs/year-8/autumn-2026/1").unwrap();
    let tree = head.peel_to_tree().unwrap();
    repo.repository.tag_lightweight("packs/year-8/autumn-2026/1", tree.as_object(), false).unwrap();
    only_failed(&verify(Some(&repo.repository), &zip), &["tag"]);
    assert!(matches!(repo.release(), Err(ReleaseError::EditionBefore { .. })));
    assert!(matches!(rebuild(&repo.repository, "v1"), Err(ReleaseError::NoEdition(_))));
}

#[test]
fn the_demonstration_gives_packs() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let department = crate::deck::Department::read(&crate::snapshot::FolderSnapshot::new(root)).unwrap();
    for year in [7, 8, 9] {
        let chosen = choose(&department, year, "autumn").unwrap();
        refuse::refuse_errors(&chosen).unwrap();
        let origin = Origin {
            edition: Edition::Preview,
            commit: "0".repeat(40),
            released: "2026-11-25T10:00:00+00:00".to_owned(),
        };
        let built = build(&chosen, origin, None).unwrap();
        keeps_to(PACK_SCHEMA, &serde_json::from_slice(&unzipped(&built.zip)["pack.json"]).unwrap());
        assert!(verify(None, &built.zip).passed && built.pack.cards.len() > 20);
        let place = |id: &str| built.pack.cards.iter().position(|card| card.id == id);
        for (at, card) in built.pack.cards.iter().enumerate() {
            assert!(card.needs.iter().filter_map(|need| place(need)).all(|need| need < at), "{}", card.id);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn no_zip_makes_verifying_panic(changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..5), cut in any::<prop::sample::Index>()) {
        static ZIP: OnceLock<Vec<u8>> = OnceLock::new();
        let whole = ZIP.get_or_init(|| made(Repo::with_department().release()).built.zip);
        let mut zip = whole.clone();
        for (at, byte) in changes {
            let at = at.index(zip.len());
            zip[at] = byte;
        }
        let cut = if cut.index(2) == 0 { zip.len() } else { cut.index(zip.len()) };
        zip.truncate(cut);
        let verdict = verify(None, &zip);
        prop_assert_eq!(verdict.checks.len(), 7);
        if verdict.passed {
            // No file but the list itself can have been changed.
            let (files, there) = (unzipped(whole), unzipped(&zip));
            prop_assert!(files.iter().filter(|(name, _)| *name != "pack.json").all(|(name, bytes)| there.get(name) == Some(bytes)));
        }
    }
}
