//! `missing-section`: a source in a section that the notes do not have.

use crate::check::cited::{Cited, cited};
use crate::check::context::CardView;
use crate::check::near::{did_you_mean, near};
use crate::check::rule::{Rule, Scope};
use crate::deck::{Question, Text};
use crate::finding::{Finding, Level};
use crate::notes::{Notes, anchor_of};

pub const RULE: Rule = Rule {
    name: "missing-section",
    level: Level::Error,
    summary: "the source names a section that its notes do not have, or none at all",
    why: "A section is found by its heading. When the heading is reworded, the cards made from it have to follow, or nobody finds the passage again.",
    wrong: "source: notes.md#wind-forse",
    right: "source: notes.md#wind-force",
    waivable: false,
    repairable: true,
    scope: Scope::Card(check),
};

/// A hint lists no more sections than this.
const LISTED: usize = 8;

fn check(view: &CardView<'_>, found: &mut Vec<Finding>) {
    for question in &view.card.questions {
        let Some(source) = question.source.as_ref().filter(|source| !view.has_moved(source)) else { continue };
        let cited = cited(view.deck, source);
        let Some(notes) = cited.path.as_ref().and_then(|path| view.context.all_notes.notes(path)) else { continue };
        if cited.section.is_none_or(|section| notes.section(section).is_none()) {
            found.push(finding(view, question, source, &cited, notes));
        }
    }
}

fn finding(view: &CardView<'_>, question: &Question, source: &Text, cited: &Cited<'_>, notes: &Notes) -> Finding {
    let near = cited.section.map_or(Vec::new(), |section| near_sections(section, notes));
    let message = match cited.section {
        Some(section) => format!("`{}` has no section `{section}`", cited.file),
        None => format!("the source names no section of `{}`", cited.file),
    };
    let help = did_you_mean(&near).unwrap_or_else(|| sections_of(notes, cited.file));
    let finding = view.finding(&RULE, source.span, question.field("source"), message).help(help).about(&source.value);
    match (near.as_slice(), cited.section_span) {
        ([anchor], Some(span)) => finding.repaired_by(&view.deck.file.path, span, *anchor),
        _ => finding,
    }
}

fn near_sections<'n>(section: &str, notes: &'n Notes) -> Vec<&'n str> {
    let anchors = || notes.sections().iter().map(|section| section.anchor.as_str()).filter(|anchor| !anchor.is_empty());
    match notes.section(&anchor_of(section)) {
        Some(same) if !same.anchor.is_empty() => vec![&same.anchor],
        _ => near(section, anchors()),
    }
}

/// What may be written: the sections that the notes have.
fn sections_of(notes: &Notes, file: &str) -> String {
    let anchors: Vec<_> = notes
        .sections()
        .iter()
        .filter(|section| !section.anchor.is_empty())
        .map(|section| format!("`{file}#{}`", section.anchor))
        .collect();
    match anchors.len() {
        0 => format!(
            "give the text in `{file}` a heading, and write `{file}#` with the heading in lower case and hyphens for blanks"
        ),
        count if count <= LISTED => format!("write one of its sections: {}", anchors.join(", ")),
        _ => format!("write one of its sections, such as {}", anchors[..LISTED].join(", ")),
    }
}
