//! `deckle settle`.

mod finish;
mod links;
mod marked;
mod parted;
mod show;
mod steps;
mod take;

use std::io::IsTerminal;

use clap::Args;

use super::error::CliError;
use super::world::World;
use super::{Outcome, output};
use crate::deck::department::deck_of;
use crate::deck::outline::{FieldText, outline};
use crate::deck::{Department, Value};
use crate::git::parted::{Parted, unmerged_files};
use crate::git::site::Site;
use crate::report::harmless;
use finish::{said, settled};
pub(super) use links::told;
use marked::marked;
use show::shown;
use steps::step_by_step;
use take::take;

/// Decide a field that two people changed in different ways
///
/// Without a card, lists everything undecided. On a terminal, asks step by step, and offers the commit
/// once the last one is decided.
#[derive(Debug, Args)]
pub struct Arguments {
    /// The card's id (or a deck, such as year-8/rivers, for its title).
    card: Option<String>,
    /// The field; not needed when only one is undecided.
    field: Option<String>,
    /// Which value: `ours`, `theirs`, a branch or a person as listed, `both`, or the text it should have.
    #[arg(long, value_name = "ours|theirs|both|TEXT", requires = "card")]
    take: Option<String>,
    /// Let links follow cards that got another id in a merge by git, which shows one deck at a time.
    #[arg(long, conflicts_with = "card")]
    links: bool,
}

/// Something undecided.
struct Open {
    /// The deck's file from the top of the department.
    path: String,
    deck: String,
    /// Empty for the deck itself.
    card: String,
    question: String,
    field: String,
    now: Option<Value>,
    /// `file#section` of the notes that the card was made from.
    source: Option<String>,
    /// What it asks, answers and quotes, to find the passage by.
    said: Vec<String>,
    versions: Vec<Value>,
    /// Set where git left a deck that one side took out and the other changed.
    parted: Option<Parted>,
}

impl Open {
    fn owner(&self) -> &str {
        if self.card.is_empty() { &self.deck } else { &self.card }
    }

    /// Whether it is a whole card or deck, of which there is no other text.
    fn stays_or_goes(&self) -> bool {
        self.field == "card" || self.parted.is_some()
    }
}

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let site = world.site()?;
    if arguments.links {
        return links::follow(&site);
    }
    let all = undecided(&site)?;
    let Some(owner) = &arguments.card else {
        return if interactive() && !all.is_empty() { step_by_step(&site, all) } else { list(&site, &all) };
    };
    if !all.iter().any(|open| open.owner() == owner) {
        tell(&marked(&site)?)?;
    }
    let chosen = choose(&all, owner, arguments.field.as_deref())?;
    match &arguments.take {
        Some(word) => {
            let before = take(&site, chosen, word)?;
            if interactive() { settled(&site, chosen, before) } else { said(&site, chosen) }
        }
        None if interactive() => {
            let wanted = |open: &Open| {
                open.owner() == owner && arguments.field.as_ref().is_none_or(|field| *field == open.field)
            };
            step_by_step(&site, all.into_iter().filter(wanted).collect())
        }
        None => {
            output::result(&shown(&site, chosen))?;
            Ok(Outcome::Findings)
        }
    }
}

fn interactive() -> bool {
    std::io::stdin().is_terminal() && std::io::stderr().is_terminal()
}

/// Everything undecided in the working folder, deck by deck.
fn undecided(site: &Site) -> Result<Vec<Open>, CliError> {
    let department = Department::read(&*site.here()?)?;
    let mut all = Vec::new();
    for deck in &department.decks {
        if deck.undecided.is_empty() && deck.cards.iter().all(|card| card.undecided.is_empty()) {
            continue;
        }
        let unreadable = || CliError::new(format!("{} cannot be read", deck.file.path)).help("see `deckle check`");
        let parts = outline(&deck.file.text).ok_or_else(unreadable)?;
        let cards = parts.cards.iter().map(|card| (card.id.as_str(), card.fields.as_slice()));
        for (card, fields) in std::iter::once(("", parts.fields.as_slice())).chain(cards) {
            all.extend(of_fields(&deck.file.path, &deck.name, card, fields));
        }
    }
    all.extend(parted::opened(site)?);
    // A card keeps the name by which the others find it until they are done.
    all.sort_by_key(|open| open.field == "id");
    Ok(all)
}

fn of_fields(path: &str, deck: &str, card: &str, fields: &[FieldText]) -> Vec<Open> {
    let value = |name: &str| fields.iter().find(|field| field.name == name).map(|field| &field.value);
    let entries = value("undecided").and_then(Value::as_map).into_iter().flatten();
    let open = |(field, versions): (&String, &Value)| Open {
        path: path.to_owned(),
        deck: deck.to_owned(),
        card: card.to_owned(),
        question: value("question").map(Value::line).unwrap_or_default(),
        field: field.clone(),
        now: value(field).cloned(),
        source: value("source").map(Value::line),
        said: ["quote", "answer", "question"].iter().filter_map(|name| value(name).map(Value::line)).collect(),
        versions: versions.as_list().unwrap_or_default().to_vec(),
        parted: None,
    };
    entries.map(open).collect()
}

fn choose<'a>(all: &'a [Open], owner: &str, field: Option<&str>) -> Result<&'a Open, CliError> {
    let of_owner: Vec<&Open> = all.iter().filter(|open| open.owner() == owner).collect();
    let chosen: Vec<&Open> =
        of_owner.iter().copied().filter(|open| field.is_none_or(|field| open.field == field)).collect();
    match (chosen.as_slice(), of_owner.as_slice()) {
        ([one], _) => Ok(one),
        ([], []) => {
            Err(CliError::new(format!("nothing about `{owner}` is undecided")).help("`deckle settle` lists what is"))
        }
        _ => {
            let fields: Vec<_> = of_owner.iter().map(|open| format!("`{}`", open.field)).collect();
            let error = CliError::new(format!("undecided about `{owner}`: {}", fields.join(", ")));
            Err(error.help(format!("name one of them: `deckle settle {owner} {}`", of_owner[0].field)))
        }
    }
}

fn list(site: &Site, all: &[Open]) -> Result<Outcome, CliError> {
    let marked = marked(site)?;
    tell(&marked)?;
    let links = links::told(&links::left_behind(site)?);
    output::result(&links)?;
    let others = others_unmerged(site)?;
    tell(&others)?;
    if all.is_empty() && marked.is_empty() && links.is_empty() && others.is_empty() {
        output::result("nothing is undecided\n")?;
        return Ok(Outcome::Fine);
    }
    for open in all {
        output::result(&shown(site, open))?;
    }
    Ok(Outcome::Findings)
}

/// The notes and other files of which git holds several versions, and which no card can settle.
fn others_unmerged(site: &Site) -> Result<Vec<String>, CliError> {
    let others = unmerged_files(site)?.into_iter().filter(|path| deck_of(path).is_none());
    Ok(others
        .map(|path| {
            let path = harmless(&path);
            format!("git holds several versions of {path}\n  Put it right in your editor, then `git add {path}`.\n")
        })
        .collect())
}

/// Says which decks cannot be settled, and what to do about them.
fn tell(marked: &[String]) -> Result<(), CliError> {
    marked.iter().try_for_each(|deck| output::result(&format!("{deck}\n")))
}
