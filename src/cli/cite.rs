//! `deckle cite`.

use std::collections::BTreeMap;
use std::path::Path;

use clap::Args;
use serde::Serialize;

use super::error::CliError;
use super::format::Format;
use super::repairing;
use super::world::World;
use super::{Outcome, output};
use crate::check::Context;
use crate::deck::fields::nearest;
use crate::deck::{Card, Deck, Department};
use crate::finding::Finding;
use crate::git::site::Site;
use crate::report::{cite, counted, harmless, json};
use crate::snapshot::write;
use crate::source::{Citation, citations, needs};

/// Find the passage of the notes that supports a card, and record it; renew quotes that were reworded
///
/// Looks at the cards without source or quote: the smallest passage that supports the answer, how
/// strongly (0 to 1), and the runner-up; the notes beside the deck come first. Exit status 1 when
/// nothing supports one of them.
#[derive(Debug, Args)]
pub struct Arguments {
    /// The card's id, or a deck, such as year-8/rivers; all cards when it is missing.
    #[arg(value_name = "CARD|DECK")]
    name: Option<String>,
    /// Write source and quote onto the cards. Questions and answers stay as they are.
    #[arg(long)]
    write: bool,
    /// Move and record anew the quotes that the notes have moved or reworded, as `check --fix` does.
    #[arg(long, conflicts_with_all = ["write", "format"])]
    renew: bool,
    /// How to show it; JSON by schema/cite.schema.json.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let site = world.site()?;
    let department = Department::read(&*site.here()?)?;
    let which = Which::of(&department, arguments.name.as_deref(), world, &site)?;
    if arguments.renew {
        return renew(&site, &which);
    }
    let found = citations(&Context::new(&department), |deck, card| which.holds(deck, card));
    if let Which::Card(_, id) = &which
        && let Some((_, card)) = department.card(id)
        && !needs(card)
        && found.is_empty()
    {
        output::note(&format!(
            "`{}` has its source and quote; `--renew` renews them when the notes change",
            harmless(id)
        ));
    }
    output::result(&match arguments.format {
        Format::Text => cite::text(&found, world.width()),
        Format::Json => json::pretty(&FoundJson { format: 1, cards: &found }),
    })?;
    if arguments.write {
        written(&site, &department, &found)?;
    }
    Ok(if found.iter().all(Citation::is_complete) { Outcome::Fine } else { Outcome::Findings })
}

#[derive(Serialize)]
struct FoundJson<'a> {
    format: u8,
    cards: &'a [Citation],
}

/// Which cards are meant.
enum Which {
    All,
    Deck(String),
    /// Deck and id.
    Card(String, String),
}

impl Which {
    fn of(department: &Department, name: Option<&str>, world: &World, site: &Site) -> Result<Which, CliError> {
        let Some(name) = name else { return Ok(Which::All) };
        if let Some((deck, _)) = department.card(name) {
            return Ok(Which::Card(deck.name.clone(), name.to_owned()));
        }
        let slashed = name.replace('\\', "/");
        let trimmed = slashed.trim_end_matches('/');
        let by_path = || {
            let path = world.within(site.root().ok()?, Path::new(name))?;
            let folder = path.strip_suffix("/cards.yaml").unwrap_or(&path);
            department.deck(folder.strip_prefix("decks/")?)
        };
        let deck = department.deck(trimmed.strip_prefix("decks/").unwrap_or(trimmed)).or_else(by_path);
        let known = || {
            let ids = department.cards().map(|(_, card)| card.id.value.as_str());
            ids.chain(department.decks.iter().map(|deck| deck.name.as_str()))
        };
        deck.map(|deck| Which::Deck(deck.name.clone())).ok_or_else(|| {
            let error = CliError::new(format!("there is no card and no deck `{name}`"));
            match nearest(name, known()) {
                Some(near) => error.help(format!("did you mean `{near}`?")),
                None => error.help("`deckle find WORDS` finds cards by their words"),
            }
        })
    }

    fn holds(&self, deck: &Deck, card: &Card) -> bool {
        match self {
            Which::All => true,
            Which::Deck(name) => deck.name == *name,
            Which::Card(name, id) => deck.name == *name && card.id.value == *id,
        }
    }

    /// Whether a finding is about one of them.
    fn is_about(&self, finding: &Finding) -> bool {
        match self {
            Which::All => true,
            Which::Deck(name) => finding.deck.as_ref() == Some(name),
            Which::Card(name, id) => finding.deck.as_ref() == Some(name) && finding.card.as_ref() == Some(id),
        }
    }
}

/// Writes what was found, deck by deck, each file whole or not at all.
fn written(site: &Site, department: &Department, found: &[Citation]) -> Result<(), CliError> {
    let mut by_path: BTreeMap<&str, Vec<&Citation>> = BTreeMap::new();
    for citation in found.iter().filter(|citation| citation.finds()) {
        if citation.card.is_empty() {
            output::note(&format!("{}: a card without id cannot be written to", harmless(&citation.deck)));
        } else {
            by_path.entry(&citation.path).or_default().push(citation);
        }
    }
    let mut cards = 0;
    let mut failed = None;
    for (path, citations) in by_path {
        let deck = department.decks.iter().find(|deck| *deck.file.path == *path);
        let text = deck.map(|deck| deck.file.text.to_string()).unwrap_or_default();
        // A deck that cannot be taken apart keeps no other from being written.
        let count = citations.len();
        let read = text.clone();
        match citations.into_iter().try_fold(text, |text, citation| citation.written(&text)) {
            Ok(text) => {
                let before =
                    || (cards > 0).then(|| format!("{} written onto", counted(cards, "card was", "cards were")));
                write::replace_text(&site.root()?.join(path), &read, &text)
                    .map_err(|error| CliError::from(error).after(before()))?;
                cards += count;
            }
            Err(error) => failed = failed.or(Some(CliError::new(format!("{path}: {error}")))),
        }
    }
    output::note(&format!("source and quote written onto {}", counted(cards, "card", "cards")));
    failed.map_or(Ok(()), Err)
}

fn renew(site: &Site, which: &Which) -> Result<Outcome, CliError> {
    let quotes =
        |finding: &Finding| matches!(finding.rule, "moved-quote" | "reworded-quote") && which.is_about(finding);
    let renewed = repairing::repair(site, quotes)?;
    let left = crate::check::check(&Department::read(&*site.here()?)?).filtered(quotes).findings;
    output::result(&match renewed {
        0 if left.is_empty() => "every quote stands where its card says\n".to_owned(),
        count => format!("{} renewed\n", counted(count, "quote", "quotes")),
    })?;
    for finding in left {
        let card = finding.card.as_deref().unwrap_or_default();
        let help = finding.help.as_deref().unwrap_or_default();
        output::note(&format!(
            "left for you: `{}`: {}; {}",
            harmless(card),
            harmless(&finding.message),
            harmless(help)
        ));
    }
    Ok(Outcome::Fine)
}
