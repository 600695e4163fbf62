//! The passage of the notes that supports a card which has no source or no quote.

use super::all_notes::{AllNotes, Sentence, sentences_of, stems_of};
use super::judge::Asked;
use super::locate::{Place, find_elsewhere};
use super::reading::{Token, read};
use super::supports::{Statement, supports};
use crate::notes::{Passage, PassageKind, Section};
use crate::text::plain;
use std::ops::Range;

/// A passage with how well it supports a question's answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposal {
    /// The passage.
    pub place: Place,
    /// From 0 to 1: how much of the answer it gives and of the question it is about.
    pub strength: f64,
}

/// Below this a passage does not support a card.
pub const ENOUGH: f64 = 0.6;

/// Where a passage is looked for first.
#[derive(Clone, Copy, Debug, Default)]
pub struct Near<'n> {
    /// The notes beside the card's deck, as their path in the department.
    pub file: Option<&'n str>,
    /// The section that the card names.
    pub section: Option<(&'n str, &'n str)>,
}

/// So many sentences are looked at more closely.
const CANDIDATES: usize = 16;
/// What a passage may lack in strength when it is the deck's own, or in the section that is named.
const OWN: f64 = 0.08;
/// Each further sentence has to add more than this.
const SENTENCE: f64 = 0.06;
/// A passage of more sentences is no quote.
const LONGEST: usize = 3;

/// The smallest passages of the notes that say what `asked` asks and answers, the best first, no two
/// of them overlapping. `own` is the card's first question, which may say what `it` is.
pub fn passages(asked: &Asked<'_>, own: Option<&str>, all_notes: &AllNotes, near: Near<'_>) -> Vec<Proposal> {
    let wanted = Wanted::new(asked, own, all_notes);
    let mut found: Vec<(f64, Proposal)> = Vec::new();
    for sentence in all_notes.nearest(&wanted.stems, CANDIDATES) {
        found.extend(wanted.around(&sentence, near));
    }
    let place =
        |found: &(f64, Proposal)| (found.1.place.file.clone(), found.1.place.span.start, found.1.place.span.end);
    found.sort_by(|one, other| other.0.total_cmp(&one.0).then_with(|| place(one).cmp(&place(other))));
    let mut out: Vec<Proposal> = Vec::new();
    for (_, proposal) in found {
        if !out.iter().any(|other| overlap(&other.place, &proposal.place)) {
            out.push(proposal);
        }
    }
    out
}

/// Where all of `quotes` stand in one section, word for word: the first of them.
pub fn section_of_quotes(quotes: &[&str], all_notes: &AllNotes, near: Near<'_>) -> Option<Place> {
    let mut first: Option<Place> = None;
    for quote in quotes {
        let place = find_elsewhere(all_notes, near.file, &plain(quote))?;
        match &first {
            Some(first) if (&first.file, &first.anchor) != (&place.file, &place.anchor) => return None,
            Some(_) => {}
            None => first = Some(place),
        }
    }
    first
}

fn overlap(one: &Place, other: &Place) -> bool {
    one.file == other.file && one.span.start < other.span.end && other.span.start < one.span.end
}

/// A question with its answer, read once for all passages.
struct Wanted<'w> {
    statement: Statement,
    question: Vec<Token>,
    /// What the words of the answer weigh.
    answer: f64,
    stems: Vec<(String, f64)>,
    all_notes: &'w AllNotes,
}

impl<'w> Wanted<'w> {
    fn new(asked: &Asked<'_>, own: Option<&str>, all_notes: &'w AllNotes) -> Wanted<'w> {
        let weights = all_notes.weights();
        let question = plain(asked.question);
        let context = own.map_or_else(|| question.clone(), |own| format!("{} {question}", plain(own)));
        let everything = [question.as_str()].into_iter().chain(asked.points.iter().copied());
        let everything = plain(&everything.collect::<Vec<_>>().join(" "));
        let weighted = |(stem, _): (String, f64)| {
            let weight = weights.of_stem(&stem);
            (stem, weight)
        };
        Wanted {
            statement: Statement {
                question: context,
                points: asked.points.iter().map(ToString::to_string).collect(),
                ordered: asked.ordered,
                accept: asked.accept.iter().map(ToString::to_string).collect(),
            },
            question: read(&question, weights),
            answer: read(&plain(&asked.points.join(" ")), weights).iter().map(|token| token.weight).sum(),
            stems: stems_of(&everything).into_iter().map(weighted).collect(),
            all_notes,
        }
    }

    /// The best passage that has the sentence in it, with what it is ranked by.
    fn around(&self, sentence: &Sentence<'_>, near: Near<'_>) -> Option<(f64, Proposal)> {
        let sentences = sentences_of(sentence.section);
        let weights = self.all_notes.weights();
        let about = [
            (0.8, read(&context(sentence.section, &sentences[sentence.number]), weights)),
            (0.5, read(sentence.section.as_text(), weights)),
        ];
        let mut best: Option<(f64, f64, Range<usize>)> = None;
        for len in 1..=LONGEST {
            for start in (sentence.number + 1).saturating_sub(len)..=sentence.number {
                let Some(last) = sentences.get(start + len - 1) else { continue };
                let range = sentences[start].start..last.end;
                if !is_whole(sentence.section, &range, len) {
                    continue;
                }
                let strength = self.strength(&readable(sentence.section, &range), &about);
                let ranked = strength - SENTENCE * (len - 1) as f64;
                if strength > 0.0 && best.as_ref().is_none_or(|(best, ..)| ranked > *best + 1e-9) {
                    best = Some((ranked, strength, range));
                }
            }
        }
        let (ranked, strength, range) = best?;
        let own = near.file == Some(sentence.file);
        let named = near.section == Some((sentence.file, sentence.section.anchor.as_str()));
        let ranked = ranked + OWN * f64::from(u8::from(own) + u8::from(named));
        Some((ranked, Proposal { place: Place::new(sentence.file, sentence.section, range), strength }))
    }

    /// How well a passage supports the answer; 0 when it does not. What the question is about may stand
    /// around it, for less.
    fn strength(&self, passage: &str, around: &[(f64, Vec<Token>)]) -> f64 {
        let weights = self.all_notes.weights();
        let evidence = supports(&self.statement, passage, weights);
        if !evidence.holds() {
            return 0.0;
        }
        let tokens = read(passage, weights);
        let says = |tokens: &[Token], token: &Token| tokens.iter().any(|other| token.is_said_by(other));
        let share = |token: &Token| match says(&tokens, token) {
            true => 1.0,
            false => around.iter().find(|(_, tokens)| says(tokens, token)).map_or(0.0, |(share, _)| *share),
        };
        // The longer the answer, the more it says by itself what it is about.
        let answer = 0.5 * self.answer;
        let (mut all, mut had) = (answer, answer * evidence.strength);
        for token in &self.question {
            all += token.weight;
            had += token.weight * share(token);
        }
        let about = if all > 0.0 { had / all } else { 1.0 };
        (evidence.strength * about).sqrt()
    }
}

/// Whether a range can be quoted: sentences of running text, or a single row of a table.
fn is_whole(section: &Section, range: &Range<usize>, sentences: usize) -> bool {
    let touched = |passage: &&Passage| passage.at < range.end && range.start < passage.at + passage.text.len();
    let mut inside = section.passages.iter().filter(touched);
    inside.all(|passage| !passage.head && (passage.kind != PassageKind::Row || sentences == 1))
}

/// A range for reading: the cells of a row stand apart, so that their numbers do not run together.
fn readable(section: &Section, range: &Range<usize>) -> String {
    let row = section.passages.iter().find(|passage| passage.at == range.start && passage.kind == PassageKind::Row);
    let cells = |row: &Passage| row.cells.iter().map(|cell| row.text[cell.clone()].to_owned()).collect::<Vec<_>>();
    row.map_or_else(|| section.as_text()[range.clone()].to_owned(), |row| cells(row).join("; "))
}

/// The heading, and the head of the table that a row belongs to.
fn context(section: &Section, range: &Range<usize>) -> String {
    let before = section.passages.iter().take_while(|passage| passage.at <= range.start);
    let in_table = before.clone().last().is_some_and(|passage| passage.kind == PassageKind::Row);
    let head = before.filter(|passage| passage.head).last().filter(|_| in_table);
    format!("{}. {}", section.heading, head.map_or("", |head| &head.text))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::notes::Notes;

    fn all_notes() -> AllNotes {
        let own = "# Wind\n\n## Gauges\n\nWind speed is measured with an anemometer. The wind has a speed. It is windy here.\n\n\
                   ## Force\n\n| Force | Name | Speed |\n| --- | --- | --- |\n| 8 | Gale | 34 knots |\n| 9 | Strong gale | 41 knots |\n";
        let other = "# Sea\n\nAt sea the wind speed is measured with an anemometer too. The tide is high. It comes twice a day.\n";
        AllNotes::new([("own.md".to_owned(), Notes::read(own)), ("sea.md".to_owned(), Notes::read(other))])
    }

    fn best(question: &str, answer: &str) -> Option<(String, f64)> {
        let asked = Asked { question, points: vec![answer], ..Asked::default() };
        let near = Near { file: Some("own.md"), section: None };
        let found = passages(&asked, None, &all_notes(), near);
        found.first().map(|best| (best.place.text.clone(), best.strength))
    }

    #[track_caller]
    fn cites(question: &str, answer: &str, passage: &str) {
        let (found, strength) = best(question, answer).expect("a passage");
        assert_eq!(found, passage);
        assert!(strength >= ENOUGH, "{strength}");
    }

    #[test]
    fn the_smallest_passage_of_the_own_notes_comes_first() {
        cites("Which instrument measures wind speed?", "An anemometer", "Wind speed is measured with an anemometer.");
        cites("What is the name of force 8?", "Gale", "8 Gale 34 knots");
        cites("How often does the high tide come?", "Twice a day", "The tide is high. It comes twice a day.");
    }

    #[test]
    fn nothing_supports_a_card_about_something_else() {
        for (question, answer) in [("What is a volcano?", "A mountain"), ("What is force 8?", "43 knots"), ("", "")] {
            assert!(best(question, answer).is_none_or(|(_, strength)| strength < ENOUGH), "{question}");
        }
    }

    #[test]
    fn the_runner_up_is_another_passage() {
        let asked = Asked { question: "What measures wind speed?", points: vec!["An anemometer"], ..Asked::default() };
        let found = passages(&asked, None, &all_notes(), Near { file: Some("own.md"), section: None });
        assert_eq!((found[0].place.file.as_str(), found[1].place.file.as_str()), ("own.md", "sea.md"));
    }

    #[test]
    fn quotes_are_found_in_one_section() {
        let all_notes = all_notes();
        let near = Near::default();
        let found = section_of_quotes(&["The tide is high.", "It comes twice a day"], &all_notes, near);
        assert_eq!(found.map(|place| place.anchor).as_deref(), Some("sea"));
        assert_eq!(section_of_quotes(&["The tide is high.", "It is windy here."], &all_notes, near), None);
        assert_eq!(section_of_quotes(&["Nobody says so."], &all_notes, near), None);
    }
}
