//! `letters-not-printed`: letters that no font of the printed pack has.

use crate::check::context::CardView;
use crate::check::rule::{Rule, Scope};
use crate::deck::Text;
use crate::finding::{Finding, Level};
use crate::pack::print::unprintable;

pub const RULE: Rule = Rule {
    name: "letters-not-printed",
    level: Level::Error,
    summary: "a card has letters that packs cannot be printed with",
    why: "Packs look the same on every computer because they bring their own fonts. These have Latin, Greek, Cyrillic, Hebrew \
          and Arabic letters, signs of maths and common symbols. Other letters would be missing on paper.",
    wrong: "question: What does 水 mean?",
    right: "question: What does this sign mean?\npictures:\n  - file: pictures/water-sign.svg",
    waivable: false,
    repairable: false,
    scope: Scope::Card(check),
};

fn check(view: &CardView<'_>, found: &mut Vec<Finding>) {
    for (field, text) in printed(view) {
        let letters = unprintable(text);
        if letters.is_empty() {
            continue;
        }
        let named = letters.iter().map(|letter| format!("{letter} (U+{:04X})", *letter as u32));
        let named = named.collect::<Vec<_>>().join(", ");
        let message = format!("packs cannot be printed with {named}");
        let help = "write it with other letters, or put it in as a picture";
        found.push(view.finding(&RULE, text.span, field, message).help(help).about(named));
    }
}

/// The texts that are printed, with the names of their fields.
fn printed<'a>(view: &CardView<'a>) -> Vec<(String, &'a Text)> {
    let mut texts = Vec::new();
    for question in &view.card.questions {
        texts.push((question.field("question"), &question.question));
        texts.extend(question.answer.points.iter().map(|point| (question.field("answer"), point)));
        texts.extend(question.accept.iter().map(|wording| (question.field("accept"), wording)));
    }
    texts.extend(view.card.caution.as_deref().map(|caution| ("caution".to_owned(), caution)));
    for (at, picture) in view.card.pictures.iter().enumerate() {
        texts.extend(picture.credit.iter().map(|credit| (format!("pictures[{at}].credit"), credit)));
    }
    texts
}
