//! `hidden-signs`: signs that nobody sees and that change what is shown.

use crate::check::context::{CardView, DeckView};
use crate::check::rule::{Rule, Scope};
use crate::deck::{Card, Text};
use crate::finding::{Finding, Level};
use crate::markup;

pub const RULE: Rule = Rule {
    name: "hidden-signs",
    level: Level::Error,
    summary: "a text holds control characters, or invisible signs that turn the direction of text",
    why: "Nobody sees them, and they change what pupils read: they hide words, turn them round, or confuse programs that print \
          the card. They come along when text is copied from web pages and other documents.",
    wrong: "answer: \"34\\u202E knots\"",
    right: "answer: 34 knots",
    waivable: true,
    repairable: false,
    scope: Scope::Deck(check),
};

fn check(view: &DeckView<'_>, found: &mut Vec<Finding>) {
    if let Some((title, sign)) = view.deck.title.as_ref().and_then(|title| Some((title, hidden(title)?))) {
        found.push(view.finding(&RULE, title.span, said(sign)).in_field("title").help(HELP));
    }
    for card in &view.deck.cards {
        let view = CardView { context: view.context, deck: view.deck, card };
        for (field, text) in texts(card) {
            if let Some(sign) = hidden(text) {
                found.push(view.finding(&RULE, text.span, field, said(sign)).help(HELP));
            }
        }
    }
}

const HELP: &str = "delete the text and type it anew, without copying";

fn said(sign: char) -> String {
    format!("this text holds a sign that nobody sees (U+{:04X})", sign as u32)
}

/// The first hidden sign: whatever packs write out, since pupils would read it there, and signs without width or
/// of direction that are not written out. The joiners that some scripts are written with are none.
fn hidden(text: &str) -> Option<char> {
    let is_hidden = |c: char| {
        markup::is_hidden(c) && !matches!(c, '\n' | '\t' | '\r')
            || matches!(c, '\u{200b}' | '\u{200e}'..='\u{200f}' | '\u{2060}'..='\u{2065}')
    };
    // Nearly all text is plain ASCII, which is looked through by bytes.
    let plain = |byte: u8| byte.is_ascii() && (byte >= b' ' && byte != 0x7f);
    if text.bytes().all(plain) { None } else { text.chars().find(|&c| is_hidden(c)) }
}

/// All texts of a card with the names of their fields.
fn texts(card: &Card) -> Vec<(String, &Text)> {
    let mut texts: Vec<(String, &Text)> = vec![("id".to_owned(), &card.id)];
    for question in &card.questions {
        texts.push((question.field("question"), &question.question));
        texts.extend(question.answer.points.iter().map(|text| (question.field("answer"), text)));
        texts.extend(question.accept.iter().map(|text| (question.field("accept"), text)));
        texts.extend(question.quotes.iter().map(|text| (question.field("quote"), text)));
    }
    texts.extend(card.caution.as_deref().map(|text| ("caution".to_owned(), text)));
    texts.extend(card.tags.iter().map(|text| ("tags".to_owned(), text)));
    for (at, picture) in card.pictures.iter().enumerate() {
        let named = [("alt", &picture.alt), ("credit", &picture.credit), ("licence", &picture.licence)];
        let present = named.into_iter().filter_map(|(name, text)| Some((name, text.as_ref()?)));
        texts.extend(present.map(|(name, text)| (format!("pictures[{at}].{name}"), text)));
    }
    texts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whatever_packs_write_out_is_found() {
        let written_out = ['\u{7}', '\u{202e}', '\u{2069}', '\u{206a}', '\u{feff}', '\u{fffb}', '\u{fdd0}', '\u{e0041}', '\u{ffff}'];
        for sign in written_out {
            let text = format!("a{sign}b");
            assert_ne!(markup::visible(&text), text);
            assert_eq!(hidden(&text), Some(sign));
        }
        for sign in ['\u{200b}', '\u{200f}', '\u{2060}'] {
            assert_eq!(hidden(&format!("a{sign}b")), Some(sign));
        }
        for text in ["Größe ½", "می\u{200c}شود", "👩\u{200d}🔬", "two\nlines\t"] {
            assert_eq!(hidden(text), None, "{text}");
        }
    }
}
