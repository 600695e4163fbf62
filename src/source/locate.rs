//! Finding a quote in the notes again: exactly in its section, exactly elsewhere, or as the closest
//! passage.

use super::all_notes::{AllNotes, sentences_of, stems_of};
use super::drift::{Comparison, Focus, Read, Touch, compare, touches};
use super::reading::{Token, read};
use super::weights::Weights;
use crate::notes::Section;
use std::ops::Range;

/// A passage of the notes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// The file, as its path in the department.
    pub file: String,
    /// The anchor of the section.
    pub anchor: String,
    /// The bytes in the file.
    pub span: Range<usize>,
    /// The passage as read.
    pub text: String,
}

impl Place {
    pub(crate) fn new(file: &str, section: &Section, range: Range<usize>) -> Place {
        Place {
            file: file.to_string(),
            anchor: section.anchor.clone(),
            span: section.place_of(range.clone()),
            text: section.as_text()[range].to_string(),
        }
    }
}

/// Where a quote, as read, stands exactly in a section's text; a stop at its end does not count, and
/// words count whole.
pub fn find_exactly(section: &Section, quote: &str) -> Option<Range<usize>> {
    let text = section.as_text();
    let wanted = quote.trim_end_matches(['.', ',', ';', ':', ' ']);
    if wanted.is_empty() {
        return None;
    }
    // A quote that ended its sentence has to end one still: `34 knots.` is not `34 knots or more.`
    let stops = quote.trim_end().ends_with(['.', '!', '?']);
    let mut from = 0;
    while let Some(found) = text[from..].find(wanted) {
        let start = from + found;
        let end = start + wanted.len();
        if whole_words(text, start, end) && (!stops || sentence_ends(section, end)) {
            let end = end
                + quote[wanted.len()..]
                    .bytes()
                    .zip(text[end..].bytes())
                    .take_while(|(one, other)| one == other && *one != b' ')
                    .count();
            return Some(start..end);
        }
        from = start + wanted.chars().next().map_or(1, char::len_utf8);
    }
    None
}

/// Whether a sentence, or at least a clause set off by a sign, ends at byte `at`.
fn sentence_ends(section: &Section, at: usize) -> bool {
    let rest = section.as_text()[at..].trim_start_matches([')', '"', '\'']);
    rest.starts_with(['.', '!', '?', ';', ':'])
        || section.passages.iter().any(|passage| passage.at + passage.text.len() == at)
}

/// Whether the words and numbers at both ends of a range are whole.
fn whole_words(text: &str, start: usize, end: usize) -> bool {
    let joins = |one: Option<char>, other: Option<char>| {
        one.is_some_and(char::is_alphanumeric) && other.is_some_and(char::is_alphanumeric)
    };
    let first = text[start..end].chars().next();
    let last = text[start..end].chars().next_back();
    let after = text[end..].chars().next();
    let number_goes_on = last.is_some_and(|c| c.is_ascii_digit())
        && after.is_some_and(|c| matches!(c, '.' | ',' | '%' | '/'))
        && (after == Some('%') || text[end + 1..].starts_with(|c: char| c.is_ascii_digit()));
    let number_went_before = first.is_some_and(|c| c.is_ascii_digit())
        && text[..start].ends_with(['.', ',', '-', '/'])
        && (text[..start].ends_with('-') || text[..start - 1].ends_with(|c: char| c.is_ascii_digit()));
    !joins(text[..start].chars().next_back(), first) && !joins(last, after) && !number_goes_on && !number_went_before
}

/// Where the quote stands exactly in another section: in the same file first.
pub(crate) fn find_elsewhere(all_notes: &AllNotes, file: Option<&str>, quote: &str) -> Option<Place> {
    let stems = stems_of(quote);
    let mut sections = all_notes.sections_with(&stems);
    sections.sort_by_key(|(path, _)| Some(*path) != file);
    sections
        .into_iter()
        .find_map(|(path, section)| find_exactly(section, quote).map(|range| Place::new(path, section, range)))
}

/// A close passage and how it compares.
pub(crate) struct Close {
    pub(crate) place: Place,
    pub(crate) comparison: Comparison,
}

/// A quote that is looked for, with what its card is about.
pub(crate) struct Wanted<'q> {
    pub(crate) text: &'q str,
    pub(crate) tokens: &'q [Token],
    pub(crate) focus: &'q Focus,
    pub(crate) weights: &'q Weights,
}

/// Below this nothing is close.
pub(crate) const CLOSE: f64 = 0.45;
/// A passage that keeps all facts has to be as close as this to be the quote in other words, and not
/// another statement with the same words.
pub(crate) const REWORDED: f64 = 0.55;
/// So much of the clauses that the card asks and answers with has to stand for a passage to be the quote's, whatever
/// else the quote said.
pub(crate) const KEPT: f64 = 0.95;
/// What a window loses for each sentence after its first, until it is chosen.
const FURTHER_SENTENCE: f64 = 0.12;
/// A passage elsewhere has to be closer by this much than the one in the section.
const CLEARLY_CLOSER: f64 = 0.15;

/// The closest passage: in the cited section first, elsewhere if that is clearly closer.
pub(crate) fn find_close(all_notes: &AllNotes, cited: Option<(&str, &Section)>, wanted: &Wanted<'_>) -> Option<Close> {
    let here = cited.and_then(|(file, section)| closest_in(file, section, None, wanted));
    let settled = |here: &Close| {
        let close = here.comparison.closeness;
        close >= CLOSE && (here.comparison.differences.is_empty() || close > 1.0 - CLEARLY_CLOSER)
    };
    if here.as_ref().is_some_and(settled) {
        return here;
    }
    let weighted: Vec<(String, f64)> = stems_of(wanted.text)
        .into_iter()
        .map(|(stem, _)| {
            let weight = wanted.weights.of_stem(&stem);
            (stem, weight)
        })
        .collect();
    let elsewhere = all_notes
        .nearest(&weighted, 6)
        .into_iter()
        .filter(|sentence| cited.is_none_or(|(_, section)| !std::ptr::eq(section, sentence.section)))
        .filter_map(|sentence| closest_in(sentence.file, sentence.section, Some(sentence.number), wanted))
        .max_by(|one, other| one.comparison.closeness.total_cmp(&other.comparison.closeness));
    let best = match (here, elsewhere) {
        (Some(here), Some(elsewhere))
            if elsewhere.comparison.closeness > here.comparison.closeness + CLEARLY_CLOSER =>
        {
            Some(elsewhere)
        }
        (Some(here), _) => Some(here),
        (None, elsewhere) => elsewhere,
    };
    best.filter(|best| best.comparison.closeness >= CLOSE || best.comparison.kept >= KEPT)
}

/// The closest window of sentences in a section; around sentence `near` only, if one is given.
fn closest_in(file: &str, section: &Section, near: Option<usize>, wanted: &Wanted<'_>) -> Option<Close> {
    let text = section.as_text();
    let sentences: Vec<Said> = sentences_of(section)
        .into_iter()
        .map(|range| Said { tokens: read(&text[range.clone()], wanted.weights), range })
        .collect();
    let hits = likeliest(&sentences, near, wanted);
    let quoted = crate::text::sentences(wanted.text).len().max(1);
    let longest = quoted + 1;
    let mut best: Option<(Range<usize>, Comparison)> = None;
    for hit in hits {
        for len in 1..=longest.min(5) {
            for start in hit.saturating_sub(len - 1)..=hit {
                if start + len > sentences.len() {
                    continue;
                }
                let window = start..start + len;
                let comparison = compared(text, &sentences, window.clone(), wanted);
                if best.as_ref().is_none_or(|(_, best)| comparison.closeness > best.closeness + 1e-9) {
                    best = Some((window, comparison));
                }
            }
        }
    }
    let (window, comparison) = best?;
    let (window, mut comparison) = wider(text, &sentences, window, comparison, wanted);
    comparison.closeness += FURTHER_SENTENCE * (window.len() - 1).min(quoted - 1) as f64;
    let window = narrower(text, &sentences, window, &comparison, quoted, wanted);
    let range = sentences[window.start].range.start..sentences[window.end - 1].range.end;
    Some(Close { place: Place::new(file, section, range), comparison })
}

struct Said {
    range: Range<usize>,
    tokens: Vec<Token>,
}

/// The sentences that share most of the quote's weight.
fn likeliest(sentences: &[Said], near: Option<usize>, wanted: &Wanted<'_>) -> Vec<usize> {
    if let Some(near) = near {
        return vec![near.min(sentences.len().saturating_sub(1))];
    }
    let shared = |said: &Said| -> f64 {
        wanted
            .tokens
            .iter()
            .filter(|token| said.tokens.iter().any(|other| token.is_said_by(other)))
            .map(|token| token.weight)
            .sum()
    };
    let mut all: Vec<(usize, f64)> =
        sentences.iter().map(shared).enumerate().filter(|(_, shared)| *shared > 0.0).collect();
    all.sort_by(|one, other| other.1.total_cmp(&one.1).then(one.0.cmp(&other.0)));
    all.into_iter().take(4).map(|(at, _)| at).collect()
}

/// When something is only missing, it may stand in the next sentence or the one before.
fn wider(
    text: &str,
    sentences: &[Said],
    window: Range<usize>,
    comparison: Comparison,
    wanted: &Wanted<'_>,
) -> (Range<usize>, Comparison) {
    if comparison.differences.is_empty() || comparison.differences.iter().any(|difference| difference.notes.is_some()) {
        return (window, comparison);
    }
    let more = [window.start..window.end + 1, window.start.saturating_sub(1)..window.end];
    for wider in more.into_iter().filter(|wider| wider.end <= sentences.len() && *wider != window) {
        let again = compared(text, sentences, wider.clone(), wanted);
        if again.differences.is_empty() {
            return (wider, again);
        }
    }
    (window, comparison)
}

/// Leaves out sentences at the ends that say nothing of what the card asks and answers, as far as there are more
/// than were quoted: they were taken in for words that happen to stand there too.
fn narrower(
    text: &str,
    sentences: &[Said],
    mut window: Range<usize>,
    comparison: &Comparison,
    quoted: usize,
    wanted: &Wanted<'_>,
) -> Range<usize> {
    let touched = |said: &Said| {
        let touch = touches(wanted.tokens, wanted.focus);
        let of_card = wanted.tokens.iter().zip(touch).filter(|(_, touch)| *touch != Touch::Nothing);
        of_card.into_iter().any(|(token, _)| said.tokens.iter().any(|other| token.is_said_by(other)))
    };
    while window.len() > quoted && comparison.differences.is_empty() {
        let ends = [(window.end - 1, window.start..window.end - 1), (window.start, window.start + 1..window.end)];
        let fits = |(end, rest): &(usize, Range<usize>)| {
            !touched(&sentences[*end]) && compared(text, sentences, rest.clone(), wanted).differences.is_empty()
        };
        let Some((_, rest)) = ends.into_iter().find(fits) else { break };
        window = rest;
    }
    window
}

fn compared(text: &str, sentences: &[Said], window: Range<usize>, wanted: &Wanted<'_>) -> Comparison {
    let start = sentences[window.start].range.start;
    let end = sentences[window.end - 1].range.end;
    let mut tokens: Vec<Token> = Vec::new();
    for said in &sentences[window.clone()] {
        let (clause, sentence) = tokens.last().map_or((0, 0), |last| (last.clause + 1, last.sentence + 1));
        let shift = said.range.start - start;
        tokens.extend(said.tokens.iter().map(|token| Token {
            span: token.span.start + shift..token.span.end + shift,
            bounded: token.bounded.start + shift..token.bounded.end + shift,
            clause: token.clause + clause,
            sentence: token.sentence + sentence,
            ..token.clone()
        }));
    }
    let before: Vec<Token> =
        sentences[window.start.saturating_sub(2)..window.start].iter().flat_map(|said| said.tokens.clone()).collect();
    let quote = Read { text: wanted.text, tokens: wanted.tokens };
    let mut out =
        compare(quote, Read { text: &text[start..end], tokens: &tokens }, wanted.focus, &before, wanted.weights);
    // A further sentence has to bring a good part of the quote, not a word that stands there too.
    out.closeness -= FURTHER_SENTENCE * (window.len() - 1) as f64;
    // A sentence belongs to the passage for more than a word that happens to stand in it.
    if window.len() > 1 && out.fewest < 2 {
        out.closeness -= 0.25;
    }
    out
}
