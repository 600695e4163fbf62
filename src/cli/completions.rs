//! `deckle completions`.

use clap::Args;
use clap_complete::Shell;

use super::error::CliError;
use super::{Outcome, output};

/// Write completions for a shell, or the man page, to stdout
#[derive(Debug, Args)]
pub struct Arguments {
    /// The shell.
    #[arg(value_enum, required_unless_present = "man")]
    shell: Option<Shell>,
    /// The man page instead.
    #[arg(long, conflicts_with = "shell")]
    man: bool,
}

pub fn run(arguments: &Arguments, command: &mut clap::Command) -> Result<Outcome, CliError> {
    let mut bytes = Vec::new();
    match arguments.shell {
        Some(shell) => clap_complete::generate(shell, command, "deckle", &mut bytes),
        None => clap_mangen::Man::new(command.clone()).render(&mut bytes)?,
    }
    output::result(&String::from_utf8_lossy(&bytes))?;
    Ok(Outcome::Fine)
}
