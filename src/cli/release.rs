//! `deckle release`.

use std::path::PathBuf;

use clap::Args;
use serde::Serialize;

use super::error::CliError;
use super::format::Format;
use super::world::World;
use super::{Outcome, identity, output, progress};
use crate::check::Report;
use crate::finding::Finding;
use crate::pack::{Differences, Made, Mode, Options, Release, ReleaseError, release, release_all};
use crate::report::{counted, json, terminal};

/// Check, build, number and tag a year group's pack for a term
///
/// The pack is built from a commit and from nothing else. When nothing is new since the last
/// edition, there is no new one.
#[derive(Debug, Args)]
pub struct Arguments {
    /// The year group.
    #[arg(long, value_name = "N", required_unless_present = "all")]
    year: Option<u8>,
    /// Every year group that the scheme has decks for in the term; a finding in one leaves none released.
    #[arg(long, conflicts_with = "year")]
    all: bool,
    /// The term, as the settings name it: `autumn`, or `autumn-2026` where that is not clear.
    #[arg(long, value_name = "T")]
    term: String,
    /// The commit to build from.
    #[arg(long, value_name = "REV", default_value = "HEAD")]
    at: String,
    /// The folder for the pack.
    #[arg(long, value_name = "DIR", default_value = ".")]
    out: PathBuf,
    /// Build one to look at, without number and tag.
    #[arg(long)]
    preview: bool,
    /// How to report; JSON by schema/release.schema.json.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

/// What was released of all year groups.
#[derive(Serialize)]
struct AllJson {
    format: u8,
    packs: Vec<ReleasedJson>,
}

/// What was released.
#[derive(Serialize)]
struct ReleasedJson {
    format: u8,
    /// Whether there is a new pack.
    new: bool,
    path: Option<String>,
    tag: Option<String>,
    commit: String,
    edition: Option<u32>,
    sha256: Option<String>,
    cards: Option<usize>,
}

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let site = world.site()?;
    let repository = site.repository()?;
    let mode = if arguments.preview { Mode::Preview } else { Mode::Edition };
    if mode == Mode::Edition {
        identity::tagger(&site)?;
    }
    let out = world.path(&arguments.out);
    let (prefix, at, term) = (&site.prefix, &arguments.at, &arguments.term);
    let released = progress::shown("releasing", |progress| {
        let options = Options { out: &out, mode, progress };
        match arguments.year {
            Some(year) => release(repository, prefix, at, year, term, &options).map(|released| vec![released]),
            None => release_all(repository, prefix, at, term, &options),
        }
    });
    match released {
        Ok(released) => said(&released, arguments),
        Err(ReleaseError::Findings(findings)) => refused(findings, arguments.format, world.width()),
        Err(error) => Err(CliError::new(error.to_string())),
    }
}

fn refused(findings: Vec<Finding>, format: Format, width: usize) -> Result<Outcome, CliError> {
    let report = Report::new(findings, 0, 0);
    output::result(&match format {
        Format::Text => report.findings.iter().map(|finding| terminal::finding(finding, width) + "\n").collect(),
        Format::Json => json::report(&report),
    })?;
    output::note(&format!("deckle: {}", ReleaseError::Findings(report.findings)));
    Ok(Outcome::Findings)
}

fn said(released: &[Release], arguments: &Arguments) -> Result<Outcome, CliError> {
    output::result(&match (arguments.format, released) {
        (Format::Text, released) => released.iter().map(text).collect(),
        (Format::Json, [one]) if !arguments.all => json::pretty(&as_json(one)),
        (Format::Json, all) => json::pretty(&AllJson { format: 1, packs: all.iter().map(as_json).collect() }),
    })?;
    Ok(Outcome::Fine)
}

fn text(released: &Release) -> String {
    match released {
        Release::Made(made) => made_text(made),
        Release::NothingNew(same) => {
            format!("nothing new in this commit since edition {} ({}); no new edition\n", same.edition, same.tag)
        }
    }
}

fn made_text(made: &Made) -> String {
    let pack = &made.built.pack;
    let cards = counted(pack.cards.len(), "card", "cards");
    let tag = made
        .tag
        .as_ref()
        .map(|tag| format!("tag: {tag} (share it with `git push origin {tag}`)\n"))
        .unwrap_or_default();
    let before = match &made.built.differences {
        Some(differences) if !differences.is_empty() => format!("since the edition before: {}\n", since(differences)),
        _ => String::new(),
    };
    format!("{} with {cards}: {}\n{before}{tag}", pack.edition, made.path.display())
}

fn since(differences: &Differences) -> String {
    let counts = [
        (differences.corrected.len(), "corrected"),
        (differences.reworded.len(), "reworded"),
        (differences.otherwise.len(), "changed otherwise"),
        (differences.new.len(), "new"),
        (differences.withdrawn.len(), "withdrawn"),
        (differences.moved.len(), "moved"),
    ];
    let cards = counts.into_iter().filter(|(count, _)| *count > 0);
    let mut parts: Vec<String> =
        cards.map(|(count, what)| format!("{} {what}", counted(count, "card", "cards"))).collect();
    let topics = [(differences.retitled.len(), "renamed"), (differences.rescheduled.len(), "taught on another day")];
    let topics = topics.into_iter().filter(|(count, _)| *count > 0);
    parts.extend(topics.map(|(count, what)| format!("{} {what}", counted(count, "topic", "topics"))));
    if parts.is_empty() { "other numbers".to_owned() } else { parts.join(", ") }
}

fn as_json(released: &Release) -> ReleasedJson {
    match released {
        Release::Made(made) => ReleasedJson {
            format: 1,
            new: true,
            path: Some(made.path.display().to_string()),
            tag: made.tag.clone(),
            commit: made.built.pack.commit.clone(),
            edition: made.built.pack.edition.number(),
            sha256: Some(made.built.sha256.clone()),
            cards: Some(made.built.pack.cards.len()),
        },
        Release::NothingNew(same) => ReleasedJson {
            format: 1,
            new: false,
            path: None,
            tag: Some(same.tag.clone()),
            commit: same.commit.clone(),
            edition: Some(same.edition),
            sha256: None,
            cards: None,
        },
    }
}
