//! A review as one page: each card before and after beside each other, as pupils see it.
//!
//! The page needs no script, no network and no other file, and its policy allows none. What differs
//! is struck out or underlined, and said in words to those who listen.

mod faces;
mod marked;
mod parts;

pub(super) use self::marked::literal;
use super::Heading;
use super::order::ordered;
use crate::change::Review;
use crate::deck::Department;
use crate::report::capital;
use crate::report::document::Document;

const STYLE: &str = include_str!("html/page.css");

/// The whole review of what is between two departments.
pub fn review(review: &Review, heading: &Heading, before: &Department, now: &Department) -> String {
    let ordered = ordered(&review.changes);
    let mut page = parts::Page::new(before, now);
    if !ordered.facts.is_empty() {
        page.section("facts", "Facts that change");
        ordered.facts.iter().for_each(|(deck, card)| page.card(card, Some(&deck.deck)));
    }
    for (number, (deck, cards)) in ordered.decks.iter().enumerate() {
        page.deck(&format!("deck-{}", number + 1), deck);
        cards.iter().for_each(|card| page.card(card, None));
        page.quiet(deck);
    }
    page.notes(&review.changes.notes);
    page.others(&review.changes);
    page.findings("brought-in", "What it brings in", "It brings in no findings.", &review.brought_in);
    if !review.cleared.is_empty() {
        page.findings("cleared", "What it clears", "", &review.cleared);
    }
    let about: String =
        heading.about.iter().map(|about| format!("<p class=\"about\">{}</p>\n", literal(about))).collect();
    let header = format!(
        "<h1>{}</h1>\n{about}<p class=\"sum\">{}.</p>\n{}",
        capital(&literal(&heading.what)),
        super::overview(review),
        page.contents()
    );
    document(&format!("Review: {}", heading.name), &header, &page.finish())
}

/// A page with our style and nothing from elsewhere.
pub(super) fn document(title: &str, header: &str, main: &str) -> String {
    let body = format!("<header>\n{header}</header>\n<main id=\"main\">\n{main}</main>\n");
    Document { title: &literal(title), style: STYLE, head: "", skip: "To the cards", body: &body }.html()
}
