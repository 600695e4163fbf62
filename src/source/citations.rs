//! Sources and quotes for the cards of a department that have none, and writing them down.

use rayon::prelude::*;
use serde::Serialize;

use super::all_notes::AllNotes;
use super::cite::{ENOUGH, Near, Proposal, passages, section_of_quotes};
use super::judge::Asked;
use super::locate::Place;
use super::supports::{Statement, supports};
use crate::check::{Context, source_in};
use crate::deck::department::join;
use crate::deck::outline::{EditError, outline, set_field};
use crate::deck::{Card, Deck, Question, Text, Value};
use crate::text::plain;

/// What was found for one card.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Citation {
    /// The deck.
    pub deck: String,
    /// The deck's file.
    pub path: String,
    /// The card's id; empty when it has none.
    pub card: String,
    /// Its own question first; of those under `also` the ones that need a quote of their own.
    pub questions: Vec<Cite>,
}

/// What was found for one question.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Cite {
    /// `null` for the card's own question, else its number under `also`, from 0.
    pub also: Option<usize>,
    /// The question.
    pub question: String,
    /// The whole answer.
    pub answer: String,
    /// The passage that supports it; `null` when nothing in the notes does.
    pub passage: Option<Cited>,
    /// The passage after that; the nearest one when nothing supports the answer.
    pub runner_up: Option<Cited>,
    /// What is written under `source`; `null` when the card's own holds.
    #[serde(skip)]
    pub source: Option<String>,
    /// What is written under `quote`; `null` when it has one.
    #[serde(skip)]
    pub quote: Option<String>,
}

/// A passage of the notes as a card names it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Cited {
    /// `file#section`, from the deck's folder.
    pub source: String,
    /// The passage as read.
    pub text: String,
    /// The file, from the top of the department.
    pub path: String,
    /// The line on which it begins.
    pub line: usize,
    /// From 0 to 1.
    pub strength: f64,
}

/// Passages for all cards among `wanted` that have no source or no quote, in the order of the
/// department.
pub fn citations(context: &Context<'_>, wanted: impl Fn(&Deck, &Card) -> bool) -> Vec<Citation> {
    let cards: Vec<_> = context.department.cards().filter(|(deck, card)| wanted(deck, card) && needs(card)).collect();
    cards.into_par_iter().map(|(deck, card)| Finder { context, deck, card }.citation()).collect()
}

/// Whether a card has no source or no quote, and is complete enough to find one.
pub fn needs(card: &Card) -> bool {
    let own = card.own();
    let asks = !own.question.is_empty() && !own.answer.points.is_empty();
    asks && (own.source.is_none() || own.quotes.is_empty())
}

impl Citation {
    /// The deck's text with the sources and quotes that were found; the text itself when there is
    /// nothing to write. Questions and answers stay as they are.
    ///
    /// # Errors
    ///
    /// When the deck cannot be read or the card is not in it.
    pub fn written(&self, text: &str) -> Result<String, EditError> {
        let mut text = text.to_owned();
        for cite in self.questions.iter().filter(|cite| cite.also.is_none()) {
            for (field, value) in [("source", &cite.source), ("quote", &cite.quote)] {
                if let Some(value) = value {
                    text = set_field(&text, &self.card, field, Some(&Value::Text(value.clone())))?;
                }
            }
        }
        let parts = outline(&text).ok_or(EditError::Unreadable)?;
        let also = parts.card(&self.card).and_then(|card| card.value("also"));
        let Some(Value::List(mut entries)) = also.cloned() else { return Ok(text) };
        for cite in &self.questions {
            let Some(Value::Map(fields)) = cite.also.and_then(|at| entries.get_mut(at)) else { continue };
            for (field, value) in [("source", &cite.source), ("quote", &cite.quote)] {
                if let Some(value) = value {
                    fields.insert(field.to_owned(), Value::Text(value.clone()));
                }
            }
        }
        set_field(&text, &self.card, "also", Some(&Value::List(entries)))
    }

    /// Whether there is something to write for a question.
    pub fn finds(&self) -> bool {
        self.questions.iter().any(|cite| cite.source.is_some() || cite.quote.is_some())
    }

    /// Whether every question is supported.
    pub fn is_complete(&self) -> bool {
        self.questions.iter().all(|cite| cite.passage.is_some())
    }
}

/// How a passage is written as a quote: as it reads, or as typed in the notes where its signs would
/// be taken for markup; `None` when neither reads back as the passage.
pub(crate) fn quotable(place: &Place, notes: &str) -> Option<String> {
    let typed = || notes.get(place.span.clone()).unwrap_or_default().split_whitespace().collect::<Vec<_>>().join(" ");
    let reads = |quote: &String| plain(quote) == place.text;
    Some(place.text.clone()).filter(reads).or_else(|| Some(typed()).filter(reads))
}

/// The notes beside a deck that come first: `notes.md`, else the first by name.
pub(crate) fn own_notes<'c>(context: &'c Context<'_>, deck: &Deck) -> Option<&'c str> {
    let folder = format!("{}/", deck.folder());
    let notes = || context.department.notes.keys().map(String::as_str);
    let beside = |path: &&str| path.strip_prefix(folder.as_str()).is_some_and(|name| !name.contains('/'));
    let usual = format!("{folder}notes.md");
    notes().find(|path| *path == usual).or_else(|| notes().find(beside))
}

/// A question as the language work sees it.
pub(crate) fn asked(question: &Question) -> Asked<'_> {
    Asked {
        question: &question.question,
        points: texts(&question.answer.points),
        ordered: question.answer.ordered,
        accept: texts(&question.accept),
        quotes: Vec::new(),
    }
}

fn texts(texts: &[Text]) -> Vec<&str> {
    texts.iter().map(|text| text.value.as_str()).collect()
}

struct Finder<'f> {
    context: &'f Context<'f>,
    deck: &'f Deck,
    card: &'f Card,
}

impl Finder<'_> {
    fn all_notes(&self) -> &AllNotes {
        &self.context.all_notes
    }

    fn citation(&self) -> Citation {
        let own = self.own();
        let quotes = if self.card.own().quotes.is_empty() {
            own.passage.iter().map(|passage| passage.text.clone()).collect::<Vec<_>>().join(" ")
        } else {
            texts(&self.card.own().quotes).join(" ")
        };
        let source =
            own.source.clone().or_else(|| self.card.own().source.as_ref().map(|source| source.value.to_string()));
        let further = self.card.questions.iter().skip(1).filter(|question| {
            !question.question.is_empty() && question.quotes.is_empty() && !self.covers(&quotes, question)
        });
        let further: Vec<Cite> = further.map(|question| self.further(question, source.as_deref())).collect();
        Citation {
            deck: self.deck.name.clone(),
            path: self.deck.file.path.to_string(),
            card: self.card.id.value.to_string(),
            questions: std::iter::once(own).chain(further).collect(),
        }
    }

    fn own(&self) -> Cite {
        let own = self.card.own();
        if own.quotes.is_empty() {
            let mut cite = self.search(own, None, own.source.as_ref());
            cite.source = cite.passage.as_ref().map(|passage| passage.source.clone());
            return cite;
        }
        // It has a quote, and only the section is wanted. What was typed is not replaced by another.
        let quotes = texts(&own.quotes);
        let mut cite = self.search(own, None, None);
        let place = section_of_quotes(&quotes, self.all_notes(), self.near(None));
        let found = place.map(|place| self.cited(&Proposal { place, strength: 1.0 }));
        if found.is_none() {
            cite.runner_up = cite.passage.take().or(cite.runner_up);
        }
        Cite { source: found.as_ref().map(|found| found.source.clone()), passage: found, quote: None, ..cite }
    }

    fn further(&self, question: &Question, source: Option<&str>) -> Cite {
        let text = source.map(|source| Text { value: source.into(), ..Text::default() });
        let named = question.source.as_ref().or(text.as_ref());
        let mut cite = self.search(question, Some(&self.card.own().question), named);
        let own = cite.passage.as_ref().map(|passage| passage.source.clone());
        cite.source = own.filter(|own| named.is_none_or(|named| named.value != *own));
        cite
    }

    /// The best passage and the one after it.
    fn search(&self, question: &Question, own: Option<&str>, named: Option<&Text>) -> Cite {
        let mut found = passages(&asked(question), own, self.all_notes(), self.near(named)).into_iter();
        let (first, second) = (found.next(), found.next());
        let supports = first.as_ref().is_some_and(|first| first.strength >= ENOUGH);
        let (best, runner_up) = if supports { (first, second) } else { (None, first) };
        Cite {
            also: question.also,
            question: question.question.value.to_string(),
            answer: question.answer.text(),
            quote: best.as_ref().map(|best| self.quote(&best.place)),
            source: None,
            passage: best.as_ref().map(|best| self.cited(best)),
            runner_up: runner_up.as_ref().map(|next| self.cited(next)),
        }
    }

    /// Whether the card's own quotes support a further question's answer too.
    fn covers(&self, quotes: &str, question: &Question) -> bool {
        let Asked { points, ordered, accept, .. } = asked(question);
        let owned = |texts: Vec<&str>| texts.into_iter().map(str::to_owned).collect();
        let statement = Statement {
            question: format!("{} {}", &*self.card.own().question, &*question.question),
            points: owned(points),
            ordered,
            accept: owned(accept),
        };
        !quotes.is_empty() && supports(&statement, quotes, self.all_notes().weights()).holds()
    }

    fn near<'n>(&'n self, named: Option<&'n Text>) -> Near<'n> {
        let file = own_notes(self.context, self.deck);
        let section = named.and_then(|named| {
            let (file, anchor) = named.value.split_once('#')?;
            let path = join(&self.deck.folder(), file.trim())?;
            let (path, _) = self.all_notes().files().find(|(known, _)| *known == path)?;
            Some((path, anchor.trim()))
        });
        Near { file, section }
    }

    fn quote(&self, place: &Place) -> String {
        let notes = self.context.department.notes.get(&place.file);
        notes.and_then(|notes| quotable(place, &notes.text)).unwrap_or_else(|| place.text.clone())
    }

    fn cited(&self, proposal: &Proposal) -> Cited {
        let Proposal { place, strength } = proposal;
        let line = self.context.department.notes.get(&place.file).map(|file| file.position(place.span.start).line);
        Cited {
            source: source_in(&self.deck.folder(), place),
            text: place.text.clone(),
            path: place.file.clone(),
            line: line.unwrap_or(1),
            strength: (strength * 100.0).round() / 100.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::change::support::{department, files};
    use crate::deck::Department;

    const NOTES: &str = "# Wind\n\n## Gauges\n\nWind speed is measured with an anemometer, in knots. Pressure is measured with a barometer.\n\n\
                         ## Force\n\nForce 8, a gale, begins at 34 knots. A storm lasts 6 hours.\n";

    fn with(cards: &str) -> Department {
        department(&files(&[
            ("decks/department.yaml", "department: G\nschool: S\nyears: [8]\n"),
            ("decks/year-8/wind/cards.yaml", &format!("title: W\nyear: 8\ncards:\n{cards}")),
            ("decks/year-8/wind/notes.md", NOTES),
        ]))
    }

    fn written(cards: &str) -> String {
        let department = with(cards);
        let found = citations(&Context::new(&department), |_, _| true);
        let text = department.decks[0].file.text.to_string();
        let text = found.iter().fold(text, |text, citation| citation.written(&text).expect("written"));
        text.trim_start_matches("title: W\nyear: 8\ncards:\n").to_owned()
    }

    #[test]
    fn source_and_quote_are_written_and_nothing_else() {
        let card = "  # mine\n  - id: a\n    question: \"Which instrument measures wind speed?\"  # why\n    answer:   An anemometer\n";
        let expected = format!(
            "{card}    source: notes.md#gauges\n    quote: Wind speed is measured with an anemometer, in knots.\n"
        );
        assert_eq!(written(card), expected);
        assert_eq!(written(&expected), expected);
    }

    #[test]
    fn further_questions_get_a_quote_only_where_the_cards_does_not_cover_them() {
        let card = "  - id: a\n    question: Which instrument measures wind speed?\n    answer: An anemometer\n    also:\n      \
                    - question: Which unit does it give?\n        answer: Knots\n      - question: What measures pressure?\n        answer: A barometer\n      \
                    - question: How long does a storm last?\n        answer: 6 hours\n";
        let text = written(card);
        for line in [
            "        answer: Knots\n",
            "        answer: A barometer\n        quote: Pressure is measured with a barometer.\n",
            "        answer: 6 hours\n        source: notes.md#force\n        quote: A storm lasts 6 hours.\n",
        ] {
            assert!(text.contains(line), "{text}");
        }
        assert_eq!(text.matches("quote:").count(), 3, "{text}");
    }

    #[test]
    fn a_quote_that_was_typed_stays_and_gets_its_section() {
        let card = "  - id: a\n    question: When does a gale begin?\n    answer: At 34 knots\n    quote: Force 8, a gale, begins at 34 knots.\n";
        assert!(written(card).contains("    source: notes.md#force\n    quote: Force 8"), "{}", written(card));
        let lost = card.replace("Force 8, a gale,", "A gale, some say,");
        assert_eq!(written(&lost), lost);
    }

    #[test]
    fn nothing_is_written_where_nothing_supports_the_card() {
        let card = "  - id: a\n    question: When does a gale begin?\n    answer: At 43 knots\n";
        assert_eq!(written(card), card);
        let found = with(card);
        let found = citations(&Context::new(&found), |_, _| true);
        assert!(!found[0].is_complete() && !found[0].finds());
    }
}
