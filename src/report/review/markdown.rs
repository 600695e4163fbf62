//! A review as a comment for any hosting site.
//!
//! Whatever people wrote stands in code, between backticks or fences that are longer than any in it:
//! there it is shown as typed, so that it mentions nobody, links nowhere and is no markup.

use super::Heading;
use super::order::ordered;
use super::phrases;
use super::text::{excerpt, marked_plain};
use crate::change::{CardChange, DeckChange, DeckState, FieldChange, NotesState, Review, What};
use crate::deck::Value;
use crate::finding::Finding;
use crate::report::{counted, harmless};

/// The whole review.
pub fn review(review: &Review, heading: &Heading) -> String {
    let mut text = format!("## {}\n\n", sentence(&heading.what));
    heading.about.iter().for_each(|about| text.push_str(&format!("{}\n\n", sentence(about))));
    text.push_str(&format!("{}.\n", super::overview(review)));
    let ordered = ordered(&review.changes);
    if !ordered.facts.is_empty() {
        text.push_str("\n### Facts that change\n");
        for (deck, change) in &ordered.facts {
            text.push_str(&card(change, Some(&deck.deck)));
        }
    }
    for (deck, cards) in &ordered.decks {
        text.push_str(&of_deck(deck));
        cards.iter().for_each(|change| text.push_str(&card(change, None)));
        text.push_str(&quiet(deck));
    }
    text.push_str(&notes(review));
    text.push_str(&others(review));
    text.push_str(&findings("Brings in", "brings in no findings", &review.brought_in));
    if !review.cleared.is_empty() {
        text.push_str(&findings("Clears", "", &review.cleared));
    }
    text
}

/// Text as one stretch of code, which shows it as typed.
pub(super) fn code(text: &str) -> String {
    let text = harmless(&text.replace('\n', " ⏎ "));
    if text.trim().is_empty() {
        return "(nothing)".to_owned();
    }
    let fence = "`".repeat(longest_run(&text) + 1);
    // Backticks at the ends need a blank between them and the fence.
    let pad = if text.starts_with(['`', ' ']) || text.ends_with(['`', ' ']) { " " } else { "" };
    format!("{fence}{pad}{text}{pad}{fence}")
}

/// Lines as a block of code.
fn block(language: &str, lines: &[String]) -> String {
    let lines: Vec<String> = lines.iter().map(|line| harmless(line)).collect();
    let longest = lines.iter().map(|line| longest_run(line)).max().unwrap_or_default();
    let fence = "`".repeat((longest + 1).max(3));
    format!("\n{fence}{language}\n{}\n{fence}\n", lines.join("\n"))
}

fn longest_run(text: &str) -> usize {
    text.split(|c| c != '`').map(str::len).max().unwrap_or_default()
}

/// A sentence of ours with names in it: the words that anybody may have chosen stand in code.
fn sentence(text: &str) -> String {
    let plain = |word: &str| word.chars().all(|c| c.is_alphanumeric() || ",.:'’".contains(c)) && !word.contains("..");
    let word = |word: &str| if plain(word) { word.to_owned() } else { code(word) };
    text.split(' ').map(word).collect::<Vec<_>>().join(" ")
}

fn of_deck(change: &DeckChange) -> String {
    let state = match change.state {
        DeckState::Kept => String::new(),
        DeckState::Added => ", a new deck".to_owned(),
        DeckState::Removed => ", taken out".to_owned(),
        DeckState::Renamed => format!(", which was {}", code(change.from.as_deref().unwrap_or_default())),
    };
    let mut text = format!("\n### Deck {}{state}\n", code(&change.deck));
    let lines: Vec<String> = change.fields.iter().flat_map(field).collect();
    if !lines.is_empty() {
        text.push_str(&block("diff", &lines));
    }
    text
}

fn quiet(change: &DeckChange) -> String {
    let lines: Vec<String> = phrases::quiet(change).into_iter().map(|phrase| format!("- {phrase}")).collect();
    if lines.is_empty() { String::new() } else { format!("\n{}\n", lines.join("\n")) }
}

fn card(change: &CardChange, deck: Option<&str>) -> String {
    let what = match change.what {
        What::Added => "added",
        What::Removed => "removed",
        What::Edited => "edited",
        What::Moved => "moved",
        What::MovedAndEdited => "moved and edited",
    };
    let mut text = format!("\n**{what}**");
    text.extend(change.effect.map(|effect| format!(" ({})", effect.word())));
    text.push_str(&format!(": {}", code(&change.id)));
    text.extend(deck.map(|deck| format!(" in {}", code(deck))));
    text.extend(change.from.as_ref().map(|from| format!(", from {}", code(from))));
    text.push('\n');
    let mut lines = Vec::new();
    if !matches!(change.what, What::Added | What::Removed) && !change.fields.iter().any(|f| f.field == "question") {
        lines.push(format!("  question: {}", line(&change.question)));
    }
    lines.extend(change.fields.iter().filter(|field| field.field != "id").flat_map(field));
    text.push_str(&block("diff", &lines));
    if let Some(passage) = change.passage.as_ref().filter(|_| change.what.is_edit()) {
        text.push_str(&format!("\nThe notes ({}):\n", code(&passage.source)));
        text.push_str(&block("text", &wrapped(&passage.text)));
    }
    text
}

/// A field as lines of a difference: the words that differ stand in brackets.
fn field(change: &FieldChange) -> Vec<String> {
    let name = line(&change.field);
    match (&change.before, &change.after) {
        (Some(_), Some(_)) if !change.words.is_empty() => {
            let (was, now) = marked_plain(&change.words);
            vec![format!("- {name}: {was}"), format!("+ {name}: {now}")]
        }
        (before, after) => {
            let shown = |sign: &str, value: &Option<Value>| {
                value.as_ref().map(|value| format!("{sign} {name}: {}", line(&value.line())))
            };
            [shown("-", before), shown("+", after)].into_iter().flatten().collect()
        }
    }
}

/// Text on one line.
fn line(text: &str) -> String {
    text.replace('\n', " ⏎ ")
}

/// Lines that nobody needs to scroll sideways for.
fn wrapped(text: &str) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let last = lines.len() - 1;
        if !lines[last].is_empty() && lines[last].chars().count() + word.chars().count() > 90 {
            lines.push(word.to_owned());
        } else {
            let gap = if lines[last].is_empty() { "" } else { " " };
            lines[last].push_str(&format!("{gap}{word}"));
        }
    }
    lines
}

fn notes(review: &Review) -> String {
    if review.changes.notes.is_empty() {
        return String::new();
    }
    let mut text = "\n### Notes\n".to_owned();
    for section in &review.changes.notes {
        let state = phrases::section(section.state);
        text.push_str(&format!("\n**{state}**: {} in {}\n", code(&section.heading), code(&section.path)));
        if section.state == NotesState::Edited {
            let (was, now) = marked_plain(&excerpt(&section.words));
            text.push_str(&block("diff", &[format!("- {was}"), format!("+ {now}")]));
        }
        if !section.cards.is_empty() {
            text.push_str("\nCards made from it:\n\n");
            for (card, state) in phrases::leaning(section) {
                let state = if state.is_empty() { state } else { format!(": {state}") };
                text.push_str(&format!("- {}{state}\n", code(card)));
            }
        }
    }
    text
}

fn others(review: &Review) -> String {
    let mut text = String::new();
    for picture in &review.changes.pictures {
        let cards: Vec<String> = picture.cards.iter().map(|card| code(card)).collect();
        text.push_str(&format!(
            "\n**{}**, new look: {} on {}\n",
            picture.effect.word(),
            code(&picture.path),
            cards.join(", ")
        ));
    }
    if !review.changes.settings.is_empty() {
        let keys: Vec<String> = review.changes.settings.iter().map(|setting| code(&setting.key)).collect();
        text.push_str(&format!("\nSettings changed: {}.\n", keys.join(", ")));
    }
    if review.changes.reformatted_files > 0 {
        let files = counted(review.changes.reformatted_files, "file", "files");
        text.push_str(&format!("\n{files} of notes and settings changed in layout alone.\n"));
    }
    text
}

fn findings(title: &str, none: &str, findings: &[Finding]) -> String {
    if findings.is_empty() {
        return format!("\nIt {none}.\n");
    }
    let mut text = format!("\n### {title} {}\n\n", counted(findings.len(), "finding", "findings"));
    for finding in findings {
        let place = code(&format!("{}:{}", finding.place.path, finding.place.start.line));
        text.push_str(&format!("- **{}**: {} ({place})\n", finding.level.word(), code(&finding.message)));
        if let Some(help) = &finding.help {
            text.push_str(&format!("  - help: {}\n", code(help)));
        }
    }
    text
}
