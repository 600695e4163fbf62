//! Findings as people read them on a terminal.
//!
//! Colours are anstyle sequences, which the command takes out where there is no terminal; nothing is
//! told by colour alone.

use anstyle::{AnsiColor, Style};
use unicode_width::UnicodeWidthStr;

use super::words::{counted, cut, harmless};
use crate::check::Report;
use crate::finding::{Finding, Level};

/// Where the name of the rule starts, when the message leaves room for it.
const RULE_COLUMN: usize = 50;

/// All findings of a report, and a last line that counts them.
pub fn report(report: &Report, width: usize) -> String {
    let mut text = String::new();
    for finding in &report.findings {
        text.push_str(&self::finding(finding, width));
        text.push('\n');
    }
    text.push_str(&summary(report));
    text.push('\n');
    text
}

/// One finding: what, where, the line itself, what else has to do with it, what to write instead.
pub fn finding(finding: &Finding, width: usize) -> String {
    let style = style_of(finding.level);
    let message = harmless(&finding.message);
    let start = finding.level.word().len() + 2 + message.width();
    let gap = " ".repeat(RULE_COLUMN.saturating_sub(start).max(2));
    let bold = Style::new().bold();
    let mut text =
        format!("{style}{}{style:#}: {bold}{message}{bold:#}{gap}[{}]\n", finding.level.word(), finding.rule);
    let place = &finding.place;
    text.push_str(&format!("  {}:{}", harmless(&place.path), place.start.line));
    if let Some(card) = &finding.card {
        text.push_str(&format!(" (card `{}`)", harmless(card)));
    }
    text.push('\n');
    if !place.line.trim().is_empty() {
        let number = format!("  {:>3} | ", place.start.line);
        let room = width.saturating_sub(number.width()).max(20);
        text.push_str(&format!("{number}{}\n", cut(&harmless(&place.line), room)));
    }
    for related in &finding.related {
        let card = related.card.as_ref().map(|card| format!(" (card `{}`)", harmless(card))).unwrap_or_default();
        let place = &related.place;
        text.push_str(&format!(
            "  {} {}:{}{card}\n",
            harmless(&related.message),
            harmless(&place.path),
            place.start.line
        ));
    }
    if let Some(help) = &finding.help {
        text.push_str(&format!("  help: {}\n", harmless(help)));
    }
    text
}

/// The last line: how many of what.
pub fn summary(report: &Report) -> String {
    let summary = &report.summary;
    let over = format!("{} with {}", counted(summary.decks, "deck", "decks"), counted(summary.cards, "card", "cards"));
    if report.findings.is_empty() {
        return format!("no findings in {over}");
    }
    let mut counts = Vec::new();
    for (count, one, many) in [
        (summary.errors, "error", "errors"),
        (summary.warnings, "warning", "warnings"),
        (summary.advice, "piece of advice", "pieces of advice"),
    ] {
        if count > 0 {
            counts.push(counted(count, one, many));
        }
    }
    let last = counts.pop().unwrap_or_default();
    let counts = if counts.is_empty() { last } else { format!("{} and {last}", counts.join(", ")) };
    format!("{counts} in {over}")
}

/// The style of a level's word.
pub fn style_of(level: Level) -> Style {
    let colour = match level {
        Level::Error => AnsiColor::Red,
        Level::Warning => AnsiColor::Yellow,
        Level::Advice => AnsiColor::Cyan,
    };
    Style::new().bold().fg_color(Some(colour.into()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::Related;
    use crate::place::{SourceFile, Span};

    #[test]
    fn a_finding_shows_both_places_and_what_to_write() {
        let file =
            SourceFile::new("decks/year-8/rivers/cards.yaml", "title: Rivers\n    question: What is attrition?\n");
        let other = SourceFile::new("decks/year-8/coasts/cards.yaml", "\n\n  x\n");
        let found = Finding::new(
            "duplicate-question",
            Level::Error,
            file.place(Span::new(28, 46)),
            "two cards ask the same question",
        )
        .on_card("wear")
        .help("keep one")
        .related(Related {
            place: other.place(Span::at(4)),
            deck: None,
            card: Some("attrition".into()),
            message: "first asked at".into(),
        });
        let text = anstream::adapter::strip_str(&finding(&found, 100)).to_string();
        assert_eq!(
            text,
            "error: two cards ask the same question            [duplicate-question]\n  \
             decks/year-8/rivers/cards.yaml:2 (card `wear`)\n    2 |     question: What is attrition?\n  \
             first asked at decks/year-8/coasts/cards.yaml:3 (card `attrition`)\n  help: keep one\n"
        );
    }
}
