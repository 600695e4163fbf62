//! One order of fields and one style for a deck's text. What the cards say, and every comment, stays.

use super::outline::{CardText, DeckText, FieldText, card_text, deck_text, outline};
use super::{fields, yaml};

/// The column of dashes, from 0.
const DASH: usize = 2;

/// How often what was tidied is tidied again.
const MOST_AGAIN: usize = 3;

/// The deck's text in one order and style; `None` when it cannot be read as a deck.
///
/// Doing it twice changes nothing more, and the cards read back equal.
pub fn tidy(text: &str) -> Option<String> {
    let mut tidied = tidied(text)?;
    // A field's name that had to be put in quotes makes its card one that is written anew.
    for _ in 0..MOST_AGAIN {
        let again = self::tidied(&tidied)?;
        if again == tidied {
            break;
        }
        tidied = again;
    }
    Some(tidied)
}

fn tidied(text: &str) -> Option<String> {
    let mut parts = outline(text)?;
    sort(&mut parts.fields, fields::DECK);
    parts.fields.iter_mut().for_each(restyle);
    let names: Vec<&str> = fields::CARD.iter().map(|field| field.name).collect();
    let newline = parts.newline;
    for (at, card) in parts.cards.iter_mut().enumerate() {
        sort(&mut card.fields, &names);
        card.fields.iter_mut().for_each(restyle);
        (card.dash, card.offset) = (DASH, 2);
        card.raw = card_text(card, DASH, newline);
        card.lead = lead(card, at, newline);
    }
    let mut tidied = deck_text(&parts);
    tidied.truncate(tidied.trim_end_matches(['\n', '\r']).len());
    tidied.push_str(newline);
    says_the_same(&tidied, &parts).then_some(tidied)
}

/// Known fields in their usual order, unknown ones behind them as they stood; the comment above the
/// first field of a card stays above the card's first line.
fn sort(present: &mut [FieldText], order: &[&str]) {
    present.sort_by_key(|field| order.iter().position(|name| *name == field.name).unwrap_or(usize::MAX));
}

/// The field in our own style, unless a comment stands in it.
fn restyle(field: &mut FieldText) {
    if yaml::parse(&field.text).is_ok_and(|tree| tree.comments.is_empty()) {
        field.text.clear();
    }
    let comments: Vec<&str> = field.lead.lines().filter(|line| !line.trim().is_empty()).collect();
    field.lead = comments.iter().map(|line| format!("{}\n", line.trim())).collect();
}

/// The comments above a card at the column of its dash, with one blank line before all but the first.
fn lead(card: &CardText, at: usize, newline: &str) -> String {
    let comments = card.lead.lines().map(str::trim).filter(|line| !line.is_empty());
    let comments = comments.map(|line| format!("{}{line}{newline}", " ".repeat(DASH)));
    let gap = if at == 0 { "" } else { newline };
    format!("{gap}{}", comments.collect::<String>())
}

fn says_the_same(tidied: &str, parts: &DeckText) -> bool {
    outline(tidied)
        .is_some_and(|read| read.cards.iter().map(CardText::values).eq(parts.cards.iter().map(CardText::values)))
}

#[cfg(test)]
mod tests {
    use super::*;

    const WILD: &str = "year: 8\ntitle: 'Rivers'\ncards:\n# first\n-   question: \"What?\"\n    # on the id\n    id: a\n    needs:\n    - b\n    - c\n    answer: x # sic\n\n\n\n-   {id: b, question: Who?, answer: '8'}\n";
    const TIDY: &str = "title: Rivers\nyear: \"8\"\ncards:\n  # first\n  # on the id\n  - id: a\n    question: What?\n    answer: x # sic\n    needs: [b, c]\n\n  - id: b\n    question: Who?\n    answer: \"8\"\n";

    #[test]
    fn one_order_and_one_style_and_no_comment_lost() {
        assert_eq!(tidy(WILD).expect("readable"), TIDY.replace("year: \"8\"", "year: 8"));
    }

    /// It kept the second of the two and took the first one out.
    #[test]
    fn a_deck_with_a_field_that_stands_twice_is_left_alone() {
        let deck = "title: T\nyear: 8\ncards:\n  - id: a\n    question: Why?\n    answer: one\n    answer: two\n";
        assert_eq!(tidy(deck), None);
        assert_eq!(
            tidy(&deck.replacen("    answer: two\n", "", 1).replacen("year: 8\n", "year: 8\nyear: 9\n", 1)),
            None
        );
    }

    #[test]
    fn twice_is_once() {
        let odd = "title: T\nyear: 8\ncards:\n  - id: a\n    question: Q\n    answer: x # sic\n    \\needs: [b]\n";
        for text in [WILD, odd] {
            let once = tidy(text).expect("readable");
            assert_eq!(tidy(&once).expect("readable"), once);
            assert!(once.contains("# sic"), "{once}");
        }
    }
}
