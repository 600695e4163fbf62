//! `deckle publish`.

use std::path::{Path, PathBuf};

use clap::Args;

use super::error::CliError;
use super::format::Format;
use super::world::World;
use super::{Outcome, identity, output, progress, verify};
use crate::git::site::Site;
use crate::pack::{NotReleased, State, Verdict, timestamp};
use crate::progress::Progress;
use crate::report::{harmless, json, shelf as report};
use crate::shelf::{Mode, Published, Restoring, ShelfError, publish, restore, withdraw};

/// Put released packs on a shelf: a folder that any web server or shared drive can hold
///
/// Only packs that are whole and the ones that were released go there, and editions never change once
/// there. The shelf has a page with each year group's current pack, earlier editions, digests and
/// corrections, a page a year group that always shows its current pack, a feed, and a list for programs.
/// Publishing again changes nothing.
#[derive(Debug, Args)]
pub struct Arguments {
    /// The packs' zip files; without any, those that `--from` holds.
    #[arg(value_name = "PACK", conflicts_with = "change")]
    packs: Vec<PathBuf>,
    /// The folder of the shelf.
    #[arg(long, value_name = "DIR")]
    shelf: PathBuf,
    /// Where releases were written to: all editions in this folder.
    #[arg(long, value_name = "DIR", default_value = ".", conflicts_with_all = ["packs", "change"])]
    from: PathBuf,
    /// Mark an edition as not to be used any more; its tag, or the name of its zip.
    #[arg(long, value_name = "PACK", group = "change", requires = "reason")]
    withdraw: Option<String>,
    /// Take a withdrawn edition back onto the shelf; its tag, or its zip, from which its files are put back
    /// where somebody took them away.
    #[arg(long, value_name = "PACK", group = "change")]
    restore: Option<String>,
    /// Why it is withdrawn, or taken back, for pupils and colleagues to read.
    #[arg(long, value_name = "TEXT", requires = "change")]
    reason: Option<String>,
    /// Tell what would happen, and write nothing.
    #[arg(long)]
    dry_run: bool,
    /// How to report; JSON by schema/publish.schema.json.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let site = world.site()?;
    match progress::shown("reading the packs", |progress| changed(arguments, world, &site, progress))? {
        Ok(published) => {
            output::result(&match arguments.format {
                Format::Text => report::text(&published),
                Format::Json => json::pretty(&published),
            })?;
            Ok(Outcome::Fine)
        }
        Err(ShelfError::NotReleased { name, why: NotReleased::Verdict(verdict) }) => {
            output::note(&refused(&name, &verdict));
            Ok(Outcome::Findings)
        }
        Err(error) => {
            let cli = CliError::new(error.to_string());
            Err(match error.help() {
                Some(help) => cli.help(help),
                None => cli,
            })
        }
    }
}

fn changed(
    arguments: &Arguments,
    world: &World,
    site: &Site,
    progress: &dyn Progress,
) -> Result<Result<Published, ShelfError>, CliError> {
    let repository = site.repository()?;
    let shelf = world.path(&arguments.shelf);
    let mode = if arguments.dry_run { Mode::Look } else { Mode::Write };
    if let (Some(which), Some(reason)) = (&arguments.withdraw, &arguments.reason) {
        let now = timestamp(identity::tagger(site)?.when());
        return Ok(withdraw(repository, &shelf, which, reason, &now, mode));
    }
    if let Some(which) = &arguments.restore {
        let now = timestamp(identity::tagger(site)?.when());
        let path = world.path(Path::new(which));
        let zip = path.is_file().then(|| verify::read(&path)).transpose()?;
        let restoring = Restoring { which, zip, reason: arguments.reason.as_deref() };
        return Ok(restore(repository, &shelf, restoring, &now, mode));
    }
    let paths = if arguments.packs.is_empty() {
        editions_in(&world.path(&arguments.from), &arguments.from)?
    } else {
        arguments.packs.iter().map(|path| world.path(path)).collect()
    };
    let zip = |path: &PathBuf| Ok((path.display().to_string(), verify::read(path)?));
    let zips = paths.iter().map(zip).collect::<Result<Vec<_>, CliError>>()?;
    Ok(publish(repository, &shelf, zips, mode, progress))
}

/// The zips in a folder that are named like editions, by name.
fn editions_in(folder: &Path, shown: &Path) -> Result<Vec<PathBuf>, CliError> {
    let cannot = |error: std::io::Error| CliError::new(format!("{} cannot be read: {error}", shown.display()));
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(cannot)? {
        let path = entry.map_err(cannot)?.path();
        if path.file_name().and_then(|name| name.to_str()).is_some_and(is_edition) {
            found.push(path);
        }
    }
    found.sort();
    if found.is_empty() {
        let none = format!("there is no released pack in {}", shown.display());
        return Err(CliError::new(none).help("name the packs, or say with `--from` where `deckle release` put them"));
    }
    Ok(found)
}

/// Whether a zip is named like an edition: `geography-year-8-autumn-2026-edition-1.zip`.
fn is_edition(name: &str) -> bool {
    let number = name.strip_suffix(".zip").and_then(|name| name.rsplit_once("-edition-"));
    number.is_some_and(|(pack, number)| {
        pack.contains("-year-") && !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit())
    })
}

fn refused(name: &str, verdict: &Verdict) -> String {
    let failed = verdict.checks.iter().filter(|check| check.state == State::Failed);
    let why: String = failed.map(|check| format!("\n  {}", harmless(&check.sentence))).collect();
    format!(
        "deckle: {} was not put on the shelf: it is not the pack that was released{why}\n  help: nothing was \
         published; take it away, or fetch its tag with `git fetch --tags`",
        harmless(name)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn editions_are_known_by_their_names() {
        assert!(is_edition("geography-year-8-autumn-2026-edition-12.zip"));
        for other in ["geography-year-8-autumn-2026-preview.zip", "x-edition-1.zip", "g-year-8-t-edition-.zip", "g.zip"]
        {
            assert!(!is_edition(other), "{other}");
        }
    }
}
