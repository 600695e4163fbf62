//! `reworded-quote`: the notes say the same in other words.

use crate::check::context::CardView;
use crate::check::rule::{Rule, Scope};
use crate::finding::{Finding, Level};
use crate::source::State;

pub const RULE: Rule = Rule {
    name: "reworded-quote",
    level: Level::Warning,
    summary: "the notes word a card's quote in another way, and still support the answer",
    why: "The card is right, but its quote is no longer what the notes say. Renewing it keeps the next change visible.",
    wrong: "quote: A gale starts at 34 knots.  # the notes: Force 8, a gale, begins at a mean speed of 34 knots.",
    right: "quote: Force 8, a gale, begins at a mean speed of 34 knots.",
    waivable: true,
    repairable: true,
    scope: Scope::Card(check),
};

fn check(view: &CardView<'_>, found: &mut Vec<Finding>) {
    for judged in view.judged().iter().filter(|judged| judged.judgement.state == State::Reworded) {
        let (Some(place), Some(quote)) = (&judged.judgement.place, judged.quote(view.card)) else { continue };
        let field = judged.question(view.card).field("quote");
        let message = "the notes word this passage in another way now, and still support the answer";
        let mut finding = view.finding(&RULE, quote.span, field, message).about(&place.text);
        if let Some(related) = view.in_notes(place, "the notes say it at") {
            finding = finding.related(related);
        }
        // The section may be another one as well; then the source is for a person to renew.
        let same_section = view.section_named(judged.question(view.card)).is_some_and(|(file, anchor)| file == place.file && anchor == place.anchor);
        if same_section && view.is_typed_plainly(quote) {
            finding = finding.repaired_by(&view.deck.file.path, quote.span, crate::deck::write::double_quoted(&place.text));
        }
        found.push(finding.help(format!("quote what they say now: `{}`", place.text)));
    }
}
