//! Findings as JSON, by `schema/findings.schema.json`.

use serde::Serialize;

use crate::check::{Report, Summary};
use crate::finding::{Finding, Level, Related};
use crate::place::Position;

/// The report as one JSON text, two blanks of indentation, with a last line end.
pub fn report(report: &Report) -> String {
    let findings = report.findings.iter().map(FindingJson::from).collect();
    let whole = ReportJson { format: 1, findings, summary: report.summary };
    pretty(&whole)
}

/// Any result as JSON, two blanks of indentation, with a last line end.
pub fn pretty(value: &impl Serialize) -> String {
    // Serialising to a string fails only for maps whose keys are no strings; none of ours are.
    serde_json::to_string_pretty(value).unwrap_or_default() + "\n"
}

/// A list of findings as JSON values, for results that hold findings among other things.
pub fn findings(findings: &[Finding]) -> serde_json::Value {
    let list: Vec<FindingJson<'_>> = findings.iter().map(FindingJson::from).collect();
    serde_json::to_value(list).unwrap_or_default()
}

#[derive(Serialize)]
struct ReportJson<'a> {
    format: u8,
    findings: Vec<FindingJson<'a>>,
    summary: Summary,
}

#[derive(Serialize)]
struct FindingJson<'a> {
    rule: &'a str,
    level: Level,
    deck: Option<&'a str>,
    card: Option<&'a str>,
    field: Option<&'a str>,
    path: &'a str,
    start: Position,
    end: Position,
    message: &'a str,
    help: Option<&'a str>,
    related: Vec<RelatedJson<'a>>,
    repairable: bool,
}

#[derive(Serialize)]
struct RelatedJson<'a> {
    path: &'a str,
    start: Position,
    end: Position,
    deck: Option<&'a str>,
    card: Option<&'a str>,
    message: &'a str,
}

impl<'a> From<&'a Finding> for FindingJson<'a> {
    fn from(finding: &'a Finding) -> Self {
        Self {
            rule: finding.rule,
            level: finding.level,
            deck: finding.deck.as_deref(),
            card: finding.card.as_deref(),
            field: finding.field.as_deref(),
            path: &finding.place.path,
            start: finding.place.start,
            end: finding.place.end,
            message: &finding.message,
            help: finding.help.as_deref(),
            related: finding.related.iter().map(RelatedJson::from).collect(),
            repairable: !finding.repair.is_empty(),
        }
    }
}

impl<'a> From<&'a Related> for RelatedJson<'a> {
    fn from(related: &'a Related) -> Self {
        Self {
            path: &related.place.path,
            start: related.place.start,
            end: related.place.end,
            deck: related.deck.as_deref(),
            card: related.card.as_deref(),
            message: &related.message,
        }
    }
}
