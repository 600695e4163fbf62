//! `deckle map`.

use std::path::PathBuf;

use clap::Args;

use super::error::CliError;
use super::world::World;
use super::{Outcome, output};
use crate::deck::Department;
use crate::map::{Map, svg};
use crate::report::counted;
use crate::snapshot::write;

/// Draw how the cards connect: what to know first, and what belongs together
///
/// The picture is SVG, to be opened in any browser and printed. Each topic is a box; an arrow leads from a
/// card to one that builds on it, and a plain line joins connected cards.
#[derive(Debug, Args)]
pub struct Arguments {
    /// Only this year group.
    #[arg(long, value_name = "N")]
    year: Option<u8>,
    /// Write it to this file, not to the screen.
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let site = world.site()?;
    let department = Department::read(&*site.here()?)?;
    let map = Map::of_department(&department, arguments.year);
    if map.cards.is_empty() {
        let of_year = arguments.year.map_or_else(String::new, |year| format!(" of year {year}"));
        return Err(CliError::new(format!("there are no cards{of_year} to draw")));
    }
    let drawn = svg(&map);
    match &arguments.out {
        None => output::result(&drawn)?,
        Some(path) => {
            write::replace(&world.path(path), drawn.as_bytes())?;
            output::note(&format!("{} in {}", counted(map.cards.len(), "card", "cards"), path.display()));
        }
    }
    Ok(Outcome::Fine)
}
