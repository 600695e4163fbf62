//! A review as people read it on a terminal: card by card, facts first, with the words that differ.
//!
//! What was and what is stand on lines of their own, and changed words stand in brackets, so that
//! the text reads aloud well and needs no colour.

use anstyle::{AnsiColor, Style};

use super::Heading;
use super::order::{in_order, ordered};
use super::phrases;
use crate::change::{
    BesideCards, CardChange, Counts, DeckChange, DeckState, FieldChange, NotesChange, NotesState, Review, Run, What,
};
use crate::deck::Value;
use crate::report::{counted, harmless, terminal};

const REMOVED: Style = Style::new().fg_color(Some(anstyle::Color::Ansi(AnsiColor::Red)));
const ADDED: Style = Style::new().fg_color(Some(anstyle::Color::Ansi(AnsiColor::Green)));
const BOLD: Style = Style::new().bold();

/// The whole review.
pub fn review(review: &Review, heading: &Heading, width: usize) -> String {
    let mut text = format!("{BOLD}{}{BOLD:#}\n", harmless(&heading.what));
    heading.about.iter().for_each(|about| text.push_str(&format!("{}\n", harmless(about))));
    text.push_str(&format!("{}\n", overview(review)));
    let ordered = ordered(&review.changes);
    if !ordered.facts.is_empty() {
        text.push_str(&format!("\n{BOLD}facts that change{BOLD:#}\n"));
        for (deck, change) in &ordered.facts {
            text.push_str(&card(change, Some(&deck.deck)));
        }
    }
    for (deck, cards) in &ordered.decks {
        text.push('\n');
        text.push_str(&of_deck(deck, cards));
    }
    text.push_str(&notes(&review.changes.notes));
    text.push_str(&others(review));
    text.push_str(&findings(review, width));
    text
}

/// How much of what, on one line.
pub fn overview(review: &Review) -> String {
    overview_of(&review.counts, &review.changes.beside_cards())
}

/// The same of the counts alone.
pub fn overview_of(counts: &Counts, beside: &BesideCards) -> String {
    let mut parts = Vec::new();
    let mut part = |count: usize, word: &str| {
        if count > 0 {
            parts.push(format!("{} {word}", counted(count, "card", "cards")));
        }
    };
    part(counts.added, "added");
    part(counts.edited, "edited");
    part(counts.moved, "moved to another deck");
    part(counts.removed, "removed");
    part(counts.reordered, "in another place of their deck");
    part(counts.reformatted, "written differently, saying the same");
    if parts.is_empty() {
        parts.push("no card changed".to_owned());
    }
    let facts = match counts.facts {
        0 => String::new(),
        facts => format!(
            "; {} a fact",
            if facts == 1 { "1 edit changes".to_owned() } else { format!("{facts} edits change") }
        ),
    };
    let others = others_changed(beside).map(|others| format!("; {others}")).unwrap_or_default();
    format!("{}{facts}{others}", parts.join(", "))
}

/// What changed that is no card: a lead who reads `no card changed` must not take it for nothing.
fn others_changed(beside: &BesideCards) -> Option<String> {
    let mut parts: Vec<String> = [
        (beside.decks, "deck added, removed or renamed", "decks added, removed or renamed"),
        (beside.notes, "section of the notes changed", "sections of the notes changed"),
        (beside.pictures, "picture changed", "pictures changed"),
    ]
    .into_iter()
    .filter(|(number, _, _)| *number > 0)
    .map(|(number, one, many)| counted(number, one, many))
    .collect();
    if beside.settings > 0 {
        parts.push("settings changed".to_owned());
    }
    (!parts.is_empty()).then(|| parts.join(", "))
}

/// What changed in one deck.
pub fn deck(change: &DeckChange) -> String {
    of_deck(change, &in_order(change.cards.iter()))
}

fn of_deck(change: &DeckChange, cards: &[&CardChange]) -> String {
    let state = match change.state {
        DeckState::Kept => String::new(),
        DeckState::Added => " (new deck)".to_owned(),
        DeckState::Removed => " (deck removed)".to_owned(),
        DeckState::Renamed => format!(" (was {})", change.from.as_deref().unwrap_or_default()),
    };
    let mut text =
        format!("{BOLD}{}{BOLD:#}: {}{}\n", harmless(&change.deck), harmless(&change.topic), harmless(&state));
    for field in &change.fields {
        text.push_str(&self::field(field, "  "));
    }
    cards.iter().for_each(|change| text.push_str(&card(change, None)));
    phrases::quiet(change).iter().for_each(|phrase| text.push_str(&format!("  {phrase}\n")));
    text
}

/// One card; `deck` where it does not stand below its deck.
fn card(change: &CardChange, deck: Option<&str>) -> String {
    let deck = deck.map(|deck| format!(" in {}", harmless(deck))).unwrap_or_default();
    let from = change.from.as_ref().map(|from| format!(" from {from}")).unwrap_or_default();
    let what = match change.what {
        What::Added => "added",
        What::Removed => "removed",
        What::Edited => "edited",
        What::Moved => "moved",
        What::MovedAndEdited => "moved and edited",
    };
    let effect = change.effect.map(|effect| format!(", {}", effect.word())).unwrap_or_default();
    let mut text = format!("  {what}{}{effect}: {BOLD}{}{BOLD:#}{deck}\n", harmless(&from), harmless(&change.id));
    match change.what {
        What::Added | What::Removed => {
            for field in change.fields.iter().filter(|field| field.field != "id") {
                let value = field.after.as_ref().or(field.before.as_ref());
                text.push_str(&format!("    {}: {}\n", field.field, value.map(shown).unwrap_or_default()));
            }
        }
        _ => {
            if !change.fields.iter().any(|field| field.field == "question") {
                text.push_str(&format!("    question: {}\n", harmless(&change.question)));
            }
            change.fields.iter().for_each(|change| text.push_str(&field(change, "    ")));
        }
    }
    if let Some(passage) = change.passage.as_ref().filter(|_| change.what.is_edit()) {
        let (source, passage) = (harmless(&passage.source), harmless(&passage.text));
        text.push_str(&format!("    the notes ({source}):\n      {passage}\n"));
    }
    text
}

fn field(change: &FieldChange, indent: &str) -> String {
    let name = harmless(&change.field);
    match (&change.before, &change.after) {
        (None, Some(after)) => format!("{indent}{name} added: {ADDED}{}{ADDED:#}\n", shown(after)),
        (Some(before), None) => format!("{indent}{name} removed: {REMOVED}{}{REMOVED:#}\n", shown(before)),
        (Some(before), Some(after)) => {
            let (was, now) =
                if change.words.is_empty() { (shown(before), shown(after)) } else { marked(&change.words) };
            format!("{indent}{name}\n{indent}  was: {was}\n{indent}  now: {now}\n")
        }
        (None, None) => String::new(),
    }
}

/// Both texts with the words that differ in brackets.
fn marked(runs: &[Run]) -> (String, String) {
    let (mut was, mut now) = (String::new(), String::new());
    for run in runs {
        match run {
            Run::Kept(text) => {
                was.push_str(&harmless(text));
                now.push_str(&harmless(text));
            }
            Run::Removed(text) => was.push_str(&bracketed(text, REMOVED)),
            Run::Added(text) => now.push_str(&bracketed(text, ADDED)),
        }
    }
    (was.trim_end().to_owned(), now.trim_end().to_owned())
}

/// Both texts with the words that differ in brackets, each on one line and without colours.
pub(super) fn marked_plain(runs: &[Run]) -> (String, String) {
    let line = |text: String| anstream::adapter::strip_str(&text.replace('\n', " ⏎ ")).to_string();
    let (was, now) = marked(runs);
    (line(was), line(now))
}

/// `text` in brackets, the blanks at its ends outside.
fn bracketed(text: &str, style: Style) -> String {
    let words = text.trim();
    if words.is_empty() {
        return harmless(text);
    }
    let start = &text[..text.len() - text.trim_start().len()];
    let end = &text[text.trim_end().len()..];
    format!("{}{style}[{}]{style:#}{}", harmless(start), harmless(words), harmless(end))
}

fn shown(value: &Value) -> String {
    harmless(&value.line())
}

/// The sections of the notes that differ, with the cards that were made from them; nothing for none.
pub fn notes(sections: &[NotesChange]) -> String {
    if sections.is_empty() {
        return String::new();
    }
    let mut text = format!("\n{BOLD}notes{BOLD:#}\n");
    for section in sections {
        let state = phrases::section(section.state);
        text.push_str(&format!("  {state}: {} in {}\n", harmless(&section.heading), harmless(&section.path)));
        if section.state == NotesState::Edited {
            let (was, now) = marked(&excerpt(&section.words));
            text.push_str(&format!("    was: {was}\n    now: {now}\n"));
        }
        if !section.cards.is_empty() {
            text.push_str("    cards made from it:\n");
            for (card, state) in phrases::leaning(section) {
                let state = if state.is_empty() { state } else { format!(": {state}") };
                text.push_str(&format!("      {}{state}\n", harmless(card)));
            }
        }
    }
    text
}

/// The changed words with a few of those around them.
pub(super) fn excerpt(runs: &[Run]) -> Vec<Run> {
    const AROUND: usize = 8;
    let last = runs.len().saturating_sub(1);
    let short = |at: usize, text: &str| {
        let words: Vec<&str> = text.split_inclusive(' ').collect();
        let (head, tail) = (at > 0, at < last);
        match (head, tail) {
            _ if words.len() <= 2 * AROUND => text.to_owned(),
            (false, _) => format!("… {}", words[words.len() - AROUND..].concat()),
            (_, false) => format!("{}…", words[..AROUND].concat()),
            _ => format!("{}… {}", words[..AROUND].concat(), words[words.len() - AROUND..].concat()),
        }
    };
    let shorter = |(at, run): (usize, &Run)| match run {
        Run::Kept(text) => Run::Kept(short(at, text)),
        changed => changed.clone(),
    };
    runs.iter().enumerate().map(shorter).collect()
}

fn others(review: &Review) -> String {
    let mut text = String::new();
    for picture in &review.changes.pictures {
        let cards = harmless(&picture.cards.join(", "));
        text.push_str(&format!("\n{}, new look: {} on {cards}\n", picture.effect.word(), harmless(&picture.path)));
    }
    if !review.changes.settings.is_empty() {
        let keys: Vec<_> = review.changes.settings.iter().map(|setting| harmless(&setting.key)).collect();
        text.push_str(&format!("\nsettings changed: {}\n", keys.join(", ")));
    }
    if review.changes.reformatted_files > 0 {
        let files = counted(review.changes.reformatted_files, "file", "files");
        text.push_str(&format!("\n{files} of notes and settings changed in layout alone\n"));
    }
    text
}

fn findings(review: &Review, width: usize) -> String {
    let mut text = String::new();
    if review.brought_in.is_empty() {
        text.push_str("\nbrings in no findings\n");
    } else {
        text.push_str(&format!(
            "\n{BOLD}brings in {}{BOLD:#}\n",
            counted(review.brought_in.len(), "finding", "findings")
        ));
        review.brought_in.iter().for_each(|finding| text.push_str(&terminal::finding(finding, width)));
    }
    if !review.cleared.is_empty() {
        text.push_str(&format!("\n{BOLD}clears {}{BOLD:#}\n", counted(review.cleared.len(), "finding", "findings")));
        for finding in &review.cleared {
            let message = harmless(&finding.message);
            text.push_str(&format!("  {}: {message} [{}]\n", finding.level.word(), finding.rule));
        }
    }
    text
}
