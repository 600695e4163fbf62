//! Words that were perhaps meant.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use crate::deck::Department;
use crate::notes::Notes;
use crate::text::{is_stop_word, meaning_stems, plain, stem, words};

/// A word that stands nowhere, and the nearest ones that do.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Near {
    /// The word as it was asked for.
    pub word: String,
    /// The nearest words, at most three.
    pub instead: Vec<String>,
}

/// The words of `asked` that stand nowhere in the department, with the nearest ones.
pub(super) fn near(department: &Department, notes: &[(&String, Notes)], asked: &str) -> Vec<Near> {
    let asked = plain(asked).to_lowercase();
    let wanted: Vec<&str> = words(&asked).filter(|word| !is_stop_word(word)).collect();
    if wanted.is_empty() {
        return Vec::new();
    }
    let (known, stems) = vocabulary(department, notes);
    let mut said = BTreeSet::new();
    let unknown = wanted.into_iter().filter(|word| !meaning_stems(word).is_subset(&stems) && said.insert(*word));
    unknown.map(|word| Near { word: word.to_owned(), instead: nearest(word, &known) }).collect()
}

/// All words with how often they stand, and all stems.
fn vocabulary(department: &Department, notes: &[(&String, Notes)]) -> (BTreeMap<String, usize>, BTreeSet<String>) {
    let (mut known, mut stems) = (BTreeMap::new(), BTreeSet::new());
    let mut add = |text: &str| {
        stems.extend(meaning_stems(text));
        for word in words(&text.to_lowercase()).filter(|word| !is_stop_word(word)) {
            stems.insert(stem(word));
            *known.entry(word.to_owned()).or_insert(0) += 1;
        }
    };
    for (_, card) in department.cards() {
        add(&card.id.replace('-', " "));
        card.tags.iter().for_each(|tag| add(&plain(tag)));
        for question in &card.questions {
            add(&plain(&question.question));
            add(&plain(&question.answer.text()));
            question.accept.iter().for_each(|accept| add(&plain(accept)));
        }
    }
    let sections = notes.iter().flat_map(|(_, notes)| notes.sections());
    sections.for_each(|section| add(section.as_text()));
    (known, stems)
}

/// The nearest words: a letter in three may differ; of words as near, the commoner first.
fn nearest(word: &str, known: &BTreeMap<String, usize>) -> Vec<String> {
    let length = word.chars().count();
    let reach = (length / 3).clamp(1, 3);
    let close = known.iter().filter(|(other, _)| other.chars().count().abs_diff(length) <= reach);
    let mut found: Vec<(usize, std::cmp::Reverse<usize>, &String)> = close
        .map(|(other, count)| (strsim::damerau_levenshtein(word, other), std::cmp::Reverse(*count), other))
        .filter(|(distance, ..)| *distance <= reach)
        .collect();
    found.sort_unstable();
    found.into_iter().take(3).map(|(.., other)| other.clone()).collect()
}
