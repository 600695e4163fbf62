//! Releases that are stopped: at every step refused, or killed there.

use super::releasing::{ALL, YEAR_7, YEAR_8, department};
use super::support::env::TestEnv;
use super::support::fault::{at_every_step, no_leftovers};
use super::support::repo::{clean, ends};

const PACKS: [(&str, &str); 2] = [(YEAR_7, "packs/year-7/autumn-2026/1"), (YEAR_8, "packs/year-8/autumn-2026/1")];

fn zip(env: &TestEnv, path: &str) -> Option<Vec<u8>> {
    std::fs::read(env.path(path)).ok()
}

fn is_tagged(env: &TestEnv, tag: &str) -> bool {
    !env.git(&["tag", "--list", tag]).fine().is_empty()
}

#[test]
fn there_is_never_a_tag_without_a_whole_zip_and_a_second_run_finishes() {
    let env = department();
    let done = env.copy();
    done.deckle(&ALL).fine();
    let (mut only_zips, mut half_tagged) = (0, 0);
    at_every_step(&env, &ALL, |left, fault| {
        for (path, tag) in PACKS {
            let there = zip(left, path);
            assert!(there.is_none() || there == zip(&done, path), "{}: half a zip", fault.what);
            assert!(there.is_some() || !is_tagged(left, tag), "{}: {tag} has no zip", fault.what);
        }
        let tagged = PACKS.iter().filter(|(_, tag)| is_tagged(left, tag)).count();
        half_tagged += usize::from(tagged == 1);
        only_zips += usize::from(tagged == 0 && zip(left, YEAR_8).is_some());
        if !fault.killed {
            assert_eq!(fault.said.status, Some(2), "{}: {}", fault.what, fault.said.text());
            no_leftovers(left, &fault.what);
        }
        _ = ends(left.deckle(&ALL), 0);
        for (path, tag) in PACKS {
            assert!(zip(left, path) == zip(&done, path) && is_tagged(left, tag), "{}", fault.what);
        }
        _ = ends(left.deckle(&["verify", YEAR_8]), 0);
        no_leftovers(left, &fault.what);
        clean(left);
    });
    assert!(only_zips > 0 && half_tagged > 0, "the faults missed what stands between the zips and the tags");
}

#[test]
fn a_preview_that_is_stopped_leaves_the_old_one_or_the_new_one() {
    let env = department();
    let run = ["release", "--preview", "--year", "8", "--term", "autumn", "--out", "out"];
    let path = "out/geography-year-8-autumn-2026-preview.zip";
    env.write(path, "the preview before");
    let done = env.copy();
    done.deckle(&run).fine();
    at_every_step(&env, &run, |left, fault| {
        let there = zip(left, path);
        assert!(there == zip(&env, path) || there == zip(&done, path), "{}", fault.what);
        left.deckle(&run).fine();
        assert!(zip(left, path) == zip(&done, path), "{}", fault.what);
        no_leftovers(left, &fault.what);
    });
}
