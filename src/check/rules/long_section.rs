//! `long-section`: a section of the notes over a page.

use crate::check::context::Context;
use crate::check::rule::{Rule, Scope};
use crate::finding::{Finding, Level};
use crate::place::Span;

pub const RULE: Rule = Rule {
    name: "long-section",
    level: Level::Advice,
    summary: "a section of the notes is longer than about a page (450 words unless the department sets it)",
    why: "Cards are made from one short section at a time. Common practice: work from no more than about a page of notes, or the cards become a copy of them.",
    wrong: "## Rivers\n(six hundred words on everything that rivers do)",
    right: "## Erosion\n(a hundred words)\n\n## Transport\n(a hundred words)",
    waivable: true,
    repairable: false,
    scope: Scope::Department(check),
};

fn check(context: &Context<'_>, found: &mut Vec<Finding>) {
    let limit = context.settings().limits.words_in_a_section;
    for (path, notes) in context.all_notes.files() {
        let Some(file) = context.department.notes.get(path) else { continue };
        for section in notes.sections() {
            let words = section.word_count();
            if words <= limit {
                continue;
            }
            let heading = if section.heading_span.is_empty() {
                first_line(&file.text, section.span.start)
            } else {
                section.heading_span.clone()
            };
            let heading = heading.start..heading.start + file.text[heading].trim_end().len();
            let message = format!("this section has {words} words, more than {limit}");
            let mut finding = RULE.finding(file.place(Span::new(heading.start, heading.end)), message);
            finding.deck = deck_of(context, path);
            found.push(finding.help("divide it by further headings, one for each idea").about(&section.anchor));
        }
    }
}

fn first_line(text: &str, at: usize) -> std::ops::Range<usize> {
    let blank = text[at..].len() - text[at..].trim_start().len();
    let start = at + blank;
    start..text[start..].find('\n').map_or(text.len(), |end| start + end)
}

/// The deck in whose folder the notes stand.
fn deck_of(context: &Context<'_>, path: &str) -> Option<String> {
    let folder = path.rsplit_once('/')?.0.strip_prefix("decks/")?;
    context.department.deck(folder).map(|deck| deck.name.clone())
}
