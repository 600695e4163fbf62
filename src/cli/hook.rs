//! `deckle hook`: what the hooks of a clone ask besides the check.

use std::collections::BTreeSet;
use std::io::Read;

use clap::{Args, ValueEnum};
use git2::Oid;

use super::error::CliError;
use super::settle::told;
use super::world::World;
use super::{Outcome, output};
use crate::git::conclude::Underway;
use crate::git::open::{Open, in_commit, in_snapshot, since};
use crate::git::parted::parted;
use crate::git::proposals::main_branch;
use crate::git::reconcile::{astray_here, has_new_ids};
use crate::git::site::Site;
use crate::report::{counted, harmless};

/// Keep what is undecided out of commits and out of the shared repository; git's hooks call it
#[derive(Debug, Args)]
#[command(hide = true)]
pub struct Arguments {
    /// The hook that asks.
    #[arg(value_enum)]
    hook: Hook,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Hook {
    /// Before each commit, also those of a rebase, at which git asks no other hook.
    PrepareCommitMsg,
    /// Before a push; git's lines come on standard input.
    PrePush,
}

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let site = world.site()?;
    match arguments.hook {
        Hook::PrepareCommitMsg => before_commit(&site),
        Hook::PrePush => before_push(&site),
    }
}

/// Whether the next commit holds something undecided that no commit before it had.
fn before_commit(site: &Site) -> Result<Outcome, CliError> {
    let repository = site.repository()?;
    let parted = parted(site)?;
    if !parted.is_empty() {
        for deck in &parted {
            let deck = harmless(&deck.deck);
            output::note(&format!("The deck `{deck}` was taken out on one side and changed on the other: undecided."));
            output::note(&format!("  deckle settle {deck} deck --take ours|theirs"));
        }
        output::note("Nothing was committed, and your work is still here.");
        return Ok(Outcome::Findings);
    }
    let (staged, parents) = (site.staged()?, site.parents()?);
    let mut open = match parents.first() {
        Some(parent) => since(&site.at(&parent.to_string())?, &staged)?,
        None => in_snapshot(&staged)?,
    };
    if !open.is_empty() {
        for parent in parents {
            let known = in_commit(site, parent)?;
            open.retain(|one| !known.contains(one));
        }
    }
    if open.is_empty() {
        return links_follow(site);
    }
    say(&open);
    output::note(&format!(
        "Nothing was committed, and your work is still here. Decide with `deckle settle`, then {}.",
        Underway::of(repository).finish()
    ));
    Ok(Outcome::Findings)
}

/// Whether all links follow the cards to which git's merge, one deck after another, gave new ids. Where
/// somebody has worked on the deck since, they may mean what stands there.
fn links_follow(site: &Site) -> Result<Outcome, CliError> {
    if !has_new_ids(site, &site.next_index()?)? {
        return Ok(Outcome::Fine);
    }
    let mut astray = astray_here(site, &site.staged()?)?;
    astray.retain(|one| one.as_git_left_it);
    if astray.is_empty() {
        return Ok(Outcome::Fine);
    }
    output::note(told(&astray).trim_end());
    output::note("The merge is not committed, and nothing is lost. After that, finish with `git commit --all`.");
    Ok(Outcome::Findings)
}

/// Whether a branch that is sent holds something undecided that the shared repository does not have.
fn before_push(site: &Site) -> Result<Outcome, CliError> {
    let repository = site.repository()?;
    let mut lines = String::new();
    std::io::stdin().read_to_string(&mut lines)?;
    let mut refused = false;
    for line in lines.lines() {
        let parts: Vec<&str> = line.split(' ').collect();
        let [_, local, remote_name, remote] = parts.as_slice() else { continue };
        let id = |text: &str| Oid::from_str(text).ok().filter(|id| !id.is_zero());
        let (Some(local), true) = (id(local), remote_name.starts_with("refs/heads/")) else { continue };
        let mut open = in_commit(site, local)?;
        if open.is_empty() {
            continue;
        }
        let known = id(remote).filter(|id| repository.find_commit(*id).is_ok());
        if let Some(known) = known.or_else(|| main_branch(repository).map(|(_, id)| id).filter(|id| *id != local)) {
            let known = in_commit(site, known)?;
            open.retain(|one| !known.contains(one));
        }
        if !open.is_empty() {
            say(&open);
            refused = true;
        }
    }
    if refused {
        output::note("Nothing was sent. Decide with `deckle settle`, commit, and push again.");
    }
    Ok(if refused { Outcome::Findings } else { Outcome::Fine })
}

fn say(open: &BTreeSet<Open>) {
    let what = counted(open.len(), "thing is", "things are");
    output::note(&format!("{what} undecided: two people changed it in different ways, and both values are kept."));
    for one in open {
        let owner = if one.card.is_empty() { &one.deck } else { &one.card };
        output::note(&format!("  {} of `{}` in {}", harmless(&one.field), harmless(owner), harmless(&one.deck)));
    }
}
