//! `deckle verify`.

use std::path::{Path, PathBuf};

use clap::Args;

use super::error::CliError;
use super::format::Format;
use super::world::World;
use super::{Outcome, output, progress};
use crate::pack::{State, Verdict, verify, verify_by_rebuilding};
use crate::report::{harmless, json};

/// Is this pack whole, and is it the one that was released?
///
/// In a clone of the department, the tag and the commit are checked too; elsewhere, only the pack.
#[derive(Debug, Args)]
pub struct Arguments {
    /// The pack's zip file.
    pack: PathBuf,
    /// Build it again from its commit too, and compare the two byte by byte.
    #[arg(long)]
    rebuild: bool,
    /// How to report; JSON by schema/verify.schema.json.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

/// The largest zip that is read, in bytes.
const LARGEST: u64 = 512 * 1024 * 1024;

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let zip = read(&world.path(&arguments.pack))?;
    let site = world.site().ok();
    let repository = site.as_ref().and_then(|site| site.repository.as_ref());
    let verdict = match (arguments.rebuild, repository) {
        (true, None) => {
            return Err(CliError::new("there is no repository to build the pack from")
                .help("run it in a clone of the department, with its tags"));
        }
        (true, repository) => {
            progress::shown("checking the pack", |progress| verify_by_rebuilding(repository, &zip, progress))
        }
        (false, repository) => verify(repository, &zip),
    };
    output::result(&match arguments.format {
        Format::Text => text(&verdict),
        Format::Json => json::pretty(&verdict),
    })?;
    Ok(if verdict.passed { Outcome::Fine } else { Outcome::Findings })
}

/// The bytes of a zip.
pub(super) fn read(path: &Path) -> Result<Vec<u8>, CliError> {
    let cannot = |error: std::io::Error| CliError::new(format!("{} cannot be read: {error}", path.display()));
    if std::fs::metadata(path).map_err(cannot)?.len() > LARGEST {
        return Err(CliError::new(format!("{} is larger than any pack", path.display())));
    }
    std::fs::read(path).map_err(cannot)
}

fn text(verdict: &Verdict) -> String {
    let mut text = String::new();
    for check in &verdict.checks {
        let state = match check.state {
            State::Passed => "passed",
            State::Failed => "FAILED",
            State::Skipped => "not checked",
        };
        text.push_str(&format!("{state:11}  {}\n", harmless(&check.sentence)));
    }
    let skipped = verdict.checks.iter().any(|check| check.state == State::Skipped);
    text.push_str(match (verdict.passed, skipped) {
        (true, false) => "this is the pack that was released, whole and unchanged\n",
        (true, true) => {
            "this pack is whole; whether it is the one that was released can be told in a clone of the department\n"
        }
        (false, _) if only_the_tag_is_missing(verdict) => {
            "this pack is whole; whether it is the one that was released can be told once its tag is here: `git fetch --tags`\n"
        }
        (false, _) if only_the_rebuild_failed(verdict) => {
            "this is the pack that was released, but not what this program builds from its commit: find out why first\n"
        }
        (false, _) => "this is not the pack that was released: do not give it to pupils\n",
    });
    text
}

fn only_the_tag_is_missing(verdict: &Verdict) -> bool {
    let mut failed = verdict.checks.iter().filter(|check| check.state == State::Failed);
    failed.next().is_some_and(|check| check.name == "tag" && check.sentence.contains("has no tag"))
        && failed.next().is_none()
}

fn only_the_rebuild_failed(verdict: &Verdict) -> bool {
    verdict.checks.iter().all(|check| (check.name == "rebuild") == (check.state == State::Failed))
}
