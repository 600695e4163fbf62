//! A deck, its notes and the settings are read and judged, whatever they hold; every finding stands in
//! the text, and every format can be read by those it is for.

use deckle::check::{self, Report};
use deckle::deck::Department;
use deckle::finding::Finding;
use deckle::report::{json, junit, sarif, terminal};

use super::parts::{Files, parts};

const SETTINGS: &[u8] = b"department: Geography\nschool: Ambleford Quay School\nyears: [7, 8, 9]\n";

/// Reads an input of cards, notes and settings.
///
/// # Panics
///
/// When the law is broken.
pub fn holds(bytes: &[u8]) {
    let [cards, notes, settings] = parts(bytes);
    let settings = if settings.is_empty() { SETTINGS } else { settings };
    let files = Files(vec![
        ("decks/department.yaml", settings),
        ("decks/year-8/rivers/cards.yaml", cards),
        ("decks/year-8/rivers/notes.md", notes),
    ]);
    let department = Department::read(&files).expect("memory can be read");
    let report = check::check(&department);
    report.findings.iter().for_each(|finding| stands_in_its_file(&department, finding));
    can_be_told(&report);
}

fn stands_in_its_file(department: &Department, finding: &Finding) {
    assert!(!finding.message.is_empty(), "{finding:?}");
    let path = &*finding.place.path;
    let deck = department.decks.iter().map(|deck| &deck.file).find(|file| &*file.path == path);
    let settings = Some(&department.settings.file).filter(|file| &*file.path == path);
    // A file that cannot be read as text is told by its name.
    let Some(file) = deck.or(settings).or_else(|| department.notes.get(path)) else { return };
    let fits = |start: usize, end: usize| file.text.get(start..end).is_some();
    assert!(fits(finding.place.span.start(), finding.place.span.end()), "{finding:?}");
    let repairs = finding.repair.iter().filter(|repair| &*repair.path == path);
    repairs.for_each(|repair| assert!(fits(repair.span.start(), repair.span.end()), "{finding:?}"));
}

fn can_be_told(report: &Report) {
    let told = terminal::report(report, 100);
    let plain = without_colours(&told);
    assert!(!plain.contains(|c: char| c.is_control() && c != '\n'), "{plain:?}");
    let origin = sarif::Origin { version: "1.0.0", prefix: "" };
    for text in [json::report(report), sarif::report(report, &origin)] {
        _ = serde_json::from_str::<serde_json::Value>(&text).unwrap_or_else(|error| panic!("{error}: {text}"));
    }
    let text = junit::report(report);
    _ = roxmltree::Document::parse(&text).unwrap_or_else(|error| panic!("{error}: {text}"));
}

/// The program's own colours taken out: an escape, `[`, numbers and `m`.
fn without_colours(text: &str) -> String {
    let mut parts = text.split("\u{1b}[");
    let first = parts.next().unwrap_or_default().to_owned();
    parts.fold(first, |plain, part| {
        let rest = part.trim_start_matches(|c: char| c.is_ascii_digit() || c == ';');
        plain + rest.strip_prefix('m').unwrap_or("\u{1b}")
    })
}
