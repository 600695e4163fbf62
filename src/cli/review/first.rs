//! The first screen: the proposals that wait.

use std::collections::BTreeSet;

use git2::Oid;
use serde::Serialize;

use super::pair::{at_commit, uncommitted};
use super::{Arguments, Format, reviewed};
use crate::cache::Cache;
use crate::change::{BesideCards, Counts, changes, changes_of_decks};
use crate::check::{Report, Summary};
use crate::cli::error::CliError;
use crate::cli::world::World;
use crate::cli::{Outcome, output};
use crate::deck::Department;
use crate::git::proposals::{self, main_branch, waiting};
use crate::git::reviewed::last_look;
use crate::git::site::Site;
use crate::report::json;
use crate::report::review::waiting::{self as shown, Proposal, Seen, Waiting};

pub fn show(site: &Site, arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let repository = site.repository()?;
    let here = repository.head().ok().and_then(|head| head.shorthand().ok().map(str::to_owned));
    let cache = world.cache(site);
    let mut found = Vec::new();
    for proposal in waiting(repository)? {
        let seen = match last_look(repository, &proposal) {
            None => Seen::New,
            Some(seen) if seen == proposal.tip => Seen::All,
            Some(_) => Seen::Changed,
        };
        if arguments.since_last_review && seen == Seen::All {
            continue;
        }
        found.push(judged(site, proposal, seen, here.as_deref(), cache.as_ref())?);
    }
    let open = Waiting {
        main: main_branch(repository).map_or_else(|| "main".to_owned(), |(name, _)| name),
        proposals: with_shares(&found),
        uncommitted: not_committed(site)?,
        since_last_review: arguments.since_last_review,
    };
    output::result(&match arguments.format {
        Format::Text => shown::text(&open),
        Format::Markdown => shown::markdown(&open),
        Format::Html => shown::page(&open),
        Format::Json => json::pretty(&Listed::new(&open, &found)),
    })?;
    Ok(Outcome::Fine)
}

/// A proposal with what it does.
struct Judged {
    shown: Proposal,
    tip: Oid,
    ids: BTreeSet<String>,
}

fn judged(
    site: &Site,
    proposal: proposals::Waiting,
    seen: Seen,
    here: Option<&str>,
    cache: Option<&Cache>,
) -> Result<Judged, CliError> {
    let (before, now) = (at_commit(site, proposal.base)?, at_commit(site, Some(proposal.tip))?);
    let review = reviewed(&*before, &*now, cache)?;
    let brought = Report::new(review.brought_in.clone(), 0, review.counts.edited);
    let ids = review.changes.cards().map(|(_, card)| card.id.clone()).filter(|id| !id.is_empty()).collect();
    let shown = Proposal {
        here: here == Some(proposal.name.as_str()),
        name: proposal.name,
        by: proposal.by,
        when: proposal.when,
        commits: proposal.commits,
        cards: review.counts,
        beside_cards: review.changes.beside_cards(),
        brings_in: brought.summary,
        seen,
        shares: Vec::new(),
    };
    Ok(Judged { shown, tip: proposal.tip, ids })
}

/// The proposals, each with those that change some of the same cards.
fn with_shares(found: &[Judged]) -> Vec<Proposal> {
    let shares = |one: &Judged| -> Vec<(String, usize)> {
        let others = found.iter().filter(|other| other.shown.name != one.shown.name);
        let both = others.map(|other| (other.shown.name.clone(), one.ids.intersection(&other.ids).count()));
        both.filter(|(_, number)| *number > 0).collect()
    };
    found.iter().map(|one| Proposal { shares: shares(one), ..one.shown.clone() }).collect()
}

fn not_committed(site: &Site) -> Result<Option<(Counts, BesideCards)>, CliError> {
    if site.root.is_none() {
        return Ok(None);
    }
    let pair = uncommitted(site)?;
    let changes = match changes_of_decks(&*pair.before, &*pair.now) {
        Some(changes) => changes,
        None => changes(&Department::read(&*pair.before)?, &Department::read(&*pair.now)?),
    };
    Ok((!changes.is_empty()).then(|| (changes.counts(), changes.beside_cards())))
}

/// What waits, by `schema/proposals.schema.json`.
#[derive(Debug, Serialize)]
struct Listed<'w> {
    format: u8,
    main: &'w str,
    proposals: Vec<ListedProposal<'w>>,
    uncommitted: Option<&'w Counts>,
}

#[derive(Debug, Serialize)]
struct ListedProposal<'w> {
    name: &'w str,
    commit: String,
    by: &'w [String],
    when: &'w str,
    commits: usize,
    cards: &'w Counts,
    beside_cards: &'w BesideCards,
    brings_in: BroughtIn,
    seen: Seen,
    shares: Vec<Shared<'w>>,
}

#[derive(Debug, Serialize)]
struct BroughtIn {
    errors: usize,
    warnings: usize,
    advice: usize,
}

#[derive(Debug, Serialize)]
struct Shared<'w> {
    with: &'w str,
    cards: usize,
}

impl<'w> Listed<'w> {
    fn new(open: &'w Waiting, found: &[Judged]) -> Self {
        let proposals = open.proposals.iter().zip(found).map(|(shown, judged)| ListedProposal {
            name: &shown.name,
            commit: judged.tip.to_string(),
            by: &shown.by,
            when: &shown.when,
            commits: shown.commits,
            cards: &shown.cards,
            beside_cards: &shown.beside_cards,
            brings_in: BroughtIn::from(shown.brings_in),
            seen: shown.seen,
            shares: shown.shares.iter().map(|(with, cards)| Shared { with, cards: *cards }).collect(),
        });
        Self {
            format: 1,
            main: &open.main,
            proposals: proposals.collect(),
            uncommitted: open.uncommitted.as_ref().map(|(cards, _)| cards),
        }
    }
}

impl From<Summary> for BroughtIn {
    fn from(summary: Summary) -> Self {
        Self { errors: summary.errors, warnings: summary.warnings, advice: summary.advice }
    }
}
