//! Rows that are taken within this process: the source checks by themselves, and sameness at three sizes.

use std::io;
use std::path::Path;
use std::time::{Duration, Instant};

use deckle::deck::{Card, Deck, Department, Question, Text};
use deckle::notes::Notes;
use deckle::snapshot::FolderSnapshot;
use deckle::source::{AllNotes, Asked, Cited, judge};
use deckle::text::{Posed, similar_questions};
use rayon::prelude::*;

use crate::corpus::{self, Size};
use crate::events;
use crate::process::median;
use crate::rows::line;

/// The cards against their notes, on all threads, held against the bare parse of the same files on one.
pub fn source_checks(folder: &Path, runs: usize) -> io::Result<String> {
    let department = Department::read(&FolderSnapshot::new(folder)).map_err(io::Error::other)?;
    let (mut checks, mut parses) = (Vec::new(), Vec::new());
    for _ in 0..runs.max(1) {
        checks.push(timed(|| source_check(&department)).0);
        let (time, events) = timed(|| events::count(folder));
        events?;
        parses.push(time);
    }
    Ok(line("the source checks alone", median(checks), "files read, bare YAML events", median(parses), "2"))
}

/// Reads the notes, weighs their words and judges every card; how many judgements there are.
fn source_check(department: &Department) -> usize {
    let notes: Vec<_> =
        department.notes.par_iter().map(|(path, file)| (path.clone(), Notes::read(&file.text))).collect();
    let all_notes = AllNotes::new(notes);
    all_notes.weights();
    let of_deck = |deck: &Deck| deck.cards.iter().map(|card| judged(deck, card, &all_notes)).sum::<usize>();
    department.decks.par_iter().map(of_deck).sum()
}

/// The made cards name the notes beside them, and have one quote.
fn judged(deck: &Deck, card: &Card, all_notes: &AllNotes) -> usize {
    let own = card.own();
    let Some((file, anchor)) = own.source.as_ref().and_then(|source| source.value.split_once('#')) else { return 0 };
    let path = format!("{}/{file}", deck.folder());
    let cited = Cited {
        file: Some(&path),
        anchor: Some(anchor),
        quotes: texts(&own.quotes),
        asked: card.questions.iter().map(asked).collect(),
    };
    judge(&cited, all_notes).len()
}

fn asked(question: &Question) -> Asked<'_> {
    Asked {
        question: &question.question,
        points: answers(question),
        ordered: question.answer.ordered,
        accept: texts(&question.accept),
        quotes: Vec::new(),
    }
}

fn answers(question: &Question) -> Vec<&str> {
    texts(&question.answer.points)
}

fn texts(texts: &[Text]) -> Vec<&str> {
    texts.iter().map(|text| text.value.as_str()).collect()
}

/// Questions alike in other words, among a quarter of so many questions, half of them, and all.
pub fn sameness(questions: usize, runs: usize) -> io::Result<String> {
    let temporary = tempfile::tempdir()?;
    let cards = 100;
    corpus::write(temporary.path(), Size { decks: questions.div_ceil(cards), cards })?;
    let department = Department::read(&FolderSnapshot::new(temporary.path())).map_err(io::Error::other)?;
    let asked = department.cards().flat_map(|(_, card)| &card.questions).filter(|asked| !asked.question.is_empty());
    let posed: Vec<Posed<'_>> = asked
        .map(|asked| Posed { question: &asked.question, answer: answers(asked), accept: texts(&asked.accept) })
        .collect();
    let sizes = [posed.len() / 4, posed.len() / 2, posed.len()];
    let mut taken = [Vec::new(), Vec::new(), Vec::new()];
    for _ in 0..runs.max(1) {
        for (taken, size) in taken.iter_mut().zip(sizes) {
            taken.push(timed(|| std::hint::black_box(similar_questions(&posed[..size]).len())).0);
        }
    }
    let [quarter, half, all] = taken.map(median);
    let row = |size: usize, took, times: u32| {
        line(&format!("sameness, {size} questions"), took, &format!("{times} × {}", sizes[0]), quarter * times, "1.15")
    };
    Ok([row(sizes[0], quarter, 1), row(sizes[1], half, 2), row(sizes[2], all, 4)].join("\n"))
}

fn timed<T>(work: impl FnOnce() -> T) -> (Duration, T) {
    let start = Instant::now();
    let out = work();
    (start.elapsed(), out)
}
