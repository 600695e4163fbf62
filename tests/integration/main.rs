//! The tests that need more than one part of the program: the only integration binary.

mod caching;
mod cli_beside;
mod cli_check;
mod cli_faults;
mod cli_names;
mod cli_print;
mod cli_progress;
mod cli_quiz;
mod cli_streams;
mod corpora;
mod demonstration;
mod dependencies;
mod docs;
mod fixtures;
mod git_combined;
mod git_faults;
mod git_histories;
mod git_hooks;
mod git_links;
mod git_merge;
mod git_propose;
mod git_receive;
mod git_reconcile;
mod git_review;
mod git_signed;
mod hostile;
mod house;
mod machine_formats;
mod merging;
mod notes_to_cards;
mod parts;
mod published;
mod publishing;
mod reading;
mod release_faults;
mod release_signed;
mod release_surroundings;
mod releasing;
mod rule_list;
mod schema;
mod settling;
mod support;
mod tour;

/// A file that is not in the list above would never run.
#[test]
fn every_file_is_in_the_list() {
    let folder = support::root().join("tests/integration");
    let names =
        std::fs::read_dir(&folder).expect("the folder is there").map(|entry| entry.expect("readable").file_name());
    let mut files: Vec<_> = names.map(|name| name.to_string_lossy().trim_end_matches(".rs").to_owned()).collect();
    files.retain(|name| name != "main");
    files.sort();
    let listed = include_str!("main.rs").lines().filter_map(|line| line.strip_prefix("mod ")?.strip_suffix(';'));
    assert_eq!(files, listed.collect::<Vec<_>>());
}
