//! `deckle completions`.

use clap::Args;
use clap_complete::Shell;
use clap_mangen::Man;

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
        None => man_page(command, &mut bytes)?,
    }
    output::result(&String::from_utf8_lossy(&bytes))?;
    Ok(Outcome::Fine)
}

/// One page for all commands, each in a section of its own.
fn man_page(command: &mut clap::Command, page: &mut Vec<u8>) -> std::io::Result<()> {
    command.build();
    let whole = Man::new(command.clone());
    whole.render_title(page)?;
    whole.render_name_section(page)?;
    whole.render_synopsis_section(page)?;
    whole.render_description_section(page)?;
    whole.render_options_section(page)?;
    for one in command.get_subcommands().filter(|one| !one.is_hide_set() && one.get_name() != "help") {
        let name = format!("deckle {}", one.get_name());
        let (man, mut parts) = (Man::new(one.clone().bin_name(&name)), Vec::new());
        man.render_synopsis_section(&mut parts)?;
        man.render_description_section(&mut parts)?;
        man.render_options_section(&mut parts)?;
        let parts = String::from_utf8_lossy(&parts).replace("\n.SH ", "\n.SS ");
        let parts = parts.strip_prefix(".SH ").map_or_else(|| parts.clone(), |rest| format!(".SS {rest}"));
        page.extend(format!(".SH \"{name}\"\n{parts}").into_bytes());
    }
    whole.render_extra_section(page)
}
