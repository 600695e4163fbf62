//! Departments made of texts, for tests.

use std::collections::BTreeMap;

use crate::deck::Department;
use crate::snapshot::{Entry, Kind, Snapshot, SnapshotError};

/// Files by path.
pub(crate) type Files = BTreeMap<String, Vec<u8>>;

/// Files from paths and texts.
pub(crate) fn files(texts: &[(&str, &str)]) -> Files {
    texts.iter().map(|(path, text)| ((*path).to_owned(), text.as_bytes().to_vec())).collect()
}

/// The department made of these files.
pub(crate) fn department(files: &Files) -> Department {
    Department::read(&Texts(files.clone())).expect("texts can be read")
}

/// A department with these decks: name and cards.
pub(crate) fn decks(decks: &[(&str, &str)]) -> Department {
    let settings = ("decks/department.yaml".to_owned(), b"department: G\nschool: S\nyears: [8]\n".to_vec());
    let deck = |(name, cards): &(&str, &str)| {
        (format!("decks/{name}/cards.yaml"), format!("title: {name}\nyear: 8\ncards:\n{cards}").into_bytes())
    };
    department(&std::iter::once(settings).chain(decks.iter().map(deck)).collect())
}

/// A card's lines.
pub(crate) fn card(id: &str, question: &str, answer: &str) -> String {
    format!("  - id: {id}\n    question: {question}\n    answer: {answer}\n")
}

#[derive(Debug)]
struct Texts(Files);

impl Snapshot for Texts {
    fn files(&self) -> Result<Vec<Entry>, SnapshotError> {
        let entry = |(path, bytes): (&String, &Vec<u8>)| Entry {
            path: path.clone(),
            kind: Kind::File { size: bytes.len() as u64 },
        };
        Ok(self.0.iter().map(entry).collect())
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SnapshotError> {
        Ok(self.0[path].clone())
    }
}
