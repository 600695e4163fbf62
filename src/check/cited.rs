//! What the `source` of a question names: a notes file and a section in it.

use crate::deck::department::join;
use crate::deck::{Card, Deck, Question, Text};
use crate::place::Span;

/// A source, taken apart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cited<'a> {
    /// The file as written.
    pub file: &'a str,
    /// The file from the top of the department; `None` when it leaves the department.
    pub path: Option<String>,
    /// The section as written; `None` when there is none.
    pub section: Option<&'a str>,
    /// Where the section stands in the deck's file; `None` when the text is written in another way
    /// than it reads, so that a part of it cannot be replaced.
    pub section_span: Option<Span>,
}

/// What `source`, written in `deck`, names.
pub fn cited<'a>(deck: &Deck, source: &'a Text) -> Cited<'a> {
    let (file, section) = match source.value.split_once('#') {
        Some((file, section)) => (file.trim(), Some(section.trim()).filter(|section| !section.is_empty())),
        None => (source.value.trim(), None),
    };
    let path = Some(file).filter(|file| !file.is_empty()).and_then(|file| join(&deck.folder(), file));
    Cited { file, path, section, section_span: section.and_then(|section| span_of(deck, source, section)) }
}

/// The notes file and section of a question of `card`, for telling whether two are the same.
pub fn section_of(deck: &Deck, card: &Card, question: &Question) -> Option<(String, String)> {
    let cited = cited(deck, card.source_of(question)?);
    Some((cited.path?, cited.section?.to_owned()))
}

fn span_of(deck: &Deck, source: &Text, section: &str) -> Option<Span> {
    let written = source.span.of(&deck.file.text);
    let quotes = written.len() - written.trim_start_matches(['"', '\'']).len();
    let as_it_reads = written.trim_matches(['"', '\'']) == source.value;
    let at = source.value.find('#')? + 1;
    let at = at + source.value[at..].find(section)?;
    let start = source.span.start() + quotes + at;
    as_it_reads.then(|| Span::new(start, start + section.len()))
}
