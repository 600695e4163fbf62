//! Questions proposed from the form of a statement.
//!
//! The sentence itself is never reworded beyond its first letter: what a form cannot ask in the
//! sentence's own words is asked as a gap in it.

use std::ops::Range;

use serde::Serialize;

use super::causes::causes;
use super::comparisons::comparisons;
use super::grammar::{bare, body, leans};
use super::lists::{lists, strong_list};
use super::sequences::sequences;
use crate::source::Weights;
use crate::source::keys::{Definition, definition, is_year, points, spans, values};
use crate::text::{Value, is_stop_word, stem};

/// What kind of statement a stub asks about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Form {
    /// What something is, or is called.
    Definition,
    /// Why something is so.
    Cause,
    /// How one thing stands to another.
    Comparison,
    /// When it was.
    Date,
    /// How much, or how many.
    Quantity,
    /// Several things together.
    List,
    /// Several things in order.
    Sequence,
    /// A row of a table.
    Row,
    /// A key term in its place.
    Term,
}

/// A question with its answer, before it is a card.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Proposed {
    pub(super) form: Form,
    pub(super) question: String,
    /// The points; one for a plain answer.
    pub(super) answer: Vec<String>,
    pub(super) listed: bool,
    pub(super) ordered: bool,
    pub(super) also: Vec<(String, String)>,
    /// Whether the sentence before belongs to the quote.
    pub(super) with_before: bool,
}

impl Proposed {
    pub(super) fn plain(form: Form, question: String, answer: &str) -> Proposed {
        let answer = vec![answer.to_owned()];
        Proposed { form, question, answer, listed: false, ordered: false, also: Vec::new(), with_before: false }
    }

    /// Several points, whose order counts or does not.
    pub(super) fn listed(form: Form, question: String, answer: Vec<String>, ordered: bool) -> Proposed {
        Proposed { form, question, answer, listed: true, ordered, also: Vec::new(), with_before: false }
    }

    pub(super) fn questions(&self) -> impl Iterator<Item = &str> {
        std::iter::once(self.question.as_str()).chain(self.also.iter().map(|(question, _)| question.as_str()))
    }
}

/// A sentence with its strong parts, as bytes of the sentence, and what stands around it.
pub(super) struct Sentence<'s> {
    pub(super) text: &'s str,
    /// The sentence before it in the same passage.
    pub(super) before: Option<&'s str>,
    pub(super) strong: Vec<Range<usize>>,
    pub(super) heading: &'s str,
    pub(super) weights: &'s Weights,
}

/// The questions that a sentence allows, the most telling first.
pub(super) fn proposals(sentence: &Sentence<'_>) -> Vec<Proposed> {
    let forms = [defines, names, causes, comparisons, strong_list, lists, sequences, gives_values, gaps];
    forms.into_iter().filter_map(|form| form(sentence)).collect()
}

/// `A gale is a strong wind.` → `What is a gale?`
fn defines(sentence: &Sentence<'_>) -> Option<Proposed> {
    let Definition { subject, term, verb, rest } = definition(sentence.text)?;
    let named = &sentence.text[rest.clone()];
    let only_term = sentence.strong.iter().all(|strong| strong.start >= subject.start && strong.end <= term.end + 1);
    if !only_term || named.starts_with("called ") || named.starts_with("known as ") {
        return None;
    }
    let question = format!("What {} {}?", &sentence.text[verb], sentence.lowered(&sentence.text[subject]));
    Some(Proposed::plain(Form::Definition, question, named))
}

/// `An area of high pressure is called an anticyclone.` → `What is an area of high pressure called?`
fn names(sentence: &Sentence<'_>) -> Option<Proposed> {
    let text = sentence.body();
    let joint = [" is called ", " are called ", " is known as ", " are known as "];
    let (at, joint) = joint.iter().find_map(|joint| Some((text.find(joint)?, *joint)))?;
    let (subject, name) = (0..at, &text[at + joint.len()..]);
    let short = spans(name).len() <= 5 && !name.contains([',', ';', ':']) && !name.contains(" and ");
    let strong_before = sentence.strong.iter().any(|strong| strong.start < at);
    let vague = sentence.points_back() || text[subject.clone()].contains([',', ';', ':']);
    if !short || strong_before || vague {
        return None;
    }
    let mut words = joint.trim().split(' ');
    let (verb, called) = (words.next()?, words.collect::<Vec<_>>().join(" "));
    let question = format!("What {verb} {} {called}?", sentence.lowered(&sentence.text[subject]));
    Some(Proposed::plain(Form::Definition, question, name))
}

/// Quantities and dates: strong ones alone, else all of them.
fn gives_values(sentence: &Sentence<'_>) -> Option<Proposed> {
    let all = values(sentence.text);
    let inside =
        |at: &Range<usize>| sentence.strong.iter().find(|strong| strong.start <= at.start && at.end <= strong.end);
    let strong: Vec<Range<usize>> = all.iter().filter_map(|(at, _)| inside(at).cloned()).collect();
    let any_strong = !sentence.strong.is_empty();
    let mut gaps = if any_strong { strong } else { all.iter().map(|(at, _)| at.clone()).collect() };
    gaps.dedup();
    // Strong words beside a strong value are asked for as words.
    let mixed = any_strong && gaps.len() < sentence.strong.len();
    if gaps.is_empty() || mixed {
        return None;
    }
    let date = |text: &str| is_year(text) || values(text).iter().any(|(_, value)| matches!(value, Value::Date(_)));
    let dates = gaps.iter().filter(|gap| date(&sentence.text[(*gap).clone()])).count();
    let (form, asked) = match (gaps.len(), dates) {
        (1, 1) if is_year(&sentence.text[gaps[0].clone()]) => (Form::Date, "Which year is missing"),
        (1, 1) => (Form::Date, "Which date is missing"),
        (1, _) => (Form::Quantity, "Which quantity is missing"),
        (_, dates) if dates == gaps.len() => (Form::Date, "Which dates are missing, in order"),
        _ => (Form::Quantity, "Which quantities are missing, in order"),
    };
    Some(gapped(sentence, &gaps, form, asked))
}

/// Every strong part as a gap.
fn gaps(sentence: &Sentence<'_>) -> Option<Proposed> {
    let strong = &sentence.strong;
    let word = |at: &Range<usize>| spans(&sentence.text[at.clone()]).len() == 1;
    let asked = match strong.as_slice() {
        [] => return None,
        _ if left_of(sentence) < 2 => return None,
        [one] if word(one) => "Which word is missing",
        [_] => "Which words are missing",
        _ => "Which words are missing, in order",
    };
    Some(gapped(sentence, strong, Form::Term, asked))
}

/// How many words that say something stand outside the strong parts.
fn left_of(sentence: &Sentence<'_>) -> usize {
    let outside =
        |at: &Range<usize>| !sentence.strong.iter().any(|strong| strong.start < at.end && at.start < strong.end);
    let says = |at: &Range<usize>| !is_stop_word(&bare(&sentence.text[at.clone()]));
    spans(sentence.text).into_iter().filter(outside).filter(says).count()
}

pub(super) fn gapped(sentence: &Sentence<'_>, gaps: &[Range<usize>], form: Form, asked: &str) -> Proposed {
    let mut text = String::new();
    let mut from = 0;
    for gap in gaps {
        text.push_str(&sentence.text[from..gap.start]);
        text.push('…');
        from = gap.end;
    }
    text.push_str(sentence.text[from..].trim_end_matches('.'));
    let answer: Vec<String> = gaps.iter().map(|gap| sentence.text[gap.clone()].to_owned()).collect();
    let several = answer.len() > 1;
    let question = sentence.in_place(&format!("{asked}: “{text}”?"));
    Proposed { listed: several, ..Proposed::listed(form, question, answer, several) }
}

/// A row of a table, asked for by its first cell: `What is the name for force 8?`
pub(super) fn of_row(head: &[&str], cells: &[&str], heading: &str, most: usize) -> Option<Proposed> {
    let (key, named) = (cells.first().filter(|cell| !cell.is_empty())?, head.first()?);
    let columns = head.iter().zip(cells).skip(1).filter(|(name, cell)| !name.is_empty() && !cell.is_empty());
    let asked = |name: &str| {
        // Units and other plurals are no names of one thing.
        let several = name.ends_with('s') || name.contains(" per ");
        let what =
            if several { format!("what stands under “{name}”") } else { format!("what is the {}", small(name)) };
        format!("{heading}: {what} for {} {key}?", small(named))
    };
    let mut asked = columns.map(|(name, cell)| (asked(name), (*cell).to_owned()));
    let (question, answer) = asked.next()?;
    let also = asked.take(most.saturating_sub(1)).collect();
    Some(Proposed { also, ..Proposed::plain(Form::Row, question, &answer) })
}

fn small(text: &str) -> String {
    let mut chars = text.chars();
    let (first, second) = (chars.next(), chars.next());
    let symbol = second.is_some_and(|second| !second.is_lowercase() && second != ' ');
    match first {
        Some(first) if !symbol => first.to_lowercase().chain(text.chars().skip(1)).collect(),
        _ => text.to_owned(),
    }
}

pub(super) fn strip_article(before: &str) -> &str {
    let bare = [" a", " an", " the"].iter().find_map(|article| before.strip_suffix(article));
    bare.unwrap_or(before)
}

impl Sentence<'_> {
    /// Without the stop at its end.
    pub(super) fn body(&self) -> &str {
        body(self.text)
    }

    /// Whether it begins with a word that only the sentence before explains.
    pub(super) fn points_back(&self) -> bool {
        let words = spans(self.text);
        let word = |at: usize| words.get(at).map(|word| self.text[word.clone()].trim_matches(',').to_lowercase());
        let counts = |word: &str| !matches!(word, "all" | "most" | "many" | "some" | "each" | "both");
        // Behind a noun these begin a clause about it: `dough that rises`, `animals such as cows`.
        let relates = |word: &str| matches!(word, "that" | "which" | "who" | "what" | "such" | "there");
        let first = word(0).is_some_and(|word| points(&word) && counts(&word));
        first || word(1).is_some_and(|word| points(&word) && counts(&word) && !relates(&word))
    }

    /// The sentence before, without its stop, where it says something by itself.
    pub(super) fn before_itself(&self) -> Option<&str> {
        let before = self.before.filter(|before| !before.trim_end().ends_with('?') && !leans(before))?;
        Some(body(before))
    }

    /// A question about a sentence that leans on the ones before it says where it stands.
    pub(super) fn in_place(&self, question: &str) -> String {
        if self.points_back() && !self.heading.is_empty() {
            return format!("{}: {}", self.heading, small_first(question));
        }
        question.to_owned()
    }

    /// A part of the sentence, with its first word in lower case unless it is a name or a symbol.
    pub(super) fn lowered(&self, text: &str) -> String {
        let first = text.split([' ', '-']).next().unwrap_or_default();
        let name = self.weights.is_name(first, &stem(first), true);
        if name { text.to_owned() } else { small(text) }
    }
}

fn small_first(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map(|first| first.to_lowercase().chain(chars).collect()).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::notes::Notes;
    use crate::source::key_statements;

    fn first(markdown: &str) -> Proposed {
        let notes = Notes::read(&format!("# Wind\n\n{markdown}\n"));
        let section = &notes.sections()[0];
        let key = key_statements(section).remove(0);
        let strong = key.strong.iter().map(|at| at.start - key.range.start..at.end - key.range.start).collect();
        let weights = Weights::of(["We sail on the Severn."]);
        let text = &section.as_text()[key.range.clone()];
        proposals(&Sentence { text, before: None, strong, heading: "Wind", weights: &weights }).remove(0)
    }

    #[track_caller]
    fn asks(markdown: &str, form: Form, question: &str, answer: &[&str]) {
        let found = first(markdown);
        assert_eq!((found.form, found.question.as_str()), (form, question));
        assert_eq!(found.answer, answer);
    }

    #[test]
    fn each_form_has_its_question() {
        asks("A **gale** is a strong wind.", Form::Definition, "What is a gale?", &["a strong wind"]);
        asks(
            "**Swash** is the water that rushes up.",
            Form::Definition,
            "What is swash?",
            &["the water that rushes up"],
        );
        asks("**Severn** is the river that floods.", Form::Definition, "What is Severn?", &["the river that floods"]);
        asks(
            "High pressure is called an **anticyclone**.",
            Form::Definition,
            "What is high pressure called?",
            &["an anticyclone"],
        );
        asks(
            "Storms are rare because the sea is **too cold**.",
            Form::Cause,
            "Why are storms rare?",
            &["the sea is too cold"],
        );
        asks(
            "A storm weakens over land because it **loses its supply**.",
            Form::Cause,
            "Why is this so: “A storm weakens over land”?",
            &["it loses its supply"],
        );
        asks(
            "**Oceanic crust** is thinner and denser than **continental crust**.",
            Form::Comparison,
            "How does oceanic crust compare with continental crust?",
            &["thinner and denser"],
        );
        asks("It began in 1912.", Form::Date, "Wind: which year is missing: “It began in …”?", &["1912"]);
        asks(
            "Water expands by about **9%** when it freezes.",
            Form::Quantity,
            "Which quantity is missing: “Water expands by about … when it freezes”?",
            &["9%"],
        );
        asks(
            "The processes of wear are **abrasion**, **attrition** and **solution**.",
            Form::List,
            "What are the processes of wear?",
            &["abrasion", "attrition", "solution"],
        );
        asks(
            "A crack becomes a **cave**, then an **arch** and at last a **stump**.",
            Form::Sequence,
            "What comes in the gap, in order: “A crack becomes …”?",
            &["cave", "arch", "stump"],
        );
        asks(
            "Slow cooling gives **large** crystals, and quick cooling gives **small** ones.",
            Form::Term,
            "Which words are missing, in order: “Slow cooling gives … crystals, and quick cooling gives … ones”?",
            &["large", "small"],
        );
    }

    #[test]
    fn a_row_is_asked_for_by_its_first_cell() {
        let row = of_row(&["Force", "Name", "Mean speed"], &["8", "Gale", "34 knots"], "Wind force", 3).expect("a row");
        assert_eq!(row.question, "Wind force: what is the name for force 8?");
        assert_eq!(row.also, [("Wind force: what is the mean speed for force 8?".to_owned(), "34 knots".to_owned())]);
        let row = of_row(&["Force", "Knots"], &["8", "34"], "Wind force", 3).expect("a row");
        assert_eq!(row.question, "Wind force: what stands under “Knots” for force 8?");
        assert_eq!(of_row(&["Force", "Name"], &["", "Gale"], "Wind", 3), None);
        assert!(of_row(&["Force", "A", "B"], &["8", "x", "y"], "Wind", 1).expect("a row").also.is_empty());
    }
}
