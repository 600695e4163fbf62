//! Which key statements of the notes have a card, and which have none.
//!
//! A card has a statement when a quote of it stands in the statement's sentence, be it only a clause,
//! or when the statement supports the answer of a question without a quote.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use rayon::prelude::*;
use serde::Serialize;

use super::citations::{asked, own_notes};
use super::cite::{ENOUGH, Near, passages};
use super::judge::State;
use super::keys::{KeyKind, key_statements};
use super::locate::Place;
use crate::check::Context;
use crate::deck::{Card, Deck};
use crate::notes::{Notes, Section};

/// The coverage of a department's notes. As JSON it has the shape of `schema/coverage.schema.json`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Coverage {
    /// The version of the format.
    pub format: u8,
    /// The notes, by path.
    pub topics: Vec<TopicCoverage>,
    /// All of them together.
    pub total: Counted,
}

/// One file of notes.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TopicCoverage {
    /// The file, from the top of the department.
    pub path: String,
    /// The deck beside it, where there is one.
    pub deck: Option<String>,
    /// The deck's topic, else the first heading.
    pub topic: String,
    /// How much of it has cards.
    #[serde(flatten)]
    pub counted: Counted,
    /// Its sections in order.
    pub sections: Vec<SectionCoverage>,
}

/// One section.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SectionCoverage {
    /// Its anchor; empty before the first heading.
    pub anchor: String,
    /// Its heading.
    pub heading: String,
    /// The line on which it begins.
    pub line: usize,
    /// How many words it has.
    pub words: usize,
    /// How much of it has cards.
    #[serde(flatten)]
    pub counted: Counted,
    /// Its key statements in order.
    pub statements: Vec<StatementCoverage>,
}

/// One key statement.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StatementCoverage {
    /// What makes it one.
    pub kind: KeyKind,
    /// The sentence or row as read.
    pub text: String,
    /// The line on which it begins.
    pub line: usize,
    /// The ids of the cards that have it, sorted.
    pub cards: Vec<String>,
}

/// How many key statements, how many of them have a card, and how many cards were made from there.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Counted {
    /// Key statements.
    pub key_statements: usize,
    /// Those with a card.
    pub covered: usize,
    /// Cards whose source it is, or whose quote stands there.
    pub cards: usize,
}

impl Counted {
    /// The share with a card, from 0 to 1; 1 when there is nothing to cover.
    pub fn share(&self) -> f64 {
        if self.key_statements == 0 { 1.0 } else { self.covered as f64 / self.key_statements as f64 }
    }

    fn of(statements: &[StatementCoverage], cards: usize) -> Counted {
        let covered = statements.iter().filter(|statement| !statement.cards.is_empty()).count();
        Counted { key_statements: statements.len(), covered, cards }
    }
}

impl Coverage {
    /// The coverage of the notes among `wanted`, by path, which every card of the department can add to.
    pub fn new(context: &Context<'_>, wanted: impl Fn(&str) -> bool) -> Coverage {
        let held = Held::of(context);
        let files = context.all_notes.files().filter(|(path, _)| wanted(path));
        let found: Vec<(TopicCoverage, BTreeSet<&str>)> =
            files.map(|(path, notes)| held.topic(context, path, notes)).collect();
        let cards: BTreeSet<&str> = found.iter().flat_map(|(_, cards)| cards).copied().collect();
        let topics: Vec<TopicCoverage> = found.into_iter().map(|(topic, _)| topic).collect();
        let sum = |part: fn(&Counted) -> usize| topics.iter().map(|topic| part(&topic.counted)).sum();
        let total = Counted {
            key_statements: sum(|counted| counted.key_statements),
            covered: sum(|counted| counted.covered),
            cards: cards.len(),
        };
        Coverage { format: 1, topics, total }
    }

    /// The key statements without a card, with the path of their notes and their section.
    pub fn open(&self) -> impl Iterator<Item = (&str, &SectionCoverage, &StatementCoverage)> {
        let sections = self.topics.iter().flat_map(|topic| topic.sections.iter().map(move |section| (topic, section)));
        sections.flat_map(|(topic, section)| {
            let open = section.statements.iter().filter(|statement| statement.cards.is_empty());
            open.map(move |statement| (topic.path.as_str(), section, statement))
        })
    }
}

/// Where the notes are held by cards.
pub(crate) struct Held<'h> {
    /// By file: the bytes, and the card.
    passages: BTreeMap<String, Vec<(Range<usize>, &'h str)>>,
    /// By file and anchor: the cards whose source it is.
    sources: BTreeMap<(String, String), BTreeSet<&'h str>>,
}

impl<'h> Held<'h> {
    /// What the cards of the department hold.
    pub(crate) fn of(context: &'h Context<'_>) -> Held<'h> {
        let mut held = Held { passages: BTreeMap::new(), sources: BTreeMap::new() };
        let supported = supported(context);
        for ((deck, card), supported) in context.department.cards().zip(supported) {
            let id = name(card);
            for judged in context.judged_of(deck, card) {
                let stands = matches!(
                    judged.judgement.state,
                    State::Supported | State::Moved | State::Reworded | State::Doubtful
                );
                judged.judgement.place.iter().filter(|_| stands).for_each(|place| held.add(place, id));
            }
            supported.iter().for_each(|place| held.add(place, id));
            let sources = card.questions.iter().filter_map(|question| crate::check::section_of(deck, card, question));
            sources.for_each(|source| _ = held.sources.entry(source).or_default().insert(id));
        }
        held
    }

    fn add(&mut self, place: &Place, id: &'h str) {
        self.passages.entry(place.file.clone()).or_default().push((place.span.clone(), id));
        self.sources.entry((place.file.clone(), place.anchor.clone())).or_default().insert(id);
    }

    /// The cards that have something of these bytes of a file, sorted.
    pub(crate) fn cards_at(&self, file: &str, span: &Range<usize>) -> Vec<String> {
        let passages = self.passages.get(file).into_iter().flatten();
        let there = passages.filter(|(other, _)| other.start < span.end && span.start < other.end);
        let cards: BTreeSet<&str> = there.map(|(_, card)| *card).collect();
        cards.into_iter().map(str::to_owned).collect()
    }

    fn topic(&self, context: &Context<'_>, path: &str, notes: &Notes) -> (TopicCoverage, BTreeSet<&'h str>) {
        let folder = path.rsplit_once('/').map_or("", |(folder, _)| folder);
        let deck = folder.strip_prefix("decks/").and_then(|name| context.department.deck(name));
        let sections: Vec<SectionCoverage> =
            notes.sections().iter().map(|section| self.section(context, path, section)).collect();
        let anchors = notes.sections().iter().map(|section| (path.to_owned(), section.anchor.clone()));
        let cards: BTreeSet<&str> = anchors.filter_map(|key| self.sources.get(&key)).flatten().copied().collect();
        let heading = || notes.sections().iter().map(|section| section.heading.as_str()).find(|text| !text.is_empty());
        let topic = deck.map(|deck| deck.topic()).or_else(heading).unwrap_or(path).to_owned();
        let sum = |part: fn(&Counted) -> usize| sections.iter().map(|section| part(&section.counted)).sum();
        let counted = Counted {
            key_statements: sum(|counted| counted.key_statements),
            covered: sum(|counted| counted.covered),
            cards: cards.len(),
        };
        let deck = deck.map(|deck| deck.name.clone());
        (TopicCoverage { path: path.to_owned(), deck, topic, counted, sections }, cards)
    }

    fn section(&self, context: &Context<'_>, path: &str, section: &Section) -> SectionCoverage {
        let file = context.department.notes.get(path);
        let line = |at: usize| file.map_or(1, |file| file.position(at).line);
        let keys = key_statements(section).into_iter();
        let statements: Vec<StatementCoverage> = keys
            .map(|key| {
                let span = section.place_of(key.range.clone());
                StatementCoverage {
                    kind: key.kind,
                    text: key.text(section).to_owned(),
                    line: line(span.start),
                    cards: self.cards_at(path, &span),
                }
            })
            .collect();
        let cards = self.sources.get(&(path.to_owned(), section.anchor.clone())).map_or(0, BTreeSet::len);
        SectionCoverage {
            anchor: section.anchor.clone(),
            heading: section.heading.clone(),
            line: line(section.span.start),
            words: section.word_count(),
            counted: Counted::of(&statements, cards),
            statements,
        }
    }
}

/// For each card of the department, the passages that support those of its questions that no quote
/// speaks for.
fn supported(context: &Context<'_>) -> Vec<Vec<Place>> {
    let cards: Vec<_> = context.department.cards().collect();
    let of_card = |(deck, card): (&Deck, &Card)| {
        let own = card.own();
        let open = card.questions.iter().filter(|question| {
            own.quotes.is_empty() && question.quotes.is_empty() && !question.answer.points.is_empty()
        });
        let near = Near { file: own_notes(context, deck), section: None };
        let best = open.filter_map(|question| {
            let first = question.also.map(|_| own.question.value.as_str());
            let found = passages(&asked(question), first, &context.all_notes, near);
            found.into_iter().next().filter(|best| best.strength >= ENOUGH)
        });
        best.map(|best| best.place).collect()
    };
    cards.into_par_iter().map(of_card).collect()
}

/// How a card is named where it has no id.
fn name(card: &Card) -> &str {
    if card.id.is_empty() { &card.own().question } else { &card.id }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::change::support::{department, files};

    const NOTES: &str = "# Wind\n\nA **gale** is a strong wind, and it begins at 34 knots. A **storm** is worse. It lasts 6 hours.\n\n\
                         ## Calm\n\nNothing moves.\n";

    fn coverage(cards: &str) -> Coverage {
        let department = department(&files(&[
            ("decks/department.yaml", "department: G\nschool: S\nyears: [8]\n"),
            ("decks/year-8/wind/cards.yaml", &format!("title: Wind\nyear: 8\ncards:\n{cards}")),
            ("decks/year-8/wind/notes.md", NOTES),
        ]));
        Coverage::new(&Context::new(&department), |_| true)
    }

    fn cards(coverage: &Coverage) -> Vec<Vec<String>> {
        coverage.topics[0].sections[0].statements.iter().map(|statement| statement.cards.clone()).collect()
    }

    #[test]
    fn a_clause_quoted_counts_for_its_sentence() {
        let card = "  - id: a\n    question: When does it begin?\n    answer: 34 knots\n    source: notes.md#wind\n    quote: it begins at 34 knots\n";
        let found = coverage(card);
        assert_eq!(cards(&found), [vec!["a".to_owned()], vec![], vec![]]);
        assert_eq!(found.total, Counted { key_statements: 3, covered: 1, cards: 1 });
        assert_eq!(found.topics[0].sections[1].counted, Counted::default());
        assert_eq!(found.open().map(|(_, _, open)| open.line).collect::<Vec<_>>(), [3, 3]);
    }

    #[test]
    fn a_card_without_quote_has_the_statement_that_supports_it() {
        let card = "  - id: a\n    question: How long does a storm last?\n    answer: 6 hours\n";
        assert_eq!(cards(&coverage(card)), [vec![], vec!["a".to_owned()], vec!["a".to_owned()]]);
    }

    #[test]
    fn a_contradicted_card_has_nothing() {
        let card = "  - id: a\n    question: When does a gale begin?\n    answer: 32 knots\n    source: notes.md#wind\n    quote: A gale is a strong wind, and it begins at 32 knots.\n";
        assert_eq!(coverage(card).total.covered, 0);
    }
}
