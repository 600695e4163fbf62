//! How long the program takes over a large department, each figure held against another one that was
//! taken in the same run. `benches/README.md` says how to run it and what came out.

#[path = "../corpus/mod.rs"]
mod corpus;
mod events;
mod process;
mod repository;
mod rows;
mod stages;
mod within;

use std::io::{self, Write};
use std::path::{Path, PathBuf};

use corpus::Size;

/// What was asked for on the command line.
struct Options {
    size: Size,
    runs: usize,
    /// The program that is measured.
    program: PathBuf,
    /// Where the department is written; kept when it was named.
    folder: Option<PathBuf>,
    /// Also ten times as many decks.
    ten_times: bool,
}

const HELP: &str = "cargo bench --bench scale -- [--decks N] [--cards N] [--runs N] [--ten-times] [--folder DIR] [--program FILE]
               [--corpus DIR: only write the department] [--stages DIR: only the stages, over a department that is there]
               [--source DIR: only the source checks, over a department that is there] [--sameness N: only sameness, of N questions]";

fn main() -> io::Result<()> {
    let arguments: Vec<String> = std::env::args().skip(1).filter(|argument| argument != "--bench").collect();
    match arguments.first().map(String::as_str) {
        Some("events") => return say(&events::count(Path::new(&arguments[1]))?.to_string()),
        Some("--help") => return say(HELP),
        _ => {}
    }
    let value = |name: &str| {
        let at = arguments.iter().position(|argument| argument == name)?;
        arguments.get(at + 1)
    };
    let number = |name: &str, otherwise: usize| value(name).and_then(|text| text.parse().ok()).unwrap_or(otherwise);
    let options = Options {
        size: Size { decks: number("--decks", 1000), cards: number("--cards", 100) },
        runs: number("--runs", 5),
        program: value("--program").map_or_else(|| env!("CARGO_BIN_EXE_deckle").into(), PathBuf::from),
        folder: value("--folder").map(PathBuf::from),
        ten_times: arguments.iter().any(|argument| argument == "--ten-times"),
    };
    if let Some(folder) = value("--corpus") {
        let written = corpus::write(Path::new(folder), options.size)?;
        return say(&format!("{} bytes of decks, {} bytes of notes", written.decks, written.notes));
    }
    if let Some(folder) = value("--stages") {
        return say(&stages::table(Path::new(folder), options.runs));
    }
    if let Some(folder) = value("--source") {
        return say(&within::source_checks(Path::new(folder), options.runs)?);
    }
    if let Some(questions) = value("--sameness") {
        return say(&within::sameness(questions.parse().map_err(io::Error::other)?, options.runs)?);
    }
    rows::measure(&options)
}

/// Prints a line.
fn say(line: &str) -> io::Result<()> {
    writeln!(io::stdout(), "{line}")
}
