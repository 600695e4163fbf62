//! `conflicting-answers`: one question with two answers.

use crate::check::context::Context;
use crate::check::repeats::Asked;
use crate::check::rule::{Rule, Scope};
use crate::finding::{Finding, Level};
use crate::text::plain;

pub const RULE: Rule = Rule {
    name: "conflicting-answers",
    level: Level::Error,
    summary: "the same question is answered in two ways, in whatever year group",
    why: "One of the two answers is wrong, or each is right for something that the question does not say. Pupils who learn both cards cannot know which counts.",
    wrong: "- id: gale\n  question: At what mean speed does a gale begin?\n  answer: 34 knots\n- id: gale-at-sea\n  question: At what mean speed does a gale begin?\n  answer: 32 knots",
    right: "- id: gale\n  question: At what mean speed does a gale begin?\n  answer: 34 knots",
    waivable: true,
    repairable: false,
    scope: Scope::Department(check),
};

fn check(context: &Context<'_>, found: &mut Vec<Finding>) {
    for repeat in context.repeats.iter().filter(|repeat| repeat.conflicting) {
        let message = message(&repeat.first, &repeat.again, "the same question");
        found.push(finding(context, &repeat.first, &repeat.again, message).help(help("")).about(&repeat.form));
    }
    for alike in context.alike.iter().filter(|alike| alike.conflicting) {
        let asked = message(&alike.first, &alike.again, "the same question, in other words,");
        let help = help(", or waive this rule if they ask for different things");
        found.push(finding(context, &alike.first, &alike.again, asked).help(help).about(&alike.form));
    }
}

fn finding(context: &Context<'_>, first: &Asked<'_>, again: &Asked<'_>, message: String) -> Finding {
    let question = again.question;
    let finding = again.view(context).finding(&RULE, question.answer.span, question.field("answer"), message);
    finding.related(first.view(context).related(first.question.answer.span, "the other answer is at"))
}

fn help(more: &str) -> String {
    format!(
        "look it up in the notes and correct one of them; if both are right, write the other wording under `accept:`, or say \
         in each question what it is about{more}"
    )
}

fn message(first: &Asked<'_>, again: &Asked<'_>, what: &str) -> String {
    let answer = |asked: &Asked<'_>| shortened(&plain(&asked.question.answer.text()));
    let who = if std::ptr::eq(first.card, again.card) { "this card answers" } else { "two cards answer" };
    format!("{who} {what} in two ways: `{}` and `{}`", answer(first), answer(again))
}

/// Enough of a long text to know it again.
fn shortened(text: &str) -> String {
    const ENOUGH: usize = 60;
    match text.char_indices().nth(ENOUGH) {
        Some((at, _)) => format!("{}…", text[..at].trim_end()),
        None => text.to_owned(),
    }
}
