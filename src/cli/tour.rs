//! `deckle tour`.

mod script;
mod stage;

use std::path::PathBuf;

use clap::Args;

use super::Outcome;
use super::error::CliError;
use super::world::World;
use stage::Stage;

/// Walk through the whole job in a throw-away department: check, propose, merge, review, release
///
/// Every command is run for real, in a repository of its own, and what is shown is what it printed.
#[derive(Debug, Args)]
pub struct Arguments {
    /// Leave the department in this folder, to play with; it must not be there yet.
    #[arg(long, value_name = "DIR")]
    keep: Option<PathBuf>,
}

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let passing = tempfile::tempdir().map_err(|error| CliError::new(format!("no folder for the tour: {error}")))?;
    let folder = match &arguments.keep {
        Some(folder) => {
            let folder = world.path(folder);
            if folder.exists() {
                let error = CliError::new(format!("{} is already there", folder.display()));
                return Err(error.help("name a new folder"));
            }
            std::fs::create_dir_all(&folder)
                .map_err(|error| CliError::new(format!("{} cannot be made: {error}", folder.display())))?;
            folder.canonicalize()?
        }
        None => passing.path().canonicalize()?,
    };
    let mut stage = Stage::new(&folder, passing.path())?;
    script::play(&mut stage)?;
    if let Some(folder) = &arguments.keep {
        stage
            .say(&format!("The department is in {}; go there and try things.", folder.join("department").display()))?;
    }
    Ok(Outcome::Fine)
}
