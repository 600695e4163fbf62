//! `bad-maths`: a formula that is not among the maths that cards can show.

use crate::check::context::CardView;
use crate::check::rule::{Rule, Scope};
use crate::deck::Text;
use crate::finding::{Finding, Level};
use crate::markup::{self, Formula, maths::MathsError};
use crate::place::Span;

pub const RULE: Rule = Rule {
    name: "bad-maths",
    level: Level::Error,
    summary: "a formula between dollar signs is not among the maths that cards can show",
    why: "The same formula is set on paper, shown on screens and read aloud. What only some of them understand, or none, would reach \
          pupils as a row of signs or as another formula.",
    wrong: "answer: '$\\dfrac{840}{56}$ people'",
    right: "answer: '$\\frac{840}{56}$ people'",
    waivable: false,
    repairable: false,
    scope: Scope::Card(check),
};

fn check(view: &CardView<'_>, found: &mut Vec<Finding>) {
    for (field, text) in shown(view).into_iter().filter(|(_, text)| text.contains('$')) {
        for formula in markup::parse(text).formulas() {
            if let Err(error) = &formula.maths {
                let message = format!("the formula `{}` cannot be shown: {}", formula.literal(), error.message);
                let span = place(view, text, formula, error);
                found.push(view.finding(&RULE, span, &field, message).help(help(formula, error)).about(&formula.written));
            }
        }
    }
}

fn help(formula: &Formula, error: &MathsError) -> String {
    let mut words = formula.written.split_whitespace();
    let is_word = |word: &str| word.len() > 1 && word.chars().all(char::is_alphabetic);
    if formula.written.starts_with(|c: char| c.is_ascii_digit()) && words.any(is_word) {
        return format!("{}; if the dollar sign stands for money, write `\\$`", error.help);
    }
    error.help.clone()
}

/// The texts that pupils see, with the names of their fields.
fn shown<'a>(view: &CardView<'a>) -> Vec<(String, &'a Text)> {
    let mut texts = Vec::new();
    for question in &view.card.questions {
        texts.push((question.field("question"), &question.question));
        texts.extend(question.answer.points.iter().map(|point| (question.field("answer"), point)));
        texts.extend(question.accept.iter().map(|wording| (question.field("accept"), wording)));
    }
    texts.extend(view.card.caution.as_deref().map(|caution| ("caution".to_owned(), caution)));
    texts
}

/// Where the fault stands in the file; the whole text where it is not typed as it reads.
fn place(view: &CardView<'_>, text: &Text, formula: &Formula, error: &MathsError) -> Span {
    let typed = text.span.of(&view.deck.file.text);
    let literal = formula.literal();
    let in_text = typed.find(text.value.as_str()).map(|start| start + formula.at);
    // The only one of its kind, in text that runs over several lines.
    let only = || typed.find(&literal).filter(|&at| typed.rfind(&literal) == Some(at)).map(|at| at + 1);
    match in_text.or_else(only) {
        None => text.span,
        Some(at) => {
            let at = text.span.start() + at;
            Span::new(at + error.span.start, at + error.span.end)
        }
    }
}
