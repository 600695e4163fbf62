//! `deckle quiz`.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use jiff::civil::Date;

use super::error::CliError;
use super::world::World;
use super::{Outcome, output};
use crate::check::Report;
use crate::finding::Finding;
use crate::pack::{department_at, print};
use crate::quiz::{NoQuiz, QUESTIONS, Quiz, day, quiz};
use crate::report::{counted, json, quiz as shown, terminal};
use crate::snapshot::write;

/// Draw ten questions for the start of a lesson, with the answers on a second page
///
/// They come from what was taught 1, 7 and 21 days before (the session's `review_days`) and once from
/// longer ago; a topic counts as taught from its day in the scheme on. Only a card's own question is
/// asked, cards of the core first. The same commit, day and seed give the same quiz.
#[derive(Debug, Args)]
pub struct Arguments {
    /// The year group.
    #[arg(long, value_name = "N")]
    year: u8,
    /// The day of the lesson, such as 2026-11-25.
    #[arg(long, value_name = "DATE", value_parser = date)]
    on: Date,
    /// Another number draws other questions, for another class.
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u64,
    /// The commit to draw from.
    #[arg(long, value_name = "REV", default_value = "HEAD")]
    at: String,
    /// The file to write; without it `quiz.pdf`, or the screen for other formats.
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// How to write it.
    #[arg(long, value_enum, default_value_t = Format::Pdf)]
    format: Format,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Format {
    /// Two pages of A4.
    Pdf,
    /// For reading out.
    Text,
    /// For programs, by schema/quiz.schema.json.
    Json,
}

fn date(text: &str) -> Result<Date, String> {
    text.parse().map_err(|_| "write the day as year-month-day, such as 2026-11-25".to_owned())
}

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let site = world.site()?;
    let (department, commit) = department_at(site.repository()?, &site.prefix, &arguments.at)?;
    let quiz = match quiz(&department, &commit, arguments.year, arguments.on, arguments.seed) {
        Ok(quiz) => quiz,
        Err(NoQuiz::Settings(findings)) => return refused(findings, world.width()),
        Err(error) => return Err(CliError::new(error.to_string()).help(error.help())),
    };
    let out = arguments.out.as_deref();
    match arguments.format {
        Format::Text => put(&shown::text(&quiz), out, world)?,
        Format::Json => put(&json::pretty(&quiz), out, world)?,
        Format::Pdf => match print::quiz(&quiz, &department) {
            Ok(bytes) => printed(&quiz, &bytes, out.unwrap_or(Path::new("quiz.pdf")), world)?,
            Err(findings) => return refused(findings, world.width()),
        },
    }
    told(&quiz);
    Ok(Outcome::Fine)
}

fn put(text: &str, out: Option<&Path>, world: &World) -> Result<(), CliError> {
    match out {
        Some(path) => Ok(write::replace(&world.path(path), text.as_bytes())?),
        None => output::result(text),
    }
}

fn printed(quiz: &Quiz, bytes: &[u8], path: &Path, world: &World) -> Result<(), CliError> {
    write::replace(&world.path(path), bytes)?;
    let count = counted(quiz.questions.len(), "question", "questions");
    output::result(&format!("{count} for year {} on {}: {}\n", quiz.year, day(quiz.on), path.display()))
}

/// What a teacher should know besides.
fn told(quiz: &Quiz) {
    if let Some(next) = quiz.no_school_until {
        let (on, next_day) = (day(quiz.on), day(next));
        output::note(&format!("note: there is no school on {on}; the next school day is {next_day}: `--on {next}`"));
    }
    if quiz.questions.len() < QUESTIONS {
        output::note("note: there are no more cards of what was taught by then");
    }
    if !quiz.left_out.is_empty() {
        let cards = counted(quiz.left_out.len(), "card has", "cards have");
        output::note(&format!("note: {cards} errors and cannot be asked: {}", quiz.left_out.join(", ")));
    }
}

fn refused(findings: Vec<Finding>, width: usize) -> Result<Outcome, CliError> {
    let report = Report::new(findings, 0, 0);
    output::result(
        &report.findings.iter().map(|finding| terminal::finding(finding, width) + "\n").collect::<String>(),
    )?;
    output::note("deckle: there is no quiz; put this right and commit first");
    Ok(Outcome::Findings)
}
