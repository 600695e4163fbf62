//! What the tests of the forms share.

use super::forms::{Form, Proposed, Sentence, proposals};
use super::statements::statements;
use crate::notes::Notes;
use crate::source::Weights;

/// What is proposed for the last statement of a section on wind.
pub(super) fn proposed(markdown: &str) -> Option<Proposed> {
    let notes = Notes::read(&format!("# Wind\n\n{markdown}\n"));
    let section = &notes.sections()[0];
    let mut found = statements(section).found;
    let statement = found.iter().position(|found| found.run.is_some()).map(|run| found.remove(run)).or(found.pop())?;
    let inside = |at: &std::ops::Range<usize>| at.start - statement.range.start..at.end - statement.range.start;
    let weights = Weights::of(["We sail on the Severn."]);
    let sentence = Sentence {
        text: statement.text(section),
        before: statement.before.clone().map(|before| &section.as_text()[before]),
        strong: statement.strong.iter().map(inside).collect(),
        heading: "Wind",
        weights: &weights,
    };
    match &statement.run {
        Some(run) => run.proposal(section, &sentence),
        None => proposals(&sentence).into_iter().next(),
    }
}

/// A table of sentences with the question and the points of the answer that each gives.
#[track_caller]
pub(super) fn ask(form: Form, table: &[(&str, &str, &[&str])]) {
    for (markdown, question, answer) in table {
        let found = proposed(markdown).unwrap_or_else(|| panic!("nothing for {markdown}"));
        assert_eq!((found.form, found.question.as_str()), (form, *question), "{markdown}");
        assert_eq!(&found.answer, answer, "{markdown}");
    }
}

/// Sentences that give no question.
#[track_caller]
pub(super) fn ask_nothing(table: &[&str]) {
    for markdown in table {
        assert_eq!(proposed(markdown), None, "{markdown}");
    }
}
