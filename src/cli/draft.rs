//! `deckle draft`.

use std::path::Path;

use clap::Args;

use super::Outcome;
use super::error::CliError;
use super::output;
use super::world::World;
use crate::check::Context;
use crate::deck::department::CARDS;
use crate::deck::fields::nearest;
use crate::deck::{Department, Settings};
use crate::git::site::Site;
use crate::notes::{Notes, Section};
use crate::report::{counted, cut, harmless};
use crate::snapshot::write;
use crate::source::draft::{Draft, appended, as_yaml, draft, new_deck};

/// Propose cards for the key statements of one section of the notes
///
/// Looked at are strong text, definitions, quantities, dates, causes, comparisons, lists and sequences.
/// Each stub asks about one statement, answers with an exact copy from it, carries source and quote,
/// and is marked as a draft. What a card has already is not proposed again, and what was passed over is
/// told with the reason. Read every stub before you share it: the question is made from the sentence's
/// form alone.
#[derive(Debug, Args)]
pub struct Arguments {
    /// The notes and the section, such as decks/year-8/rivers/notes.md#erosion.
    #[arg(value_name = "FILE#SECTION")]
    section: String,
    /// Put the stubs behind the cards of the deck beside the notes; without it they are only shown.
    #[arg(long)]
    write: bool,
}

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let site = world.site()?;
    let department = Department::read(&*site.here()?)?;
    let (file, anchor) = arguments.section.split_once('#').unwrap_or((&arguments.section, ""));
    let path = notes_path(&department, &site, world, file)?;
    let context = Context::new(&department);
    let notes = context.all_notes.notes(&path).ok_or_else(|| CliError::new(format!("{path} cannot be read")))?;
    let section = section(notes, &path, anchor)?;
    let name = path.rsplit('/').next().unwrap_or(&path);
    let found = draft(&context, &path, section, &format!("{name}#{}", section.anchor));
    if found.too_long {
        let limit = department.settings.limits.words_in_a_section;
        let words = found.words;
        output::note(&format!(
            "this section has {words} words, more than {limit}: more than about a page at a time makes cards that copy the notes; divide it by headings"
        ));
    }
    if arguments.write {
        written(&department, &site, &path, notes, &found)?;
    } else {
        output::result(&as_yaml(&found.stubs))?;
    }
    told(&path, &found);
    Ok(Outcome::Fine)
}

/// The notes that were meant: a path, or a deck's name.
fn notes_path(department: &Department, site: &Site, world: &World, file: &str) -> Result<String, CliError> {
    let here = world.within(site.root()?, Path::new(file));
    let slashed = file.replace('\\', "/");
    let trimmed = slashed.trim_end_matches('/');
    let guesses = [here.clone(), Some(trimmed.to_owned()), Some(format!("decks/{trimmed}"))];
    let found = guesses.into_iter().flatten().flat_map(|path| [format!("{path}/notes.md"), path]);
    let known = |path: &String| department.notes.contains_key(path);
    found.into_iter().find(known).ok_or_else(|| {
        let error = CliError::new(format!("there are no notes `{file}`"));
        match nearest(file, department.notes.keys().map(String::as_str)) {
            Some(near) => error.help(format!("did you mean `{near}`?")),
            None => error.help("name a file of notes and a section, such as decks/year-8/rivers/notes.md#erosion"),
        }
    })
}

fn section<'n>(notes: &'n Notes, path: &str, anchor: &str) -> Result<&'n Section, CliError> {
    notes.section(anchor).ok_or_else(|| {
        let anchors: Vec<&str> = notes.sections().iter().map(|section| section.anchor.as_str()).collect();
        let error = match anchor {
            "" => CliError::new(format!("name one section of {path} at a time")),
            anchor => CliError::new(format!("{path} has no section `{anchor}`")),
        };
        match nearest(anchor, anchors.iter().copied()) {
            Some(near) if !anchor.is_empty() => error.help(format!("did you mean `{path}#{near}`?")),
            _ => error.help(format!("its sections are {}", anchors.join(", "))),
        }
    })
}

/// Puts the stubs behind the cards of the deck beside the notes, or begins one there.
fn written(department: &Department, site: &Site, path: &str, notes: &Notes, found: &Draft) -> Result<(), CliError> {
    let folder = path.rsplit_once('/').map_or("", |(folder, _)| folder);
    let target = format!("{folder}/{CARDS}");
    if found.stubs.is_empty() {
        return output::result("nothing to write\n");
    }
    let deck = folder.strip_prefix("decks/").and_then(|name| department.deck(name));
    let text = match deck {
        Some(deck) => {
            appended(&deck.file.text, &found.stubs).map_err(|error| CliError::new(format!("{target}: {error}")))?
        }
        None if department.files.contains_key(&target) || folder == "decks" => {
            return Err(CliError::new(format!("{target} cannot be written to")));
        }
        None => {
            let heading = notes.sections().iter().map(|section| section.heading.as_str()).find(|text| !text.is_empty());
            let title = heading.unwrap_or(folder.rsplit('/').next().unwrap_or(folder));
            new_deck(title, year(&department.settings, folder)?, &found.stubs)
        }
    };
    let path = site.root()?.join(&target);
    match deck {
        Some(deck) => write::replace_text(&path, &deck.file.text, &text)?,
        None => write::replace(&path, text.as_bytes())?,
    }
    let ids: Vec<&str> = found.stubs.iter().map(|stub| stub.id.as_str()).collect();
    output::result(&format!(
        "{} written to {}: {}\n",
        counted(ids.len(), "stub", "stubs"),
        harmless(&target),
        ids.join(", ")
    ))
}

/// The year group that the folder names, or the department's only one.
fn year(settings: &Settings, folder: &str) -> Result<u8, CliError> {
    let named = folder.split('/').find_map(|part| part.strip_prefix("year-")?.parse().ok());
    let only = || settings.years.first().copied().filter(|_| settings.years.len() == 1);
    named.or_else(only).ok_or_else(|| {
        let error = CliError::new(format!("which year group is {folder} for?"));
        error.help(format!("begin {folder}/{CARDS} with `title:`, `year:` and `cards: []`, then draft again"))
    })
}

/// What makes a statement, as it is told where there is none.
const FORMS: &str = "no strong text, definition, quantity, date, cause, comparison, list or sequence";

/// What was passed over, on stderr: it is no part of the YAML.
fn told(path: &str, found: &Draft) {
    for passed in &found.passed_over {
        let text = cut(&harmless(&passed.text), 70);
        output::note(&format!("passed over {}:{}: {text}\n  {}", harmless(path), passed.line, harmless(&passed.why)));
    }
    let more = found.without_form;
    if found.stubs.is_empty() && found.passed_over.is_empty() {
        let sentences = counted(more, "sentence", "sentences");
        output::note(&format!("this section has no key statement: {FORMS} in its {sentences}"));
    } else if more > 0 {
        let sentences = counted(more, "further sentence was", "further sentences were");
        output::note(&format!("{sentences} read and left out: {FORMS}"));
    }
}
