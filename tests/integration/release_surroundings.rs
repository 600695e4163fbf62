//! The same pack wherever, whenever and by whomever it is built.

use std::time::Duration;

use super::support::env::TestEnv;
use super::support::repo::commit;
use super::support::root;

/// The demonstration, in a repository.
fn demonstration() -> TestEnv {
    let env = TestEnv::new();
    env.git(&["init", "--quiet"]).fine();
    for entry in walkdir::WalkDir::new(root().join("decks")).into_iter().filter_map(Result::ok) {
        if entry.file_type().is_file() {
            let path = entry.path().strip_prefix(root()).expect("inside").display().to_string();
            env.write(&path, std::fs::read(entry.path()).expect("readable"));
        }
    }
    commit(&env, "Mara Okonjo", "the demonstration");
    env
}

#[test]
fn a_pack_and_a_quiz_are_the_same_bytes_in_any_surroundings() {
    let here = demonstration();
    let mut there = here.copy();
    there.author("Idris Penhale", "2031-02-03T04:05:06+13:00");
    // Zips count time in steps of two seconds.
    let later = || std::thread::sleep(Duration::from_millis(2_100));
    let built = |env: &TestEnv, folder: &str, variables: &[(&str, &str)]| {
        let (packs, quiz) = (format!("{folder}/packs"), format!("{folder}/quiz.pdf"));
        env.deckle_with(variables, &["release", "--year", "7", "--term", "autumn", "--out", &packs]).fine();
        env.deckle_with(variables, &["quiz", "--year", "7", "--on", "2026-11-03", "--out", &quiz]).fine();
        let zip = format!("{packs}/geography-year-7-autumn-2026-edition-1.zip");
        [zip, quiz].map(|path| std::fs::read(env.path(&path)).expect("it is there"))
    };
    let one = built(&here, "out", &[("RAYON_NUM_THREADS", "1"), ("TZ", "America/St_Johns"), ("LC_ALL", "C")]);
    later();
    let others =
        [("RAYON_NUM_THREADS", "8"), ("TZ", "Pacific/Kiritimati"), ("LC_ALL", "tr_TR.UTF-8"), ("LANG", "ar_EG")];
    let other = built(&there, "ein anderer Ördner/tief", &others);
    assert!(one[0] == other[0], "the packs differ");
    assert!(one[1] == other[1], "the quizzes differ");
}
