//! The tour plays to its end, and shows what it is about.

use super::support::env::TestEnv;

#[test]
fn the_tour_shows_the_whole_job() {
    let env = TestEnv::new();
    let told = env.deckle(&["tour", "--keep", "kept"]).fine();
    for shown in [
        "the answer side has 52 words, more than 40",
        "two cards ask the same question",
        "added: flood-plain-soil",
        "deckle settle levee answer",
        "edition 1",
        "nothing new",
        "edition 2",
        "corrected",
        "this is the pack that was released",
        "edition-2-corrections.pdf",
        "10 questions for year 8",
        "Year 8, autumn 2026, edition 2 (50 cards, 1 corrected) is on the shelf",
    ] {
        assert!(told.to_lowercase().contains(&shown.to_lowercase()), "{shown} is not in\n{told}");
    }
    for kept in ["quiz.pdf", "map.svg", "review.html", "printed"] {
        assert!(env.path("kept").join(kept).exists(), "{kept}");
    }
    assert!(env.read("kept/review.html").starts_with("<!DOCTYPE html>"));
    assert_eq!(env.git(&["-C", "kept/department", "fsck"]).status, Some(0));
    assert_eq!(env.git(&["-C", "kept/department", "status", "--porcelain"]).fine(), "");
}

#[test]
fn two_tours_tell_the_same() {
    let env = TestEnv::new();
    assert_eq!(env.deckle(&["tour"]).fine(), env.deckle(&["tour"]).fine());
}
