//! A report as bytes, with all that findings know, and back.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use crate::check::{Report, find};
use crate::finding::{Finding, Level, Related, Replacement};
use crate::place::{Place, Position, Span};

/// A report's bytes.
pub fn write(report: &Report) -> Vec<u8> {
    let findings = report.findings.iter().map(StoredFinding::of).collect();
    let stored = Stored { decks: report.summary.decks, cards: report.summary.cards, findings };
    // Texts and numbers alone: this cannot fail.
    serde_json::to_vec(&stored).unwrap_or_default()
}

/// The report in some bytes; nothing when they are none.
pub fn read(bytes: &[u8]) -> Option<Report> {
    let stored: Stored = serde_json::from_slice(bytes).ok()?;
    let findings: Option<Vec<Finding>> = stored.findings.into_iter().map(StoredFinding::back).collect();
    Some(Report::new(findings?, stored.decks, stored.cards))
}

/// Some findings' bytes.
pub fn findings(findings: &[&Finding]) -> Vec<u8> {
    let stored: Vec<_> = findings.iter().map(|finding| StoredFinding::of(finding)).collect();
    serde_json::to_vec(&stored).unwrap_or_default()
}

/// The findings in some bytes; nothing when they are none.
pub fn found(bytes: &[u8]) -> Option<Vec<Finding>> {
    let stored: Vec<StoredFinding> = serde_json::from_slice(bytes).ok()?;
    stored.into_iter().map(StoredFinding::back).collect()
}

#[derive(Serialize, Deserialize)]
struct Stored {
    decks: usize,
    cards: usize,
    findings: Vec<StoredFinding>,
}

#[derive(Serialize, Deserialize)]
struct StoredFinding {
    rule: String,
    level: Level,
    deck: Option<String>,
    card: Option<String>,
    field: Option<String>,
    place: StoredPlace,
    message: String,
    help: Option<String>,
    related: Vec<(StoredPlace, Option<String>, Option<String>, String)>,
    repair: Vec<(String, usize, usize, String)>,
    about: String,
}

/// Path, bytes, start, end, line.
#[derive(Serialize, Deserialize)]
struct StoredPlace(String, (usize, usize), (usize, usize), (usize, usize), String);

impl StoredPlace {
    fn of(place: &Place) -> Self {
        let position = |position: Position| (position.line, position.column);
        let span = (place.span.start(), place.span.end());
        Self(place.path.to_string(), span, position(place.start), position(place.end), place.line.to_string())
    }

    fn back(self) -> Place {
        let position = |(line, column): (usize, usize)| Position { line, column };
        Place {
            path: self.0.into(),
            span: Span::new(self.1.0, self.1.1),
            start: position(self.2),
            end: position(self.3),
            line: self.4.into(),
        }
    }
}

impl StoredFinding {
    fn of(finding: &Finding) -> Self {
        let related = |related: &Related| {
            let Related { place, deck, card, message } = related.clone();
            (StoredPlace::of(&place), deck, card, message)
        };
        let repair = |replacement: &Replacement| {
            let Replacement { path, span, text } = replacement.clone();
            (path.to_string(), span.start(), span.end(), text)
        };
        let Finding { rule, level, deck, card, field, place, message, help, about, .. } = finding.clone();
        Self {
            rule: rule.to_owned(),
            level,
            deck,
            card,
            field,
            place: StoredPlace::of(&place),
            message,
            help,
            related: finding.related.iter().map(related).collect(),
            repair: finding.repair.iter().map(repair).collect(),
            about,
        }
    }

    /// The finding; nothing when there is no such rule.
    fn back(self) -> Option<Finding> {
        let related =
            |(place, deck, card, message): (StoredPlace, _, _, _)| Related { place: place.back(), deck, card, message };
        let repair = |(path, start, end, text): (String, usize, usize, String)| Replacement {
            path: Arc::from(path),
            span: Span::new(start, end),
            text,
        };
        Some(Finding {
            rule: find(&self.rule)?.name,
            level: self.level,
            deck: self.deck,
            card: self.card,
            field: self.field,
            place: self.place.back(),
            message: self.message,
            help: self.help,
            related: self.related.into_iter().map(related).collect(),
            repair: self.repair.into_iter().map(repair).collect(),
            about: self.about,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::change::support::{card, decks};

    #[test]
    fn what_is_written_reads_back_equal() {
        let text =
            card("a", "What is hail?", "Hail") + &card("a", "What is hail?", "Snow: no") + "    need: [b]\n    x: 1\n";
        let report = crate::check::check(&decks(&[("year-8/a", &text)]));
        assert!(report.findings.iter().any(|finding| !finding.related.is_empty() || !finding.repair.is_empty()));
        let back = read(&write(&report)).expect("sound");
        assert_eq!((back.findings, back.summary), (report.findings, report.summary));
    }
}
