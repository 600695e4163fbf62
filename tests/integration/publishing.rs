//! The shelf, from the command line: what goes there, what never changes, what is withdrawn, and what is
//! left when a publication is killed.

use std::collections::BTreeMap;
use std::io::Read;
use std::path::{Path, PathBuf};

use serde_json::Value as Json;

use super::releasing::{SETTINGS, deck};
use super::support::env::TestEnv;
use super::support::fault::{Faulty, at_every_step, no_leftovers};
use super::support::repo::{clean, commit, ends};
use super::support::root;

const RIVERS: &str = "decks/year-8/rivers/cards.yaml";
const PUBLISH: [&str; 5] = ["publish", "--shelf", "shelf", "--from", "out"];
const EIGHT: &str = "packs/year-8/autumn-2026/";

/// A department that has released its first editions of two year groups.
fn department() -> TestEnv {
    let mut env = TestEnv::new();
    env.git(&["init", "--quiet"]).fine();
    env.write("decks/department.yaml", SETTINGS);
    env.write(".gitignore", "/out\n/shelf\n/other\n");
    env.write("decks/year-7/weather/cards.yaml", deck("Weather", 7, "gale", "Wind of at least 34 knots"));
    env.write(RIVERS, deck("Rivers", 8, "levee", "A bank 3 metres high"));
    commit(&env, "Mara Okonjo", "the department");
    env.author("Mara Okonjo", "2026-09-08T10:30:00+01:00");
    env.deckle(&["release", "--all", "--term", "autumn", "--out", "out"]).fine();
    env
}

/// The second edition of year 8 corrects a card.
fn correct(env: &mut TestEnv) {
    env.write(RIVERS, deck("Rivers", 8, "levee", "A bank 4 metres high"));
    commit(env, "Ben Castell", "the right height");
    env.author("Mara Okonjo", "2026-09-21T08:00:00+00:00");
    env.deckle(&["release", "--all", "--term", "autumn", "--out", "out"]).fine();
}

/// All files of a shelf but its lock.
fn files(shelf: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let found = walkdir::WalkDir::new(shelf).into_iter().filter_map(Result::ok);
    let found = found.filter(|entry| entry.file_type().is_file() && entry.file_name() != "shelf.lock");
    let read = |path: &Path| std::fs::read(path).expect("readable");
    found.map(|entry| (entry.path().strip_prefix(shelf).expect("inside").to_owned(), read(entry.path()))).collect()
}

fn valid(schema: &str, text: &str) -> Json {
    let json: Json = serde_json::from_str(text).expect("JSON");
    let schema = std::fs::read_to_string(root().join("schema").join(schema)).expect("there");
    let schema: Json = serde_json::from_str(&schema).expect("JSON");
    let validator = jsonschema::options().should_validate_formats(true).build(&schema).expect("a schema");
    let errors: Vec<String> = validator.iter_errors(&json).map(|error| error.to_string()).collect();
    assert!(errors.is_empty(), "{errors:#?}\n{json:#}");
    json
}

fn list(env: &TestEnv) -> Json {
    valid("shelf.schema.json", &env.read("shelf/shelf.json"))
}

/// Every address on every page and in the feed leads to a file, and to the place in it that it names.
#[track_caller]
fn links_lead_somewhere(shelf: &Path) -> usize {
    follow_links(shelf, true)
}

/// As [`links_lead_somewhere`]; without `places` a page may lack the place, and then opens at its top.
#[track_caller]
fn follow_links(shelf: &Path, places: bool) -> usize {
    let mut followed = 0;
    for (page, bytes) in files(shelf) {
        let is_ours = page.ends_with("index.html") || page.ends_with("latest.html") || page.ends_with("feed.xml");
        let text = String::from_utf8_lossy(&bytes).into_owned();
        for link in text.split("href=\"").skip(1).filter(|_| is_ours) {
            let link = link.split('"').next().expect("its end");
            let (path, fragment) = link.split_once('#').unwrap_or((link, ""));
            if path.starts_with("data:") {
                continue;
            }
            let target = if path.is_empty() { page.clone() } else { page.with_file_name("").join(path) };
            let read = std::fs::read(shelf.join(&target));
            let read = read.unwrap_or_else(|error| panic!("{} leads to {link}: {error}", page.display()));
            let place = format!("id=\"{fragment}\"");
            assert!(
                !places || fragment.is_empty() || String::from_utf8_lossy(&read).contains(&place),
                "{} leads to {link}",
                page.display()
            );
            followed += 1;
        }
    }
    followed
}

#[test]
fn packs_go_on_the_shelf_once_and_publishing_again_changes_nothing() {
    let mut env = department();
    let told = valid("publish.schema.json", &env.deckle(&[&PUBLISH[..], &["--format", "json"]].concat()).fine());
    let outcomes: Vec<_> = told["editions"].as_array().expect("editions").iter().map(|put| &put["outcome"]).collect();
    assert_eq!(outcomes, ["new", "new"]);
    let pages = ["shelf.json", "feed.xml", "year-7/latest.html", "year-8/latest.html", "index.html"];
    assert_eq!(told["pages"], Json::from(pages.to_vec()));
    assert!(links_lead_somewhere(&env.path("shelf")) > 40);

    let folder = env.path("shelf/year-8/autumn-2026/edition-1");
    let name = "geography-year-8-autumn-2026-edition-1.zip";
    assert_eq!(std::fs::read(folder.join(name)).ok(), std::fs::read(env.path("out").join(name)).ok());
    let mut zip = zip::ZipArchive::new(std::fs::File::open(folder.join(name)).expect("the zip")).expect("whole");
    for at in 0..zip.len() {
        let mut bytes = Vec::new();
        let mut file = zip.by_index(at).expect("a file");
        file.read_to_end(&mut bytes).expect("whole");
        let name = file.name().expect("a name").into_owned();
        assert_eq!(std::fs::read(folder.join(&name)).ok(), Some(bytes), "{name}");
    }

    let before = files(&env.path("shelf"));
    let said = env.deckle(&PUBLISH).fine();
    assert!(said.contains("is there already, unchanged") && said.contains("nothing is new"), "{said}");
    assert!(files(&env.path("shelf")) == before, "publishing again changed something");

    // What is published bit by bit is what is published at once.
    correct(&mut env);
    let said = env.deckle(&PUBLISH).fine();
    assert!(said.contains("Year 8, autumn 2026, edition 2 (1 card, 1 corrected) is on the shelf"), "{said}");
    assert!(said.contains("written anew: shelf.json, year-8/latest.html, index.html, feed.xml"), "{said}");
    env.deckle(&["publish", "--shelf", "other", "--from", "out"]).fine();
    assert!(files(&env.path("shelf")) == files(&env.path("other")), "the order of publishing can be seen");
    let index = env.read("shelf/index.html");
    assert!(
        index.contains("answer was: <s>A bank 3 metres high</s>") && index.contains("replaced by edition 2"),
        "{index}"
    );
    assert!(env.read("shelf/year-8/latest.html").contains("year-8/autumn-2026/edition-2/revise.html"));
    let list = list(&env);
    assert_eq!(list["current"][1]["tag"], format!("{EIGHT}2"));
    assert_eq!(list["editions"][2]["since"]["corrected"][0]["id"], "levee");
    // The date of the tag, not of the commit or of today.
    assert_eq!(list["editions"][1]["released"], "2026-09-08T10:30:00+01:00");
    assert!(env.read("shelf/feed.xml").contains("<updated>2026-09-21T08:00:00+00:00</updated>"));
    clean(&env);
}

#[test]
fn only_what_was_released_goes_on_the_shelf() {
    let env = department();
    env.deckle(&["release", "--year", "8", "--term", "autumn", "--out", "out", "--preview"]).fine();
    let preview = "out/geography-year-8-autumn-2026-preview.zip";
    let said = ends(env.deckle(&["publish", "--shelf", "shelf", preview]), 1);
    assert!(said.stderr.contains("it was never released"), "{}", said.text());

    let zip = env.path("out/geography-year-8-autumn-2026-edition-1.zip");
    let mut bytes = std::fs::read(&zip).expect("the pack");
    let at = bytes.windows(8).position(|part| part == b"3 metres").expect("the answer");
    bytes[at] = b'9';
    env.write("out/geography-year-8-autumn-2026-edition-7.zip", bytes);
    let said = ends(env.deckle(&PUBLISH), 1);
    assert!(
        said.stderr.contains("edition-7.zip was not put on the shelf") && said.stdout.is_empty(),
        "{}",
        said.text()
    );
    // One that is wrong keeps all off, and leaves no trace.
    assert!(!env.path("shelf").exists());

    env.git(&["tag", "--delete", &format!("{EIGHT}1")]).fine();
    let said = ends(env.deckle(&["publish", "--shelf", "shelf", "out/geography-year-8-autumn-2026-edition-1.zip"]), 1);
    assert!(said.stderr.contains("git fetch --tags"), "{}", said.text());
    let said = ends(env.deckle(&["publish", "--shelf", "shelf", "--from", "decks"]), 2);
    assert!(said.stderr.contains("no released pack in decks"), "{}", said.text());
}

#[test]
fn what_lies_on_the_shelf_never_changes() {
    let mut env = department();
    env.deckle(&PUBLISH).fine();
    let cards = "shelf/year-8/autumn-2026/edition-1/cards.csv";
    let whole = env.read(cards);
    env.write(cards, whole.replace("3 metres", "30 metres"));
    let said = ends(env.deckle(&PUBLISH), 2);
    assert!(said.stderr.contains("is another one") && said.stderr.contains("editions never change"), "{}", said.text());
    // Also when another pack is published.
    let seven = "out/geography-year-7-autumn-2026-edition-1.zip";
    let said = ends(env.deckle(&["publish", "--shelf", "shelf", seven]), 2);
    assert!(said.stderr.contains("no longer as it was put on the shelf"), "{}", said.text());

    // As the message says: taken away, it is put there again, the same bytes.
    let before = {
        env.write(cards, &whole);
        files(&env.path("shelf"))
    };
    std::fs::remove_dir_all(env.path("shelf/year-8/autumn-2026/edition-1")).expect("taken away");
    assert!(env.deckle(&PUBLISH).fine().contains("was gone, and is there again"));
    assert!(files(&env.path("shelf")) == before);

    // A page that somebody wrote to is made anew.
    env.write("shelf/index.html", "<p>mine");
    assert!(env.deckle(&PUBLISH).fine().contains("written anew: index.html"));
    assert!(files(&env.path("shelf")) == before);

    // The same tag in another repository, with another pack behind it.
    env.git(&["tag", "--delete", &format!("{EIGHT}1")]).fine();
    std::fs::remove_dir_all(env.path("out")).expect("taken away");
    correct(&mut env);
    let said = ends(env.deckle(&PUBLISH), 2);
    assert!(said.stderr.contains("is not the one of this repository"), "{}", said.text());
    assert!(files(&env.path("shelf")) == before);
}

#[test]
fn a_withdrawn_edition_stays_listed_and_marked() {
    let mut env = department();
    correct(&mut env);
    env.deckle(&PUBLISH).fine();
    env.author("Mara Okonjo", "2026-10-01T07:15:00+00:00");
    let tag = format!("{EIGHT}2");
    let why = "the height <is> wrong";
    let withdraw = ["publish", "--shelf", "shelf", "--withdraw", &tag, "--reason", why];
    let dry = [&withdraw[..], &["--dry-run"]].concat();
    let before = files(&env.path("shelf"));
    assert!(env.deckle(&dry).fine().contains("would be marked as withdrawn: the height <is> wrong"));
    assert!(files(&env.path("shelf")) == before);

    valid("publish.schema.json", &env.deckle(&[&withdraw[..], &["--format", "json"]].concat()).fine());
    let index = env.read("shelf/index.html");
    assert!(index.contains("<strong>Withdrawn</strong> on 1 October 2026: the height &lt;is&gt; wrong"), "{index}");
    assert!(!index.contains("edition-2/revise.html") && index.contains("edition-1/revise.html"));
    assert!(env.path("shelf/year-8/autumn-2026/edition-2/revise.html").exists(), "its files stay");
    let list = list(&env);
    assert_eq!(list["current"][1]["tag"], format!("{EIGHT}1"));
    assert_eq!(list["editions"][2]["withdrawn"]["on"], "2026-10-01T07:15:00+00:00");
    let feed = env.read("shelf/feed.xml");
    assert!(feed.contains("Withdrawn: Year 8, autumn 2026, edition 2") && feed.contains("2026-10-01T07:15:00+00:00"));
    links_lead_somewhere(&env.path("shelf"));

    // Later, and by another name, the same: nothing changes.
    let done = files(&env.path("shelf"));
    env.author("Mara Okonjo", "2026-11-01T07:15:00+00:00");
    let name = "out/geography-year-8-autumn-2026-edition-2.zip";
    let said = env.deckle(&["publish", "--shelf", "shelf", "--withdraw", name, "--reason", why]).fine();
    assert!(said.contains("stays withdrawn") && said.contains("nothing is new"), "{said}");
    assert!(env.deckle(&PUBLISH).fine().contains("edition 2 (1 card, 1 corrected) stays withdrawn"));
    assert!(files(&env.path("shelf")) == done);

    // Its files may be taken away by hand; nobody puts them back, and nobody minds.
    std::fs::remove_dir_all(env.path("shelf/year-8/autumn-2026/edition-2")).expect("taken away");
    let without = files(&env.path("shelf"));
    assert!(env.deckle(&PUBLISH).fine().contains("nothing is new"));
    assert!(files(&env.path("shelf")) == without);
    links_lead_somewhere(&env.path("shelf"));

    let said = ends(env.deckle(&["publish", "--shelf", "shelf", "--withdraw", &tag, "--reason", "bored"]), 2);
    assert!(said.stderr.contains("withdrawn already, on 2026-10-01"), "{}", said.text());
    let said = ends(env.deckle(&["publish", "--shelf", "shelf", "--withdraw", "year-9", "--reason", "x"]), 2);
    assert!(said.stderr.contains("`year-9` is not on the shelf; there are packs/year-7"), "{}", said.text());
    _ = ends(env.deckle(&["publish", "--shelf", "shelf", "--withdraw", &tag, "--reason", " "]), 2);
    _ = ends(env.deckle(&["publish", "--shelf", "shelf", "--withdraw", &tag]), 2);
    let said = ends(env.deckle(&["publish", "--shelf", "nowhere", "--withdraw", &tag, "--reason", "x"]), 2);
    assert!(said.stderr.contains("is no shelf") && !env.path("nowhere").exists(), "{}", said.text());
    assert!(files(&env.path("shelf")) == without);
}

#[test]
fn a_withdrawn_edition_can_be_taken_back() {
    let mut env = department();
    correct(&mut env);
    env.deckle(&PUBLISH).fine();
    let tag = format!("{EIGHT}2");
    let restore = ["publish", "--shelf", "shelf", "--restore", &tag];
    let why = ["--reason", "it was <right>"];
    let said = ends(env.deckle(&restore), 2);
    assert!(said.stderr.contains("year 8, autumn 2026, edition 2 was never withdrawn"), "{}", said.text());

    env.author("Mara Okonjo", "2026-10-01T07:15:00+00:00");
    env.deckle(&["publish", "--shelf", "shelf", "--withdraw", &tag, "--reason", "a slip"]).fine();
    let gone = files(&env.path("shelf"));
    env.author("Mara Okonjo", "2026-10-03T07:15:00+00:00");
    let dry = [&restore[..], &["--dry-run"]].concat();
    assert!(env.deckle(&dry).fine().contains("would be back on the shelf"));
    assert!(files(&env.path("shelf")) == gone);

    let told = env.deckle(&[&restore[..], &why, &["--format", "json"]].concat()).fine();
    let told = valid("publish.schema.json", &told);
    assert_eq!((&told["editions"][0]["outcome"], &told["editions"][0]["reason"]), (&"restored".into(), &why[1].into()));
    let list = list(&env);
    assert_eq!(list["current"][1]["tag"], tag);
    assert_eq!(list["editions"][2]["withdrawn"], Json::Null);
    assert_eq!(list["editions"][2]["restored"][0]["withdrawn"]["reason"], "a slip");
    assert_eq!(list["editions"][2]["restored"][0]["on"], "2026-10-03T07:15:00+00:00");
    let index = env.read("shelf/index.html");
    let note = "Withdrawn on 1 October 2026 (a slip), back on the shelf since 3 October 2026: it was &lt;right&gt;";
    assert!(index.contains(note) && index.contains("edition-2/revise.html"), "{index}");
    assert!(env.read("shelf/year-8/latest.html").contains(note));
    assert!(env.read("shelf/feed.xml").contains("Back on the shelf: Year 8, autumn 2026, edition 2"));
    links_lead_somewhere(&env.path("shelf"));

    // Twice, and publishing again: nothing changes.
    let done = files(&env.path("shelf"));
    env.author("Mara Okonjo", "2026-11-03T07:15:00+00:00");
    assert!(env.deckle(&restore).fine().contains("is there already, unchanged"));
    assert!(env.deckle(&PUBLISH).fine().contains("nothing is new"));
    assert!(files(&env.path("shelf")) == done);

    // And back again, and so on: what happened stays told.
    env.deckle(&["publish", "--shelf", "shelf", "--withdraw", &tag, "--reason", "a slip"]).fine();
    env.deckle(&restore).fine();
    assert_eq!(self::list(&env)["editions"][2]["restored"].as_array().map(Vec::len), Some(2));
}

#[test]
fn what_is_taken_back_without_its_files_gets_them_from_its_zip_alone() {
    let mut env = department();
    correct(&mut env);
    env.deckle(&PUBLISH).fine();
    let tag = format!("{EIGHT}2");
    let withdraw = ["publish", "--shelf", "shelf", "--withdraw", &tag, "--reason", "a slip"];
    let folder = env.path("shelf/year-8/autumn-2026/edition-2");
    let whole = files(&folder);
    env.deckle(&withdraw).fine();
    std::fs::remove_dir_all(&folder).expect("taken away");
    let without = files(&env.path("shelf"));

    let said = ends(env.deckle(&["publish", "--shelf", "shelf", "--restore", &tag]), 2);
    assert!(
        said.stderr.contains("cannot be taken back as it is") && said.stderr.contains("--restore FILE.zip"),
        "{}",
        said.text()
    );
    // Nothing but the very edition will do.
    let other = "out/geography-year-8-autumn-2026-edition-1.zip";
    env.write("other/geography-year-8-autumn-2026-edition-2.zip", std::fs::read(env.path(other)).expect("a pack"));
    let wrong = "other/geography-year-8-autumn-2026-edition-2.zip";
    let said = ends(env.deckle(&["publish", "--shelf", "shelf", "--restore", wrong]), 2);
    assert!(said.stderr.contains("cannot be taken back"), "{}", said.text());
    env.write(wrong, "no zip");
    _ = ends(env.deckle(&["publish", "--shelf", "shelf", "--restore", wrong]), 1);
    assert!(files(&env.path("shelf")) == without);

    let zip = "out/geography-year-8-autumn-2026-edition-2.zip";
    assert!(env.deckle(&["publish", "--shelf", "shelf", "--restore", zip]).fine().contains("is back on the shelf"));
    assert!(files(&folder) == whole);
    links_lead_somewhere(&env.path("shelf"));

    // A file that somebody changed meanwhile is not offered.
    env.deckle(&withdraw).fine();
    std::fs::write(folder.join("cards.csv"), "mine").expect("written");
    let said = ends(env.deckle(&["publish", "--shelf", "shelf", "--restore", zip]), 2);
    assert!(said.stderr.contains("cards.csv is gone or was changed"), "{}", said.text());
}

#[test]
fn a_dry_run_leaves_no_trace_and_other_folders_are_left_alone() {
    let env = department();
    let said = env.deckle(&[&PUBLISH[..], &["--dry-run"]].concat()).fine();
    assert!(said.contains("would go on the shelf") && said.contains("nothing was written"), "{said}");
    assert!(!env.path("shelf").exists());
    env.write("shelf/index.html", "the school's own page");
    let said = ends(env.deckle(&PUBLISH), 2);
    assert!(said.stderr.contains("this folder is no shelf"), "{}", said.text());
    assert_eq!(env.read("shelf/index.html"), "the school's own page");
    assert_eq!(std::fs::read_dir(env.path("shelf")).expect("there").count(), 1);
    env.write("other/shelf.json", "{}");
    let said = ends(env.deckle(&["publish", "--shelf", "other", "--from", "out"]), 2);
    assert!(said.stderr.contains("not as this program writes it"), "{}", said.text());
}

#[test]
fn one_publishes_at_a_time() {
    let mut env = department();
    env.deckle(&PUBLISH).fine();
    correct(&mut env);
    let held = std::fs::File::open(env.path("shelf/shelf.lock")).expect("the lock");
    held.try_lock().expect("it is free");
    let said = ends(env.deckle(&PUBLISH), 2);
    assert!(said.stderr.contains("somebody else is publishing"), "{}", said.text());
    env.deckle(&[&PUBLISH[..], &["--dry-run"]].concat()).fine();
    drop(held);

    // Several at once, each with another pack: each finishes or is told to wait, and none undoes another.
    let zips: Vec<_> =
        std::fs::read_dir(env.path("out")).expect("packs").filter_map(Result::ok).map(|entry| entry.path()).collect();
    let start = |zip: &PathBuf| {
        let mut command = env.command(env!("CARGO_BIN_EXE_deckle"));
        command
            .args(["publish", "--shelf", "other"])
            .arg(zip)
            .stderr(std::process::Stdio::piped())
            .stdout(std::process::Stdio::piped());
        command.spawn().expect("it starts")
    };
    for running in zips.iter().map(start).collect::<Vec<_>>() {
        let done = running.wait_with_output().expect("it ends");
        let said = String::from_utf8_lossy(&done.stderr).into_owned();
        assert!(done.status.success() || said.contains("somebody else is publishing"), "{said}");
    }
    env.deckle(&["publish", "--shelf", "other", "--from", "out"]).fine();
    env.deckle(&PUBLISH).fine();
    assert!(files(&env.path("shelf")) == files(&env.path("other")));
}

/// Each page is the old one or the new one, each edition whole or not there, and what a page links to is
/// there; a second run finishes.
#[track_caller]
fn old_or_new(left: &TestEnv, old: &TestEnv, new: &TestEnv, run: &[&str], fault: &Faulty) {
    let [is, was, will] = [left, old, new].map(|env| files(&env.path("shelf")));
    for (path, bytes) in &is {
        let hidden = path.iter().any(|part| part.to_string_lossy().starts_with(".deckle-"));
        let known = was.get(path) == Some(bytes) || will.get(path) == Some(bytes);
        assert!(hidden || known, "{}: {} is neither old nor new", fault.what, path.display());
    }
    assert!(was.keys().all(|path| is.contains_key(path)), "{}: something is gone", fault.what);
    // Without the index, by which people come in, there is no shelf yet. It leads to the page of a new year
    // group, which stands there before it and leads back to a place that only the new index has.
    if is.contains_key(Path::new("index.html")) {
        let year_groups =
            |files: &BTreeMap<PathBuf, Vec<u8>>| files.keys().filter(|path| path.ends_with("latest.html")).count();
        follow_links(&left.path("shelf"), year_groups(&was) == year_groups(&will));
    }
    if !fault.killed && fault.said.status == Some(2) {
        assert!(fault.said.stderr.contains("no room is left"), "{}", fault.said.text());
    }
    let again = left.deckle(run);
    assert_eq!(again.status, Some(0), "{}: {}", fault.what, again.text());
    assert!(files(&left.path("shelf")) == will, "{}: a second run does not finish", fault.what);
    no_leftovers(left, &fault.what);
}

#[test]
fn killed_at_any_step_the_shelf_is_the_old_one_or_the_new() {
    let mut env = department();
    let seven = ["publish", "--shelf", "shelf", "out/geography-year-7-autumn-2026-edition-1.zip"];
    let fresh = env.copy();
    fresh.deckle(&seven).fine();
    at_every_step(&env, &seven, |left, fault| old_or_new(left, &env, &fresh, &seven, fault));

    env.deckle(&PUBLISH).fine();
    correct(&mut env);
    let done = env.copy();
    done.deckle(&PUBLISH).fine();
    at_every_step(&env, &PUBLISH, |left, fault| old_or_new(left, &env, &done, &PUBLISH, fault));

    let tag = format!("{EIGHT}2");
    let withdraw = ["publish", "--shelf", "shelf", "--withdraw", &tag, "--reason", "a slip"];
    let gone = done.copy();
    gone.deckle(&withdraw).fine();
    at_every_step(&done, &withdraw, |left, fault| old_or_new(left, &done, &gone, &withdraw, fault));

    // Taken back when its files were taken away.
    let zip = "out/geography-year-8-autumn-2026-edition-2.zip";
    let restore = ["publish", "--shelf", "shelf", "--restore", zip];
    std::fs::remove_dir_all(gone.path("shelf/year-8/autumn-2026/edition-2")).expect("taken away");
    let back = gone.copy();
    back.deckle(&restore).fine();
    at_every_step(&gone, &restore, |left, fault| old_or_new(left, &gone, &back, &restore, fault));
}

#[test]
fn killed_while_a_year_group_is_added_every_page_leads_to_what_is_there() {
    let env = department();
    env.deckle(&["publish", "--shelf", "shelf", "out/geography-year-7-autumn-2026-edition-1.zip"]).fine();
    let done = env.copy();
    done.deckle(&PUBLISH).fine();
    at_every_step(&env, &PUBLISH, |left, fault| old_or_new(left, &env, &done, &PUBLISH, fault));
}
