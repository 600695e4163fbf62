//! Every rule on small departments: what it finds, where, and where it is quiet. The form of a
//! fixture is told in `support/fixture.rs`; `DECKLE_REWRITE_FIXTURES=1` writes the markers anew.

use std::collections::BTreeSet;
use std::path::PathBuf;

use deckle::check::{self, Report, repair};
use deckle::deck::Department;
use deckle::finding::{Finding, Level};

use crate::support::fixture::Fixture;
use crate::support::memory::MemorySnapshot;
use crate::support::{rewrite, root};

/// A fixture with the folder and the name of its file.
struct Case {
    folder: String,
    name: String,
    path: PathBuf,
    fixture: Fixture,
}

impl Case {
    fn is_quiet(&self) -> bool {
        self.name.starts_with("quiet-")
    }

    /// For messages.
    fn label(&self) -> String {
        format!("{}/{}", self.folder, self.name)
    }
}

fn folders() -> Vec<(String, PathBuf)> {
    let folder = std::fs::read_dir(root().join("tests/fixtures/rules")).expect("the fixtures are there");
    let entries = folder.map(|entry| entry.expect("readable"));
    let mut folders: Vec<_> =
        entries.map(|entry| (entry.file_name().to_string_lossy().into_owned(), entry.path())).collect();
    folders.sort();
    folders
}

fn cases() -> Vec<Case> {
    let mut cases = Vec::new();
    for (folder, path) in folders() {
        let entries = std::fs::read_dir(&path).expect("a folder for each rule").map(|entry| entry.expect("readable"));
        let mut names: Vec<_> = entries.map(|entry| entry.file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        for name in names {
            assert!(name.ends_with(".txt"), "{folder}/{name} is no fixture");
            let path = path.join(&name);
            let fixture = Fixture::read(&std::fs::read_to_string(&path).expect("a text"));
            cases.push(Case { folder: folder.clone(), name, path, fixture });
        }
    }
    cases
}

fn checked(snapshot: &MemorySnapshot) -> Report {
    check::check(&Department::read(snapshot).expect("memory can be read"))
}

#[test]
fn the_checks_find_what_the_fixtures_say_and_nothing_else() {
    let mut wrong = Vec::new();
    for case in cases() {
        let report = checked(&case.fixture.snapshot());
        if rewrite() {
            std::fs::write(&case.path, case.fixture.rewritten(&report.findings)).expect("written");
            continue;
        }
        let differences = case.fixture.differences(&report.findings);
        wrong.extend(differences.into_iter().map(|difference| format!("{}: {difference}", case.label())));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_fixture_that_is_wrong_is_told() {
    let deck = "=== decks/a/cards.yaml\ntitle: A\nyear: 8\ncards:\n  - id: a\n    question: Is it hail?\n";
    let answer = "    answer: Hail\n";
    let differences = |marker: &str| {
        let fixture = Fixture::read(&format!("{deck}{marker}{answer}"));
        fixture.differences(&checked(&fixture.snapshot()).findings).len()
    };
    let columns = " ".repeat(12);
    assert_eq!(differences(&format!("#~{columns}^^^^^^^^^^^ warning giveaway: `Hail` | help: without\n")), 0);
    assert_eq!(differences("#~ @15-26 warning giveaway: `Hail`\n"), 0);
    assert_eq!(differences(""), 1, "not expected");
    for wrong in [
        format!("#~{columns}^^^^^^^^^^ warning giveaway: `Hail`\n"),
        format!("#~ {columns}^^^^^^^^^^^ warning giveaway: `Hail`\n"),
        format!("#~{columns}^^^^^^^^^^^ error giveaway: `Hail`\n"),
        format!("#~{columns}^^^^^^^^^^^ warning bad-id: `Hail`\n"),
        format!("#~{columns}^^^^^^^^^^^ warning giveaway: `Snow`\n"),
        format!("#~{columns}^^^^^^^^^^^ warning giveaway: `Hail` | help: snow\n"),
        format!("#~{columns}^^^^^^^^^^^ warning giveaway: `Hail` | also: decks/a/cards.yaml\n"),
        format!("#~{columns}^^^^^^^^^^^ warning giveaway: `Hail` | repairable\n"),
    ] {
        assert_eq!(differences(&wrong), 2, "{wrong}");
    }
    let twice = format!("#~{columns}^^^^^^^^^^^ warning giveaway: `Hail`\n").repeat(2);
    assert_eq!(differences(&twice), 1, "found once, expected twice");
}

#[test]
fn every_rule_has_fixtures_and_every_fixture_a_rule() {
    let cases = cases();
    let rules: BTreeSet<&str> = check::all().iter().map(|rule| rule.name).collect();
    for (folder, _) in folders() {
        assert!(rules.contains(folder.as_str()), "there is no rule for the fixtures in {folder}");
    }
    // What only shows in print has its tests in `src/pack/print/tests.rs`.
    let printing = |rule: &&str| check::find(rule).is_some_and(|rule| matches!(rule.scope, check::Scope::Printing));
    for rule in rules.into_iter().filter(|rule| !printing(rule)) {
        let own: Vec<_> = cases.iter().filter(|case| case.folder == rule).collect();
        let (quiet, loud): (Vec<_>, Vec<_>) = own.into_iter().partition(|case| case.is_quiet());
        assert!(!quiet.is_empty(), "{rule} has no fixture that must not trigger it");
        assert!(!loud.is_empty(), "{rule} has no fixture that triggers it");
        for case in loud {
            assert!(case.fixture.expects(rule), "{} does not trigger {rule}", case.label());
        }
        for case in quiet {
            assert!(!case.fixture.expects(rule), "{} triggers {rule}", case.label());
        }
    }
}

#[test]
fn findings_say_what_to_write_and_keep_to_their_rule() {
    for case in cases() {
        for finding in checked(&case.fixture.snapshot()).findings {
            let label = format!("{}: {}", case.label(), finding.message);
            let rule = check::find(finding.rule).unwrap_or_else(|| panic!("{label}: no such rule"));
            assert!(finding.help.as_ref().is_some_and(|help| !help.is_empty()), "{label}: no help");
            assert!(!finding.message.ends_with('.'), "{label}: a full stop");
            assert!(finding.repair.is_empty() || rule.repairable, "{label}: repaired, but the rule is not repairable");
            let advice = finding.level == Level::Advice;
            assert!(finding.level == rule.level || advice || rule.waivable, "{label}: another level than the rule's");
        }
    }
}

#[test]
fn rules_that_can_repair_do_so_in_a_fixture() {
    let cases = cases();
    for rule in check::all().iter().filter(|rule| rule.repairable) {
        let own = cases.iter().filter(|case| case.folder == rule.name);
        let mut findings = own.flat_map(|case| checked(&case.fixture.snapshot()).findings);
        assert!(
            findings.any(|finding| finding.rule == rule.name && !finding.repair.is_empty()),
            "{} repairs nothing",
            rule.name
        );
    }
}

#[test]
fn a_repair_clears_its_finding_and_brings_in_no_error() {
    for case in cases() {
        let before = case.fixture.snapshot();
        let found = checked(&before).findings;
        for finding in found.iter().filter(|finding| !finding.repair.is_empty()) {
            let label = format!("{}: {}", case.label(), finding.message);
            let after = checked(&repaired(&before, finding)).findings;
            let cleared = check::cleared(&found, &after);
            assert!(cleared.iter().any(|cleared| cleared.identity() == finding.identity()), "{label}: still there");
            let errors = |findings: &[Finding]| findings.iter().filter(|finding| finding.level == Level::Error).count();
            assert!(errors(&after) <= errors(&found), "{label}: {:#?}", check::brought_in(&found, &after));
        }
    }
}

/// The department with one finding repaired.
fn repaired(snapshot: &MemorySnapshot, finding: &Finding) -> MemorySnapshot {
    let mut after = snapshot.clone();
    for (path, repairs) in repair::repairs(std::slice::from_ref(finding)) {
        let (text, made) = repair::apply(after.text(&path).expect("a text"), &repairs);
        assert_eq!(made, 1, "{finding:?}");
        after.put(&path, text);
    }
    after
}
