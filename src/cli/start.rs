//! `deckle start`.

use std::path::{Path, PathBuf};

use clap::Args;

use super::error::CliError;
use super::world::World;
use super::{Outcome, output};
use crate::check::check;
use crate::deck::{Department, settings};
use crate::git::install::{self, ATTRIBUTES, HOOKS};
use crate::git::site::{GitEnvironment, Site};
use crate::git::{GitError, git};
use crate::report::counted;
use crate::snapshot::{FolderSnapshot, Snapshot, write};

/// Set up a department: settings, an example deck, schema, hooks, merge and diff drivers, first commit
#[derive(Debug, Args)]
pub struct Arguments {
    /// The folder; made when it is not there. It must not hold a department yet.
    #[arg(value_name = "DIR", default_value = ".")]
    department: PathBuf,
}

/// The files of a new department.
const FILES: &[(&str, &str)] = &[
    ("decks/department.yaml", include_str!("starter/department.yaml")),
    ("decks/year-7/thermometer/cards.yaml", include_str!("starter/cards.yaml")),
    ("decks/year-7/thermometer/notes.md", include_str!("starter/notes.md")),
    (".gitattributes", ATTRIBUTES),
];

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let folder = world.path(&arguments.department);
    let files: Vec<(String, &str)> = files().collect();
    refuse_over_files(&folder, &files)?;
    set_up(&folder, &files).map_err(|error| match error.has_help() {
        true => error,
        false => error.help("what is written stays; put that right, and `deckle start` does the rest"),
    })
}

/// Does what is not done yet, so that one who was stopped can start again.
fn set_up(folder: &Path, files: &[(String, &str)]) -> Result<Outcome, CliError> {
    for (path, text) in files.iter().filter(|(path, text)| !holds(&folder.join(path), text)) {
        write::replace(&folder.join(path), text.as_bytes())?;
    }
    for (name, _) in HOOKS {
        install::executable(&folder.join("hooks").join(name))?;
    }
    let report = check(&Department::read(&FolderSnapshot::new(folder))?);
    let decks = counted(report.summary.decks, "deck", "decks");
    let cards = counted(report.summary.cards, "card", "cards");
    output::result(&format!("a department with {decks} and {cards} is in {}\n", folder.display()))?;
    if Site::find(folder, &GitEnvironment::default()).is_ok_and(|site| site.repository.is_none()) {
        git(folder, &["init", "--quiet", "--initial-branch=main"])?;
    }
    let site = Site::find(folder, &GitEnvironment::default())?;
    for line in install::install(&site)?.lines {
        output::result(&format!("{line}\n"))?;
    }
    commit(folder, files)?;
    output::result(
        "write your school's name into decks/department.yaml, then make a deck of your own beside the example\n",
    )?;
    Ok(Outcome::Fine)
}

fn files() -> impl Iterator<Item = (String, &'static str)> {
    let own = FILES.iter().map(|(path, text)| ((*path).to_owned(), *text));
    let hooks = HOOKS.iter().map(|(name, text)| (format!("hooks/{name}"), *text));
    let schemas = crate::schemas::ALL.iter().map(|(name, text)| (format!("schema/{name}"), *text));
    own.chain(hooks).chain(schemas)
}

/// Files that are there and not ours, or a department that was started to the end, are not written over.
fn refuse_over_files(folder: &Path, files: &[(String, &str)]) -> Result<(), CliError> {
    let taken = files.iter().find(|(path, text)| folder.join(path).exists() && !holds(&folder.join(path), text));
    let done = || files.first().filter(|_| is_committed(folder));
    match taken.or_else(done) {
        Some((path, _)) => {
            let error = CliError::new(format!("{} is already there; nothing was written", folder.join(path).display()));
            Err(error
                .help("name a new folder: `deckle start my-department`; in a clone of a department run `deckle hooks`"))
        }
        None => Ok(()),
    }
}

fn holds(path: &Path, text: &str) -> bool {
    std::fs::read(path).is_ok_and(|bytes| bytes == text.as_bytes())
}

/// Whether there is a department in the repository's own `HEAD`, at this very folder.
fn is_committed(folder: &Path) -> bool {
    let Ok(site) = Site::find(folder, &GitEnvironment::default()) else { return false };
    let here = folder.canonicalize().is_ok_and(|folder| site.root.as_ref() == Some(&folder));
    here && site.at("HEAD").and_then(|head| Ok(head.read(settings::PATH)?)).is_ok()
}

/// The first commit, with git's own identity and signing. It is not worth failing for: the files are there.
fn commit(folder: &Path, files: &[(String, &str)]) -> Result<(), CliError> {
    let mut add = vec!["add", "--"];
    add.extend(files.iter().map(|(path, _)| path.as_str()));
    git(folder, &add)?;
    let modes: Vec<String> = HOOKS.iter().map(|(name, _)| format!("hooks/{name}")).collect();
    let mut executable = vec!["update-index", "--chmod=+x", "--"];
    executable.extend(modes.iter().map(String::as_str));
    git(folder, &executable)?;
    let mut commit = vec!["commit", "--quiet", "--no-verify", "--message", "Start the department", "--"];
    commit.extend(files.iter().map(|(path, _)| path.as_str()));
    match git(folder, &commit) {
        Ok(_) => output::result("the first commit is made\n"),
        Err(GitError::Refused { message, .. }) => {
            output::note(&format!(
                "the first commit is not made yet; git says: {}",
                message.lines().last().unwrap_or_default()
            ));
            output::note(
                "tell git who you are (`git config user.name …`, `git config user.email …`), then `git commit`",
            );
            Ok(())
        }
        Err(error) => Err(error.into()),
    }
}
