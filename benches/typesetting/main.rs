//! How long making a pack takes beside typesetting its sheets and nothing else, how much memory it holds,
//! and how large what comes out is. `benches/README.md` says what came out.

#[allow(dead_code, reason = "shared with the other benchmarks")]
#[path = "../corpus/mod.rs"]
mod corpus;
#[allow(dead_code, reason = "shared with the other benchmarks")]
#[path = "../scale/process.rs"]
mod process;

use std::fmt::Display;
use std::io::{self, Write};
use std::path::Path;
use std::time::{Duration, Instant};

use corpus::{Size, deck_name};
use deckle::deck::Department;
use deckle::pack::print::{Bare, Options};
use deckle::pack::{Built, Chosen, Edition, Origin, build, choose};
use deckle::snapshot::FolderSnapshot;
use process::{Job, median};

const HELP: &str = "cargo bench --bench typesetting -- [--runs N]";

/// A pack of so many decks of so many cards.
const SIZES: [Size; 2] = [Size { decks: 2, cards: 100 }, Size { decks: 20, cards: 100 }];

fn main() -> io::Result<()> {
    let arguments: Vec<String> = std::env::args().skip(1).filter(|argument| argument != "--bench").collect();
    match arguments.iter().map(String::as_str).collect::<Vec<_>>().as_slice() {
        ["--help"] => say(HELP),
        ["--once", folder] => made(&read(Path::new(folder))?).map(drop),
        ["--runs", runs] => table(runs.parse().map_err(io::Error::other)?),
        _ => table(3),
    }
}

fn table(runs: usize) -> io::Result<()> {
    say("| pack | made in | typesetting alone | ratio | at most | peak memory | page | zip |")?;
    say("| ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: |")?;
    SIZES.iter().try_for_each(|size| row(*size, runs))
}

fn row(size: Size, runs: usize) -> io::Result<()> {
    let folder = tempfile::tempdir()?;
    write(folder.path(), size)?;
    let department = read(folder.path())?;
    let first = made(&department)?;
    let bare = Bare::new(&first.pack, &department, Options::usual(&department));
    let (mut packs, mut bares) = (Vec::new(), Vec::new());
    for _ in 0..runs.max(1) {
        packs.push(timed(|| made(&department).map(drop))?);
        bares.push(timed(|| bare.typeset().map(drop).map_err(io::Error::other))?);
    }
    let (pack, alone) = (median(packs), median(bares));
    let own = std::env::current_exe()?;
    let job = Job::new(&own, &["--once", &folder.path().display().to_string()], folder.path());
    let peak = job.watched().run()?.peak / 1_000_000;
    let page = first.files.iter().find(|file| file.name == "revise.html").map_or(0, |file| file.size) / 1000;
    let (cards, ratio) = (first.pack.cards.len(), pack.as_secs_f64() / alone.as_secs_f64());
    let (made_in, alone, zip) = (seconds(pack), seconds(alone), first.zip.len() / 1000);
    say(&format!("| {cards} cards | {made_in} | {alone} | {ratio:.2} | 1.3 | {peak} MB | {page} kB | {zip} kB |"))
}

fn timed(work: impl Fn() -> io::Result<()>) -> io::Result<Duration> {
    let start = Instant::now();
    work()?;
    Ok(start.elapsed())
}

fn seconds(time: Duration) -> impl Display {
    format!("{:.2} s", time.as_secs_f64())
}

/// All decks taught to one year group in one term.
fn write(folder: &Path, size: Size) -> io::Result<()> {
    corpus::write(folder, size)?;
    let mut settings = "department: Geography\nschool: Ambleford Quay School\nyears: [8]\nterms:\n  \
        - {name: autumn, starts: 2026-09-02, ends: 2026-12-18}\nscheme:\n"
        .to_owned();
    for deck in 0..size.decks {
        let name = deck_name(deck);
        settings.push_str(&format!("  - {{deck: {name}, term: autumn, taught_on: 2026-09-{:02}}}\n", 7 + deck));
        let path = folder.join("decks").join(&name).join("cards.yaml");
        let text = std::fs::read_to_string(&path)?;
        let year = format!("year: {}\n", 7 + deck % 5);
        std::fs::write(&path, text.replacen(&year, "year: 8\n", 1))?;
    }
    std::fs::write(folder.join("decks/department.yaml"), settings)
}

fn read(folder: &Path) -> io::Result<Department> {
    Department::read(&FolderSnapshot::new(folder)).map_err(io::Error::other)
}

fn made(department: &Department) -> io::Result<Built> {
    let chosen: Chosen<'_> = choose(department, 8, "autumn").map_err(io::Error::other)?;
    let origin = Origin {
        edition: Edition::Preview,
        commit: "0123456789abcdef0123456789abcdef01234567".to_owned(),
        released: "2026-11-25T10:00:00+00:00".to_owned(),
    };
    build(&chosen, origin, None).map_err(|error| io::Error::other(format!("{error:?}")))
}

fn say(line: &str) -> io::Result<()> {
    writeln!(io::stdout(), "{line}")
}
