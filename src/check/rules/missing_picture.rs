//! `missing-picture`: a picture that is not there.

use crate::check::context::CardView;
use crate::check::near::{did_you_mean, near};
use crate::check::rule::{Rule, Scope};
use crate::deck::department::{CARDS, join};
use crate::finding::{Finding, Level};

pub const RULE: Rule = Rule {
    name: "missing-picture",
    level: Level::Error,
    summary: "a card shows a picture that is not there",
    why: "The card would be printed with a hole in it, and a question about the picture cannot be answered.",
    wrong: "pictures:\n  - file: pictures/contour.svg",
    right: "pictures:\n  - file: pictures/contours.svg",
    waivable: false,
    repairable: false,
    scope: Scope::Card(check),
};

fn check(view: &CardView<'_>, found: &mut Vec<Finding>) {
    let files = &view.context.department.files;
    for (at, picture) in view.card.pictures.iter().enumerate().filter(|(_, picture)| !picture.file.is_empty()) {
        let Some(path) = join(&view.deck.folder(), &picture.file) else { continue };
        if files.contains_key(&path) {
            continue;
        }
        let message = format!("there is no picture `{}`", picture.file.value);
        let help = in_folder(view, &picture.file)
            .unwrap_or_else(|| format!("put the picture at `{path}`, or write the path from the deck's own folder"));
        let finding = view.finding(&RULE, picture.file.span, format!("pictures[{at}].file"), message);
        found.push(finding.help(help).about(&picture.file.value));
    }
}

/// A hint at the pictures in the deck's own folder.
fn in_folder(view: &CardView<'_>, file: &str) -> Option<String> {
    let folder = format!("{}/", view.deck.folder());
    let names = view.context.department.files.range(folder.clone()..).map_while(|(path, _)| path.strip_prefix(&folder));
    let pictures: Vec<_> = names.take(300).filter(|name| !name.ends_with(".md") && !name.ends_with(CARDS)).collect();
    did_you_mean(&near(file.trim_start_matches("./"), pictures))
}
