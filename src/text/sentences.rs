//! Sentences by UAX #29, repaired for school prose: `e.g.`, `Fig. 3`, `St. Helens`.

use std::ops::Range;
use unicode_segmentation::UnicodeSegmentation;

/// The byte ranges of the sentences, without the space around them, in order.
///
/// ```
/// use deckle::text::sentences;
/// let text = "See Fig. 3, e.g. St. Helens. It erupted in 1980.";
/// let found: Vec<_> = sentences(text).into_iter().map(|range| &text[range]).collect();
/// assert_eq!(found, ["See Fig. 3, e.g. St. Helens.", "It erupted in 1980."]);
/// ```
pub fn sentences(text: &str) -> Vec<Range<usize>> {
    let mut out: Vec<Range<usize>> = Vec::new();
    let mut open: Option<Range<usize>> = None;
    for (at, part) in text.split_sentence_bound_indices() {
        let range = open.take().map_or(at, |range| range.start)..at + part.len();
        let next = text[range.end..].chars().next();
        if next.is_some() && goes_on(&text[range.clone()], next) {
            open = Some(range);
        } else {
            out.extend(trimmed(text, range));
        }
    }
    out.extend(open.and_then(|range| trimmed(text, range)));
    out
}

fn trimmed(text: &str, range: Range<usize>) -> Option<Range<usize>> {
    let part = &text[range.clone()];
    let start = range.start + (part.len() - part.trim_start().len());
    let end = range.start + part.trim_end().len();
    (start < end).then_some(start..end)
}

/// Whether the full stop at the end of `part` is an abbreviation's, so that the sentence goes on.
fn goes_on(part: &str, next: Option<char>) -> bool {
    let part = part.trim_end_matches([' ', '\u{a0}', '\t']);
    let Some(body) = part.strip_suffix('.') else { return false };
    let start = body
        .rfind(|c: char| c.is_whitespace() || matches!(c, '(' | '[' | '"' | '\'' | '-' | ','))
        .map_or(0, |at| at + body[at..].chars().next().map_or(1, char::len_utf8));
    let word = &body[start..];
    let digit = next.is_some_and(|c| c.is_ascii_digit());
    let upper = next.is_some_and(char::is_uppercase);
    if ABBREVIATIONS.binary_search(&word.to_lowercase().as_str()).is_ok() {
        return !(ENDS_TOO.contains(&word) && upper);
    }
    if BEFORE_NUMBERS.contains(&word) {
        return digit || (upper && word == "Fig");
    }
    // Initials: `A. Wegener`, `J. R. Smith`; but `vitamin C. It` ends a sentence.
    let initial = word.chars().count() == 1 && word.chars().all(char::is_uppercase);
    let before = body[..start].trim_end();
    initial && upper && (before.is_empty() || before.ends_with('.') || names_follow(before))
}

/// Whether the words before a single capital end in a capitalised word or a title.
fn names_follow(before: &str) -> bool {
    let last = before.rsplit(char::is_whitespace).next().unwrap_or("");
    matches!(last, "by" | "Dr" | "Prof" | "and")
}

/// Never the end of a sentence.
const ABBREVIATIONS: [&str; 31] = [
    "a.d", "a.m", "approx", "b.c", "c", "ca", "cf", "dr", "e.g", "eg", "esp", "etc", "gen", "gov", "i.e", "ie", "incl",
    "jr", "lat", "long", "mr", "mrs", "ms", "mt", "p.m", "prof", "sr", "st", "u.k", "u.s", "vs",
];
/// Of those, the ones that end a sentence when a capital follows.
const ENDS_TOO: [&str; 16] =
    ["etc", "a.m", "p.m", "A.D", "B.C", "U.K", "U.S", "long", "Jr", "jr", "c", "C", "gov", "lat", "ms", "esp"];
/// Only before a number.
const BEFORE_NUMBERS: [&str; 14] =
    ["Fig", "Figs", "fig", "figs", "No", "no", "Nos", "p", "pp", "Ch", "ch", "Sec", "Eq", "vol"];

/// Whether a sign is punctuation, as text is read.
pub(crate) fn is_punctuation(sign: char) -> bool {
    sign.is_ascii_punctuation()
        || matches!(sign, '¡' | '§' | '¶' | '·' | '¿' | '«' | '»' | '\u{2010}'..='\u{2027}' | '\u{2030}'..='\u{205e}' | '\u{3001}'..='\u{3003}' | '\u{3008}'..='\u{3011}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn expect(text: &str, want: &[&str]) {
        let found: Vec<&str> = sentences(text).into_iter().map(|range| &text[range]).collect();
        assert_eq!(found, want);
    }

    #[test]
    fn school_prose_is_cut_where_a_reader_pauses() {
        expect("It is 3.5 km. Then 4 km!", &["It is 3.5 km.", "Then 4 km!"]);
        expect(
            "Mt. St. Helens, e.g. in Fig. 3, erupted. Ash fell.",
            &["Mt. St. Helens, e.g. in Fig. 3, erupted.", "Ash fell."],
        );
        expect("Rain, hail, etc. fall. See p. 4.", &["Rain, hail, etc. fall.", "See p. 4."]);
        expect("Rain, hail, etc. Snow too.", &["Rain, hail, etc.", "Snow too."]);
        expect("The answer is no. It is not.", &["The answer is no.", "It is not."]);
        expect("Proposed by A. Wegener. He was right.", &["Proposed by A. Wegener.", "He was right."]);
        expect("This is vitamin C. It helps.", &["This is vitamin C.", "It helps."]);
        expect("At 9 a.m. the wind rose. At 10 it fell.", &["At 9 a.m. the wind rose.", "At 10 it fell."]);
        expect("Is it? “Yes.” He went.", &["Is it?", "“Yes.”", "He went."]);
        expect("", &[]);
        expect("  \n ", &[]);
    }

    #[test]
    fn the_lists_are_sorted() {
        assert!(ABBREVIATIONS.is_sorted());
    }
}
