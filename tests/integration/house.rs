//! House rules that a compiler does not know.

use std::path::{Path, PathBuf};

use walkdir::WalkDir;

fn sources() -> Vec<(PathBuf, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let files = ["src", "tests", "fuzz"].iter().flat_map(|top| WalkDir::new(root.join(top)).sort_by_file_name());
    let rust = files.filter_map(Result::ok).filter(|entry| entry.path().extension().is_some_and(|end| end == "rs"));
    rust.map(|entry| (entry.path().to_path_buf(), std::fs::read_to_string(entry.path()).expect("readable"))).collect()
}

#[test]
fn every_file_starts_with_what_it_is_about() {
    for (path, text) in sources() {
        assert!(text.starts_with("//! "), "{} does not start with a module doc", path.display());
    }
}

#[test]
fn files_stay_small() {
    for (path, text) in sources() {
        let lines = text.lines().count();
        assert!(lines <= 720, "{} has {lines} lines; is there more than one idea in it?", path.display());
    }
}

#[test]
fn no_test_is_switched_off_and_nothing_is_left_open() {
    let marks =
        [["#[ig", "nore"].concat(), ["TO", "DO"].concat(), ["FIX", "ME"].concat(), ["unimple", "mented!"].concat()];
    for (path, text) in sources() {
        for mark in &marks {
            assert!(!text.contains(mark.as_str()), "{} holds {mark}", path.display());
        }
    }
}

#[test]
fn nothing_but_what_belongs_stands_at_the_top() {
    let known = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE-MIT",
        "LICENSE-APACHE",
        "src",
        "decks",
        "schema",
        "hooks",
        "tests",
        "benches",
        "fuzz",
        "target",
    ];
    for entry in std::fs::read_dir(env!("CARGO_MANIFEST_DIR")).expect("a folder").filter_map(Result::ok) {
        let name = entry.file_name().into_string().expect("a name");
        assert!(name.starts_with('.') || known.contains(&name.as_str()), "{name} does not belong at the top");
    }
}
