//! Reading one deck.

use std::sync::Arc;

use super::card::card;
use super::reader::{Fields, Reader, shown, whole_number};
use super::undecided::undecided;
use crate::deck::card::Text;
use crate::deck::department::MAX_CARDS;
use crate::deck::yaml::{self, Reading};
use crate::deck::{Deck, fields};
use crate::place::{SourceFile, Span};

/// The highest number of a year group.
pub const MAX_YEAR: u16 = 99;

/// Reads the deck `name` from its file, as far as it can be read, with every mistake in it.
pub fn read_deck(name: &str, file: Arc<SourceFile>) -> Deck {
    let reading = yaml::read(Arc::clone(&file.text));
    let mut reader = Reader::new(&file, Some(name));
    reader.take_problems(&reading);
    let mut deck = Deck { name: name.to_owned(), lost_ids: lost_ids(&reading, &file), ..Deck::empty(&file) };
    match reading.tree.root.as_ref().filter(|root| !root.is_empty()) {
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
    name_cards(&mut deck, &reading);
    deck
}

/// Puts the card's name on findings about text that could not be read as it is written.
fn name_cards(deck: &mut Deck, reading: &Reading) {
    let Deck { cards, findings, file, .. } = deck;
    for finding in findings.iter_mut().filter(|finding| finding.card.is_none() && finding.field.is_none()) {
        let at = finding.place.span.start();
        // What is swallowed stands behind the last value, on its line.
        let ends_line = |end: usize| file.text.get(end..at).is_none_or(|rest| !rest.contains('\n'));
        let read =
            cards.iter().find(|card| card.span.start() <= at && (at < card.span.end() || ends_line(card.span.end())));
        let lost = || reading.lost.iter().find(|span| (span.start()..=span.end()).contains(&at));
        finding.card = match read {
            Some(card) => Some(card.id.value.to_string()).filter(|id| !id.is_empty()),
            None => lost().and_then(|span| lost_card(span.of(&file.text), at - span.start())),
        };
    }
}

/// The id of the card around byte `at` of a text that could not be read: cards begin with a dash, and what
/// is listed in them stands further in.
fn lost_card(lost: &str, at: usize) -> Option<String> {
    let (mut from, mut id, mut column) = (0, None, usize::MAX);
    for line in lost.split_inclusive('\n') {
        let indent = line.len() - line.trim_start().len();
        if line[indent..].starts_with("- ") && line.contains(':') && indent <= column {
            column = indent;
            if from > at {
                break;
            }
            id = None;
        }
        id = id.or_else(|| id_in(line));
        from += line.len();
    }
    id
}

fn id_in(line: &str) -> Option<String> {
    let id = line.trim_start_matches([' ', '-', '\t']).strip_prefix("id:")?;
    Some(id.trim().trim_matches(['"', '\'']).to_owned()).filter(|id| !id.is_empty())
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
    if items.len() > MAX_CARDS {
        let message = format!("this deck has {} cards; a deck may have {MAX_CARDS}", items.len());
        let help = "split it into smaller topics, each in a folder of its own".to_owned();
        reader.report("unreadable", Span::at(cards.span.start()), "cards", message, help).about = "cards".to_owned();
    }
    deck.cards.reserve_exact(items.len());
    for item in items {
        reader.filled(item, "cards");
        deck.cards.extend(card(reader, item));
    }
}

fn whole_year(reader: &mut Reader<'_>, year: &Text) -> Option<u8> {
    let number = whole_number(year, MAX_YEAR).and_then(|number| u8::try_from(number).ok());
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
    lines.filter_map(id_in).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rules(text: &str) -> Vec<&'static str> {
        let deck = read_deck("year-8/rivers", Arc::new(SourceFile::new("decks/year-8/rivers/cards.yaml", text)));
        deck.findings.iter().map(|finding| finding.rule).collect()
    }

    #[test]
    fn a_dash_with_no_card_behind_it_is_reported() {
        assert_eq!(
            rules("title: T\nyear: 8\ncards:\n  -\n  - id: a\n    question: x\n    answer: y\n"),
            ["missing-field"]
        );
    }

    #[test]
    fn findings_about_text_that_cannot_be_read_name_the_card() {
        let named = |text: &str| {
            let deck = read_deck("year-8/rivers", Arc::new(SourceFile::new("decks/year-8/rivers/cards.yaml", text)));
            deck.findings.into_iter().map(|finding| (finding.rule, finding.card)).collect::<Vec<_>>()
        };
        let deck = |second: &str| {
            format!(
                "title: T\nyear: 8\ncards:\n  - id: a\n    question: x\n    answer: y\n  - id: b\n    question: z\n{second}  - id: c\n    question: v\n    answer: w\n"
            )
        };
        let b = |rule: &'static str| vec![(rule, Some("b".to_owned()))];
        assert_eq!(named(&deck("    answer: It is: x\n")), b("unreadable"));
        assert_eq!(named(&deck("    answer: The A #1 route\n")), b("swallowed-text"));
        assert_eq!(named(&deck("    answer: x\n    answer: y\n")), b("unreadable"));
        let given_up = named(&deck("    answer: {[x}: ]&\n"));
        assert!(given_up.contains(&("unreadable", Some("b".to_owned()))), "{given_up:?}");
    }

    #[test]
    fn a_file_with_nothing_in_it_is_reported() {
        for text in ["", "\n", "# a remark\n", "---\n", "---\n...\n"] {
            assert_eq!(rules(text), ["missing-field"], "{text:?}");
        }
    }

    #[test]
    fn an_id_in_lines_is_no_id() {
        let deck = |mark: &str| {
            format!("title: T\nyear: 8\ncards:\n  - id: {mark}\n      a\n    question: x\n    answer: y\n")
        };
        assert_eq!(rules(&deck("|")), ["bad-id"]);
        assert!(rules(&deck("|-")).is_empty());
    }

    #[test]
    fn years_are_whole_numbers_to_99() {
        let deck = |year: &str| format!("title: T\nyear: {year}\ncards: []\n");
        for year in ["8", "08", "99", "'8'", "\"8 \""] {
            assert!(rules(&deck(year)).is_empty(), "{year}");
        }
        for year in ["0", "100", "8.0", "eight", "0x8"] {
            assert_eq!(rules(&deck(year)), ["wrong-shape"], "{year}");
        }
    }
}
