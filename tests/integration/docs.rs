//! The README and DEVELOPERS.md say what the program does.

use std::path::Path;
use std::process::Command;

fn file(name: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(name)).expect("readable")
}

fn deckle(arguments: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_deckle")).args(arguments).output().expect("runs");
    String::from_utf8(output.stdout).expect("text")
}

/// The names in the list of commands that `deckle --help` prints.
fn commands() -> Vec<String> {
    let help = deckle(&["--help"]);
    let list =
        help.split("Commands:").nth(1).expect("a list of commands").split("\n\n").next().expect("the list").to_owned();
    let names = list.lines().filter_map(|line| line.strip_prefix("  ")).filter(|line| !line.starts_with(' '));
    names.filter_map(|line| line.split_whitespace().next()).filter(|name| *name != "help").map(str::to_owned).collect()
}

#[test]
fn the_readme_lists_every_command_and_no_other() {
    let readme = file("README.md");
    let table =
        readme.split("<!-- commands").nth(1).expect("the table").split("\n\n").next().expect("the table").to_owned();
    let rows: Vec<&str> = table.lines().filter_map(|line| line.strip_prefix("| `deckle ")).collect();
    let listed: Vec<String> = rows.iter().filter_map(|row| row.split([' ', '`']).next()).map(str::to_owned).collect();
    let mut expected = commands();
    let mut found = listed;
    expected.sort();
    found.sort();
    assert_eq!(found, expected);
}

#[test]
fn the_readmes_table_of_rules_is_the_programs() {
    let readme = file("README.md");
    let table = deckle(&["explain", "--format", "markdown"]);
    if std::env::var_os("DECKLE_REWRITE").is_some() {
        let (before, rest) = readme.split_once("<!-- rules").expect("the mark");
        let (mark, rest) = rest.split_once("-->\n").expect("the mark's end");
        let after = &rest[rest.find("\n## ").expect("the next section")..];
        let written = format!("{before}<!-- rules{mark}-->\n{table}{after}");
        std::fs::write(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md"), written).expect("written");
        return;
    }
    assert!(readme.contains(&table), "run the tests with DECKLE_REWRITE=1 to write the table of rules into the README");
}

#[test]
fn every_path_that_developers_md_names_is_there() {
    let text = file("DEVELOPERS.md");
    let named = text.split('`').skip(1).step_by(2).filter(|word| word.contains('/') && !word.contains(' '));
    let paths: Vec<&str> = named
        .filter(|word| {
            ["src/", "tests/", "schema/", "hooks/", "decks/", "benches/", "fuzz/"]
                .iter()
                .any(|top| word.starts_with(top))
        })
        .collect();
    assert!(paths.len() > 10, "{paths:?}");
    for path in paths {
        assert!(
            Path::new(env!("CARGO_MANIFEST_DIR")).join(path).exists(),
            "{path} is named in DEVELOPERS.md and not there"
        );
    }
}

/// The long options of a command, as its help lists them.
fn options(command: &str) -> Vec<String> {
    let help = deckle(&[command, "--help"]);
    let lines = help.lines().map(str::trim_start).filter(|line| line.starts_with('-'));
    let names = lines.filter_map(|line| line.split([' ', ',']).find(|word| word.starts_with("--")));
    names.map(str::to_owned).collect()
}

#[test]
fn the_readme_names_only_options_that_there_are() {
    let readme = file("README.md");
    let table = readme.split("<!-- commands").nth(1).expect("the table").split("\n\n").next().expect("the table");
    let mut named = 0;
    for row in table.lines().filter_map(|line| line.strip_prefix("| `deckle ")) {
        let command = row.split([' ', '`']).next().expect("a command");
        let known = options(command);
        for option in row.split('`').flat_map(str::split_whitespace).filter(|word| word.starts_with("--")) {
            named += 1;
            assert!(known.iter().any(|known| known == option), "`deckle {command}` has no {option}: {known:?}");
        }
    }
    assert!(named > 30, "{named}");
}

#[test]
fn help_man_page_and_completions_have_every_command_with_every_option() {
    let man = deckle(&["completions", "--man"]);
    let shells = ["bash", "elvish", "fish", "powershell", "zsh"].map(|shell| deckle(&["completions", shell]));
    let mut seen = 0;
    for command in commands() {
        let help = deckle(&[&command, "--help"]);
        assert!(help.contains(&format!("Usage: deckle {command}")), "{command}: {help}");
        let summary = help.lines().next().expect("a line");
        assert!(summary.len() > 10, "{command}: {help}");
        let section = man.split(&format!(".SH \"deckle {command}\"\n")).nth(1);
        let section = section.unwrap_or_else(|| panic!("the man page has nothing on {command}: {man}"));
        let section = section.split("\n.SH ").next().expect("a section").replace("\\-", "-");
        for option in options(&command) {
            seen += 1;
            assert!(section.contains(&option), "the man page has no {option} of {command}: {section}");
            let bare = option.trim_start_matches('-');
            assert!(shells.iter().all(|text| text.contains(bare)), "{command} {option} is not completed");
        }
        assert!(shells.iter().all(|text| text.contains(&command)), "{command} is not completed");
    }
    assert!(seen > 60, "{seen}");
}
