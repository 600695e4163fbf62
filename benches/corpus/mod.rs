//! A department of any size, made from templates and word lists: the same one for the same size.
//!
//! Every card has a quote that stands in its section of the notes; cards link to others of their deck
//! and of the decks around it. A few cards in a thousand have a fault, so that there is something to
//! find.

mod facts;
mod notes;
mod words;

use std::fmt::Write as _;
use std::io;
use std::path::Path;

use facts::Fact;

/// How large a department is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Size {
    /// Decks.
    pub decks: usize,
    /// Cards in each of them.
    pub cards: usize,
}

/// How many bytes of what were written.
#[derive(Clone, Copy, Debug, Default)]
pub struct Written {
    /// Bytes of all decks.
    pub decks: u64,
    /// Bytes of all notes.
    pub notes: u64,
}

/// Facts in one section of the notes.
const IN_A_SECTION: usize = 10;

/// Of so many cards one has a fault.
const FAULTY: usize = 400;

/// Writes the department into `folder`.
pub fn write(folder: &Path, size: Size) -> io::Result<Written> {
    let mut written = Written::default();
    std::fs::create_dir_all(folder.join("decks"))?;
    std::fs::write(folder.join("decks/department.yaml"), SETTINGS)?;
    for deck in 0..size.decks {
        let (cards, notes) = (deck_text(size, deck), notes::text(size, deck));
        let here = folder.join("decks").join(deck_name(deck));
        std::fs::create_dir_all(&here)?;
        std::fs::write(here.join("cards.yaml"), &cards)?;
        std::fs::write(here.join("notes.md"), &notes)?;
        written.decks += cards.len() as u64;
        written.notes += notes.len() as u64;
    }
    Ok(written)
}

/// The folder of a deck under `decks/`.
pub fn deck_name(deck: usize) -> String {
    format!("year-{}/{:05}-{}", year(deck), deck, words::name(deck).to_lowercase())
}

fn year(deck: usize) -> usize {
    7 + deck % 5
}

/// The number of a card in the whole department.
fn number(size: Size, deck: usize, card: usize) -> usize {
    deck * size.cards + card
}

fn deck_text(size: Size, deck: usize) -> String {
    let mut text = format!("title: The land around {}\nyear: {}\ncards:\n", words::name(deck), year(deck));
    for card in 0..size.cards {
        card_text(&mut text, size, deck, card);
    }
    text
}

fn card_text(text: &mut String, size: Size, deck: usize, card: usize) {
    let number = number(size, deck, card);
    let fact = Fact::new(number);
    let wrong = number % FAULTY == FAULTY - 1;
    _ = writeln!(text, "  - id: {}\n    question: {}", id(number), fact.question);
    match fact.answer.as_slice() {
        [answer] if wrong => _ = writeln!(text, "    answer: {answer} and {} km", 4000 + number % 97),
        [answer] => _ = writeln!(text, "    answer: {answer}"),
        points => {
            text.push_str("    answer:\n");
            points.iter().for_each(|point| _ = writeln!(text, "      - {point}"));
        }
    }
    if let Some(accept) = &fact.accept {
        _ = writeln!(text, "    accept: [{accept}]");
    }
    _ = writeln!(
        text,
        "    source: notes.md#{}\n    quote: {}",
        notes::anchor(deck, card / IN_A_SECTION),
        fact.sentence
    );
    if card % 4 == 3 {
        _ = writeln!(text, "    needs: [{}]", id(number - 1));
    }
    if card % 7 == 5 && deck >= 5 {
        _ = writeln!(text, "    see: [{}]", id(number - 5 * size.cards));
    }
}

fn id(number: usize) -> String {
    format!("{}-{number}", words::name(number).to_lowercase())
}

const SETTINGS: &str = "\
department: Geography
school: Ambleford Quay School
years: [7, 8, 9, 10, 11]
limits:
  seconds_for_a_question: 10
";
