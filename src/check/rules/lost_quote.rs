//! `lost-quote`: nothing in the notes comes close to the quote any more.

use crate::check::context::CardView;
use crate::check::rule::{Rule, Scope};
use crate::finding::{Finding, Level};
use crate::source::State;

pub const RULE: Rule = Rule {
    name: "lost-quote",
    level: Level::Error,
    summary: "no passage of the notes comes close to a card's quote",
    why: "The card asks for something that the agreed notes don't say, or no longer say. A quote is copied from the notes word \
          for word, so that this can be seen.",
    wrong: "source: notes.md#instruments\nquote: A sentence that was taken out of the notes.",
    right: "source: notes.md#instruments\nquote: Wind speed is measured with an anemometer.",
    waivable: true,
    repairable: false,
    scope: Scope::Card(check),
};

fn check(view: &CardView<'_>, found: &mut Vec<Finding>) {
    // Where the section itself is missing, that is said already.
    let lost = |judged: &&crate::check::sourced::Judged| judged.judgement.state == State::Lost && judged.section_is_there;
    for judged in view.judged().iter().filter(lost) {
        let Some(quote) = judged.quote(view.card) else { continue };
        let field = judged.question(view.card).field("quote");
        let finding = view.finding(&RULE, quote.span, field, "nothing in the notes comes close to this quote");
        let help = "copy the passage from the notes that the card was made from; if the notes dropped it, take the card out";
        found.push(finding.help(help).about(&quote.value));
    }
}
