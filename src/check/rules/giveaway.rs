//! `giveaway`: a question that contains its answer.

use std::cell::OnceCell;
use std::rc::Rc;

use crate::check::context::CardView;
use crate::check::rule::{Rule, Scope};
use crate::deck::Question;
use crate::finding::{Finding, Level};
use crate::text::shared_stems;

pub const RULE: Rule = Rule {
    name: "giveaway",
    level: Level::Warning,
    summary: "the question contains its answer",
    why: "A question that names its answer is answered by reading, not by remembering. It looks known on the first day and is gone on the twenty-first.",
    wrong: "question: Is it a rain gauge that catches precipitation?\nanswer: A rain gauge",
    right: "question: Which instrument catches precipitation?\nanswer: A rain gauge",
    waivable: true,
    repairable: false,
    scope: Scope::Card(check),
};

/// Longer answers say more than a question can give away.
const MOST_WORDS: usize = 3;

fn check(view: &CardView<'_>, found: &mut Vec<Finding>) {
    for question in view.asked() {
        let Some(given) = given_away(question) else { continue };
        let message = format!("the question gives its answer away: `{given}` stands in it");
        let finding = view.finding(&RULE, question.question.span, question.field("question"), message);
        let help =
            "ask without that word; if pupils are to choose between words, waive `giveaway` under `allow:` and say so";
        found.push(finding.help(help));
    }
}

/// The answer, or the accepted wording, that stands in the question with all its meaning.
fn given_away(question: &Question) -> Option<String> {
    let answer = question.answer.text();
    let asked = OnceCell::new();
    let mut wordings = std::iter::once(answer.as_str()).chain(question.accept.iter().map(|text| text.value.as_str()));
    wordings.find(|wording| stands_in(wording, &question.question, &asked)).map(str::to_owned)
}

/// Whether a wording stands in the question; what that says is worked out for the first one that is short enough.
fn stands_in(wording: &str, question: &str, asked: &OnceCell<Vec<Rc<str>>>) -> bool {
    let meaning = shared_stems(wording);
    let is_asked = |stem| asked.get_or_init(|| shared_stems(question)).binary_search(stem).is_ok();
    (1..=MOST_WORDS).contains(&meaning.len()) && meaning.iter().all(is_asked)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_answer_is_given_away_by_its_meaning_not_its_wording() {
        let given = |question: &str, answer: &str| stands_in(answer, question, &OnceCell::new());
        for (question, answer) in [
            ("Which of rain, snow or hail falls as hard balls of ice?", "Hail"),
            ("What do eroding waves do to a cliff?", "They erode the cliff."),
            ("Is force 8 on the Beaufort scale a gale?", "Force eight"),
            ("Which gauge catches rain?", "A rain gauge"),
        ] {
            assert!(given(question, answer), "{question} {answer}");
        }
        for (question, answer) in [
            ("What is the mean wind speed, in knots, at force 3?", "7 to 10 knots"),
            ("How many knots is force 8?", "34 knots"),
            ("Is a gale stronger than a breeze?", "Yes"),
            ("What is a rain gauge?", "An instrument that catches rain"),
            ("What is it?", "It is that"),
        ] {
            assert!(!given(question, answer), "{question} {answer}");
        }
    }
}
