//! `deckle diff-driver`.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use clap::Args;

use super::error::CliError;
use super::world::World;
use super::{Outcome, output};
use crate::change::changes;
use crate::deck::Department;
use crate::deck::outline::outline;
use crate::place::SourceFile;
use crate::report::{harmless, review};

/// Show how a deck changed, card by card; git calls it
///
/// With git's seven arguments, the change; with one file, the cards one field a line, which git
/// then compares.
#[derive(Debug, Args)]
#[command(hide = true)]
pub struct Arguments {
    /// What git hands over: path, old file, old id, old mode, new file, new id, new mode; or one file.
    #[arg(required = true, num_args = 1..=9, allow_hyphen_values = true)]
    arguments: Vec<String>,
}

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    match arguments.arguments.as_slice() {
        [file] => output::result(&as_lines(&read(world, file)?))?,
        [path, old, _, _, new, _, _, ..] => output::result(&change(path, &read(world, old)?, &read(world, new)?))?,
        _ => return Err(CliError::new("expected one file, or the seven arguments that git gives")),
    }
    Ok(Outcome::Fine)
}

fn read(world: &World, path: &str) -> Result<String, CliError> {
    if path == "/dev/null" {
        return Ok(String::new());
    }
    let path: PathBuf = world.path(Path::new(path));
    let bytes =
        std::fs::read(&path).map_err(|error| CliError::new(format!("{} cannot be read: {error}", path.display())))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn change(path: &str, old: &str, new: &str) -> String {
    // Of a deck that cannot be read in full, cards would seem to be gone.
    let whole = |text: &str| text.is_empty() || outline(text).is_some();
    if !whole(old) || !whole(new) {
        let diff = similar::TextDiff::from_lines(old, new);
        let lines = diff.unified_diff().header(path, path).to_string();
        return lines.lines().map(|line| format!("{}\n", harmless(line))).collect();
    }
    let name = crate::deck::department::deck_of(path).unwrap_or(path);
    let alone = |text: &str| {
        let file = SourceFile::new(format!("decks/{name}/cards.yaml"), text);
        Department::of_decks(if text.is_empty() { Vec::new() } else { vec![(name.to_owned(), Arc::new(file))] })
    };
    let changed = changes(&alone(old), &alone(new));
    changed.decks.iter().map(review::deck).collect()
}

/// Each field on a line of its own with its card's id, so that a line says by itself what it is.
fn as_lines(text: &str) -> String {
    let Some(deck) = outline(text) else { return text.to_owned() };
    let mut lines = String::new();
    for field in &deck.fields {
        lines.push_str(&format!("{}: {}\n", field.name, harmless(&field.value.line())));
    }
    for card in &deck.cards {
        lines.push_str(&format!("card {}\n", harmless(&card.id)));
        for field in card.fields.iter().filter(|field| field.name != "id") {
            lines.push_str(&format!("  {}: {}\n", field.name, harmless(&field.value.line())));
        }
    }
    lines
}
