//! Cards and notes by their words: ranked, stemmed, with the nearest words where nothing is found.
//!
//! Rare words count more than common ones, words of a question or an answer more than words of the
//! notes, and a text that has all the words more than one that has some. The words that stand in
//! nearly every text (`the`, `is`, `which`) count for nothing.

mod near;

use std::collections::{BTreeMap, BTreeSet};

use rayon::prelude::*;
use serde::Serialize;

use crate::deck::{Card, Deck, Department};
use crate::notes::Notes;
use crate::text::meaning_stems;

pub use near::Near;

/// What was found. As JSON it has the shape of `schema/find.schema.json`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Found {
    /// The version of the format.
    pub format: u8,
    /// The cards, the best first.
    pub cards: Vec<CardHit>,
    /// The sentences of the notes, the best first.
    pub notes: Vec<NotesHit>,
    /// The words that stand nowhere, with those that were perhaps meant.
    pub near: Vec<Near>,
}

/// A card with the words.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CardHit {
    /// Its id; empty when it has none.
    pub card: String,
    /// Its deck.
    pub deck: String,
    /// The deck's file.
    pub path: String,
    /// The line of the question that fits best.
    pub line: usize,
    /// The question that fits best.
    pub question: String,
    /// Its answer.
    pub answer: String,
    /// How well it fits, for comparing hits of one search.
    pub score: f64,
}

/// A sentence of the notes with the words.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NotesHit {
    /// The file.
    pub path: String,
    /// The anchor of the section.
    pub anchor: String,
    /// The heading of the section.
    pub heading: String,
    /// The line on which the sentence begins.
    pub line: usize,
    /// The sentence as read.
    pub text: String,
    /// How well it fits, for comparing hits of one search.
    pub score: f64,
}

impl Found {
    /// Whether there is neither a card nor a sentence.
    pub fn is_empty(&self) -> bool {
        self.cards.is_empty() && self.notes.is_empty()
    }
}

/// What a text is searched as: its stems, with what each counts there.
type Stems = BTreeMap<String, f64>;

/// What a stem of a question or an answer counts, of the card's other fields, and of the notes.
const ASKED: f64 = 2.0;
const BESIDE: f64 = 1.0;
/// A hit this much weaker than the best is none.
const FAR: f64 = 0.25;

/// Searches questions, answers, accepted wordings, ids and tags of all cards, and all notes.
pub fn find(department: &Department, words: &str) -> Found {
    let notes: Vec<(&String, Notes)> =
        department.notes.par_iter().map(|(path, file)| (path, Notes::read(&file.text))).collect();
    let cards: Vec<(Stems, CardHit)> = department
        .decks
        .par_iter()
        .flat_map_iter(|deck| deck.cards.iter().flat_map(|card| questions(deck, card)))
        .collect();
    let sentences: Vec<(Stems, NotesHit)> =
        notes.par_iter().flat_map_iter(|(path, notes)| sentences(department, path, notes)).collect();
    let search =
        Search::new(words, cards.iter().map(|(stems, _)| stems).chain(sentences.iter().map(|(stems, _)| stems)));
    let hits = cards.into_iter().filter_map(|(stems, hit)| Some(CardHit { score: search.score(&stems)?, ..hit }));
    let told = sentences.into_iter().filter_map(|(stems, hit)| Some(NotesHit { score: search.score(&stems)?, ..hit }));
    Found {
        format: 1,
        cards: ranked(best_of_each_card(hits), |hit| hit.score),
        notes: ranked(told.collect(), |hit| hit.score),
        near: near::near(department, &notes, words),
    }
}

/// The questions of a card, each searched with what belongs to the whole card.
fn questions<'c>(deck: &'c Deck, card: &'c Card) -> impl Iterator<Item = (Stems, CardHit)> + 'c {
    let asked = card.questions.iter().filter(|question| !question.question.is_empty());
    asked.map(|question| {
        let mut stems = Stems::new();
        let mut add = |text: &str, counts: f64| {
            for stem in meaning_stems(text) {
                let known = stems.entry(stem).or_insert(counts);
                *known = known.max(counts);
            }
        };
        add(&question.question, ASKED);
        add(&question.answer.text(), ASKED);
        let beside = question.accept.iter().chain(&card.tags).map(|text| text.value.to_string());
        beside.chain([card.id.replace('-', " ")]).for_each(|text| add(&text, BESIDE));
        let hit = CardHit {
            card: card.id.value.to_string(),
            deck: deck.name.clone(),
            path: deck.file.path.to_string(),
            line: deck.file.position(question.question.span.start()).line,
            question: question.question.value.to_string(),
            answer: question.answer.text(),
            score: 0.0,
        };
        (stems, hit)
    })
}

fn sentences(department: &Department, path: &str, notes: &Notes) -> Vec<(Stems, NotesHit)> {
    let file = department.notes.get(path);
    let mut out = Vec::new();
    for section in notes.sections() {
        for passage in section.passages.iter().filter(|passage| !passage.head) {
            for range in passage.sentences() {
                let text = &passage.text[range.clone()];
                let at = passage.place_of(range).start;
                let stems = meaning_stems(text).into_iter().map(|stem| (stem, BESIDE)).collect();
                let hit = NotesHit {
                    path: path.to_owned(),
                    anchor: section.anchor.clone(),
                    heading: section.heading.clone(),
                    line: file.map_or(1, |file| file.position(at).line),
                    text: text.to_owned(),
                    score: 0.0,
                };
                out.push((stems, hit));
            }
        }
    }
    out
}

/// A card counts with the question that fits best.
fn best_of_each_card(hits: impl Iterator<Item = CardHit>) -> Vec<CardHit> {
    let mut best: Vec<CardHit> = Vec::new();
    for hit in hits {
        match best.last_mut().filter(|last| !last.card.is_empty() && (&last.deck, &last.card) == (&hit.deck, &hit.card))
        {
            Some(last) if last.score < hit.score => *last = hit,
            Some(_) => {}
            None => best.push(hit),
        }
    }
    best
}

/// The best first, those that are as good in the order of the department, and none that is far behind.
fn ranked<T>(mut hits: Vec<T>, score: impl Fn(&T) -> f64) -> Vec<T> {
    hits.sort_by(|one, other| score(other).total_cmp(&score(one)));
    let least = hits.first().map_or(0.0, |best| FAR * score(best));
    hits.retain(|hit| score(hit) >= least);
    hits
}

/// What is looked for, with how rare each stem is.
struct Search {
    stems: BTreeMap<String, f64>,
}

impl Search {
    fn new<'s>(words: &str, texts: impl Iterator<Item = &'s Stems>) -> Search {
        let wanted: BTreeSet<String> = meaning_stems(words);
        let mut seen: BTreeMap<&str, f64> = wanted.iter().map(|stem| (stem.as_str(), 0.0)).collect();
        let mut all = 0.0;
        for text in texts {
            all += 1.0;
            for (stem, count) in &mut seen {
                *count += f64::from(u8::from(text.contains_key(*stem)));
            }
        }
        let rarity = |count: f64| ((all + 1.0) / (count + 0.5)).ln().max(0.1);
        Search { stems: seen.into_iter().map(|(stem, count)| (stem.to_owned(), rarity(count))).collect() }
    }

    /// How well a text fits; `None` when it has none of the words.
    fn score(&self, text: &Stems) -> Option<f64> {
        let had: Vec<f64> =
            self.stems.iter().filter_map(|(stem, rarity)| text.get(stem).map(|counts| counts * rarity)).collect();
        let share = had.len() as f64 / self.stems.len().max(1) as f64;
        // Of two texts with the same words the shorter says more about them.
        let length = 1.0 + 0.1 * (text.len() as f64).ln().max(0.0);
        let score = had.iter().sum::<f64>() * share * share / length;
        (!had.is_empty()).then(|| (score * 1000.0).round() / 1000.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::change::support::{department, files};

    fn searched(words: &str) -> Found {
        let cards = "title: Wind\nyear: 8\ncards:\n  - id: gauge\n    question: Which instrument measures wind speed?\n    answer: An anemometer\n\n  \
                     - id: vane\n    question: Which instrument shows the direction of the wind?\n    answer: A weather vane\n    tags: [fieldwork]\n    \
                     also:\n      - question: How many cups has it?\n        answer: Three cups\n";
        let notes = "# Wind\n\n## Speed\n\nThe wind blows. Cups were turning at thirty knots.\n";
        find(
            &department(&files(&[
                ("decks/department.yaml", "department: G\nschool: S\nyears: [8]\n"),
                ("decks/year-8/wind/cards.yaml", cards),
                ("decks/year-8/wind/notes.md", notes),
            ])),
            words,
        )
    }

    fn ids(words: &str) -> Vec<String> {
        searched(words).cards.into_iter().map(|hit| hit.card).collect()
    }

    #[test]
    fn cards_are_ranked_by_the_words_they_have() {
        assert_eq!(ids("directions of winds"), ["vane"]);
        assert_eq!(ids("instruments"), ["gauge", "vane"]);
        assert_eq!(ids("measuring the SPEED"), ["gauge"]);
        assert_eq!(ids("fieldwork"), ["vane"]);
        assert_eq!(ids("gauge"), ["gauge"]);
    }

    #[test]
    fn a_card_is_shown_with_the_question_that_fits() {
        let found = searched("3 cups");
        assert_eq!((found.cards[0].question.as_str(), found.cards[0].line), ("How many cups has it?", 13));
        assert_eq!(found.notes[0].text, "Cups were turning at thirty knots.");
        assert_eq!((found.notes[0].anchor.as_str(), found.notes[0].line), ("speed", 5));
    }

    #[test]
    fn numbers_are_found_by_value() {
        assert_eq!(searched("30 knots").notes[0].text, "Cups were turning at thirty knots.");
    }

    #[test]
    fn nothing_found_names_the_nearest_words() {
        let found = searched("anemomter");
        assert!(found.is_empty());
        assert_eq!(found.near, [Near { word: "anemomter".to_owned(), instead: vec!["anemometer".to_owned()] }]);
        assert!(searched("the of").is_empty() && searched("").is_empty());
        assert!(searched("volcano").near[0].instead.is_empty());
    }
}
