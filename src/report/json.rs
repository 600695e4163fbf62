//! Findings as JSON, by `schema/findings.schema.json`.

use serde::Serialize;

use crate::change::NotesChange;
use crate::check::{Report, Summary};
use crate::finding::Finding;

/// The report as one JSON text, two blanks of indentation, with a last line end.
pub fn report(report: &Report) -> String {
    report_since(report, None)
}

/// The same of what has come in, with the sections of the notes that differ and have cards.
pub fn report_since(report: &Report, notes: Option<&[NotesChange]>) -> String {
    pretty(&ReportJson { format: 1, findings: &report.findings, notes, summary: report.summary })
}

/// Any result as JSON, two blanks of indentation, with a last line end.
pub fn pretty(value: &impl Serialize) -> String {
    // Serialising to a string fails only for maps whose keys are no strings; none of ours are.
    serde_json::to_string_pretty(value).unwrap_or_default() + "\n"
}

#[derive(Serialize)]
struct ReportJson<'a> {
    format: u8,
    findings: &'a [Finding],
    #[serde(skip_serializing_if = "Option::is_none")]
    notes: Option<&'a [NotesChange]>,
    summary: Summary,
}
