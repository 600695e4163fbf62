//! `deckle check`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::error::CliError;
use super::repairing::{self, repair};
use super::world::World;
use super::{Outcome, output};
use crate::cache::Cache;
use crate::change::{NotesChange, leaned_on};
use crate::check::{Part, Report, brought_in, check, find};
use crate::deck::Department;
use crate::finding::{self, Finding};
use crate::git::parted::parted;
use crate::git::site::Site;
use crate::place::Place;
use crate::report::{counted, harmless, json, junit, review, sarif, terminal};
use crate::snapshot::{CommitSnapshot, Snapshot};

/// Check the cards: everything that is wrong, each with its place and what to write instead
#[derive(Debug, Args)]
pub struct Arguments {
    /// Only findings in these files or folders; the whole department is judged all the same.
    paths: Vec<PathBuf>,
    /// Judge what is staged for the next commit, and report what it brings in.
    #[arg(long, conflicts_with_all = ["at", "fix"])]
    staged: bool,
    /// Judge the department as it stands at a commit, tag or branch.
    #[arg(long, value_name = "REV", conflicts_with = "fix")]
    at: Option<String>,
    /// Report only what has come in since a commit, tag or branch; and, where the notes changed, how the cards
    /// made from them stood to them and stand to them now.
    #[arg(long, value_name = "REV")]
    since: Option<String>,
    /// Report only one of so many parts, such as 1/4, for pipelines that report in several jobs. Each part is
    /// some of the decks; the whole department is judged all the same, and the parts together tell everything.
    #[arg(long, value_name = "K/N")]
    part: Option<Part>,
    /// Repair what can be repaired, and report the rest.
    #[arg(long)]
    fix: bool,
    /// Judge everything anew, and keep nothing for the next time. What is kept otherwise stands under the
    /// git folder, in `deckle/`, and may be deleted at any time.
    #[arg(long)]
    no_cache: bool,
    /// Say nothing when there is nothing to find.
    #[arg(short, long)]
    quiet: bool,
    /// How to report.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Format {
    /// For people.
    Text,
    /// For programs, by schema/findings.schema.json.
    Json,
    /// For code hosts that show findings beside their lines: SARIF 2.1.0.
    Sarif,
    /// For pipelines that show test results: JUnit XML, a suite for each rule.
    Junit,
}

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let site = world.site()?;
    if arguments.fix {
        let repaired = repair(&site, |_| true)?;
        output::note(&repairing::said(repaired));
    }
    let (mut report, older) = judge(arguments, &site, world.cache(&site).filter(|_| !arguments.no_cache).as_ref())?;
    if arguments.at.is_none() {
        report = with_parted(report, &site)?;
    }
    let wanted = world.wanted(&site, &arguments.paths)?;
    let mut notes =
        if matches!(arguments.format, Format::Text | Format::Json) { notes(arguments, &site)? } else { vec![] };
    if !arguments.paths.is_empty() {
        notes.retain(|section| wanted.holds(&section.path));
    }
    let everywhere = report.summary.errors;
    let report =
        if arguments.paths.is_empty() { report } else { report.filtered(|finding| wanted.holds(&finding.place.path)) };
    let report = match &arguments.part {
        Some(part) => report.filtered(|finding| part.holds(finding)),
        None => report,
    };
    output::result(&match arguments.format {
        Format::Text if arguments.quiet && report.findings.is_empty() => String::new(),
        Format::Text if notes.is_empty() => terminal::report(&report, world.width()),
        Format::Text => format!("{}\n\n{}", review::notes(&notes).trim(), terminal::report(&report, world.width())),
        Format::Json => json::report_since(&report, arguments.since.is_some().then_some(&*notes)),
        Format::Sarif => {
            sarif::report(&report, &sarif::Origin { version: env!("CARGO_PKG_VERSION"), prefix: &site.prefix })
        }
        Format::Junit => junit::report(&report),
    })?;
    if everywhere > report.summary.errors {
        let elsewhere = counted(everywhere - report.summary.errors, "error is", "errors are");
        let paths = arguments.paths.iter().map(|path| harmless(&path.display().to_string()));
        let shown: Vec<String> = paths.chain(arguments.part.map(|part| format!("part {part}"))).collect();
        output::note(&format!(
            "shown is {} only; {elsewhere} elsewhere: `deckle check` shows all",
            shown.join(" and ")
        ));
    }
    if older > 0 && report.summary.errors > 0 {
        let errors = counted(older, "older error is", "older errors are");
        output::note(&format!("{errors} not counted here; `deckle check` shows all"));
    }
    Ok(if report.summary.errors > 0 { Outcome::Findings } else { Outcome::Fine })
}

/// The report with the decks that one side of a merge took out and the other changed: no file tells.
fn with_parted(report: Report, site: &Site) -> Result<Report, CliError> {
    let parted = parted(site)?;
    let Some(rule) = find("undecided").filter(|_| !parted.is_empty()) else { return Ok(report) };
    let Report { mut findings, summary } = report;
    // Whatever else is wrong with a deck half of whose files are gone follows from that.
    findings.retain(|finding| parted.iter().all(|parted| finding.deck.as_ref() != Some(&parted.deck)));
    findings.extend(parted.iter().map(|parted| {
        let message = "one side took this deck out, the other changed it: undecided";
        let finding = rule.finding(Place::top_of(parted.path.as_str()), message).in_deck(&parted.deck);
        finding.in_field("deck").help(format!("decide it with `deckle settle {} deck`", parted.deck))
    }));
    finding::sort(&mut findings);
    Ok(Report::new(findings, summary.decks, summary.cards))
}

/// The findings asked for, and how many errors were left out because they are older.
fn judge(arguments: &Arguments, site: &Site, cache: Option<&Cache>) -> Result<(Report, usize), CliError> {
    // Who compares will do so again, a few cards later.
    let before = before(arguments, site, cache)?;
    let kept = arguments.staged || arguments.since.is_some();
    let now = report_on(&*snapshot(arguments, site)?, cache, kept)?;
    let Some(before) = before else { return Ok((now, 0)) };
    let new = brought_in(&before, &now.findings);
    let report = Report::new(new, now.summary.decks, now.summary.cards);
    let older = now.summary.errors - report.summary.errors;
    Ok((report, older))
}

/// What is judged.
fn snapshot<'a>(arguments: &Arguments, site: &'a Site) -> Result<Box<dyn Snapshot + 'a>, CliError> {
    Ok(match &arguments.at {
        _ if arguments.staged => Box::new(site.staged()?),
        Some(rev) => Box::new(site.at(rev)?),
        None => site.here()?,
    })
}

/// With `--since`, the sections of the notes that differ and have cards.
fn notes(arguments: &Arguments, site: &Site) -> Result<Vec<NotesChange>, CliError> {
    let Some(rev) = &arguments.since else { return Ok(Vec::new()) };
    let (before, now) = (site.at(rev)?, snapshot(arguments, site)?);
    if before.identity().is_some_and(|identity| now.identity() == Some(identity)) {
        return Ok(Vec::new());
    }
    Ok(leaned_on(&Department::read(&before)?, &Department::read(&*now)?))
}

/// The findings to compare with; none when all count.
fn before(arguments: &Arguments, site: &Site, cache: Option<&Cache>) -> Result<Option<Vec<Finding>>, CliError> {
    if let Some(rev) = &arguments.since {
        return Ok(Some(report_on(&site.at(rev)?, cache, true)?.findings));
    }
    if !arguments.staged {
        return Ok(None);
    }
    let mut known: Vec<Finding> = Vec::new();
    for parent in site.parents()? {
        let repository = site.repository()?;
        let snapshot = CommitSnapshot::new(repository, &parent.to_string(), &site.prefix)?;
        let of_parent = report_on(&snapshot, cache, true)?.findings;
        known.extend(brought_in(&known, &of_parent));
    }
    Ok(Some(known))
}

/// The report on a snapshot; `kept` says whether what a check of a few decks needs may be kept of it.
pub(super) fn report_on(snapshot: &dyn Snapshot, cache: Option<&Cache>, kept: bool) -> Result<Report, CliError> {
    Ok(match cache {
        Some(cache) => cache.check(snapshot, kept)?,
        None => check(&Department::read(snapshot)?),
    })
}
