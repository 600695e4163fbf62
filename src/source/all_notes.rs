//! All notes of a department, with an index over their sentences that is made when it is first needed.

use super::weights::Weights;
use crate::notes::{Notes, Section};
use crate::text::{Lexicon, Piece, is_stop_word, lex, stem};
use std::collections::{BTreeMap, HashMap};
use std::ops::Range;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicBool, Ordering};

/// The notes of the whole department, by file.
#[derive(Debug, Default)]
pub struct AllNotes {
    files: BTreeMap<String, Notes>,
    weights: OnceLock<Weights>,
    index: OnceLock<Index>,
    part: Option<Part>,
}

/// Of notes that are only a part of all, whether all of them were asked for.
#[derive(Debug, Default)]
struct Part {
    asked_for_all: AtomicBool,
}

/// One sentence of the notes.
#[derive(Clone, Debug)]
pub(crate) struct Sentence<'l> {
    pub(crate) file: &'l str,
    pub(crate) section: &'l Section,
    /// Its number in the section.
    pub(crate) number: usize,
}

/// Which sentences hold which stems.
#[derive(Debug, Default)]
struct Index {
    /// File and section by number.
    sections: Vec<(String, usize)>,
    /// Section number and number in the section.
    sentences: Vec<(u32, u32)>,
    stems: Lexicon,
    /// By the number of each stem, the sentences that hold it.
    holders: Vec<Vec<u32>>,
}

/// A stem that stands in more sentences than this tells nothing of where a quote is.
const TOO_COMMON: usize = 4_000;

impl AllNotes {
    /// The given files: path in the department, and notes.
    pub fn new(files: impl IntoIterator<Item = (String, Notes)>) -> AllNotes {
        AllNotes { files: files.into_iter().collect(), ..AllNotes::default() }
    }

    /// Some of the files of a department, with the weights of the words in all of them.
    pub fn of_part(files: impl IntoIterator<Item = (String, Notes)>, weights: Weights) -> AllNotes {
        AllNotes { weights: weights.into(), part: Some(Part::default()), ..AllNotes::new(files) }
    }

    /// All files of a department, with the weights of their words, which are known.
    pub fn of_whole(files: impl IntoIterator<Item = (String, Notes)>, weights: Weights) -> AllNotes {
        AllNotes { weights: weights.into(), ..AllNotes::new(files) }
    }

    /// Whether the notes are only some of a department's, and all of them were needed.
    pub fn fell_short(&self) -> bool {
        self.part.as_ref().is_some_and(|part| part.asked_for_all.load(Ordering::Relaxed))
    }

    /// The notes of a file.
    pub fn notes(&self, file: &str) -> Option<&Notes> {
        self.files.get(file)
    }

    /// All files in order of their paths.
    pub fn files(&self) -> impl Iterator<Item = (&str, &Notes)> {
        self.files.iter().map(|(path, notes)| (path.as_str(), notes))
    }

    /// The weights of words by their rarity in these notes, and its key terms.
    pub fn weights(&self) -> &Weights {
        self.weights.get_or_init(|| {
            let mut weights = Weights::default();
            for passage in self.files.values().flat_map(Notes::sections).flat_map(|section| &section.passages) {
                weights.add(&passage.text);
                passage
                    .strong
                    .iter()
                    .filter(|range| range.len() < 40)
                    .for_each(|range| weights.add_term(&passage.text[range.clone()]));
            }
            weights.settle();
            weights
        })
    }

    /// The sentences that share most with the given stems, the best first, at most `most`.
    pub(crate) fn nearest(&self, stems: &[(String, f64)], most: usize) -> Vec<Sentence<'_>> {
        let index = self.index();
        let mut score: BTreeMap<u32, f64> = BTreeMap::new();
        for (stem, weight) in stems {
            for sentence in index.holders_of(stem).filter(|holders| holders.len() <= TOO_COMMON).into_iter().flatten() {
                *score.entry(*sentence).or_default() += weight;
            }
        }
        let mut best: Vec<(u32, f64)> = score.into_iter().collect();
        best.sort_by(|one, other| other.1.total_cmp(&one.1).then(one.0.cmp(&other.0)));
        best.truncate(most);
        best.into_iter().filter_map(|(sentence, _)| self.sentence(sentence)).collect()
    }

    /// The sections that hold all the given stems, in order.
    pub(crate) fn sections_with(&self, stems: &[(String, f64)]) -> Vec<(&str, &Section)> {
        let index = self.index();
        let rarest = stems.iter().filter_map(|(stem, _)| index.holders_of(stem)).min_by_key(|holders| holders.len());
        // A stem that stands nowhere: the quote cannot stand there either.
        if stems.iter().any(|(stem, _)| index.holders_of(stem).is_none()) {
            return Vec::new();
        }
        let mut sections: Vec<u32> =
            rarest.into_iter().flatten().map(|sentence| index.sentences[*sentence as usize].0).collect();
        sections.dedup();
        sections.into_iter().filter_map(|section| self.numbered(section)).collect()
    }

    fn sentence(&self, sentence: u32) -> Option<Sentence<'_>> {
        let (section, number) = self.index().sentences[sentence as usize];
        let (file, section) = self.numbered(section)?;
        Some(Sentence { file, section, number: number as usize })
    }

    fn numbered(&self, section: u32) -> Option<(&str, &Section)> {
        let (file, number) = self.index().sections.get(section as usize)?;
        let (file, notes) = self.files.get_key_value(file)?;
        Some((file, notes.sections().get(*number)?))
    }

    fn index(&self) -> &Index {
        self.part.iter().for_each(|part| part.asked_for_all.store(true, Ordering::Relaxed));
        self.index.get_or_init(|| {
            let mut index = Index::default();
            let mut forms = HashMap::new();
            for (file, notes) in &self.files {
                for (number, section) in notes.sections().iter().enumerate() {
                    index.sections.push((file.clone(), number));
                    index.add(section, &mut forms);
                }
            }
            index
        })
    }
}

impl Index {
    fn holders_of(&self, stem: &str) -> Option<&Vec<u32>> {
        self.holders.get(self.stems.get(stem)? as usize)
    }

    /// Adds a section. `forms` knows the stem of every word as written, so that each is worked out once.
    fn add<'l>(&mut self, section: &'l Section, forms: &mut HashMap<&'l str, Option<u32>>) {
        let section_number = (self.sections.len() - 1) as u32;
        for (number, range) in sentences_of(section).into_iter().enumerate() {
            let sentence = self.sentences.len() as u32;
            self.sentences.push((section_number, number as u32));
            for piece in
                lex(&section.as_text()[range]).into_iter().filter(|piece| piece.is_word() || piece.digits().is_some())
            {
                let stem = *forms.entry(piece.text).or_insert_with(|| key_of(&piece).map(|stem| self.number_of(&stem)));
                let Some(holders) = stem.map(|stem| &mut self.holders[stem as usize]) else { continue };
                if holders.last() != Some(&sentence) {
                    holders.push(sentence);
                }
            }
        }
    }

    fn number_of(&mut self, stem: &str) -> u32 {
        let number = self.stems.number(stem);
        if number as usize == self.holders.len() {
            self.holders.push(Vec::new());
        }
        number
    }
}

/// What a word or number is looked up by; `None` for words that say nothing.
fn key_of(piece: &Piece<'_>) -> Option<String> {
    match piece.digits() {
        Some(number) => Some(number.to_string()),
        None => (piece.is_word() && !is_stop_word(piece.text)).then(|| stem(piece.text)),
    }
}

/// The sentences of a section as bytes of its text.
pub(crate) fn sentences_of(section: &Section) -> Vec<Range<usize>> {
    section
        .passages
        .iter()
        .flat_map(|passage| {
            passage.sentences().into_iter().map(|range| passage.at + range.start..passage.at + range.end)
        })
        .collect()
}

/// The different stems of a text that say something, with a weight of one each.
pub(crate) fn stems_of(text: &str) -> Vec<(String, f64)> {
    let mut out: Vec<(String, f64)> = lex(text).iter().filter_map(key_of).map(|stem| (stem, 1.0)).collect();
    out.sort_by(|one, other| one.0.cmp(&other.0));
    out.dedup_by(|one, other| one.0 == other.0);
    out
}
