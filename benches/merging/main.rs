//! How long merging takes: one large deck held against `git merge-file`, ten proposals over a large
//! department against plain `git merge`. `benches/README.md` says what came out.

#[allow(dead_code, reason = "shared with the other benchmark")]
#[path = "../corpus/mod.rs"]
mod corpus;
#[allow(dead_code, reason = "shared with the other benchmark")]
#[path = "../scale/process.rs"]
mod process;
#[allow(dead_code, reason = "shared with the other benchmark")]
#[path = "../scale/repository.rs"]
mod repository;

use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

use corpus::{Size, deck_name};
use process::{Job, both};
use repository::git;

const HELP: &str = "cargo bench --bench merging -- [--decks N] [--runs N]; DECKLE_BIN=FILE measures another build";

/// Branches that are reconciled.
const BRANCHES: usize = 10;
/// Decks that each of them edits, the same ones.
const EDITED: usize = 20;

fn main() -> io::Result<()> {
    let arguments: Vec<String> = std::env::args().skip(1).filter(|argument| argument != "--bench").collect();
    if arguments.iter().any(|argument| argument == "--help") {
        return say(HELP);
    }
    let number = |name: &str, otherwise: usize| {
        let at = arguments.iter().position(|argument| argument == name);
        at.and_then(|at| arguments.get(at + 1)).and_then(|text| text.parse().ok()).unwrap_or(otherwise)
    };
    let program = std::env::var_os("DECKLE_BIN").map_or_else(|| env!("CARGO_BIN_EXE_deckle").into(), PathBuf::from);
    let runs = number("--runs", 5);
    say("| work | took | held against | took | ratio | at most |\n| --- | ---: | --- | ---: | ---: | ---: |")?;
    driver(&program, 4 * runs + 1)?;
    reconcile(&program, Size { decks: number("--decks", 1000), cards: 100 }, runs)
}

/// The merge driver on one deck of 1,000 cards, of which each side edited thirty.
fn driver(program: &Path, runs: usize) -> io::Result<()> {
    let temporary = tempfile::tempdir()?;
    let folder = temporary.path();
    department(folder, Size { decks: 1, cards: 1000 })?;
    let deck = folder.join("decks").join(deck_name(0)).join("cards.yaml");
    let [base, ours, theirs, ours_kept] = ["base", "ours", "theirs", "ours-kept"].map(|name| folder.join(name));
    std::fs::copy(&deck, &base)?;
    for (first, version) in [(5, &ours_kept), (20, &theirs)] {
        std::fs::copy(&base, &deck)?;
        for card in (first..1000).step_by(33) {
            repository::edit(folder, 0, card)?;
        }
        std::fs::copy(&deck, version)?;
    }
    let path = format!("decks/{}/cards.yaml", deck_name(0));
    let driver = Job::new(program, &["merge-driver", "base", "ours", "theirs", "--path", &path], folder);
    let lines = Job::new(Path::new("git"), &["merge-file", "ours", "base", "theirs"], folder);
    let before = || std::fs::copy(&ours_kept, &ours).map(drop);
    before()?;
    lines.run()?;
    let wanted = std::fs::read(&ours)?;
    before()?;
    driver.run()?;
    same(&std::fs::read(&ours)?, &wanted)?;
    let (took, other) = both(&driver, &lines, runs, &before)?;
    row("merge driver, a deck of 1,000 cards", took, "`git merge-file`", other, "3")
}

/// Ten branches, each with edits in the same twenty decks, over the whole department.
fn reconcile(program: &Path, size: Size, runs: usize) -> io::Result<()> {
    let temporary = tempfile::tempdir()?;
    let folder = temporary.path();
    department(folder, size)?;
    let names: Vec<String> = (0..BRANCHES).map(|branch| format!("proposal-{branch}")).collect();
    for (branch, name) in names.iter().enumerate() {
        git(folder, &["switch", "--quiet", "--create", name, "main"])?;
        for deck in 0..EDITED.min(size.decks) {
            repository::edit(folder, deck * size.decks / EDITED.min(size.decks), 9 * branch + 3)?;
        }
        git(folder, &["commit", "--quiet", "--all", "--message", name])?;
    }
    git(folder, &["switch", "--quiet", "--create", "merged", "main"])?;
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let reconcile = Job::new(program, &[["reconcile"].as_slice(), &names].concat(), folder);
    let each = format!("for branch in {}; do git merge --quiet --no-edit $branch || exit 2; done", names.join(" "));
    let each = Job::new(Path::new("sh"), &["-c", &each], folder);
    let all = Job::new(Path::new("git"), &[["merge", "--quiet", "--no-edit"].as_slice(), &names].concat(), folder);
    let before = || git(folder, &["reset", "--quiet", "--hard", "main"]);
    before()?;
    each.run()?;
    git(folder, &["tag", "by-lines"])?;
    before()?;
    reconcile.run()?;
    git(folder, &["diff", "--quiet", "--exit-code", "by-lines"])?;
    let what = format!("`reconcile` of {BRANCHES} branches, {} cards", size.decks * size.cards);
    let (took, other) = both(&reconcile, &each, runs, &before)?;
    row(&what, took, "`git merge`, one branch after another", other, "2")?;
    let (took, other) = both(&reconcile, &all, runs, &before)?;
    row(&what, took, "`git merge` of all at once", other, "2")
}

/// A department in a repository, on main.
fn department(folder: &Path, size: Size) -> io::Result<()> {
    corpus::write(folder, size)?;
    git(folder, &["init", "--quiet", "--initial-branch", "main"])?;
    let settings =
        [("user.name", "Mara Okonjo"), ("user.email", "mara.okonjo@ambleford-quay.example"), ("gc.auto", "0")];
    settings.iter().try_for_each(|(name, value)| git(folder, &["config", name, value]))?;
    git(folder, &["add", "--all"])?;
    git(folder, &["commit", "--quiet", "--message", "The department"])
}

/// Both sides of a row must have done the same work.
fn same(one: &[u8], other: &[u8]) -> io::Result<()> {
    if one == other { Ok(()) } else { Err(io::Error::other("the two merges differ")) }
}

fn row(what: &str, took: Duration, against: &str, other: Duration, most: &str) -> io::Result<()> {
    let shown = |time: Duration| format!("{:.1} ms", time.as_secs_f64() * 1e3);
    let ratio = took.as_secs_f64() / other.as_secs_f64();
    say(&format!("| {what} | {} | {against} | {} | {ratio:.2} | {most} |", shown(took), shown(other)))
}

/// Prints a line.
fn say(line: &str) -> io::Result<()> {
    writeln!(io::stdout(), "{line}")
}
