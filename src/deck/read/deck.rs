//! Reading one deck.

use std::sync::Arc;

use super::card::card;
use super::reader::{Fields, Reader, shown};
use super::undecided::undecided;
use crate::deck::card::Text;
use crate::deck::yaml::{self, Reading};
use crate::deck::{Deck, fields};
use crate::place::SourceFile;

/// Reads the deck `name` from its file, as far as it can be read, with every mistake in it.
pub fn read_deck(name: &str, file: Arc<SourceFile>) -> Deck {
    let reading = yaml::read(&file.text);
    let mut reader = Reader::new(&file, Some(name));
    reader.take_problems(&reading);
    let mut deck = Deck { name: name.to_owned(), lost_ids: lost_ids(&reading, &file), ..Deck::empty(&file) };
    match &reading.tree.root {
        Some(root) => {
            if let Some(fields) = reader.fields(root, "deck", fields::DECK) {
                read_fields(&mut reader, &fields, &mut deck);
            }
        }
        None if reading.problems.is_empty() => {
            let help = "write `title:`, `year:` and `cards:`".to_owned();
            reader.report("missing-field", Default::default(), "title", "this deck is empty".to_owned(), help);
        }
        None => {}
    }
    deck.findings = reader.findings;
    deck
}

fn read_fields(reader: &mut Reader<'_>, fields: &Fields<'_>, deck: &mut Deck) {
    deck.title = reader.required_text(fields, "title");
    let year = reader.required_text(fields, "year");
    deck.year = year.and_then(|year| whole_year(reader, &year).map(|number| (number, year.span)));
    deck.undecided = undecided(reader, fields);
    let Some(cards) = reader.required(fields, "cards") else { return };
    let Some(items) = cards.list() else {
        let message = format!("expected a list of cards behind `cards:`, but found {}", shown(cards));
        reader.report("wrong-shape", cards.span, "cards", message, "start each card with a dash: `- id: …`".to_owned());
        return;
    };
    deck.cards = items.iter().filter_map(|item| card(reader, item)).collect();
}

fn whole_year(reader: &mut Reader<'_>, year: &Text) -> Option<u8> {
    let number = year.parse::<u8>().ok().filter(|number| (1..=99).contains(number));
    if number.is_none() {
        let message = format!("expected a year group such as 8, but found `{}`", year.value);
        reader.report(
            "wrong-shape",
            year.span,
            "year",
            message,
            "write the number of the year group: `year: 8`".to_owned(),
        );
    }
    number
}

/// The ids in the parts that could not be read, so that links to them are not reported as well.
fn lost_ids(reading: &Reading, file: &SourceFile) -> Vec<String> {
    let lines = reading.lost.iter().flat_map(|span| span.of(&file.text).lines());
    let ids = lines.filter_map(|line| line.trim_start_matches([' ', '-', '\t']).strip_prefix("id:"));
    ids.map(|id| id.trim().trim_matches(['"', '\'']).to_owned()).collect()
}
