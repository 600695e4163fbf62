//! `deckle propose`.

use std::path::Path;

use clap::Args;
use git2::{BranchType, Oid, Repository};

use super::error::CliError;
use super::world::World;
use super::{Outcome, identity, output};
use crate::change::changes;
use crate::check::{Report, brought_in, check};
use crate::deck::{Department, as_id};
use crate::git::propose::{Proposal, ProposeError, Sent, is_unsent};
use crate::git::reconcile::{Unfinished, unfinished};
use crate::git::site::Site;
use crate::report::{harmless, terminal};
use crate::snapshot::{CommitSnapshot, EmptySnapshot, Snapshot};

/// Propose your changes: branch, check, commit and push in one go
///
/// Takes everything that you changed under `decks/`, puts it on a branch named from your words, and
/// sends it to the shared repository when there is one. On a branch of your own, your changes are
/// added to it. Nothing that is there already is ever rewritten.
#[derive(Debug, Args)]
pub struct Arguments {
    /// What you propose, in a few words.
    #[arg(value_name = "TEXT")]
    message: String,
}

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let site = world.site()?;
    let repository = site.repository()?;
    let message = arguments.message.trim();
    if message.is_empty() {
        return Err(CliError::new("say in a few words what you propose")
            .help("deckle propose \"rivers: a card on plunge pools\""));
    }
    let root = site.root()?.to_path_buf();
    if unfinished(repository) != Unfinished::Nothing {
        return Err(CliError::new("git is in the middle of a merge, rebase or the like")
            .help("finish it first; `git status` says how"));
    }
    let current = current_branch(repository)?;
    let proposal = Proposal::prepare(repository, &root, &format!("{}decks", site.prefix))?;
    let before = before(&site, repository)?;
    let is_main = ["main", "master"].contains(&current.as_str());
    if proposal.is_empty() && !is_main && is_unsent(repository, &current)? {
        output::result(&format!("`{}` is committed already, and not sent yet\n", harmless(&current)))?;
        return send(repository, &root, &current);
    }
    if proposal.is_empty() {
        output::result("there is nothing to propose: nothing under decks/ has changed\n")?;
        return Ok(Outcome::Fine);
    }
    let snapshot = CommitSnapshot::of_tree(repository, proposal.tree(), &site.prefix);
    let now = Department::read(&snapshot)?;
    let (old_report, new_report) = (check(&before), check(&now));
    let new = brought_in(&old_report.findings, &new_report.findings);
    let report = Report::new(new, new_report.summary.decks, new_report.summary.cards);
    if report.summary.errors > 0 {
        output::result(&terminal::report(&report, world.width()))?;
        output::note("nothing was proposed and nothing was changed: put the errors right and run it again");
        return Ok(Outcome::Findings);
    }
    if !report.findings.is_empty() {
        output::result(&terminal::report(&report, world.width()))?;
    }
    let branch = if is_main { free_branch(repository, message) } else { current.clone() };
    identity::is_known(&site)?;
    proposal.commit(repository, &branch, &current, message)?;
    say(&current, &branch, &before, &now)?;
    send(repository, &root, &branch)
}

fn current_branch(repository: &Repository) -> Result<String, CliError> {
    let head = repository.find_reference("HEAD").ok();
    let target = head.as_ref().and_then(|head| head.symbolic_target().ok().flatten());
    let name = target.and_then(|target| target.strip_prefix("refs/heads/")).map(str::to_owned);
    name.ok_or_else(|| CliError::new("you are not on a branch").help("go to the main branch first: `git switch main`"))
}

fn before(site: &Site, repository: &Repository) -> Result<Department, CliError> {
    let head: Option<Oid> =
        repository.head().ok().and_then(|head| head.peel_to_commit().ok()).map(|commit| commit.id());
    let snapshot: Box<dyn Snapshot + '_> = match head {
        Some(head) => Box::new(CommitSnapshot::new(repository, &head.to_string(), &site.prefix)?),
        None => Box::new(EmptySnapshot),
    };
    Ok(Department::read(&*snapshot)?)
}

/// The longest name of a branch, in letters.
const LONGEST: usize = 48;

/// A branch named from the message, with a number behind it when that name is taken.
fn free_branch(repository: &Repository, message: &str) -> String {
    let mut name = String::new();
    for word in as_id(message.lines().next().unwrap_or_default()).split('-') {
        if !name.is_empty() && name.len() + 1 + word.len() > LONGEST {
            break;
        }
        name = if name.is_empty() { word.to_owned() } else { format!("{name}-{word}") };
    }
    let taken = |name: &str| {
        let ends = format!("/{name}");
        let remote = repository.branches(Some(BranchType::Remote)).into_iter().flatten().filter_map(Result::ok);
        let mut remote = remote.filter_map(|(branch, _)| branch.name().ok().flatten().map(str::to_owned));
        repository.find_branch(name, BranchType::Local).is_ok() || remote.any(|other| other.ends_with(&ends))
    };
    let numbered = (2..).map(|number| format!("{name}-{number}"));
    std::iter::once(name.clone()).chain(numbered).find(|name| !taken(name)).unwrap_or(name)
}

fn say(current: &str, branch: &str, before: &Department, now: &Department) -> Result<(), CliError> {
    let counts = changes(before, now).counts();
    let parts =
        [(counts.added, "added"), (counts.edited, "edited"), (counts.moved, "moved"), (counts.removed, "removed")];
    let parts: Vec<String> =
        parts.iter().filter(|part| part.0 > 0).map(|(number, what)| format!("{number} {what}")).collect();
    let what = if parts.is_empty() { "no card changed".to_owned() } else { format!("cards: {}", parts.join(", ")) };
    let how = if current == branch { "added to your branch" } else { "proposed on the new branch" };
    output::result(&format!("{how} `{}` ({what}); you are on it now\n", harmless(branch)))
}

fn send(repository: &Repository, root: &Path, branch: &str) -> Result<Outcome, CliError> {
    let shown = harmless(branch);
    match crate::git::propose::send(repository, root, branch)? {
        Sent::NoRemote => {
            output::result(&format!(
                "to hand it over: the lead runs `deckle review main..{shown}`, then `deckle reconcile {shown}`\n"
            ))?;
        }
        Sent::To(remote) => {
            output::result(&format!("sent to {}; tell your lead that `{shown}` is ready\n", harmless(&remote)))?;
        }
        Sent::Refused { remote, message } => {
            output::note(&format!("it is committed here, but could not be sent to {}; git says:", harmless(&remote)));
            message.lines().for_each(|line| output::note(&format!("  {}", harmless(line))));
            output::note(&format!(
                "  help: try again later with `git push --set-upstream {} {shown}`",
                harmless(&remote)
            ));
            return Err(CliError::new("the proposal is not in the shared repository yet"));
        }
    }
    output::result(
        "further changes: edit, then `deckle propose` again; back to the shared cards: `git switch main`\n",
    )?;
    Ok(Outcome::Fine)
}

impl From<ProposeError> for CliError {
    fn from(error: ProposeError) -> Self {
        let help = match &error {
            ProposeError::Commit(_) => Some("nothing was proposed; your changes are as they were"),
            _ => None,
        };
        let error = Self::new(error.to_string());
        match help {
            Some(help) => error.help(help),
            None => error,
        }
    }
}
