//! `deckle coverage`.

use std::path::PathBuf;

use clap::Args;

use super::error::CliError;
use super::format::Format;
use super::world::World;
use super::{Outcome, output};
use crate::check::Context;
use crate::deck::Department;
use crate::report::{coverage, json};
use crate::source::Coverage;

/// Show which key statements of the notes have a card, and which have none
///
/// A key statement is a sentence with strong text, a definition, or a quantity or date, or a row of a
/// table with one. A card has it when it quotes it, or a clause of it.
#[derive(Debug, Args)]
pub struct Arguments {
    /// Only these decks, notes or folders.
    paths: Vec<PathBuf>,
    /// How to show it; JSON by schema/coverage.schema.json.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let site = world.site()?;
    let department = Department::read(&*site.here()?)?;
    let wanted = world.wanted(&site, &arguments.paths)?;
    // A deck's file stands for its folder.
    let beside = |path: &str| path.rsplit_once('/').map(|(folder, _)| format!("{folder}/cards.yaml"));
    let holds = |path: &str| wanted.holds(path) || beside(path).is_some_and(|cards| wanted.holds(&cards));
    let found = Coverage::new(&Context::new(&department), holds);
    if found.topics.is_empty() && !arguments.paths.is_empty() {
        return Err(CliError::new("there are no notes there")
            .help("name a deck's folder or its notes, such as decks/year-8/rivers"));
    }
    output::result(&match arguments.format {
        Format::Text => coverage::text(&found, world.width()),
        Format::Json => json::pretty(&found),
    })?;
    Ok(Outcome::Fine)
}
