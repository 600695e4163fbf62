//! Findings for other programs: SARIF against the schema of the standard, JUnit as XML, JSON against our
//! own schema, each over all that the rules' fixtures find, hostile text among it.

use deckle::check::{self, Report};
use deckle::deck::Department;
use deckle::finding::Level;
use deckle::report::{json, junit, sarif};
use serde_json::Value;

use crate::support::env::TestEnv;
use crate::support::fixture::Fixture;
use crate::support::memory::MemorySnapshot;
use crate::support::root;

/// What the rules find in all of their fixtures, a report for each.
fn reports() -> Vec<Report> {
    let files = walkdir::WalkDir::new(root().join("tests/fixtures/rules")).sort_by_file_name();
    let files = files.into_iter().filter_map(Result::ok).filter(|entry| entry.file_type().is_file());
    let snapshots = files.map(|entry| {
        let text = std::fs::read_to_string(entry.path()).expect("a text");
        Fixture::read(&text).snapshot()
    });
    let mut all: Vec<Report> = snapshots.chain([hostile()]).map(|snapshot| checked(&snapshot)).collect();
    all.push(Report::new(Vec::new(), 0, 0));
    assert!(all.iter().map(|report| report.findings.len()).sum::<usize>() > 100);
    all
}

fn checked(snapshot: &MemorySnapshot) -> Report {
    check::check(&Department::read(snapshot).expect("memory can be read"))
}

/// Markup of every format, and what none of them may hold, in a question and in a file's name.
fn hostile() -> MemorySnapshot {
    let mut snapshot = MemorySnapshot::default();
    let question = r#"\e]0;x\a <b>&amp;"']]> \u202e \0 \uFFFE \x85 \u2028 %20 | ``` "#.replace('"', "\\\"");
    let deck = format!("title: T\nyear: 8\ncards:\n  - id: a\n    question: \"{question}\"\n    answer: x\n");
    snapshot.put("decks/year-8/a b#?%\u{1b}[2J<é>/cards.yaml", deck);
    snapshot
}

fn schema(path: &str) -> jsonschema::Validator {
    let text = std::fs::read_to_string(root().join(path)).expect("the schema is there");
    // The published schema has a bracket too many in the pattern of `language`, which we do not write.
    let text = text.replace("{2}]?$", "{2}$");
    jsonschema::validator_for(&serde_json::from_str(&text).expect("JSON")).expect("a schema")
}

#[track_caller]
fn valid(schema: &jsonschema::Validator, text: &str) -> Value {
    let value: Value = serde_json::from_str(text).expect("JSON");
    let errors: Vec<String> =
        schema.iter_errors(&value).map(|error| format!("{} at {}", error, error.instance_path())).collect();
    assert!(errors.is_empty(), "{}", errors.join("\n"));
    value
}

#[test]
fn sarif_is_what_the_standard_says() {
    let standard = schema("tests/data/outside/sarif-2.1.0.schema.json");
    assert!(!standard.is_valid(&serde_json::json!({ "version": "2.1.0" })), "the schema says nothing");
    let origin = sarif::Origin { version: "1.0.0", prefix: "" };
    for report in reports() {
        let log = valid(&standard, &sarif::report(&report, &origin));
        let run = &log["runs"][0];
        let rules = run["tool"]["driver"]["rules"].as_array().expect("rules");
        assert_eq!(rules.len(), check::all().len());
        let results = run["results"].as_array().expect("results");
        assert_eq!(results.len(), report.findings.len());
        for (result, finding) in results.iter().zip(&report.findings) {
            let index = result["ruleIndex"].as_u64().expect("every rule is listed");
            assert_eq!(rules[index as usize]["id"], finding.rule);
            assert!(rules[index as usize]["help"]["markdown"].as_str().is_some_and(|help| help.contains("```yaml")));
            let region = &result["locations"][0]["physicalLocation"]["region"];
            assert_eq!(region["startLine"], finding.place.start.line);
            assert_eq!(result["fixes"].is_array(), !finding.repair.is_empty());
        }
    }
}

#[test]
fn junit_is_xml_with_a_suite_for_each_rule_and_a_failure_for_each_error() {
    for report in reports() {
        let text = junit::report(&report);
        let xml = roxmltree::Document::parse(&text).unwrap_or_else(|error| panic!("{error}: {text}"));
        let top = xml.root_element();
        let suites: Vec<_> = top.children().filter(roxmltree::Node::is_element).collect();
        let names: Vec<_> = suites.iter().filter_map(|suite| suite.attribute("name")).collect();
        assert_eq!(names, check::all().iter().map(|rule| rule.name).collect::<Vec<_>>());
        let number = |node: &roxmltree::Node<'_, '_>, name: &str| -> usize {
            node.attribute(name).and_then(|text| text.parse().ok()).expect("a number")
        };
        let count = |node: &roxmltree::Node<'_, '_>, tag: &str| {
            node.descendants().filter(|inner| inner.has_tag_name(tag)).count()
        };
        for suite in &suites {
            assert_eq!(number(suite, "tests"), count(suite, "testcase"));
            assert_eq!(number(suite, "failures"), count(suite, "failure"));
            let found = report.findings.iter().any(|finding| Some(finding.rule) == suite.attribute("name"));
            let help = suite.children().any(|node| node.has_tag_name("system-out"));
            assert_eq!(help, found, "the rule's help stands where it found something");
        }
        assert_eq!(number(&top, "tests"), count(&top, "testcase"));
        let errors = report.findings.iter().filter(|finding| finding.level == Level::Error).count();
        assert_eq!((number(&top, "failures"), count(&top, "failure")), (errors, errors));
    }
}

/// They are held against the published schema in Python.
#[test]
fn junit_reports_are_written_down_for_the_schema() {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("junit");
    _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).expect("a folder");
    for (at, report) in reports().iter().enumerate() {
        std::fs::write(folder.join(format!("{at}.xml")), junit::report(report)).expect("written");
    }
}

#[test]
fn json_keeps_to_its_schema_and_names_its_version() {
    let ours = schema("schema/findings.schema.json");
    for report in reports() {
        let value = valid(&ours, &json::report(&report));
        assert_eq!(value["format"], 1, "a change that readers notice needs another number here and in the schema");
    }
}

#[test]
fn the_command_writes_all_formats_and_the_status_stays() {
    let env = TestEnv::new();
    env.deckle(&["start", "."]).fine();
    let deck = "decks/year-7/thermometer/cards.yaml";
    let fine = env.deckle(&["check", "--format", "sarif"]).fine();
    assert!(fine.contains("\"results\": []"), "{fine}");
    env.write(
        deck,
        env.read(deck)
            + "\n  - id: again\n    question: Which instrument measures air temperature?\n    answer: A thermometer\n",
    );
    for (format, mark) in [("sarif", "\"ruleId\": \"duplicate-question\""), ("junit", "<failure message=")] {
        let said = env.deckle(&["check", "--format", format]);
        assert_eq!((said.status, said.stderr.as_str()), (Some(1), ""), "{}", said.text());
        assert!(said.stdout.contains(mark), "{}", said.text());
    }
}
