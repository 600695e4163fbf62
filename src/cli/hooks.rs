//! `deckle hooks`.

use clap::Args;

use super::error::CliError;
use super::world::World;
use super::{Outcome, output};
use crate::git::install;

/// Put the hooks and the merge and diff drivers into this clone
///
/// Each clone needs it once: git does not let a repository switch on its own hooks. Your own hooks
/// are never overwritten.
#[derive(Debug, Args)]
pub struct Arguments {
    /// Take out what was put in, and nothing else.
    #[arg(long)]
    remove: bool,
}

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let site = world.site()?;
    let done = if arguments.remove { install::remove(&site)? } else { install::install(&site)? };
    for line in &done.lines {
        output::result(&format!("{line}\n"))?;
    }
    Ok(if done.own_hooks { Outcome::Findings } else { Outcome::Fine })
}
