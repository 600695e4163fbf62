//! Findings as JUnit XML, which pipelines show as test results: a suite for each rule, so that the same
//! suites stand there in every run, and in it a case for each finding.
//!
//! Only errors are failures, as in the exit status; warnings and advice pass and say what they are.

use std::fmt::Write as _;

use super::terminal;
use super::xml::Xml;
use crate::check::{Report, Rule, all};
use crate::finding::{Finding, Level};

/// The report as one XML text.
pub fn report(report: &Report) -> String {
    let mut xml = Xml::new();
    let suites: Vec<Suite<'_>> = all().iter().map(|rule| Suite::new(rule, report)).collect();
    let tests: usize = suites.iter().map(Suite::tests).sum();
    let counts = [("name", "deckle check".to_owned()), ("tests", tests.to_string())];
    xml.open("testsuites", counts.into_iter().chain([("failures", report.summary.errors.to_string())]));
    suites.iter().for_each(|suite| suite.write(&mut xml));
    xml.close("testsuites");
    xml.finish()
}

/// A rule with what it found.
struct Suite<'a> {
    rule: &'a Rule,
    findings: Vec<&'a Finding>,
}

impl<'a> Suite<'a> {
    fn new(rule: &'a Rule, report: &'a Report) -> Self {
        Self { rule, findings: report.findings.iter().filter(|finding| finding.rule == rule.name).collect() }
    }

    fn tests(&self) -> usize {
        self.findings.len().max(1)
    }

    fn write(&self, xml: &mut Xml) {
        let failures = self.findings.iter().filter(|finding| finding.level == Level::Error).count();
        let attributes = [
            ("name", self.rule.name.to_owned()),
            ("tests", self.tests().to_string()),
            ("failures", failures.to_string()),
            ("errors", "0".to_owned()),
            ("skipped", "0".to_owned()),
        ];
        xml.open("testsuite", attributes);
        if self.findings.is_empty() {
            xml.open("testcase", [("name", self.rule.summary.to_owned()), ("classname", self.rule.name.to_owned())]);
            xml.close("testcase");
        }
        self.findings.iter().for_each(|finding| case(xml, finding));
        if !self.findings.is_empty() {
            xml.text("system-out", [], &help(self.rule));
        }
        xml.close("testsuite");
    }
}

fn case(xml: &mut Xml, finding: &Finding) {
    let place = &finding.place;
    let whose = finding.card.as_ref().map(|card| format!(" (card `{card}`)")).unwrap_or_default();
    let attributes = [
        ("name", format!("{}:{}{whose}", place.path, place.start.line)),
        ("classname", finding.rule.to_owned()),
        ("file", place.path.to_string()),
        ("line", place.start.line.to_string()),
    ];
    xml.open("testcase", attributes);
    let said = anstream::adapter::strip_str(&terminal::finding(finding, usize::MAX)).to_string();
    match finding.level {
        Level::Error => {
            let about = [("message", finding.message.clone()), ("type", finding.rule.to_owned())];
            xml.text("failure", about, &said);
        }
        Level::Warning | Level::Advice => xml.text("system-out", [], &said),
    }
    xml.close("testcase");
}

/// What the rule means.
fn help(rule: &Rule) -> String {
    let mut text = format!("{}\n\nWrong:\n{}\n\nRight:\n{}\n", rule.why, rule.wrong, rule.right);
    if rule.waivable {
        _ = write!(text, "\nIt can be waived on a card under `allow`, with a reason.\n");
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::place::{SourceFile, Span};

    #[test]
    fn what_no_xml_may_hold_is_shown_as_what_it_is() {
        let file = SourceFile::new("decks/a/cards.yaml", "x: <&\"\u{1b}\u{0}\u{fffe}\n");
        let found = Finding::new("hidden-signs", Level::Error, file.place(Span::at(0)), "a \u{7}<b> & \"c\"\u{ffff}");
        let text = report(&Report::new(vec![found], 1, 1));
        let read = roxmltree::Document::parse(&text).expect("well-formed");
        let failure = read.descendants().find(|node| node.has_tag_name("failure")).expect("a failure");
        assert_eq!(failure.attribute("message"), Some("a ␇<b> & \"c\"<U+FFFF>"));
        assert!(failure.text().expect("what it says").contains("x: <&\"␛␀<U+FFFE>"), "{text}");
    }

    #[test]
    fn only_errors_fail() {
        let file = SourceFile::new("decks/a/cards.yaml", "x\n");
        let at = |level, place| Finding::new("giveaway", level, file.place(Span::at(place)), "m");
        let text = report(&Report::new(vec![at(Level::Error, 0), at(Level::Warning, 1), at(Level::Advice, 2)], 1, 1));
        let read = roxmltree::Document::parse(&text).expect("well-formed");
        let suite =
            read.descendants().find(|node| node.attribute("name") == Some("giveaway")).expect("the rule's suite");
        assert_eq!((suite.attribute("tests"), suite.attribute("failures")), (Some("3"), Some("1")));
        assert_eq!(read.root_element().attribute("failures"), Some("1"));
        assert_eq!(suite.descendants().filter(|node| node.has_tag_name("failure")).count(), 1);
    }
}
