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

#[test]
fn every_command_has_help_and_completions_come_from_the_same_definitions() {
    for command in commands() {
        let help = deckle(&[&command, "--help"]);
        assert!(help.contains("Usage: deckle"), "{command}: {help}");
        assert!(help.lines().next().is_some_and(|line| line.len() > 10), "{command}: {help}");
    }
    for shell in ["bash", "zsh", "fish"] {
        assert!(deckle(&["completions", shell]).contains("settle"));
    }
    assert!(deckle(&["completions", "--man"]).contains("deckle"));
}
