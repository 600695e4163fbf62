//! A small department in a repository, whose branches each belong to a teacher.

use super::env::{Said, TestEnv};

/// A deck.
pub const WEATHER: &str = "decks/year-7/weather/cards.yaml";
/// Another deck.
pub const RIVERS: &str = "decks/year-8/rivers/cards.yaml";
/// Notes of the second.
pub const NOTES: &str = "decks/year-8/rivers/notes.md";

/// A card's lines.
pub fn card(id: &str, answer: &str) -> String {
    format!("  - id: {id}\n    question: What is meant by {id}?\n    answer: {answer}\n")
}

/// A deck's text, with a card for each id.
pub fn deck(title: &str, cards: &[&str]) -> String {
    let cards: String = cards.iter().map(|id| card(id, &format!("It is a kind of {id} thing."))).collect();
    format!("title: {title}\nyear: 8\ncards:\n{cards}")
}

/// A department of two decks with notes, on main.
pub fn department() -> TestEnv {
    let env = TestEnv::new();
    env.git(&["init", "--quiet"]).fine();
    let settings = "# Settings\ndepartment: Geography\nschool: Ambleford Quay School\nyears: [7, 8]\nlimits:\n  words_on_a_side: 40\n  questions_on_a_card: 3\n";
    env.write("decks/department.yaml", settings);
    env.write(WEATHER, deck("Weather", &["gale", "isobar", "front"]));
    env.write(RIVERS, deck("Rivers", &["meander", "levee", "delta"]));
    let notes = "# Rivers\n\nA river runs.\n\n## Bends\n\nA meander is a bend.\n\n## Mouths\n\nA delta is a mouth.\n";
    env.write(NOTES, notes);
    env.write(".gitattributes", "cards.yaml merge=deckle diff=deckle\n");
    commit(&env, "Mara Okonjo", "the department");
    env
}

/// Commits everything as `who`.
#[track_caller]
pub fn commit(env: &TestEnv, who: &str, what: &str) {
    env.git(&["add", "--all"]).fine();
    let email = format!("{}@ambleford-quay.example", who.to_lowercase().replace(' ', "."));
    let mut git = env.command("git");
    git.args(["commit", "--quiet", "--message", what]);
    git.envs([
        ("GIT_AUTHOR_NAME", who),
        ("GIT_AUTHOR_EMAIL", &email),
        ("GIT_AUTHOR_DATE", "2026-10-05T10:00:00+00:00"),
    ]);
    let said = git.output().expect("git runs");
    assert!(said.status.success(), "{}", String::from_utf8_lossy(&said.stderr));
}

/// A branch from main with changed files; an empty text takes a file out.
#[track_caller]
pub fn branch(env: &TestEnv, name: &str, files: &[(&str, String)]) {
    env.git(&["switch", "--quiet", "--create", name, "main"]).fine();
    change(env, name, files);
    env.git(&["switch", "--quiet", "main"]).fine();
}

/// The next commit of the branch that is checked out.
#[track_caller]
pub fn change(env: &TestEnv, name: &str, files: &[(&str, String)]) {
    for (path, text) in files {
        if text.is_empty() {
            env.git(&["rm", "--quiet", path]).fine();
        } else {
            env.write(path, text);
        }
    }
    commit(env, &format!("{} Penhale", name[..1].to_uppercase() + &name[1..]), &format!("{name} works"));
}

/// The parents of the newest commit.
pub fn parents(env: &TestEnv) -> Vec<String> {
    env.git(&["log", "-1", "--format=%P"]).fine().split_whitespace().map(str::to_owned).collect()
}

/// The commit that a name stands for.
#[track_caller]
pub fn tip(env: &TestEnv, name: &str) -> String {
    env.git(&["rev-parse", name]).fine().trim().to_owned()
}

/// Nothing is left over, and git finds nothing wrong with its store.
#[track_caller]
pub fn clean(env: &TestEnv) {
    assert_eq!(env.git(&["status", "--porcelain"]).fine(), "");
    sound(env);
}

/// Git finds nothing wrong with its store.
#[track_caller]
pub fn sound(env: &TestEnv) {
    let fsck = env.git(&["fsck", "--strict"]);
    assert!(fsck.status == Some(0) && !fsck.text().contains("error"), "{}", fsck.text());
}

/// A command that must end with that status.
#[track_caller]
pub fn ends(said: Said, status: i32) -> Said {
    assert_eq!(said.status, Some(status), "{}", said.text());
    said
}
