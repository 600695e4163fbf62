//! Names of files as other computers write them: not UTF-8, with `\` between folders, alike but for
//! capitals; links in the place of folders.

use super::support::env::TestEnv;
use super::support::repo::ends;

const FOLDER: &str = "decks/year-7/thermometer";
const DECK: &str = "decks/year-7/thermometer/cards.yaml";

fn department() -> TestEnv {
    let env = TestEnv::new();
    env.deckle(&["start", "."]).fine();
    env
}

/// Everything that stands somewhere is judged, and a file of such a name is one finding.
#[cfg(unix)]
#[test]
fn a_name_that_is_not_utf_8_is_a_finding_and_hides_nothing() {
    use std::os::unix::ffi::OsStrExt;
    let env = department();
    let deck = env.read(DECK);
    env.write(DECK, deck.replace("question: Which instrument", "question:   Which instrument"));
    for name in [&b"a\xff.md"[..], b"b\xff/notes.md"] {
        let path = env.path("decks/year-7").join(std::ffi::OsStr::from_bytes(name));
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("folders");
        std::fs::write(path, "# Notes\n").expect("written");
    }
    let judge = |args: &[&str]| {
        let said = ends(env.deckle(args), 1);
        assert!(said.stdout.ends_with("2 errors in 1 deck with 3 cards\n"), "{args:?}: {}", said.text());
        assert!(said.stdout.contains("its name holds letters that other computers cannot read"), "{}", said.text());
        said.stdout
    };
    let here = judge(&["check"]);
    assert!(
        here.contains("decks/year-7/a\u{fffd}.md:1") && here.contains("decks/year-7/b\u{fffd}/notes.md:1"),
        "{here}"
    );
    env.git(&["add", "--all"]).fine();
    assert_eq!(judge(&["check", "--staged"]), here);
    env.git(&["commit", "--quiet", "--no-verify", "--message", "odd names"]).fine();
    assert_eq!(judge(&["check", "--at", "HEAD"]), here);
    env.deckle(&["tidy"]).fine();
    assert_eq!(env.read(DECK), deck);
}

#[test]
fn paths_with_backslashes_mean_the_same() {
    let env = department();
    let pairs: [[&[&str]; 2]; 5] = [
        [&["check", r"decks\year-7\thermometer"], &["check", FOLDER]],
        [&["tidy", "--check", r".\decks\year-7"], &["tidy", "--check", "decks/year-7"]],
        [&["coverage", r"decks\year-7"], &["coverage", "decks/year-7"]],
        [&["cite", r"year-7\thermometer"], &["cite", "year-7/thermometer"]],
        [&["cite", r"decks\year-7\thermometer\cards.yaml"], &["cite", DECK]],
    ];
    for [one, other] in pairs {
        assert_eq!(env.deckle(one).fine(), env.deckle(other).fine(), "{one:?}");
    }
    let drafted = |notes: &str| env.deckle(&["draft", notes]);
    let notes = r"decks\year-7\thermometer\notes.md#the-instrument";
    assert_eq!(drafted(notes), drafted(&notes.replace('\\', "/")));
    for path in [r"C:\school\decks", r"..\decks", r"\\server\decks"] {
        let said = ends(env.deckle(&["check", path]), 2);
        assert!(said.stderr.contains("is not in this department"), "{}", said.text());
    }
}

#[test]
fn paths_on_cards_are_written_with_slashes_and_stay_in_the_department() {
    let env = department();
    let picture = |file: &str| format!("      - {{file: '{file}', side: question, alt: a, credit: b, licence: CC0}}\n");
    let files = [r"pictures\a.svg", r"C:\a.svg", r"\\server\a.svg", r"..\..\..\a.svg"];
    let pictures: String = files.iter().map(|file| picture(file)).collect();
    let deck = env.read(DECK).replacen("source: notes.md#", r"source: ..\thermometer\notes.md#", 1);
    let deck = deck.replacen("quote: Air temperature is measured", "quote: Nobody ever wrote this", 1);
    env.write(DECK, format!("{}\n    pictures:\n{pictures}", deck.trim_end()));
    let said = ends(env.deckle(&["check"]), 1).stdout;
    for expected in [
        "write `/` between folders: `pictures/a.svg`",
        "write `/` between folders: `source: ../thermometer/notes.md#the-instrument`",
        r"the picture `C:\a.svg` lies outside of the department",
        r"the picture `\\server\a.svg` lies outside of the department",
        r"the picture `..\..\..\a.svg` lies outside of the department",
    ] {
        assert!(said.contains(expected), "{expected}\n{said}");
    }
}

/// What stood behind it was read, and written to, wherever it was.
#[cfg(unix)]
#[test]
fn decks_that_is_a_link_is_not_followed() {
    let env = department();
    std::fs::rename(env.path("decks"), env.path("elsewhere")).expect("moved");
    std::os::unix::fs::symlink("elsewhere", env.path("decks")).expect("a link");
    let there = "elsewhere/year-7/thermometer/cards.yaml";
    let untidy = env.read(there).replace("question: ", "question:    ").replace("    answer:", "    Answer:");
    env.write(there, &untidy);
    let here = ends(env.deckle(&["check"]), 1).stdout;
    assert!(
        here.contains("decks:1") && here.contains("this is a link") && here.contains("1 error in 0 decks"),
        "{here}"
    );
    for command in [&["check", "--fix"][..], &["tidy"], &["cite", "--write"], &["cite", "--renew"]] {
        _ = env.deckle(command);
        assert_eq!(env.read(there), untidy, "{command:?}");
    }
    env.git(&["add", "--all"]).fine();
    assert_eq!(ends(env.deckle(&["check", "--staged"]), 1).stdout, here);
    env.git(&["commit", "--quiet", "--no-verify", "--message", "a link"]).fine();
    assert_eq!(ends(env.deckle(&["check", "--at", "HEAD"]), 1).stdout, here);
}

#[test]
fn twins_are_told_by_capitals_and_by_accents() {
    let env = department();
    let notes = env.read("decks/year-7/thermometer/notes.md");
    for name in ["caf\u{e9}", "cafe\u{301}", "Air", "air"] {
        env.write(&format!("decks/year-7/{name}/notes.md"), &notes);
    }
    let said = ends(env.deckle(&["check"]), 1).stdout;
    assert!(said.contains("differ only in how accents are stored"), "{said}");
    assert!(said.contains("`decks/year-7/Air` and `decks/year-7/air` differ only in capitals"), "{said}");
    assert!(said.contains("2 errors"), "{said}");
}

#[test]
fn decks_with_windows_line_ends_keep_them_through_every_command() {
    let env = department();
    let windows = |text: &str| text.replace("\r\n", "\n").replace('\n', "\r\n");
    for path in [DECK, "decks/year-7/thermometer/notes.md", "decks/department.yaml"] {
        env.write(path, windows(&env.read(path)));
    }
    let lines = env.read("decks/year-7/thermometer/notes.md");
    env.write(
        "decks/year-7/thermometer/notes.md",
        lines + "\r\n## Frost\r\n\r\n**Ground frost** is when the ground is below 0 °C.\r\n",
    );
    assert_eq!(env.deckle(&["check"]).fine(), "no findings in 1 deck with 3 cards\n");
    env.write(DECK, env.read(DECK).replacen("    answer:", "    Answer:   ", 1));
    for command in [
        &["check", "--fix"][..],
        &["tidy"],
        &["draft", "decks/year-7/thermometer/notes.md#frost", "--write"],
        &["cite", "--write"],
    ] {
        env.deckle(command).fine();
        let text = env.read(DECK);
        assert_eq!(text, windows(&text), "{command:?}");
    }
    assert!(env.read(DECK).contains("Ground frost"), "{}", env.read(DECK));
}
