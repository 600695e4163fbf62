//! `deckle settle`.

use std::io::{BufRead, IsTerminal};

use clap::Args;

use super::error::CliError;
use super::world::World;
use super::{Outcome, output};
use crate::deck::outline::{FieldText, outline};
use crate::deck::{Department, Value};
use crate::git::site::Site;
use crate::merge::{Choice, settle};
use crate::report::{counted, harmless};
use crate::snapshot::write;

/// Decide a field that two people changed in different ways
///
/// Without a card, lists everything undecided. On a terminal, asks step by step.
#[derive(Debug, Args)]
pub struct Arguments {
    /// The card's id (or a deck, such as year-8/rivers, for its title).
    card: Option<String>,
    /// The field; not needed when only one is undecided.
    field: Option<String>,
    /// Which value: `ours`, `theirs`, a branch or a person as listed, `both`, or the text it should have.
    #[arg(long, value_name = "ours|theirs|both|TEXT", requires = "card")]
    take: Option<String>,
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
    versions: Vec<Value>,
}

impl Open {
    fn owner(&self) -> &str {
        if self.card.is_empty() { &self.deck } else { &self.card }
    }
}

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let site = world.site()?;
    let all = undecided(&site)?;
    let Some(owner) = &arguments.card else {
        return if interactive() && !all.is_empty() { step_by_step(&site, all) } else { list(&all) };
    };
    let chosen = choose(&all, owner, arguments.field.as_deref())?;
    match &arguments.take {
        Some(word) => {
            take(&site, chosen, word)?;
            said(&site, chosen)
        }
        None if interactive() => {
            let wanted = |open: &Open| {
                open.owner() == owner && arguments.field.as_ref().is_none_or(|field| *field == open.field)
            };
            step_by_step(&site, all.into_iter().filter(wanted).collect())
        }
        None => {
            output::result(&shown(chosen))?;
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
        versions: versions.as_list().unwrap_or_default().to_vec(),
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

fn take(site: &Site, open: &Open, word: &str) -> Result<(), CliError> {
    let path = site.root()?.join(&open.path);
    let text = std::fs::read_to_string(&path)
        .map_err(|error| CliError::new(format!("{} cannot be read: {error}", open.path)))?;
    let choice = Choice::from_word(word, &Value::List(open.versions.clone()));
    let settled = settle(&text, &open.card, &open.field, &choice).map_err(|error| CliError::new(error.to_string()))?;
    write::replace(&path, settled.as_bytes())?;
    Ok(())
}

/// Says what is left to do.
fn said(site: &Site, settled: &Open) -> Result<Outcome, CliError> {
    let value = value_now(site, settled)?;
    output::result(&format!("settled: {} of `{}` {value}\n", settled.field, harmless(settled.owner())))?;
    let left = undecided(site)?;
    if left.is_empty() {
        output::result("nothing is undecided any more; finish with `git commit --all`\n")?;
    } else {
        output::result(&format!(
            "{} left; `deckle settle` lists them\n",
            counted(left.len(), "undecided field is", "undecided fields are")
        ))?;
    }
    Ok(Outcome::Fine)
}

/// What the field says now, in words.
fn value_now(site: &Site, settled: &Open) -> Result<String, CliError> {
    let text = std::fs::read_to_string(site.root()?.join(&settled.path))?;
    let parts = outline(&text);
    let card = parts.as_ref().and_then(|parts| parts.card(&settled.card));
    let value = match (&settled.card, card) {
        (id, _) if id.is_empty() => {
            parts.as_ref().and_then(|parts| parts.fields.iter().find(|field| field.name == settled.field))
        }
        (_, Some(_)) if settled.field == "card" => return Ok("stays".to_owned()),
        (_, Some(card)) => card.field(&settled.field),
        (_, None) => return Ok("is taken out".to_owned()),
    };
    Ok(value.map_or("is taken out".to_owned(), |field| format!("is now: {}", harmless(&field.value.line()))))
}

fn list(all: &[Open]) -> Result<Outcome, CliError> {
    if all.is_empty() {
        output::result("nothing is undecided\n")?;
        return Ok(Outcome::Fine);
    }
    for open in all {
        output::result(&shown(open))?;
    }
    Ok(Outcome::Findings)
}

/// One undecided field with its versions, and how to settle it.
fn shown(open: &Open) -> String {
    let mut text = format!("{} of `{}` in {}\n", harmless(&open.field), harmless(open.owner()), harmless(&open.path));
    if !open.question.is_empty() && open.field != "question" {
        text.push_str(&format!("  question: {}\n", harmless(&open.question)));
    }
    if let Some(now) = open.now.as_ref().filter(|_| open.field != "card") {
        text.push_str(&format!("  before:   {}\n", harmless(&now.line())));
    }
    for version in &open.versions {
        text.push_str(&format!("  {}\n", described(version, &open.field)));
    }
    text.push_str(&format!(
        "  settle it: deckle settle {} {} --take {}\n\n",
        harmless(open.owner()),
        harmless(&open.field),
        choices(&open.field)
    ));
    text
}

/// What can be taken: a card stays or goes as a whole.
fn choices(field: &str) -> &'static str {
    if field == "card" { "ours|theirs" } else { "ours|theirs|both|TEXT" }
}

fn described(version: &Value, field: &str) -> String {
    let part = |name: &str| version.get(name).map(|value| harmless(&value.line())).unwrap_or_default();
    let who = [part("by"), part("when")].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ");
    let who = if who.is_empty() { String::new() } else { format!(" ({who})") };
    let value = match version.get("value") {
        Some(_) if field == "card" => "keeps the card, edited".to_owned(),
        Some(value) => harmless(&value.line()),
        None if field == "card" => "takes the card out".to_owned(),
        None => "takes it out".to_owned(),
    };
    format!("{:9} {value}{who}", part("side") + ":")
}

fn step_by_step(site: &Site, all: Vec<Open>) -> Result<Outcome, CliError> {
    let mut lines = std::io::stdin().lock().lines();
    let mut done: Vec<(usize, String)> = Vec::new();
    let mut at = 0;
    while let Some(open) = all.get(at) {
        output::note(&format!("{} of {}: {}", at + 1, all.len(), shown(open).trim_end()));
        output::note("take [o]urs, [t]heirs, [b]oth, another text, [s]kip, [u]ndo the last, [q]uit:");
        let Some(answer) = lines.next().transpose()? else { break };
        let word = match answer.trim() {
            "" => continue,
            "q" => break,
            "s" => {
                at += 1;
                continue;
            }
            "u" => {
                if let Some((last, text)) = done.pop() {
                    write::replace(&site.root()?.join(&all[last].path), text.as_bytes())?;
                    at = last;
                }
                continue;
            }
            "o" => "ours",
            "t" => "theirs",
            "b" => "both",
            // A single letter is a slip of the finger, not a text.
            other if other.chars().count() == 1 && !other.chars().all(char::is_numeric) => continue,
            other => other,
        };
        let before = std::fs::read_to_string(site.root()?.join(&open.path))?;
        match take(site, open, word) {
            Ok(()) => {
                done.push((at, before));
                at += 1;
            }
            Err(error) => _ = error.report(),
        }
    }
    match done.last() {
        Some((last, _)) => said(site, &all[*last]),
        None => Ok(Outcome::Findings),
    }
}
