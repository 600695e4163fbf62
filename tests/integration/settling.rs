//! Settling at a terminal, and decks that one side took out and the other changed.

use super::support::env::TestEnv;
use super::support::repo::{
    NOTES, RIVERS, WEATHER, branch, card, clean, commit, department, ends, parents, sound, tip,
};

const SETTINGS: &str = "decks/department.yaml";

/// At a terminal of its own.
#[cfg(unix)]
mod terminal {
    use super::super::support::terminal::Terminal;
    use super::*;

    const LAST: &str = "Everything is decided. Finish the merge with a commit now? [y]es, [N]o, [u]ndo the last:";

    /// Two fields of one card undecided in a merge.
    fn undecided() -> TestEnv {
        let env = department();
        let weather = env.read(WEATHER);
        let edited = |word: &str| {
            weather
                .replace("kind of gale", &format!("{word} of gale"))
                .replace("kind of front", &format!("{word} of front"))
        };
        branch(&env, "ada", &[(WEATHER, edited("sort"))]);
        branch(&env, "cyd", &[(WEATHER, edited("type"))]);
        _ = ends(env.deckle(&["reconcile", "ada", "cyd"]), 1);
        env
    }

    #[test]
    fn the_last_decision_offers_the_commit_and_undo_comes_before_it() {
        let env = undecided();
        let heads = [tip(&env, "main"), tip(&env, "ada"), tip(&env, "cyd")];
        let mut at = Terminal::deckle(&env, &["settle"]);
        at.answers("[a] ada, [c] cyd", "a");
        at.answers("2 of 2: answer of `front`", "c");
        at.answers(LAST, "u");
        at.answers("2 of 2: answer of `front`", "a");
        at.answers(LAST, "y");
        at.sees("committed: ");
        at.ends(0);
        assert!(env.read(WEATHER).contains("sort of gale") && env.read(WEATHER).contains("sort of front"));
        assert_eq!(parents(&env), heads);
        assert!(!env.path(".git/MERGE_HEAD").exists());
        clean(&env);
    }

    #[test]
    fn a_key_that_means_nothing_is_explained_and_each_decision_is_said() {
        let env = undecided();
        let mut at = Terminal::deckle(&env, &["settle"]);
        at.answers("1 of 2", "?");
        at.sees("`?` is none of these: type [a] ada, [c] cyd, another of the letters in brackets, or a whole text");
        at.answers("1 of 2", "");
        at.sees("nothing was typed: type [a] ada");
        at.answers("1 of 2", "8");
        at.sees("settled: answer of `gale` is now: 8");
        at.answers("2 of 2", "u");
        at.answers("1 of 2", "a");
        at.sees("settled: answer of `gale` is now: It is a sort of gale thing.");
        at.answers("2 of 2", "q");
        at.sees("1 undecided field is left");
        let said = at.ends(0);
        assert!(!said.contains("settle it:"), "{said}");
    }

    #[test]
    fn who_says_no_or_goes_away_is_told_how_to_finish() {
        for answer in ["", "n", "\u{4}"] {
            let env = undecided();
            let main = tip(&env, "main");
            let mut at = Terminal::deckle(&env, &["settle"]);
            at.answers("1 of 2", "a");
            at.answers("2 of 2", "a");
            at.answers(LAST, answer);
            at.sees("not committed; finish with `git commit --all`");
            at.ends(0);
            assert_eq!(tip(&env, "main"), main);
            env.git(&["commit", "--quiet", "--all", "--no-edit"]).fine();
            clean(&env);
        }
    }

    #[test]
    fn a_decision_by_name_offers_it_too_when_it_is_the_last() {
        let env = undecided();
        let mut at = Terminal::deckle(&env, &["settle", "gale", "--take", "ada"]);
        at.sees("1 undecided field is left");
        at.ends(0);
        let mut at = Terminal::deckle(&env, &["settle", "front", "--take", "cyd"]);
        at.answers(LAST, "u");
        at.sees("undecided again");
        at.ends(1);
        assert!(env.read(WEATHER).contains("undecided:"));
        let mut at = Terminal::deckle(&env, &["settle", "front", "--take", "cyd"]);
        at.answers(LAST, "y");
        at.sees("committed: ");
        at.ends(0);
        clean(&env);
    }

    #[test]
    fn a_hook_that_says_no_leaves_the_decisions() {
        let env = undecided();
        let hook = env.path(".git/hooks/commit-msg");
        env.write(".git/hooks/commit-msg", "#!/bin/sh\necho 'the head of department is away'\nexit 1\n");
        let mut mode = std::fs::metadata(&hook).expect("there").permissions();
        std::os::unix::fs::PermissionsExt::set_mode(&mut mode, 0o755);
        std::fs::set_permissions(&hook, mode).expect("set");
        let main = tip(&env, "main");
        let mut at = Terminal::deckle(&env, &["settle"]);
        at.answers("1 of 2", "a");
        at.answers("2 of 2", "a");
        at.answers(LAST, "y");
        at.sees("the head of department is away");
        at.sees("Git did not commit");
        at.ends(1);
        assert_eq!(tip(&env, "main"), main);
        assert!(env.path(".git/MERGE_HEAD").exists() && !env.read(WEATHER).contains("undecided:"));
    }

    #[test]
    fn without_a_merge_only_what_was_decided_is_committed() {
        let env = department();
        let open = "    undecided:\n      answer:\n        - side: ada\n          value: Water.\n        - side: ben\n          value: Ice.\n";
        env.write(WEATHER, env.read(WEATHER) + &card("hail", "A thing.") + open);
        commit(&env, "Mara Okonjo", "undecided");
        env.write(NOTES, env.read(NOTES) + "More.\n");
        env.git(&["add", NOTES]).fine();
        let mut at = Terminal::deckle(&env, &["settle", "hail", "--take", "ben"]);
        at.answers(&format!("Commit {WEATHER} now?"), "y");
        at.sees("Settle the answer of hail");
        at.ends(0);
        assert_eq!(env.git(&["status", "--porcelain"]).fine(), format!("M  {NOTES}\n"));
    }

    #[test]
    fn a_rebase_goes_on() {
        let env = department();
        env.deckle(&["hooks"]).fine();
        let weather = env.read(WEATHER);
        branch(&env, "ada", &[(WEATHER, weather.replace("kind of gale", "sort of gale"))]);
        branch(&env, "ben", &[(WEATHER, weather.replace("kind of gale", "type of gale"))]);
        env.git(&["switch", "--quiet", "ben"]).fine();
        _ = ends(env.git(&["rebase", "ada"]), 1);
        let mut at = Terminal::deckle(&env, &["settle"]);
        at.answers("1 of 1", "t");
        at.answers("Go on with the rebase now?", "y");
        at.sees("committed: ");
        at.ends(0);
        assert_eq!(parents(&env), [tip(&env, "ada")]);
        assert!(env.read(WEATHER).contains("type of gale"));
        clean(&env);
    }

    #[test]
    fn a_file_that_is_no_deck_is_for_people_to_put_right_first() {
        let env = department();
        let (weather, notes) = (env.read(WEATHER), env.read(NOTES));
        let both = |word: &str| {
            vec![
                (WEATHER, weather.replace("kind of gale", &format!("{word} of gale"))),
                (NOTES, notes.replace("a bend", &format!("a {word} bend"))),
            ]
        };
        branch(&env, "ada", &both("sort"));
        branch(&env, "ben", &both("type"));
        _ = ends(env.deckle(&["reconcile", "ada", "ben"]), 1);
        let mut at = Terminal::deckle(&env, &["settle"]);
        at.answers("take [1] ada, [2] ben", "1");
        at.sees("Git still holds several versions of:");
        at.sees(NOTES);
        at.ends(1);
        assert!(env.path(".git/MERGE_HEAD").exists());
    }

    #[test]
    fn a_deck_that_stays_or_goes_is_asked_about_and_undone() {
        let env = parted();
        let mut at = Terminal::deckle(&env, &["settle"]);
        at.answers("take [o] ours, [t] theirs, [s]kip", "t");
        at.answers(LAST, "u");
        at.answers("1 of 1: one side took the deck `year-8/rivers` out", "o");
        at.answers(LAST, "y");
        at.sees("committed: ");
        at.ends(0);
        assert!(!env.path(RIVERS).exists());
        clean(&env);
    }
}

/// A plain merge of a branch that changed a deck into one that took it out, with its notes.
/// Git merges one file after another: what one side edited would be lost with the card that is taken out.
#[test]
fn a_card_that_git_sees_taken_out_here_is_told_to_stand_in_another_deck() {
    let env = department();
    env.deckle(&["hooks"]).fine();
    let (weather, rivers) = (env.read(WEATHER), env.read(RIVERS));
    let gale = card("gale", "It is a kind of gale thing.");
    assert!(weather.contains(&gale), "{weather}");
    branch(&env, "ada", &[(WEATHER, weather.replace(&gale, "")), (RIVERS, rivers + &gale)]);
    branch(&env, "ben", &[(WEATHER, weather.replace("kind of gale", "type of gale"))]);
    env.git(&["switch", "--quiet", "ben"]).fine();
    _ = ends(env.git(&["merge", "--no-edit", "ada"]), 1);
    let said = ends(env.deckle(&["settle"]), 1).stdout;
    let expected =
        format!("  whoever takes it out here moved it to {RIVERS}, where it stands without what was changed here\n");
    assert!(said.contains(&expected) && said.contains("`git merge --abort`, then `deckle reconcile`"), "{said}");
    env.git(&["merge", "--abort"]).fine();
    env.deckle(&["reconcile", "ada"]).fine();
    assert!(env.read(RIVERS).contains("type of gale") && !env.read(WEATHER).contains("gale"));
}

fn parted() -> TestEnv {
    let env = department();
    env.deckle(&["hooks"]).fine();
    let rivers = env.read(RIVERS);
    branch(&env, "ben", &[(RIVERS, rivers.replace("kind of levee", "sort of levee"))]);
    branch(&env, "ada", &[(RIVERS, String::new()), (NOTES, String::new())]);
    env.git(&["switch", "--quiet", "ada"]).fine();
    let stopped = ends(env.git(&["merge", "--no-edit", "ben"]), 1);
    assert!(stopped.stdout.contains("CONFLICT (modify/delete)"), "{}", stopped.text());
    env
}

#[test]
fn a_deck_taken_out_here_and_changed_there_is_told_by_settle_check_and_the_hooks() {
    let env = parted();
    let told = ends(env.deckle(&["settle"]), 1);
    for part in [
        "one side took the deck `year-8/rivers` out, the other changed it",
        "ours:     takes the deck out (Ada Penhale, 2026-10-05)",
        "theirs:   changes 1 card: levee (Ben Penhale, 2026-10-05)",
        "deckle settle year-8/rivers deck --take ours|theirs",
    ] {
        assert!(told.stdout.contains(part), "{part}: {}", told.text());
    }
    let checked = ends(env.deckle(&["check"]), 1);
    assert!(checked.stdout.contains("one side took this deck out, the other changed it"), "{}", checked.text());
    assert!(checked.stdout.contains("1 error in"), "{}", checked.text());
    let heads = [tip(&env, "ada"), tip(&env, "ben")];
    let refused = env.git(&["commit", "--quiet", "--all", "--no-edit"]);
    assert!(
        refused.status == Some(1) && refused.text().contains("deckle settle year-8/rivers deck"),
        "{}",
        refused.text()
    );
    assert_eq!(tip(&env, "HEAD"), heads[0]);
    let refused = env.git(&["commit", "--quiet", "--all", "--no-edit", "--no-verify"]);
    assert!(
        refused.status == Some(1) && refused.text().contains("deckle settle year-8/rivers deck"),
        "{}",
        refused.text()
    );
    let wrong = env.deckle(&["settle", "year-8/rivers", "deck", "--take", "perhaps"]);
    assert!(wrong.status == Some(2) && wrong.stderr.contains("a deck stays or goes"), "{}", wrong.text());
}

#[test]
fn a_deck_that_is_kept_has_its_notes_back_and_one_that_goes_is_gone() {
    let env = parted();
    let heads = [tip(&env, "ada"), tip(&env, "ben")];
    let said = env.deckle(&["settle", "year-8/rivers", "deck", "--take", "theirs"]).fine();
    assert_eq!(
        said,
        "settled: deck of `year-8/rivers` stays\nnothing is undecided any more; finish with `git commit --all`\n"
    );
    assert!(env.read(RIVERS).contains("sort of levee") && env.read(NOTES).contains("A meander is a bend"));
    env.git(&["commit", "--quiet", "--all", "--no-edit"]).fine();
    assert_eq!(parents(&env), heads);
    clean(&env);

    let env = parted();
    env.deckle(&["settle", "year-8/rivers", "deck", "--take", "ours"]).fine();
    env.git(&["commit", "--quiet", "--all", "--no-edit"]).fine();
    assert!(!env.path(RIVERS).exists() && !env.path(NOTES).exists());
    clean(&env);
    sound(&env);
}

#[test]
fn the_same_the_other_way_round() {
    let env = parted();
    env.git(&["merge", "--abort"]).fine();
    env.git(&["switch", "--quiet", "ben"]).fine();
    _ = ends(env.git(&["merge", "--no-edit", "ada"]), 1);
    let told = ends(env.deckle(&["settle"]), 1);
    assert!(told.stdout.contains("ours:     changes 1 card: levee"), "{}", told.text());
    assert!(!env.path(NOTES).exists());
    env.deckle(&["settle", "year-8/rivers", "deck", "--take", "ours"]).fine();
    assert!(env.read(NOTES).contains("A meander is a bend"));
    env.git(&["commit", "--quiet", "--all", "--no-edit"]).fine();
    clean(&env);
}

/// The marks were read as headings that nobody wrote, and could be committed.
#[test]
fn notes_with_both_sides_in_them_are_told_once_and_kept_out_of_commits() {
    let env = department();
    env.deckle(&["hooks"]).fine();
    let (notes, settings) = (env.read(NOTES), env.read(SETTINGS));
    let both = |word: &str, minutes: &str| {
        let quoted = settings.replace("words_on_a_side: 40", &format!("words_on_a_side: {minutes}"));
        vec![(NOTES, notes.replace("a bend", &format!("a {word} bend"))), (SETTINGS, quoted)]
    };
    branch(&env, "ada", &both("long", "41"));
    branch(&env, "ben", &both("short", "42"));
    let said = ends(env.deckle(&["reconcile", "ada", "ben"]), 1).stdout;
    assert!(said.contains("2 files were changed in different ways"), "{said}");
    assert!(!said.contains("error:") && !said.contains("warning:"), "{said}");
    let said = ends(env.deckle(&["settle"]), 1).stdout;
    assert!(said.contains(&format!("git holds several versions of {NOTES}\n")), "{said}");
    let said = ends(env.deckle(&["check"]), 1).stdout;
    assert_eq!(said.matches("error: ").count(), 2, "{said}");
    assert_eq!(said.matches("git left two people's versions here, line by line").count(), 2, "{said}");
    env.git(&["add", "--all"]).fine();
    let refused = env.git(&["commit", "--quiet", "--message", "both"]);
    assert!(
        refused.status != Some(0) && refused.stderr.contains("git left two people's versions"),
        "{}",
        refused.text()
    );
    env.write(NOTES, notes.replace("a bend", "a long bend"));
    env.write(SETTINGS, settings.replace("words_on_a_side: 40", "words_on_a_side: 42"));
    env.git(&["commit", "--quiet", "--all", "--message", "both"]).fine();
    clean(&env);
}
