//! The department in a repository: the corpus committed, and a proposal of fifty cards on a branch.

use std::io;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::corpus::deck_name;

/// Cards that the proposal edits, in decks far apart.
const PROPOSED: usize = 50;

/// Commits what stands in `folder` on `main`, and a proposal on `proposal`.
pub fn commit(folder: &Path, decks: usize) -> io::Result<()> {
    git(folder, &["init", "--quiet", "--initial-branch", "main"])?;
    git(folder, &["add", "--all"])?;
    git(folder, &["commit", "--quiet", "--message", "The department"])?;
    git(folder, &["switch", "--quiet", "--create", "proposal"])?;
    for at in 0..PROPOSED.min(decks) {
        edit(folder, at * decks / PROPOSED.min(decks), 3)?;
    }
    git(folder, &["commit", "--quiet", "--all", "--message", "Fifty cards"])?;
    git(folder, &["switch", "--quiet", "main"])
}

/// Words one question of a deck anew.
pub fn edit(folder: &Path, deck: usize, card: usize) -> io::Result<()> {
    let path = folder.join("decks").join(deck_name(deck)).join("cards.yaml");
    let text = std::fs::read_to_string(&path)?;
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let questions: Vec<usize> = (0..lines.len()).filter(|&line| lines[line].starts_with("    question: ")).collect();
    let line = &mut lines[questions[card % questions.len()]];
    *line = format!("{}, as the notes say?", line.trim_end_matches('?'));
    std::fs::write(&path, lines.join("\n") + "\n")
}

/// Runs git, with a name for the author and no settings of the machine.
pub fn git(folder: &Path, arguments: &[&str]) -> io::Result<()> {
    let who = ["-c", "user.name=Mara Okonjo", "-c", "user.email=mara.okonjo@ambleford-quay.example", "-c", "gc.auto=0"];
    let mut command = Command::new("git");
    command
        .current_dir(folder)
        .args(who)
        .args(arguments)
        .env("GIT_CONFIG_NOSYSTEM", "1")
        .env("GIT_CONFIG_GLOBAL", "/dev/null");
    let status = command.stdout(Stdio::null()).status()?;
    if status.success() { Ok(()) } else { Err(io::Error::other(format!("git {arguments:?} ended with {status}"))) }
}
