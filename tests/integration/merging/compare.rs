//! The same triples through `git merge-file`: how many conflicts each leaves, and how often a merge
//! that was called clean is not what both sides wrote.

use std::process::Command;

use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

use super::laws::{found, merged, sorted};
use super::model::{base, edited, oracle, render, script};

#[derive(Debug, Default)]
struct Figures {
    conflicts: usize,
    wrong: usize,
}

#[test]
fn fewer_conflicts_than_line_by_line_and_no_wrong_merge() {
    let mut runner = TestRunner::new_with_rng(Config::default(), TestRng::from_seed(RngAlgorithm::ChaCha, &[7; 32]));
    let strategy = (base(), script(), script());
    let (mut ours, mut gits, triples) = (Figures::default(), Figures::default(), 300);
    for _ in 0..triples {
        let (base, left, right) = strategy.new_tree(&mut runner).expect("a triple").current();
        let (left, right) = (edited(&base, &left, "ada"), edited(&base, &right, "ben"));
        let expected = sorted(oracle(&base, &left, &right));
        let texts = [&base, &left, &right].map(render);
        let result = merged(&texts[0], &texts[1], &texts[2]);
        ours.conflicts += usize::from(!result.undecided.is_empty());
        ours.wrong += usize::from(found(&result.text) != expected);
        match git_merge_file(&texts) {
            None => gits.conflicts += 1,
            Some(text) => {
                gits.wrong +=
                    usize::from(!deckle::deck::outline::outline(&text).is_some_and(|_| found(&text) == expected))
            }
        }
    }
    println!("of {triples} merges: deckle {ours:?}, git merge-file {gits:?}");
    assert_eq!(ours.wrong, 0);
    assert!(ours.conflicts * 2 < gits.conflicts, "deckle {ours:?}, git merge-file {gits:?}");
}

/// What `git merge-file` makes of the triple; `None` when it leaves a conflict.
fn git_merge_file(texts: &[String; 3]) -> Option<String> {
    let folder = tempfile::tempdir().expect("a folder");
    let paths = ["base", "ours", "theirs"].map(|name| folder.path().join(name));
    for (path, text) in paths.iter().zip(texts) {
        std::fs::write(path, text).expect("written");
    }
    let output = Command::new("git")
        .arg("merge-file")
        .arg("-p")
        .args([&paths[1], &paths[0], &paths[2]])
        .output()
        .expect("git runs");
    output.status.success().then(|| String::from_utf8(output.stdout).expect("text"))
}
