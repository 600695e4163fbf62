//! The same work stage by stage, within one process.

use std::fmt::Write as _;
use std::path::Path;
use std::time::{Duration, Instant};

use deckle::check::{CardView, Context, DeckView, Scope};
use deckle::deck::{Department, read_deck, yaml};
use deckle::notes::Notes;
use deckle::snapshot::{FolderSnapshot, Snapshot};

use crate::process::median;

/// The stages of a check as rows of a table, and below them each rule on one thread.
pub fn table(folder: &Path, runs: usize) -> String {
    let snapshot = FolderSnapshot::new(folder);
    let department = Department::read(&snapshot).expect("the department can be read");
    let context = Context::new(&department);
    let mut text = "| stage | ms |\n| --- | ---: |\n".to_owned();
    let mut row = |name: &str, work: &mut dyn FnMut()| {
        let took = (0..runs.max(1)).map(|_| timed(work)).collect();
        _ = writeln!(text, "| {name} | {:.1} |", median(took).as_secs_f64() * 1e3);
    };
    row("the list of files", &mut || _ = std::hint::black_box(snapshot.files()));
    row("the decks' YAML as trees, one thread", &mut || {
        department
            .decks
            .iter()
            .for_each(|deck| _ = std::hint::black_box(yaml::read(std::sync::Arc::clone(&deck.file.text))));
    });
    row("the decks with their mistakes, one thread", &mut || {
        for deck in &department.decks {
            _ = std::hint::black_box(read_deck(&deck.name, deck.file.clone()));
        }
    });
    row("the department, all files read", &mut || _ = std::hint::black_box(Department::read(&snapshot)));
    row("the notes in sections, one thread", &mut || {
        department.notes.values().for_each(|notes| _ = std::hint::black_box(Notes::read(&notes.text)));
    });
    row("what the rules share", &mut || _ = std::hint::black_box(Context::new(&department)));
    row("the check of what was read", &mut || _ = std::hint::black_box(deckle::check::check(&department)));
    for rule in deckle::check::all() {
        row(&format!("`{}`, one thread", rule.name), &mut || _ = std::hint::black_box(alone(rule.scope, &context)));
    }
    text
}

/// One rule over all cards.
fn alone(scope: Scope, context: &Context<'_>) -> usize {
    let mut found = Vec::new();
    let decks = &context.department.decks;
    match scope {
        Scope::Card(run) => {
            let cards =
                decks.iter().flat_map(|deck| deck.cards.iter().map(move |card| CardView { context, deck, card }));
            cards.for_each(|view| run(&view, &mut found));
        }
        Scope::Deck(run) => decks.iter().for_each(|deck| run(&DeckView { context, deck }, &mut found)),
        Scope::Department(run) => run(context, &mut found),
        Scope::Reading | Scope::Waivers | Scope::Printing => {}
    }
    found.len()
}

fn timed(work: &mut dyn FnMut()) -> Duration {
    let start = Instant::now();
    work();
    start.elapsed()
}
