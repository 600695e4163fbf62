//! `deckle review`.

mod first;
mod pair;

use clap::{Args, ValueEnum};

use super::check::report_on;
use super::error::CliError;
use super::world::World;
use super::{Outcome, output};
use crate::cache::Cache;
use crate::change::Review;
use crate::deck::Department;
use crate::git::reconcile::Memory;
use crate::git::reviewed::remember;
use crate::report::{json, review};
use crate::snapshot::{Snapshot, SnapshotError};
use pair::Pair;

/// Show the proposals that wait, or what one changes, card by card
///
/// Without a name: the branches that are not merged into the main branch, each with who made it and
/// when, how many cards it changes and what it brings in. With a branch: what it adds to the main
/// branch, card by card, facts first. Looking changes nothing; only `--since-last-review` remembers
/// how far you looked.
#[derive(Debug, Args)]
pub struct Arguments {
    /// A branch; `BASE..HEAD`, from where they parted; or one commit, against the one before it.
    #[arg(value_name = "BRANCH|BASE..HEAD")]
    range: Option<String>,
    /// What is staged for the next commit.
    #[arg(long, conflicts_with = "range")]
    staged: bool,
    /// What is in your folder and not committed yet.
    #[arg(long, conflicts_with_all = ["range", "staged"])]
    uncommitted: bool,
    /// Of a branch, only what is new since you last looked with this flag, and remember this look; in
    /// the list, only branches with something new.
    #[arg(long, conflicts_with_all = ["staged", "uncommitted"])]
    since_last_review: bool,
    /// How to show it.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Format {
    /// For people.
    Text,
    /// For a comment on a hosting site.
    Markdown,
    /// One page for a browser, before and after beside each other.
    Html,
    /// For programs, by schema/review.schema.json and schema/proposals.schema.json.
    Json,
}

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let site = world.site()?;
    let odb = site.repository()?.odb().map_err(SnapshotError::git("the repository's store"))?;
    // Whatever is worked out on the way stays in memory.
    let _memory = Memory::new(&odb)?;
    let pair = match &arguments.range {
        _ if arguments.staged => pair::staged(&site)?,
        _ if arguments.uncommitted => pair::uncommitted(&site)?,
        Some(range) => pair::named(&site, range, arguments.since_last_review)?,
        None => return first::show(&site, arguments, world),
    };
    let Pair { before, now, heading, proposal } = pair;
    let cache = world.cache(&site);
    let (result, shown) = match arguments.format {
        Format::Html => {
            let (before, now) = (Department::read(&*before)?, Department::read(&*now)?);
            let result = Review::new(&before, &now);
            let page = review::html::review(&result, &heading, &before, &now);
            (result, page)
        }
        format => {
            let result = reviewed(&*before, &*now, cache.as_ref())?;
            let shown = match format {
                Format::Text => review::review(&result, &heading, world.width()),
                Format::Markdown => review::markdown::review(&result, &heading),
                Format::Json | Format::Html => json::pretty(&result),
            };
            (result, shown)
        }
    };
    output::result(&shown)?;
    if let Some(proposal) = proposal.filter(|_| arguments.since_last_review) {
        remember(site.repository()?, &proposal)?;
    }
    Ok(if result.brings_in_errors() { Outcome::Findings } else { Outcome::Fine })
}

/// The review of two snapshots; where only a few decks differ, only these are read.
fn reviewed(before: &dyn Snapshot, now: &dyn Snapshot, cache: Option<&Cache>) -> Result<Review, CliError> {
    let (old, new) = (report_on(before, cache, true)?, report_on(now, cache, true)?);
    if let Some(review) = Review::of_decks(before, now, &old, &new) {
        return Ok(review);
    }
    let (before, now) = (Department::read(before)?, Department::read(now)?);
    Ok(Review::of_checked((&before, &old), (&now, &new)))
}
