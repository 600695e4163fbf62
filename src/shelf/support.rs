//! Entries made by hand, for tests.

use super::ids;
use super::model::{Correction, Entry, FieldCorrection, Restored, Shelf, Since, TopicLine, Withdrawal, folder_of};
use crate::pack::{Edition, PackFile, tag_name, zip_name};

/// An edition of two topics, released on the day of its number in November.
pub(super) fn entry(year: u8, term: &str, edition: u32) -> Entry {
    let file = |name: String| PackFile { name, sha256: "a".repeat(64), size: 2_345_678 };
    Entry {
        tag: tag_name(year, term, edition),
        department: "Geography".to_owned(),
        school: "Ambleford Quay School".to_owned(),
        year,
        term: term.to_owned(),
        term_starts: if term.starts_with("spring") { "2027-01-05" } else { "2026-09-02" }.to_owned(),
        edition,
        commit: "0123456789abcdef0123456789abcdef01234567".to_owned(),
        released: format!("2026-11-{edition:02}T10:00:00+00:00"),
        cards: 41,
        topics: vec![
            TopicLine { title: "Rivers".to_owned(), cards: 23 },
            TopicLine { title: "Coasts".to_owned(), cards: 18 },
        ],
        folder: folder_of(year, term, edition),
        zip: file(zip_name("Geography", year, term, Edition::Number(edition))),
        files: ["calendar.ics", "cards.csv", "cards.pdf", "changes.md", "map.svg", "pack.json", "revise.html"]
            .map(|name| file(name.to_owned()))
            .to_vec(),
        since: None,
        withdrawn: None,
        restored: Vec::new(),
    }
}

/// An edition that corrects a card of the one before.
pub(super) fn corrected(year: u8, term: &str, edition: u32) -> Entry {
    let gale = Correction {
        number: 12,
        before: 11,
        id: "gale".to_owned(),
        topic: "Rivers".to_owned(),
        question: "Which *mean* wind speed is a gale?".to_owned(),
        fields: vec![FieldCorrection {
            what: "answer".to_owned(),
            was: Some("33 knots".to_owned()),
            is: Some("34 knots".to_owned()),
        }],
    };
    let since = Since {
        edition: edition - 1,
        corrected: vec![gale],
        reworded: 2,
        otherwise: 0,
        new: 1,
        taken_out: 0,
        moved: 0,
    };
    Entry { since: Some(since), ..entry(year, term, edition) }
}

/// The same, withdrawn at the end of November.
pub(super) fn withdrawn(entry: Entry, reason: &str) -> Entry {
    let withdrawal = Withdrawal { on: "2026-11-30T08:00:00+00:00".to_owned(), reason: reason.to_owned() };
    Entry { withdrawn: Some(withdrawal), ..entry }
}

/// The same after it was withdrawn, taken back on the first day of December.
pub(super) fn restored(mut entry: Entry, reason: Option<&str>) -> Entry {
    let withdrawn = entry.withdrawn.take().expect("it is withdrawn");
    let (on, reason) = ("2026-12-01T09:00:00+00:00".to_owned(), reason.map(str::to_owned));
    entry.restored.push(Restored { withdrawn, on, reason });
    entry
}

/// A shelf of these.
pub(super) fn shelf(entries: Vec<Entry>) -> Shelf {
    Shelf::new(ids::shelf("Ambleford Quay School", "Geography"), entries)
}
