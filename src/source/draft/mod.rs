//! From notes to cards: stubs for the key statements of one section.
//!
//! A stub asks in the sentence's own words and answers with an exact copy of a part of it; the
//! sentence is its quote. What a card asks or quotes already is not proposed again, and nothing is
//! proposed that the checks would call an error. What was passed over is told, with the reason.

mod causes;
mod comparisons;
mod forms;
mod grammar;
mod lists;
mod runs;
mod sequences;
mod statements;
mod stub;
#[cfg(test)]
mod support;
mod write;

use std::collections::BTreeSet;
use std::ops::Range;

use serde::Serialize;

use super::citations::{asked, quotable};
use super::coverage::Held;
use super::judge::{Asked, Cited, judge};
use super::locate::{Place, find_exactly};
use crate::check::Context;
use crate::deck::settings::Limits;
use crate::notes::Section;
use crate::text::{Posed, meaning_stems, normal, similar_questions, word_count};

pub use forms::Form;
use forms::{Proposed, Sentence};
use runs::Run;
use statements::{Statement, Statements, statements};
pub use stub::Stub;
pub use write::{AppendError, appended, as_yaml, new_deck};

/// What a section gives.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Draft {
    /// The stubs, in the order of the section.
    pub stubs: Vec<Stub>,
    /// The statements that were passed over, in order.
    pub passed_over: Vec<PassedOver>,
    /// How many further sentences have none of the forms that a question is made from.
    pub without_form: usize,
    /// How many words the section has.
    pub words: usize,
    /// Whether that is more than the department's limit: about a page.
    pub too_long: bool,
}

/// A statement that there is no stub for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PassedOver {
    /// The statement as read.
    pub text: String,
    /// The line on which it begins.
    pub line: usize,
    /// Why.
    pub why: String,
}

/// Stubs for the statements of a section; `source` is what cards write under `source`.
pub fn draft(context: &Context<'_>, file: &str, section: &Section, source: &str) -> Draft {
    let limits = context.settings().limits;
    let words = section.word_count();
    let mut drafter = Drafter::new(context, file, section, source);
    let Statements { found, without_form } = statements(section);
    let mut passed_over = Vec::new();
    let mut stubs: Vec<Stub> = Vec::new();
    let mut asked_whole: Vec<&Run> = Vec::new();
    for statement in &found {
        if statement.run.is_none() && asked_whole.iter().any(|run| run.asks_for(&statement.range)) {
            continue;
        }
        match drafter.stub(statement) {
            Ok(stub) => {
                stubs.push(stub);
                asked_whole.extend(&statement.run);
            }
            Err(why) => {
                let text = statement.text(section).to_owned();
                passed_over.push(PassedOver { text, line: drafter.line(statement), why });
            }
        }
    }
    drop_similar(context, &mut stubs, &mut passed_over);
    passed_over.sort_by_key(|passed| (passed.line, section.as_text().find(&passed.text)));
    Draft { stubs, passed_over, without_form, words, too_long: words > limits.words_in_a_section }
}

struct Drafter<'d> {
    context: &'d Context<'d>,
    file: &'d str,
    section: &'d Section,
    source: &'d str,
    held: Held<'d>,
    asked: BTreeSet<String>,
    ids: BTreeSet<String>,
}

impl<'d> Drafter<'d> {
    fn new(context: &'d Context<'d>, file: &'d str, section: &'d Section, source: &'d str) -> Drafter<'d> {
        let department = context.department;
        let questions = department.cards().flat_map(|(_, card)| &card.questions);
        let ids = department.cards().map(|(_, card)| card.id.value.to_string());
        let lost = department.decks.iter().flat_map(|deck| deck.lost_ids.iter().cloned());
        Drafter {
            context,
            file,
            section,
            source,
            held: Held::of(context),
            asked: questions.map(|question| normal(&question.question)).collect(),
            ids: ids.chain(lost).collect(),
        }
    }

    fn line(&self, statement: &Statement) -> usize {
        let at = self.section.place_of(statement.range.clone()).start;
        self.context.department.notes.get(self.file).map_or(1, |file| file.position(at).line)
    }

    /// A stub for a statement, or why there is none.
    fn stub(&mut self, statement: &Statement) -> Result<Stub, String> {
        if let Some(card) = self.holder(statement) {
            return Err(format!("the card `{card}` has it already"));
        }
        let mut why = statement.unasked().to_owned();
        for proposed in self.proposals(statement) {
            // One question of a statement that is asked already is enough; it needs no other form.
            if let Some(asked) = proposed.questions().find(|question| self.asked.contains(&normal(question))) {
                return Err(format!("a card asks it already: `{asked}`"));
            }
            let quotes = self.quotes(statement, &proposed).ok_or("its signs would be taken for markup on a card")?;
            let stub = stub::stub(&proposed, self.source, &quotes, &self.ids);
            let stub = stub.at(statement.text(self.section), self.line(statement));
            match self.objection(&stub, &proposed) {
                Some(objection) => why = objection,
                None => {
                    self.asked.extend(stub.questions().map(normal));
                    self.ids.insert(stub.id.clone());
                    return Ok(stub);
                }
            }
        }
        Err(why)
    }

    /// The card that has a statement; of a list, one that has its first line or two of its items.
    fn holder(&self, statement: &Statement) -> Option<String> {
        let cards = |range: &Range<usize>| self.held.cards_at(self.file, &self.section.place_of(range.clone()));
        let Some(run) = &statement.run else { return cards(&statement.range).into_iter().next() };
        let first = run.intro.as_ref().and_then(|intro| cards(intro).into_iter().next());
        first.or_else(|| {
            let all: Vec<String> = run.items.iter().flat_map(cards).collect();
            all.iter().find(|card| all.iter().filter(|other| other == card).count() > 1).cloned()
        })
    }

    /// The passages that a card on a statement quotes.
    fn quotes(&self, statement: &Statement, proposed: &Proposed) -> Option<Vec<String>> {
        let notes = self.context.department.notes.get(self.file).map_or("", |file| &file.text);
        let quote = |range: Range<usize>| quotable(&Place::new(self.file, self.section, range), notes);
        let whole = match &statement.before {
            Some(before) if proposed.with_before => before.start..statement.range.end,
            _ => statement.range.clone(),
        };
        let Some(run) = &statement.run else { return Some(vec![quote(whole)?]) };
        // A short item that stands elsewhere in the section as well would be found there.
        let found = |range: &Range<usize>| {
            find_exactly(self.section, &self.section.as_text()[range.clone()]).is_some_and(|found| found == *range)
        };
        let parts = run.quoted();
        if parts.iter().all(found) { parts.into_iter().map(quote).collect() } else { Some(vec![quote(whole)?]) }
    }

    fn proposals(&self, statement: &Statement) -> Vec<Proposed> {
        let passage = &self.section.passages[statement.passage];
        if !passage.cells.is_empty() {
            let before = self.section.passages[..statement.passage].iter().rev();
            let head = before.take_while(|passage| !passage.cells.is_empty()).find(|passage| passage.head);
            let most = self.limits().questions_on_a_card;
            return head
                .and_then(|head| forms::of_row(&texts(head), &texts(passage), &self.section.heading, most))
                .into_iter()
                .collect();
        }
        let inside = |strong: &Range<usize>| strong.start - statement.range.start..strong.end - statement.range.start;
        let sentence = Sentence {
            text: statement.text(self.section),
            before: statement.before.clone().map(|before| &self.section.as_text()[before]),
            strong: statement.strong.iter().map(inside).collect(),
            heading: &self.section.heading,
            weights: self.context.all_notes.weights(),
        };
        match &statement.run {
            Some(run) => run.proposal(self.section, &sentence).into_iter().collect(),
            None => forms::proposals(&sentence),
        }
    }

    fn limits(&self) -> &Limits {
        &self.context.settings().limits
    }

    /// Why a stub must not be proposed.
    fn objection(&self, stub: &Stub, proposed: &Proposed) -> Option<String> {
        let limits = self.limits();
        let most = limits.words_on_a_side;
        let words = |texts: &mut dyn Iterator<Item = &str>| texts.map(word_count).sum::<usize>();
        if words(&mut stub.questions()) > most || words(&mut stub.answers()) > most {
            return Some(format!("a side of the card would have more than {most} words"));
        }
        if stub.answer.len() > limits.points_in_an_answer {
            return Some(format!("the answer would have more than {} points", limits.points_in_an_answer));
        }
        let gives_away = |question: &str, answer: &str| {
            let answer = meaning_stems(answer);
            !answer.is_empty() && answer.is_subset(&meaning_stems(question))
        };
        if gives_away(&stub.question, &stub.answer.join("; ")) {
            return Some("the question would give its answer away".to_owned());
        }
        (!self.is_supported(stub, proposed)).then(|| "its answer does not stand by itself in the sentence".to_owned())
    }

    /// Whether the checks find the stub supported by its own quote.
    fn is_supported(&self, stub: &Stub, proposed: &Proposed) -> bool {
        let own = Asked {
            question: &stub.question,
            points: stub.answer.iter().map(String::as_str).collect(),
            ordered: proposed.ordered,
            ..Asked::default()
        };
        let also =
            stub.also.iter().map(|(question, answer)| Asked { question, points: vec![answer], ..Asked::default() });
        let card = Cited {
            file: Some(self.file),
            anchor: Some(&self.section.anchor),
            quotes: stub.quotes.iter().map(String::as_str).collect(),
            asked: std::iter::once(own).chain(also).collect(),
        };
        let judged = judge(&card, &self.context.all_notes);
        judged.iter().all(|judgement| judgement.state == super::State::Supported)
    }
}

fn texts(row: &crate::notes::Passage) -> Vec<&str> {
    row.cells.iter().map(|cell| &row.text[cell.clone()]).collect()
}

/// Takes out the stubs that ask in other words what a card or an earlier stub asks.
fn drop_similar(context: &Context<'_>, stubs: &mut Vec<Stub>, passed_over: &mut Vec<PassedOver>) {
    let cards = context.department.cards();
    let known: Vec<_> =
        cards.flat_map(|(_, card)| card.questions.iter().map(|question| (&card.id, asked(question)))).collect();
    let posed = known.iter().map(|(_, asked)| Posed {
        question: asked.question,
        answer: asked.points.clone(),
        accept: asked.accept.clone(),
    });
    let own: Vec<Stub> = stubs.clone();
    let stubbed = own.iter().map(|stub| Posed {
        question: &stub.question,
        answer: stub.answer.iter().map(String::as_str).collect(),
        accept: Vec::new(),
    });
    let all: Vec<Posed<'_>> = posed.chain(stubbed).collect();
    let mut gone: BTreeSet<usize> = BTreeSet::new();
    for pair in similar_questions(&all[..]) {
        let Some(number) = pair.other.checked_sub(known.len()) else { continue };
        let why = match pair.one.checked_sub(known.len()) {
            None => format!("the card `{}` asks the same in other words", known[pair.one].0.value),
            Some(earlier) if !gone.contains(&earlier) => {
                format!("the stub `{}` asks the same in other words", own[earlier].id)
            }
            Some(_) => continue,
        };
        if gone.insert(number) {
            passed_over.push(PassedOver { text: own[number].statement.clone(), line: own[number].line, why });
        }
    }
    let mut numbers = 0..;
    stubs.retain(|_| numbers.next().is_some_and(|number| !gone.contains(&number)));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::change::support::{department, files};

    const NOTES: &str = "# Wind\n\n## Gales\n\nA **gale** is a strong wind. It begins at **34 knots**. The wind is never **calm** there. \
                         Sailors know.\n\n## Force\n\n| Force | Name |\n| --- | --- |\n| 8 | Gale |\n";

    fn drafted(cards: &str, anchor: &str) -> Draft {
        let department = department(&files(&[
            ("decks/department.yaml", "department: G\nschool: S\nyears: [8]\n"),
            ("decks/year-8/wind/cards.yaml", &format!("title: Wind\nyear: 8\ncards:\n{cards}")),
            ("decks/year-8/wind/notes.md", NOTES),
        ]));
        let context = Context::new(&department);
        let file = "decks/year-8/wind/notes.md";
        let section = context.all_notes.notes(file).and_then(|notes| notes.section(anchor)).expect("a section");
        draft(&context, file, section, &format!("notes.md#{anchor}"))
    }

    fn ids(draft: &Draft) -> Vec<&str> {
        draft.stubs.iter().map(|stub| stub.id.as_str()).collect()
    }

    #[test]
    fn a_stub_is_a_card_with_source_quote_and_a_free_id() {
        let draft = drafted("  - id: gale\n    question: Who?\n    answer: x\n", "gales");
        let stub = &draft.stubs[0];
        assert_eq!(ids(&draft)[0], "gale-2");
        assert_eq!((stub.question.as_str(), stub.answer.join("; ").as_str()), ("What is a gale?", "a strong wind"));
        assert_eq!(
            (stub.source.as_str(), stub.quotes.join("; ").as_str()),
            ("notes.md#gales", "A gale is a strong wind.")
        );
    }

    #[test]
    fn what_a_card_asks_or_quotes_is_passed_over_and_told() {
        let asks = "  - id: a\n    question: what is a *gale*\n    answer: x\n";
        let other_words = "  - id: a\n    question: Define the term gale.\n    answer: x\n";
        let quotes = "  - id: a\n    question: Who?\n    answer: A strong wind\n    source: notes.md#gales\n    quote: A gale is a strong wind.\n";
        for (cards, why) in [(asks, "asks it already"), (other_words, "in other words"), (quotes, "`a` has it already")]
        {
            let draft = drafted(cards, "gales");
            let passed = draft.passed_over.iter().find(|passed| passed.text == "A gale is a strong wind.");
            assert!(passed.is_some_and(|passed| passed.why.contains(why) && passed.line == 5), "{cards}: {draft:?}");
        }
    }

    #[test]
    fn rows_are_asked_by_their_first_cell() {
        let draft = drafted("  - id: a\n    question: Who?\n    answer: x\n", "force");
        assert_eq!(draft.stubs[0].question, "Force: what is the name for force 8?");
        assert_eq!(draft.stubs[0].answer, ["Gale"]);
    }

    /// What was passed over in a section, with the reasons.
    fn passed_over(section: &str) -> Vec<(String, String)> {
        let department = department(&files(&[
            ("decks/department.yaml", "department: G\nschool: S\nyears: [8]\n"),
            ("decks/year-8/wind/notes.md", &format!("# Wind\n\n{section}\n")),
        ]));
        let context = Context::new(&department);
        let file = "decks/year-8/wind/notes.md";
        let section = context.all_notes.notes(file).and_then(|notes| notes.section("wind")).expect("a section");
        let found = draft(&context, file, section, "notes.md#wind");
        found.passed_over.into_iter().map(|passed| (passed.text, passed.why)).collect()
    }

    #[test]
    fn what_has_a_form_but_no_fair_question_is_named() {
        for (text, why) in [
            ("A weak storm can therefore do harm.", "it gives a cause"),
            ("Towns grew because of this.", "it gives a cause"),
            ("Unlike rain, snow lies.", "it compares"),
            ("Walls, bridges and roads all fell.", "where the list begins"),
            ("First it blows, then it stops.", "its steps begin"),
            ("- clear sky\n- calm air", "no line introduces its list"),
            ("Frost needs these:\n\n- sky\n  - clear\n- air", "lists or paragraphs inside"),
            ("They:\n\n- rise\n- fall", "the line before its list gives no question"),
        ] {
            let found = passed_over(text);
            assert!(found.len() == 1 && found[0].1.contains(why), "{text}: {found:?}");
        }
        assert_eq!(passed_over("It rains. Nobody knows it."), []);
    }

    #[test]
    fn every_key_statement_is_a_stub_or_passed_over() {
        let draft = drafted("  - id: a\n    question: Who?\n    answer: x\n", "gales");
        assert_eq!(draft.stubs.len() + draft.passed_over.len(), 3);
        assert!(!draft.too_long);
    }
}
