//! `missing-alt-text`: a picture without words for those who cannot see it.

use crate::check::context::CardView;
use crate::check::rule::{Rule, Scope};
use crate::deck::Picture;
use crate::finding::{Finding, Level};

pub const RULE: Rule = Rule {
    name: "missing-alt-text",
    level: Level::Error,
    summary: "a picture has no text for those who cannot see it",
    why: "Some pupils cannot see the picture, or have it read to them. The text says what it shows, without giving the answer away.",
    wrong: "pictures:\n  - file: pictures/contours.svg",
    right: "pictures:\n  - file: pictures/contours.svg\n    alt: Contour lines ring a hill, close together on the west side.",
    waivable: false,
    repairable: false,
    scope: Scope::Card(check),
};

fn check(view: &CardView<'_>, found: &mut Vec<Finding>) {
    for (at, picture) in view.card.pictures.iter().enumerate() {
        let message = match picture.alt.as_deref().map(str::trim).filter(|alt| !alt.is_empty()) {
            None => format!("nothing says what the picture {}shows", named(picture)),
            Some(alt) if is_file_name(alt, picture) => {
                format!("`{alt}` is the picture's name, and does not say what it shows")
            }
            Some(_) => continue,
        };
        let span = if picture.file.is_empty() { picture.span } else { picture.file.span };
        let finding = view.finding(&RULE, span, format!("pictures[{at}].alt"), message);
        let help = "write `alt:` with a sentence that says what can be seen, without the answer to the question";
        found.push(finding.help(help).about(&picture.file.value));
    }
}

fn named(picture: &Picture) -> String {
    if picture.file.is_empty() { String::new() } else { format!("`{}` ", picture.file.value) }
}

fn is_file_name(alt: &str, picture: &Picture) -> bool {
    let file = picture.file.value.as_str();
    !file.is_empty() && (alt == file || file.rsplit('/').next() == Some(alt))
}
