//! `conflicting-answers`: one question with two answers.

use crate::check::context::Context;
use crate::check::repeats::Repeat;
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
        let again = repeat.again.question;
        let first = repeat.first.question;
        let finding =
            repeat.again.view(context).finding(&RULE, again.answer.span, again.field("answer"), message(repeat));
        let related = repeat.first.view(context).related(first.answer.span, "the other answer is at");
        let help = "look it up in the notes and correct one of them; if both are right, write the other wording under `accept:`, or say \
                    in each question what it is about";
        found.push(finding.help(help).related(related).about(&repeat.form));
    }
}

fn message(repeat: &Repeat<'_>) -> String {
    let answer = |text: String| shortened(&plain(&text));
    let (first, again) = (answer(repeat.first.question.answer.text()), answer(repeat.again.question.answer.text()));
    let who = if repeat.on_one_card() { "this card answers" } else { "two cards answer" };
    format!("{who} the same question in two ways: `{first}` and `{again}`")
}

/// Enough of a long text to know it again.
fn shortened(text: &str) -> String {
    const ENOUGH: usize = 60;
    match text.char_indices().nth(ENOUGH) {
        Some((at, _)) => format!("{}…", text[..at].trim_end()),
        None => text.to_owned(),
    }
}
