//! What the shelf keeps of a released pack.

use super::model::{Correction, Entry, FieldCorrection, Since, TopicLine, folder_of};
use crate::change::{Effect, FieldChange};
use crate::deck::Value;
use crate::pack::{Changed, Differences, PackFile, ReleasedPack, field_in_words, sha256};

impl Entry {
    /// The entry of a released pack.
    pub(super) fn of(pack: &ReleasedPack) -> Self {
        let manifest = &pack.manifest;
        Self {
            tag: pack.tag.clone(),
            department: manifest.department.clone(),
            school: manifest.school.clone(),
            year: manifest.year,
            term: manifest.term.clone(),
            term_starts: pack.term_starts.clone(),
            edition: pack.number,
            commit: manifest.commit.clone(),
            released: pack.tagged.clone(),
            cards: manifest.cards.len(),
            topics: manifest
                .topics
                .iter()
                .map(|topic| TopicLine { title: topic.title.clone(), cards: topic.cards })
                .collect(),
            folder: folder_of(manifest.year, &manifest.term, pack.number),
            zip: file(&pack.name, &pack.zip),
            files: pack.files.iter().map(|(name, bytes)| file(name, bytes)).collect(),
            since: pack.since.as_ref().map(|(edition, differences)| Since::of(*edition, differences)),
            withdrawn: None,
            restored: Vec::new(),
        }
    }
}

impl Since {
    fn of(edition: u32, differences: &Differences) -> Self {
        Self {
            edition,
            corrected: differences.corrected.iter().map(Correction::of).collect(),
            reworded: differences.reworded.len(),
            otherwise: differences.otherwise.len(),
            new: differences.new.len(),
            taken_out: differences.withdrawn.len(),
            moved: differences.moved.len(),
        }
    }
}

impl Correction {
    fn of(changed: &Changed) -> Self {
        let card = &changed.card;
        let facts = changed.fields.iter().filter(|field| field.effect == Effect::Fact);
        Self {
            number: card.number,
            before: changed.before,
            id: card.id.clone(),
            topic: card.topic.clone(),
            question: card.question.clone(),
            fields: facts.map(FieldCorrection::of).collect(),
        }
    }
}

impl FieldCorrection {
    fn of(field: &FieldChange) -> Self {
        let line = |value: &Option<Value>| value.as_ref().map(Value::line);
        Self { what: field_in_words(&field.field), was: line(&field.before), is: line(&field.after) }
    }
}

fn file(name: &str, bytes: &[u8]) -> PackFile {
    PackFile { name: name.to_owned(), sha256: sha256(bytes), size: bytes.len() as u64 }
}
