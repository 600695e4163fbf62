//! `deckle tidy`.

use std::path::PathBuf;

use clap::Args;

use super::error::CliError;
use super::world::World;
use super::{Outcome, output};
use crate::deck::{Deck, Department};
use crate::report::{counted, harmless};
use crate::snapshot::write;

/// Put decks into one order of fields and one style; nothing else changes
#[derive(Debug, Args)]
pub struct Arguments {
    /// Only decks in these files or folders.
    paths: Vec<PathBuf>,
    /// Change nothing; name the decks that are not tidy.
    #[arg(long)]
    check: bool,
}

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let site = world.site()?;
    let department = Department::read(&*site.here()?)?;
    let wanted = world.wanted(&site, &arguments.paths)?;
    let (mut changed, mut unreadable) = (0, 0);
    for deck in department.decks.iter().filter(|deck| wanted.holds(&deck.file.path)) {
        let done = tidy(deck, &site.root()?.join(&*deck.file.path), arguments.check);
        let before = || (changed > 0).then(|| format!("{} tidied", counted(changed, "deck", "decks")));
        match done.map_err(|error| error.after(before()))? {
            Some(was_not) => changed += usize::from(was_not),
            None => unreadable += 1,
        }
    }
    let decks = counted(changed, "deck", "decks");
    output::result(&match (changed, arguments.check) {
        (0, _) if unreadable > 0 => String::new(),
        (0, _) => "all decks are tidy\n".to_owned(),
        (_, true) => format!("{decks} not tidy; `deckle tidy` puts them in order\n"),
        (_, false) => format!("{decks} tidied\n"),
    })?;
    Ok(if unreadable > 0 || arguments.check && changed > 0 { Outcome::Findings } else { Outcome::Fine })
}

/// Whether the deck was not tidy; `None` when it cannot be read.
fn tidy(deck: &Deck, path: &std::path::Path, check: bool) -> Result<Option<bool>, CliError> {
    let name = harmless(&deck.file.path);
    let Some(tidied) = crate::deck::tidy(&deck.file.text) else {
        output::note(&format!("{name} cannot be read and is left as it is; see `deckle check`"));
        return Ok(None);
    };
    if *tidied == *deck.file.text {
        return Ok(Some(false));
    }
    if check {
        output::result(&format!("{name}\n"))?;
    } else {
        write::replace_text(path, &deck.file.text, &tidied)?;
    }
    Ok(Some(true))
}
