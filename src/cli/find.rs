//! `deckle find`.

use clap::Args;

use super::error::CliError;
use super::format::Format;
use super::world::World;
use super::{Outcome, output};
use crate::deck::Department;
use crate::report::{find, json};

/// Find cards and notes by their words
///
/// Questions, answers, accepted wordings, ids and tags of all cards, and all notes; the best first.
/// Any form of a word counts (`eroded` finds `erodes`), and numbers count by value.
/// Exit status 1 when nothing is found.
#[derive(Debug, Args)]
pub struct Arguments {
    /// What to look for.
    #[arg(required = true)]
    words: Vec<String>,
    /// Show at most this many cards, and as many sentences of the notes.
    #[arg(long, value_name = "N", default_value_t = 10)]
    most: usize,
    /// How to show it; JSON by schema/find.schema.json.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let department = Department::read(&*world.site()?.here()?)?;
    let words = arguments.words.join(" ");
    let found = crate::find::find(&department, &words);
    output::result(&match arguments.format {
        Format::Text => find::text(&found, arguments.most, world.width()),
        Format::Json => json::pretty(&found),
    })?;
    if found.is_empty() && found.near.is_empty() {
        output::note("nothing found: these words stand in too many texts, or in none; try one that carries meaning");
    } else if found.is_empty() {
        output::note(&format!("nothing found\n{}", find::near(&found.near).trim_end()));
    } else if !found.near.is_empty() {
        output::note(find::near(&found.near).trim_end());
    }
    Ok(if found.is_empty() { Outcome::Findings } else { Outcome::Fine })
}
