//! `moved-quote`: the passage stands in another section now.

use crate::check::context::CardView;
use crate::check::rule::{Rule, Scope};
use crate::check::sourced::as_source;
use crate::finding::{Finding, Level};
use crate::source::State;

pub const RULE: Rule = Rule {
    name: "moved-quote",
    level: Level::Warning,
    summary: "a card's quote stands in another section of the notes than the card says",
    why: "The fact still holds, but who looks it up finds nothing. The card only has to name the new section.",
    wrong: "source: notes.md#instruments\nquote: Wind speed is measured with an anemometer.  # now under #measuring-wind",
    right: "source: notes.md#measuring-wind\nquote: Wind speed is measured with an anemometer.",
    waivable: true,
    repairable: true,
    scope: Scope::Card(check),
};

fn check(view: &CardView<'_>, found: &mut Vec<Finding>) {
    for judged in view.judged().iter().filter(|judged| judged.judgement.state == State::Moved) {
        let Some(place) = &judged.judgement.place else { continue };
        let question = judged.question(view.card);
        let now = as_source(view, place);
        let message = format!("this quote now stands in `{now}`");
        let mut finding = view.finding(&RULE, judged.span(view.card), question.field("quote"), message).about(&now);
        if let Some(related) = view.in_notes(place, "it stands at") {
            finding = finding.related(related);
        }
        let source = view.card.source_of(question);
        // Only where every quote that leans on this source has moved to the same section.
        let together = view.judged().iter().filter(|other| view.card.source_of(other.question(view.card)) == source);
        let all = together.filter(|other| other.quote.is_some()).all(|other| {
            other.judgement.state == State::Moved && other.judgement.place.as_ref().is_some_and(|place| as_source(view, place) == now)
        });
        if let Some(source) = source.filter(|source| all && view.is_typed_plainly(source)) {
            finding = finding.repaired_by(&view.deck.file.path, source.span, crate::deck::write::scalar(&now));
        }
        found.push(finding.help(format!("write `source: {now}`")));
    }
}
