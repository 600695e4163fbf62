//! The inputs under `fuzz/corpus/` held against the laws of the fuzz targets: those that began the search
//! and those that broke a law once.

#[path = "../../fuzz/laws/mod.rs"]
mod laws;

use crate::support::root;

/// Tries a law on every input of its corpus; what panics is named.
#[track_caller]
fn replay(target: &str, holds: fn(&[u8])) {
    let folder = root().join("fuzz/corpus").join(target);
    let mut paths: Vec<_> =
        std::fs::read_dir(folder).expect("a corpus").map(|entry| entry.expect("readable").path()).collect();
    paths.sort();
    assert!(paths.len() >= 5, "{target}: {paths:?}");
    for path in paths {
        let bytes = std::fs::read(&path).expect("readable");
        assert!(bytes.len() < 64 * 1024, "{} is too large for a corpus that is read by people", path.display());
        let tried = std::panic::catch_unwind(|| holds(&bytes));
        assert!(tried.is_ok(), "{target} breaks its law on {}", path.display());
    }
}

#[test]
fn whatever_is_read_is_told_at_its_place() {
    replay("read", laws::read::holds);
}

#[test]
fn whatever_is_edited_leaves_the_rest() {
    replay("edit", laws::edit::holds);
}

#[test]
fn whatever_is_merged_is_not_lost() {
    replay("merge", laws::merge::holds);
}

#[test]
fn whatever_is_noted_lies_where_it_says() {
    replay("notes", laws::notes::holds);
}

#[test]
fn whatever_is_said_supports_itself() {
    replay("supports", laws::supports::holds);
}

#[test]
fn whatever_is_verified_is_judged() {
    replay("verify", laws::verify::holds);
}

/// A target that is not replayed would be forgotten.
#[test]
fn every_target_has_a_corpus_a_law_and_a_program() {
    let names = |folder: &str| {
        let entries = std::fs::read_dir(root().join("fuzz").join(folder)).expect("a folder");
        let names = entries.map(|entry| entry.expect("readable").file_name().into_string().expect("a name"));
        let mut names: Vec<_> = names.map(|name| name.trim_end_matches(".rs").to_owned()).collect();
        names.sort();
        names
    };
    let targets = names("targets");
    assert_eq!(targets, ["edit", "merge", "notes", "read", "supports", "verify"]);
    assert_eq!(names("corpus"), targets);
    let laws = names("laws").into_iter().filter(|name| !["mod", "parts"].contains(&name.as_str()));
    assert_eq!(laws.collect::<Vec<_>>(), targets);
    let manifest = std::fs::read_to_string(root().join("fuzz/Cargo.toml")).expect("readable");
    for target in targets {
        assert!(manifest.contains(&format!("path = \"targets/{target}.rs\"")), "{target}");
    }
}
