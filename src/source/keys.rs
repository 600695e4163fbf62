//! The key statements of notes: the sentences and table rows that a card can be made from.
//!
//! A sentence is one when it has strong text, defines something, or gives a quantity or a date; a row
//! of a table when it has strong text or a number.

use crate::notes::{Passage, PassageKind, Section};
use crate::text::{Value, lex, value_at};
use std::ops::Range;

/// What makes a statement a key statement; the first that applies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum KeyKind {
    /// It has strong text.
    Strong,
    /// It says what something is.
    Definition,
    /// It gives a quantity or a date.
    Quantity,
}

/// A sentence or table row that a card can be made from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeyStatement {
    /// Why it is one.
    pub kind: KeyKind,
    /// The bytes of the section's text.
    pub range: Range<usize>,
    /// The number of its passage in the section.
    pub passage: usize,
    /// The strong parts, as bytes of the section's text.
    pub strong: Vec<Range<usize>>,
}

impl KeyStatement {
    /// The statement as read.
    pub fn text<'s>(&self, section: &'s Section) -> &'s str {
        &section.as_text()[self.range.clone()]
    }
}

/// The key statements of a section in order.
///
/// ```
/// use deckle::{notes::Notes, source::key_statements};
/// let notes = Notes::read("# Wind\n\nIt blows. A **gale** is a strong wind. It begins at 34 knots.\n");
/// let section = &notes.sections()[0];
/// let keys: Vec<&str> = key_statements(section).iter().map(|key| key.text(section)).collect();
/// assert_eq!(keys, ["A gale is a strong wind.", "It begins at 34 knots."]);
/// ```
pub fn key_statements(section: &Section) -> Vec<KeyStatement> {
    let passages = section.passages.iter().enumerate();
    passages.flat_map(|(number, passage)| of_passage(number, passage)).collect()
}

fn of_passage(number: usize, passage: &Passage) -> Vec<KeyStatement> {
    if passage.head || passage.kind == PassageKind::Caption {
        return Vec::new();
    }
    let statement = |range: Range<usize>| {
        let inside = |strong: &&Range<usize>| strong.start < range.end && range.start < strong.end;
        let strong: Vec<_> = passage
            .strong
            .iter()
            .filter(inside)
            .map(|strong| passage.at + strong.start.max(range.start)..passage.at + strong.end.min(range.end))
            .collect();
        let kind = kind(passage, &passage.text[range.clone()], !strong.is_empty())?;
        let range = passage.at + range.start..passage.at + range.end;
        Some(KeyStatement { kind, range, passage: number, strong })
    };
    passage.sentences().into_iter().filter_map(statement).collect()
}

fn kind(passage: &Passage, text: &str, strong: bool) -> Option<KeyKind> {
    if strong {
        return Some(KeyKind::Strong);
    }
    if passage.kind == PassageKind::Row {
        return text.contains(|c: char| c.is_ascii_digit()).then_some(KeyKind::Quantity);
    }
    if definition(text).is_some_and(|found| found.is_sure(text)) {
        return Some(KeyKind::Definition);
    }
    (!values(text).is_empty()).then_some(KeyKind::Quantity)
}

/// A sentence taken apart that says what something is: `A gale is a strong wind.`
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Definition {
    /// `A`, `The` or nothing, with what follows up to the verb.
    pub(crate) subject: Range<usize>,
    /// What is defined, without its article.
    pub(crate) term: Range<usize>,
    /// `is` or `are`.
    pub(crate) verb: Range<usize>,
    /// What it is, without the stop at the end.
    pub(crate) rest: Range<usize>,
}

impl Definition {
    /// Whether it is a definition without strong text to say so: `… is a …`.
    fn is_sure(&self, text: &str) -> bool {
        let rest = &text[self.rest.clone()];
        let verb = &text[self.verb.clone()];
        let begins = |words: &[&str]| words.iter().any(|word| rest.starts_with(word));
        verb.starts_with("is") && begins(&["a ", "an "]) && rest.split(' ').count() > 3
            || begins(&["called ", "known as "])
    }
}

/// The definition that a sentence gives, if it has the form of one.
pub(crate) fn definition(text: &str) -> Option<Definition> {
    let words = spans(text);
    let word = |at: usize| words.get(at).map_or("", |span| &text[span.clone()]);
    let article = usize::from(matches!(word(0), "A" | "An" | "The" | "a" | "an" | "the"));
    let verb = (article + 1..=article + MOST_WORDS_OF_A_TERM).find(|&at| matches!(word(at), "is" | "are"))?;
    let said = |at: usize| word(at).to_lowercase();
    if (0..verb).any(|at| points(&said(at)) || word(at).ends_with([',', ';', ':'])) {
        return None;
    }
    let opens = word(verb + 1);
    let defines = matches!(
        opens,
        "a" | "an" | "the" | "how" | "where" | "what" | "when" | "all" | "any" | "called" | "molten" | "rock" | "water"
    ) || opens == "known" && word(verb + 2) == "as";
    if !defines || words.len() < verb + 4 && opens != "called" {
        return None;
    }
    let end = text.trim_end().trim_end_matches(['.', '!']).len();
    Some(Definition {
        subject: words[0].start..words[verb - 1].end,
        term: words[article].start..words[verb - 1].end,
        verb: words[verb].clone(),
        rest: words.get(verb + 1)?.start..end,
    })
}

/// A longer subject is a sentence of its own.
const MOST_WORDS_OF_A_TERM: usize = 6;

/// Words that name nothing by themselves, or that open another kind of sentence.
pub(crate) fn points(word: &str) -> bool {
    stands_in(word) || matches!(word, "there" | "what" | "which" | "who" | "all" | "some" | "most" | "many")
}

/// Words that stand for what another sentence names.
pub(crate) fn stands_in(word: &str) -> bool {
    matches!(
        word,
        "it" | "its"
            | "this"
            | "that"
            | "these"
            | "those"
            | "they"
            | "their"
            | "he"
            | "she"
            | "his"
            | "her"
            | "such"
            | "here"
            | "one"
            | "both"
            | "each"
    )
}

/// The places of the words of a text, parted by blanks.
pub(crate) fn spans(text: &str) -> Vec<Range<usize>> {
    let mut at = 0;
    let mut out = Vec::new();
    for word in text.split(' ') {
        if !word.is_empty() {
            out.push(at..at + word.len());
        }
        at += word.len() + 1;
    }
    out
}

/// Four digits that a year is written with.
pub(crate) fn is_year(written: &str) -> bool {
    written.len() == 4 && written.parse::<u16>().is_ok_and(|year| (1000..2100).contains(&year))
}

/// The quantities with a unit and the dates of a text.
pub(crate) fn values(text: &str) -> Vec<(Range<usize>, Value)> {
    let pieces = lex(text);
    let mut out = Vec::new();
    let mut at = 0;
    while at < pieces.len() {
        let Some((value, len)) = value_at(&pieces, at) else {
            at += 1;
            continue;
        };
        let written = &text[pieces[at].span.start..pieces[at + len - 1].span.end];
        if is_year(written) || matches!(value, Value::Date(_) | Value::Quantity { unit: Some(_), .. }) {
            out.push((pieces[at].span.start..pieces[at + len - 1].span.end, value));
        }
        at += len;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::notes::Notes;

    fn keys(notes: &str) -> Vec<(KeyKind, String)> {
        let notes = Notes::read(notes);
        let keys = |section| -> Vec<(KeyKind, String)> {
            key_statements(section).iter().map(|key| (key.kind, key.text(section).to_owned())).collect()
        };
        notes.sections().iter().flat_map(keys).collect()
    }

    #[test]
    fn strong_text_definitions_and_quantities_are_key() {
        let notes = "# Rivers\n\nRivers are long. A **gorge** stays. A beck is a small stream in the north. It is 5 km long. \
                     It began in 1912. Nobody knows why.\n\n| Force | Name |\n| --- | --- |\n| 8 | Gale |\n| none | calm |\n";
        let found = keys(notes);
        let expected = [
            (KeyKind::Strong, "A gorge stays."),
            (KeyKind::Definition, "A beck is a small stream in the north."),
            (KeyKind::Quantity, "It is 5 km long."),
            (KeyKind::Quantity, "It began in 1912."),
            (KeyKind::Quantity, "8 Gale"),
        ];
        assert_eq!(found, expected.map(|(kind, text)| (kind, text.to_owned())));
    }

    #[test]
    fn a_definition_has_a_term_and_what_it_is() {
        let text = "The mean wind speed is an average over 10 minutes.";
        let found = definition(text).expect("a definition");
        assert_eq!((&text[found.term], &text[found.rest]), ("mean wind speed", "an average over 10 minutes"));
        for other in
            ["It is a river.", "There is a way out of here.", "The change is slow.", "Rivers flow.", "", "is a"]
        {
            assert_eq!(definition(other), None, "{other}");
        }
    }
}
