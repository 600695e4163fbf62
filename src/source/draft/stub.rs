//! A stub: a card that only needs a teacher's eye.

use std::collections::BTreeSet;

use indexmap::IndexMap;
use serde::Serialize;

use super::forms::{Form, Proposed};
use crate::deck::{Value, as_id, is_id};
use crate::text::{is_stop_word, plain, words};

/// A proposed card.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Stub {
    /// An id from the question's words that no card has.
    pub id: String,
    /// What kind of statement it asks about.
    pub form: Form,
    /// The question.
    pub question: String,
    /// The answer, or its points: exact copies from the notes.
    pub answer: Vec<String>,
    /// Whether the order of the points counts.
    pub ordered: bool,
    /// Further questions with their answers, from the same row of a table.
    pub also: Vec<(String, String)>,
    /// `file#section`.
    pub source: String,
    /// The statement, as a quote; of a list in the notes, the line before it and each of its items.
    pub quotes: Vec<String>,
    /// The statement as read.
    #[serde(skip)]
    pub(super) statement: String,
    #[serde(skip)]
    pub(super) line: usize,
    #[serde(skip)]
    listed: bool,
}

/// The stub of a proposal.
pub(super) fn stub(proposed: &Proposed, source: &str, quotes: &[String], taken: &BTreeSet<String>) -> Stub {
    Stub {
        id: free_id(proposed, taken),
        form: proposed.form,
        question: proposed.question.clone(),
        answer: proposed.answer.clone(),
        ordered: proposed.ordered,
        also: proposed.also.clone(),
        source: source.to_owned(),
        quotes: quotes.to_vec(),
        statement: String::new(),
        line: 0,
        listed: proposed.listed,
    }
}

impl Stub {
    pub(super) fn at(mut self, statement: &str, line: usize) -> Stub {
        (self.statement, self.line) = (statement.to_owned(), line);
        self
    }

    /// All its questions.
    pub(super) fn questions(&self) -> impl Iterator<Item = &str> {
        std::iter::once(self.question.as_str()).chain(self.also.iter().map(|(question, _)| question.as_str()))
    }

    /// All points of all its answers.
    pub(super) fn answers(&self) -> impl Iterator<Item = &str> {
        self.answer.iter().map(String::as_str).chain(self.also.iter().map(|(_, answer)| answer.as_str()))
    }

    /// Its fields, in the order in which they are written.
    pub fn fields(&self) -> IndexMap<String, Value> {
        let text = |text: &str| Value::Text(text.to_owned());
        let mut fields = IndexMap::new();
        let mut put = |name: &str, value: Value| _ = fields.insert(name.to_owned(), value);
        put("id", text(&self.id));
        put("question", text(&self.question));
        match self.answer.as_slice() {
            [answer] if !self.listed => put("answer", text(answer)),
            points => put("answer", Value::List(points.iter().map(|point| text(point)).collect())),
        }
        if self.ordered {
            put("ordered", text("true"));
        }
        if !self.also.is_empty() {
            let entry = |(question, answer): &(String, String)| {
                Value::Map([("question".to_owned(), text(question)), ("answer".to_owned(), text(answer))].into())
            };
            put("also", Value::List(self.also.iter().map(entry).collect()));
        }
        put("source", text(&self.source));
        match self.quotes.as_slice() {
            [quote] => put("quote", text(quote)),
            quotes => put("quote", Value::List(quotes.iter().map(|quote| text(quote)).collect())),
        }
        put("draft", text("true"));
        fields
    }
}

/// How many words of the question an id takes up.
const WORDS: usize = 4;

/// Words that only ask.
const ASKING: [&str; 23] = [
    "belongs",
    "called",
    "comes",
    "compare",
    "dates",
    "examples",
    "follows",
    "gap",
    "go",
    "goes",
    "happens",
    "include",
    "list",
    "missing",
    "order",
    "quantities",
    "quantity",
    "step",
    "steps",
    "things",
    "word",
    "words",
    "year",
];

/// An id from the words of the question that carry meaning, which nobody has.
fn free_id(proposed: &Proposed, taken: &BTreeSet<String>) -> String {
    let read = plain(&proposed.question).to_lowercase();
    let says = |word: &&str| !is_stop_word(word) && !ASKING.contains(word) && *word != "date";
    let row = proposed.form == Form::Row;
    let said: Vec<&str> = words(&read).filter(says).collect();
    // What tells one row from another stands last.
    let skip = if row { said.len().saturating_sub(WORDS) } else { 0 };
    let id = as_id(&said.into_iter().skip(skip).take(WORDS).collect::<Vec<_>>().join(" "));
    let free = |id: &String| is_id(id) && !taken.contains(id);
    let numbered = (2..).map(|number| format!("{id}-{number}"));
    std::iter::once(id.clone()).chain(numbered).find(free).unwrap_or(id)
}
