//! `uncredited-picture`: a picture without its maker or licence.

use crate::check::context::CardView;
use crate::check::rule::{Rule, Scope};
use crate::deck::Text;
use crate::finding::{Finding, Level};

pub const RULE: Rule = Rule {
    name: "uncredited-picture",
    level: Level::Warning,
    summary: "a picture does not say who made it, or under which licence it may be used",
    why: "Packs are handed out and put on pages. A picture may be used only under a licence, and its maker is named with it; a drawing of one's own is quickly credited.",
    wrong: "pictures:\n  - file: pictures/contours.svg\n    alt: Contour lines ring a hill.",
    right: "pictures:\n  - file: pictures/contours.svg\n    alt: Contour lines ring a hill.\n    credit: Drawn for this department\n    licence: CC0-1.0",
    waivable: true,
    repairable: false,
    scope: Scope::Card(check),
};

fn check(view: &CardView<'_>, found: &mut Vec<Finding>) {
    for (at, picture) in view.card.pictures.iter().enumerate().filter(|(_, picture)| !picture.file.is_empty()) {
        let missing = match (is_given(&picture.credit), is_given(&picture.licence)) {
            (true, true) => continue,
            (false, true) => "credit",
            (true, false) => "licence",
            (false, false) => "credit and no licence",
        };
        let message = format!("the picture `{}` has no {missing}", picture.file.value);
        let finding = view.finding(&RULE, picture.file.span, format!("pictures[{at}]"), message);
        let help = "write who made it behind `credit:`, and the licence behind `licence:`, such as `CC0-1.0`";
        found.push(finding.help(help).about(&picture.file.value));
    }
}

fn is_given(text: &Option<Text>) -> bool {
    text.as_ref().is_some_and(|text| !text.trim().is_empty())
}
