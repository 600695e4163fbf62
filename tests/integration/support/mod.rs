//! What several tests share.

pub mod env;
pub mod fault;
pub mod fixture;
pub mod memory;
pub mod repo;
pub mod signing;
#[cfg(unix)]
pub mod terminal;
pub mod typed;
pub mod values;

use std::path::PathBuf;

/// The top folder of the project.
pub fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Whether the expected findings in the fixtures are to be written anew.
pub fn rewrite() -> bool {
    std::env::var_os("DECKLE_REWRITE_FIXTURES").is_some_and(|value| value == "1")
}

/// The demonstration department.
pub fn demonstration() -> deckle::deck::Department {
    let snapshot = deckle::snapshot::FolderSnapshot::new(root());
    deckle::deck::Department::read(&snapshot).expect("the demonstration is there")
}
