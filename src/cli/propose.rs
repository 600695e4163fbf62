//! `deckle propose`.
use clap::Args;

use super::Outcome;
use super::error::CliError;
use super::world::World;

/// x
#[derive(Debug, Args)]
pub struct Arguments {}

pub fn run(_: &Arguments, _: &World) -> Result<Outcome, CliError> {
    Ok(Outcome::Fine)
}
