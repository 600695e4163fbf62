//! Decks that one side took out and the other changed, as something to decide.

use indexmap::IndexMap;

use super::Open;
use super::take::Before;
use crate::cli::error::CliError;
use crate::deck::Value;
use crate::git::authors::Author;
use crate::git::parted::{Parted, index_file, parted};
use crate::git::site::Site;
use crate::merge::{Choice, chosen_deck};
use crate::report::{counted, harmless};

/// Those of the department.
pub fn opened(site: &Site) -> Result<Vec<Open>, CliError> {
    Ok(parted(site)?.into_iter().map(open).collect())
}

fn open(parted: Parted) -> Open {
    let keeps = version(parted.kept_by(), parted.changed_by.as_ref(), Some(&parted.deck));
    let removes = version(parted.removed_from(), parted.removed_by.as_ref(), None);
    Open {
        path: parted.path.clone(),
        deck: parted.deck.clone(),
        card: String::new(),
        question: String::new(),
        field: "deck".to_owned(),
        now: None,
        source: None,
        said: Vec::new(),
        versions: if parted.kept_here { vec![keeps, removes] } else { vec![removes, keeps] },
        parted: Some(parted),
    }
}

fn version(side: &str, author: Option<&Author>, deck: Option<&str>) -> Value {
    let mut fields = IndexMap::from([("side".to_owned(), Value::from(side))]);
    if let Some(author) = author {
        fields.insert("by".to_owned(), Value::from(author.name.as_str()));
        fields.insert("when".to_owned(), Value::from(author.when.as_str()));
    }
    match deck {
        Some(deck) => fields.insert("value".to_owned(), Value::from(deck)),
        None => fields.insert("removed".to_owned(), Value::from("true")),
    };
    Value::Map(fields)
}

/// How it is shown: who took it out, who changed what, and what to do.
pub fn shown(open: &Open, parted: &Parted) -> String {
    let deck = harmless(&parted.deck);
    let mut text = format!("one side took the deck `{deck}` out, the other changed it\n");
    for version in &open.versions {
        let part = |name: &str| version.get(name).map(|value| harmless(&value.line())).filter(|part| !part.is_empty());
        let who: Vec<String> = ["by", "when"].into_iter().filter_map(part).collect();
        let who = if who.is_empty() { String::new() } else { format!(" ({})", who.join(", ")) };
        let what = if version.get("value").is_some() { changes(parted) } else { "takes the deck out".to_owned() };
        text.push_str(&format!("  {:9} {what}{who}\n", part("side").unwrap_or_default() + ":"));
    }
    text.push_str(&format!("  settle it: deckle settle {deck} deck --take ours|theirs\n"));
    text.push_str("  If its cards only went to another deck: give the merge up with `git merge --abort`, and let\n");
    text.push_str("  `deckle reconcile` put the branches together, which follows cards from deck to deck.\n\n");
    text
}

fn changes(parted: &Parted) -> String {
    const NAMED: usize = 5;
    let cards = &parted.cards;
    if cards.is_empty() {
        return "changes the deck, but none of its cards".to_owned();
    }
    let named: Vec<String> = cards.iter().take(NAMED).map(|card| harmless(card)).collect();
    let more = if cards.len() > NAMED { ", …" } else { "" };
    format!("changes {}: {}{more}", counted(cards.len(), "card", "cards"), named.join(", "))
}

/// Keeps the deck or takes it out, as `choice` says.
pub fn take(site: &Site, open: &Open, parted: &Parted, choice: &Choice) -> Result<Before, CliError> {
    let stays = match choice {
        Choice::Text(_) => {
            return Err(CliError::new("a deck stays or goes: take one of the sides").help("ours or theirs"));
        }
        choice => chosen_deck(&open.versions, choice)?.is_some(),
    };
    let root = site.root()?;
    let files = parted.files(site)?.into_iter().map(|path| root.join(path));
    let before = Before::of(files.chain([index_file(site.repository()?)]))?;
    let done = if stays { parted.keep(site) } else { parted.take_out(site) };
    if let Err(error) = done {
        before.put_back()?;
        return Err(error.into());
    }
    Ok(before)
}
