//! What of a section a stub may be made of: its key statements, the sentences whose form tells a cause, a
//! comparison, a list or a sequence, and whole lists.

use std::ops::Range;

use super::causes::gives_cause;
use super::comparisons::compares;
use super::lists::lists_things;
use super::runs::{Run, runs};
use super::sequences::orders;
use crate::notes::{Passage, PassageKind, Section};
use crate::source::keys::{KeyStatement, key_statements};

/// What a stub may be made of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Statement {
    /// The bytes of the section's text.
    pub(super) range: Range<usize>,
    /// The number of its passage in the section.
    pub(super) passage: usize,
    /// The strong parts, as bytes of the section's text.
    pub(super) strong: Vec<Range<usize>>,
    /// Why it is one.
    pub(super) shape: Shape,
    /// The sentence before it in the same passage.
    pub(super) before: Option<Range<usize>>,
    /// Of a list in the notes, or of steps in sentences of their own, its parts.
    pub(super) run: Option<Run>,
}

/// Why a statement is one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Shape {
    /// It is a key statement.
    Key,
    Cause,
    Comparison,
    Sequence,
    List,
}

impl Statement {
    /// What to say where no question can be made.
    pub(super) fn unasked(&self) -> &'static str {
        self.run.as_ref().map_or(self.shape.unasked(), Run::unasked)
    }

    /// The statement as read.
    pub(super) fn text<'s>(&self, section: &'s Section) -> &'s str {
        &section.as_text()[self.range.clone()]
    }

    fn of_run(section: &Section, run: &Run) -> Statement {
        let range = run.range();
        let passage = section.passages.partition_point(|passage| passage.at <= range.start).saturating_sub(1);
        let shape = if run.ordered { Shape::Sequence } else { Shape::List };
        Statement { range, passage, strong: Vec::new(), shape, before: None, run: Some(run.clone()) }
    }
}

impl Shape {
    fn unasked(self) -> &'static str {
        match self {
            Shape::Key => "no question can be made of its form",
            Shape::Cause => "it gives a cause, but no fair question can be made in its own words",
            Shape::Comparison => "it compares, but no fair question can be made in its own words",
            Shape::Sequence => "it tells an order, but where its steps begin and end is not plain",
            Shape::List => "it lists several things, but where the list begins and ends is not plain",
        }
    }
}

/// The statements of a section.
#[derive(Debug, Default)]
pub(super) struct Statements {
    /// In order; a list stands before what is in it.
    pub(super) found: Vec<Statement>,
    /// How many sentences have none of the forms.
    pub(super) without_form: usize,
}

/// Reads all sentences of a section.
pub(super) fn statements(section: &Section) -> Statements {
    let mut keys = key_statements(section).into_iter().peekable();
    let runs = runs(section);
    let mut out = Statements::default();
    out.found.extend(runs.iter().map(|run| Statement::of_run(section, run)));
    for (number, passage) in section.passages.iter().enumerate() {
        if passage.head || passage.kind == PassageKind::Caption {
            continue;
        }
        let mut before = None;
        for sentence in passage.sentences() {
            let range = passage.at + sentence.start..passage.at + sentence.end;
            let key = keys.next_if(|key| key.range == range);
            match statement(passage, number, &passage.text[sentence], range.clone(), key, before.replace(range.clone()))
            {
                Some(found) => out.found.push(found),
                None if runs.iter().any(|run| run.holds(&range)) => {}
                None => out.without_form += 1,
            }
        }
    }
    out.found.sort_by_key(|found| (found.range.start, found.run.is_none()));
    out
}

fn statement(
    passage: &Passage,
    number: usize,
    text: &str,
    range: Range<usize>,
    key: Option<KeyStatement>,
    before: Option<Range<usize>>,
) -> Option<Statement> {
    let (shape, strong) = match key {
        Some(key) => (Shape::Key, key.strong),
        None => (shape(text).filter(|_| passage.cells.is_empty())?, Vec::new()),
    };
    Some(Statement { range, passage: number, strong, shape, before, run: None })
}

/// The form that a sentence has besides those of key statements; a question has none.
fn shape(text: &str) -> Option<Shape> {
    if text.trim_end().ends_with('?') {
        return None;
    }
    if gives_cause(text) {
        Some(Shape::Cause)
    } else if compares(text) {
        Some(Shape::Comparison)
    } else if orders(text) {
        Some(Shape::Sequence)
    } else {
        lists_things(text).then_some(Shape::List)
    }
}

#[cfg(test)]
mod tests {
    use super::super::support::proposed;
    use super::*;
    use crate::notes::Notes;
    use proptest::prelude::*;

    #[test]
    fn every_sentence_is_looked_at() {
        let notes = Notes::read(
            "# Air\n\nIt blows. A **gale** is strong. Hot air rises because it is light. Hot air rises faster than cold \
             air. The air cools, then it sinks and at last it spreads. Look at gulls, terns and ducks. Why because?\n\n\
             | a |\n| - |\n| because of 5 |\n| or so |\n",
        );
        let section = &notes.sections()[0];
        let found = statements(section);
        let shapes: Vec<Shape> = found.found.iter().map(|found| found.shape).collect();
        use Shape::*;
        assert_eq!(shapes, [Key, Cause, Comparison, Sequence, List, Key]);
        assert_eq!(found.without_form, 3);
    }

    proptest! {
        /// Whatever is proposed is an exact copy, and no sentence is forgotten.
        #[test]
        fn answers_are_copies_and_every_sentence_counts(words in prop::collection::vec(word(), 1..24)) {
            let text = words.join(" ");
            let notes = Notes::read(&format!("# Air\n\n{text}\n"));
            let Some(section) = notes.sections().first() else { return Ok(()) };
            let found = statements(section);
            let sentences: usize = section.passages.iter().map(|passage| passage.sentences().len()).sum();
            let single = found.found.iter().filter(|found| found.run.is_none()).count();
            let in_runs = found.found.iter().filter_map(|found| found.run.as_ref()).map(|run| run.items.len()).sum::<usize>();
            prop_assert!(single + found.without_form <= sentences && sentences <= single + found.without_form + in_runs);
            if let Some(proposed) = proposed(&text) {
                for point in &proposed.answer {
                    prop_assert!(!point.trim().is_empty() && section.as_text().contains(point.as_str()), "{:?}", proposed);
                }
            }
        }
    }

    fn word() -> impl Strategy<Value = &'static str> {
        prop::sample::select(vec![
            "air",
            "the sea",
            "a wave",
            "it",
            "rises",
            "is",
            "cold",
            "because",
            "so",
            ", so",
            "so that",
            "than",
            "faster",
            "more",
            "First",
            "then",
            ", then",
            "and",
            ",",
            "finally",
            "include",
            ".",
            "Therefore",
            "causes",
            "due to",
            ", whereas",
            "but",
            "Unlike",
            "may",
            "é",
            "**key**",
            ":",
            "5 km",
            "are",
            "such as",
        ])
    }
}
