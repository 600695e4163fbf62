//! `missing-notes`: a source in a notes file that is not there.

use crate::check::cited::cited;
use crate::check::context::CardView;
use crate::check::near::{did_you_mean, near};
use crate::check::rule::{Rule, Scope};
use crate::deck::Question;
use crate::deck::department::with_slashes;
use crate::deck::Text;
use crate::finding::{Finding, Level};

pub const RULE: Rule = Rule {
    name: "missing-notes",
    level: Level::Error,
    summary: "the source names a notes file that is not there",
    why: "The source says where a fact comes from. Without the notes, nobody can tell whether the card is still right.",
    wrong: "source: note.md#wind-force",
    right: "source: notes.md#wind-force",
    waivable: false,
    repairable: false,
    scope: Scope::Card(check),
};

fn check(view: &CardView<'_>, found: &mut Vec<Finding>) {
    for question in &view.card.questions {
        if let Some(source) = question.source.as_ref().filter(|source| !source.trim().is_empty() && !view.has_moved(source)) {
            found.extend(finding(view, question, source));
        }
    }
}

fn finding(view: &CardView<'_>, question: &Question, source: &Text) -> Option<Finding> {
    let cited = cited(view.deck, source);
    let (message, help) = match &cited.path {
        _ if cited.file.is_empty() => ("the source names no notes file".to_owned(), by_example(cited.section)),
        None if with_slashes(&view.deck.folder(), cited.file).is_some() => {
            let written = with_slashes(&view.deck.folder(), &source.value).unwrap_or_default();
            let message = format!("the path `{}` is written as only some computers read it", cited.file);
            (message, format!("write `/` between folders: `source: {written}`"))
        }
        None => {
            let help =
                "write the path from the deck's own folder, as in `notes.md#section` or `../rivers/notes.md#section`";
            (format!("`{}` leaves the department", cited.file), help.to_owned())
        }
        // A file that is there but cannot be read has a finding of its own.
        Some(path) if is_there(view, path) => return None,
        Some(_) => (
            format!("there are no notes `{}`", cited.file),
            in_folder(view, cited.file).unwrap_or_else(|| by_example(cited.section)),
        ),
    };
    Some(view.finding(&RULE, source.span, question.field("source"), message).help(help).about(cited.file))
}

fn is_there(view: &CardView<'_>, path: &str) -> bool {
    let department = view.context.department;
    department.notes.contains_key(path) || (path.ends_with(".md") && department.files.contains_key(path))
}

/// A hint at the notes in the deck's own folder.
fn in_folder(view: &CardView<'_>, file: &str) -> Option<String> {
    let folder = format!("{}/", view.deck.folder());
    let names = view.context.department.files.range(folder.clone()..).map_while(|(path, _)| path.strip_prefix(&folder));
    did_you_mean(&near(file, names.filter(|name| name.ends_with(".md")).take(100)))
}

fn by_example(section: Option<&str>) -> String {
    let section = section.unwrap_or("section");
    format!(
        "write the notes file and the section, as in `notes.md#{section}`; notes are Markdown files, ending in `.md`"
    )
}
