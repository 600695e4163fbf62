//! Findings as SARIF 2.1.0 (OASIS, 2020), the form in which code hosts show findings beside the lines
//! they are about.

use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, utf8_percent_encode};
use serde_json::{Map, Value, json};
use sha2::{Digest, Sha256};

use super::json::pretty;
use super::words::shown;
use crate::check::{Report, Rule, all};
use crate::finding::{Finding, Level, Replacement};
use crate::place::Place;

/// What the findings say of the place they were made in.
#[derive(Clone, Copy, Debug)]
pub struct Origin<'a> {
    /// The program's version.
    pub version: &'a str,
    /// The department's folder in its repository: empty, or ending in `/`.
    pub prefix: &'a str,
}

/// The report as one SARIF log, with what each rule means and how to put it right.
pub fn report(report: &Report, origin: &Origin<'_>) -> String {
    let rules: Vec<&Rule> = all().iter().collect();
    let results = report.findings.iter().map(|finding| result(finding, &rules, origin)).collect::<Vec<_>>();
    pretty(&json!({
        "$schema": "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
        "version": "2.1.0",
        "runs": [{
            "tool": { "driver": {
                "name": "deckle",
                "version": origin.version,
                "rules": rules.iter().map(|rule| descriptor(rule)).collect::<Vec<_>>(),
            }},
            // What columns count: SARIF 2.1.0, section 3.14.27.
            "columnKind": "unicodeCodePoints",
            "invocations": [{ "executionSuccessful": true }],
            "results": results,
        }],
    }))
}

fn descriptor(rule: &Rule) -> Value {
    json!({
        "id": rule.name,
        "shortDescription": { "text": rule.summary },
        "fullDescription": { "text": rule.why },
        "help": { "text": help(rule, ""), "markdown": help(rule, "```") },
        "defaultConfiguration": { "level": level(rule.level) },
        "properties": { "waivable": rule.waivable, "repairable": rule.repairable },
    })
}

/// Why it matters, and a wrong and a right example between `fence`s.
fn help(rule: &Rule, fence: &str) -> String {
    let open = if fence.is_empty() { String::new() } else { format!("{fence}yaml\n") };
    let close = if fence.is_empty() { String::new() } else { format!("\n{fence}") };
    let waive =
        if rule.waivable { "It can be waived on a card under `allow`, with a reason." } else { "It cannot be waived." };
    format!("{}\n\nWrong:\n\n{open}{}{close}\n\nRight:\n\n{open}{}{close}\n\n{waive}", rule.why, rule.wrong, rule.right)
}

/// The words of SARIF 2.1.0, section 3.27.10.
fn level(level: Level) -> &'static str {
    match level {
        Level::Error => "error",
        Level::Warning => "warning",
        Level::Advice => "note",
    }
}

fn result(finding: &Finding, rules: &[&Rule], origin: &Origin<'_>) -> Value {
    let mut result = Map::new();
    result.insert("ruleId".into(), finding.rule.into());
    if let Some(index) = rules.iter().position(|rule| rule.name == finding.rule) {
        result.insert("ruleIndex".into(), index.into());
    }
    result.insert("level".into(), level(finding.level).into());
    result.insert("message".into(), message(finding));
    let mut location = located(&finding.place, origin);
    location["logicalLocations"] = logical(finding);
    result.insert("locations".into(), json!([location]));
    let related = finding.related.iter().enumerate().map(|(at, related)| {
        let mut location = located(&related.place, origin);
        location["id"] = (at + 1).into();
        location["message"] = json!({ "text": shown(&related.message) });
        location
    });
    result.insert("relatedLocations".into(), related.collect());
    result.insert("partialFingerprints".into(), json!({ "deckleFinding/v1": fingerprint(finding) }));
    if !finding.repair.is_empty() {
        result.insert("fixes".into(), json!([fix(&finding.repair, origin)]));
    }
    Value::Object(result)
}

fn message(finding: &Finding) -> Value {
    let help = finding.help.as_ref().map(|help| format!("\nTo put it right: {}", shown(help))).unwrap_or_default();
    json!({ "text": format!("{}{help}", shown(&finding.message)) })
}

fn located(place: &Place, origin: &Origin<'_>) -> Value {
    let region = json!({
        "startLine": place.start.line,
        "startColumn": place.start.column,
        "endLine": place.end.line,
        "endColumn": place.end.column,
        "snippet": { "text": shown(&place.line) },
    });
    json!({ "physicalLocation": { "artifactLocation": artifact(&place.path, origin), "region": region } })
}

/// Deck, card and field, as far as they are known.
fn logical(finding: &Finding) -> Value {
    let parts = [finding.deck.as_deref(), finding.card.as_deref(), finding.field.as_deref()];
    let known: Vec<String> = parts.into_iter().flatten().map(shown).collect();
    match known.last() {
        Some(name) => json!([{ "name": name, "fullyQualifiedName": known.join("/"), "kind": "member" }]),
        None => json!([]),
    }
}

fn artifact(path: &str, origin: &Origin<'_>) -> Value {
    json!({ "uri": uri(&format!("{}{path}", origin.prefix)) })
}

/// A path as a relative reference by RFC 3986: everything but unreserved characters and `/` in percent.
fn uri(path: &str) -> String {
    const KEPT: &AsciiSet = &NON_ALPHANUMERIC.remove(b'-').remove(b'.').remove(b'_').remove(b'~').remove(b'/');
    utf8_percent_encode(path, KEPT).to_string()
}

/// The same for the same finding in two commits, wherever it stands.
fn fingerprint(finding: &Finding) -> String {
    let (rule, owner, field, about) = finding.identity();
    let digest = Sha256::digest([rule, owner, field, about].join("\0"));
    digest.iter().take(16).map(|byte| format!("{byte:02x}")).collect()
}

fn fix(repair: &[Replacement], origin: &Origin<'_>) -> Value {
    let changes = repair.iter().map(|replacement| {
        let deleted = json!({
            "byteOffset": replacement.span.start(),
            "byteLength": replacement.span.end() - replacement.span.start(),
        });
        json!({
            "artifactLocation": artifact(&replacement.path, origin),
            "replacements": [{ "deletedRegion": deleted, "insertedContent": { "text": replacement.text } }],
        })
    });
    json!({ "description": { "text": "what `deckle check --fix` writes" }, "artifactChanges": changes.collect::<Vec<_>>() })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::place::{SourceFile, Span};

    fn log(finding: Finding) -> Value {
        let origin = Origin { version: "1.2.3", prefix: "geo graphy/" };
        serde_json::from_str(&report(&Report::new(vec![finding], 1, 1), &origin)).expect("JSON")
    }

    #[test]
    fn paths_are_references_from_the_top_of_the_repository() {
        let file = SourceFile::new("decks/a#b/cärds.yaml", "x\n");
        let log = log(Finding::new("giveaway", Level::Advice, file.place(Span::at(0)), "m\u{1b}[2J\u{202e}"));
        let result = &log["runs"][0]["results"][0];
        let uri = &result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"];
        assert_eq!(uri, "geo%20graphy/decks/a%23b/c%C3%A4rds.yaml");
        assert_eq!((&result["level"], &result["message"]["text"]), (&"note".into(), &"m␛[2J<U+202E>".into()));
    }

    #[test]
    fn a_finding_that_moves_keeps_its_fingerprint() {
        let file = SourceFile::new("decks/a/cards.yaml", "x\ny\n");
        let at = |at| Finding::new("giveaway", Level::Error, file.place(Span::at(at)), "m").on_card("a");
        let mark = |finding: &Finding| fingerprint(finding);
        assert_eq!(mark(&at(0)), mark(&at(2)));
        assert_ne!(mark(&at(0)), mark(&at(0).on_card("b")));
    }
}
