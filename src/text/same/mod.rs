//! The same question in other words, found by an index and not by comparing all pairs.
//!
//! Two questions are the same when what they ask for is: their openers (`What is`, `Define`, `Which …
//! is called`) count for nothing, rare words weigh more than common ones, and the answers are
//! evidence. Questions of one mould about different things are different.
mod answers;
mod asked;
#[cfg(test)]
mod benchmark;
mod compare;
mod index;
mod kept;
mod sketch;
mod terms;

use self::answers::{Side, answers_agree};
use self::asked::{Asked, Reading};
use self::compare::{compare, is_among};
use self::index::{Candidates, Keyed};
use self::sketch::Sketch;
use self::terms::{Stem, Terms};
use super::lexicon::Lexicon;
use super::plain::as_read;
use rayon::prelude::*;
use std::borrow::Cow;
use std::ops::Range;

pub use self::kept::{Counts, KeptQuestions, OwnPosed, Record, Renewed, recorded, renewed, similar_among};

/// A question with everything that counts as its answer.
#[derive(Clone, Debug, Default)]
pub struct Posed<'q> {
    /// The question.
    pub question: &'q str,
    /// The answer, or each point of it.
    pub answer: Vec<&'q str>,
    /// Other wordings that count as right.
    pub accept: Vec<&'q str>,
}

/// Questions to compare. Each is given when it is asked for: lists of all would be much of what comparing takes
/// in memory.
pub trait Questions: Sync {
    /// How many there are.
    fn count(&self) -> usize;
    /// One of them.
    fn question(&self, number: usize) -> Cow<'_, str>;
    /// Its answer, or each point of it.
    fn answer(&self, number: usize) -> Vec<&str>;
    /// Other wordings that count as right.
    fn accept(&self, number: usize) -> Vec<&str>;
}

impl Questions for [Posed<'_>] {
    fn count(&self) -> usize {
        self.len()
    }

    fn question(&self, number: usize) -> Cow<'_, str> {
        self[number].question.into()
    }

    fn answer(&self, number: usize) -> Vec<&str> {
        self[number].answer.clone()
    }

    fn accept(&self, number: usize) -> Vec<&str> {
        self[number].accept.clone()
    }
}

/// Two questions that ask the same in other words.
#[derive(Clone, Debug, PartialEq)]
pub struct Similar {
    /// The number of the earlier question.
    pub one: usize,
    /// The number of the later question.
    pub other: usize,
    /// The words that both have, in the order of the earlier question.
    pub shared: Vec<String>,
    /// The share of the weight of their words that they have in common, from 0 to 1.
    pub likeness: f64,
    /// Whether their answers are the same.
    pub same_answer: bool,
}

/// All pairs of questions that ask the same in other words, in order.
///
/// ```
/// use deckle::text::{Posed, similar_questions};
/// let posed = |question, answer| Posed { question, answer: vec![answer], accept: vec![] };
/// let all = [
///     posed("What is an isobar?", "A line of equal pressure"),
///     posed("Define the term isobar.", "A line joining places of equal pressure"),
///     posed("What is an isotherm?", "A line of equal temperature"),
/// ];
/// let found = similar_questions(&all[..]);
/// assert_eq!(found.len(), 1);
/// assert_eq!((found[0].one, found[0].other), (0, 1));
/// ```
pub fn similar_questions(all: &(impl Questions + ?Sized)) -> Vec<Similar> {
    let (read, terms) = read(all);
    let candidates = Keyed::of(&read, &terms).candidates(read.len());
    found(all, &read, &terms, &candidates)
}

/// The pairs that ask the same, of questions that were read and are worth comparing.
fn found(all: &(impl Questions + ?Sized), read: &[Asked], terms: &Terms, candidates: &Candidates) -> Vec<Similar> {
    let sketches: Vec<Sketch> = read.par_iter().map(|asked| Sketch::of(asked, terms)).collect();
    let after = |one: usize| {
        let others = candidates.after(one, |other| !sketches[one].tells_apart(sketches[other]));
        others.into_iter().filter_map(move |other| similar(all, read, terms, one, other as usize))
    };
    (0..read.len()).into_par_iter().flat_map_iter(after).collect()
}

/// Whether two questions ask the same, and how.
fn similar(
    all: &(impl Questions + ?Sized),
    read: &[Asked],
    terms: &Terms,
    one: usize,
    other: usize,
) -> Option<Similar> {
    let side = |number: usize| Side { asked: &read[number], all, number };
    let (a, b) = (&read[one], &read[other]);
    let found = compare(terms, a, b, || answers_agree(terms, side(one), side(other)))?;
    let shared = shared(terms, &all.question(one), a, b);
    Some(Similar { one, other, shared, likeness: found.likeness, same_answer: found.same_answer })
}

/// So many questions are read at a time.
const CHUNK: usize = 4096;

/// Reads all questions; their stems are numbered in the order of the alphabet.
fn read(all: &(impl Questions + ?Sized)) -> (Vec<Asked>, Terms) {
    let (read, names) = read_named(all);
    let mut seen = vec![0u32; names.len()];
    read.iter().flat_map(|asked| &asked.stems).for_each(|stem| seen[*stem as usize] += 1);
    let terms = Terms::new(names, &seen, read.len());
    (read, terms)
}

/// Reads all questions, and the names of their stems in order.
fn read_named(all: &(impl Questions + ?Sized)) -> (Vec<Asked>, Vec<Box<str>>) {
    let chunk = |at: usize| at * CHUNK..all.count().min((at + 1) * CHUNK);
    let chunks = (0..all.count().div_ceil(CHUNK)).into_par_iter().map(|at| read_chunk(all, chunk(at)));
    let (chunks, lexicons): (Vec<Vec<Asked>>, Vec<Lexicon>) = chunks.unzip();
    let (names, numbers) = numbered(&lexicons);
    drop(lexicons);
    let renumbered = chunks.into_par_iter().zip(numbers).flat_map_iter(|(asked, numbers)| {
        asked.into_iter().map(move |mut asked| {
            asked.renumber(&numbers);
            asked
        })
    });
    (renumbered.collect(), names)
}

/// All names in order, each once; and for each lexicon the number that each of its words has among them.
fn numbered(lexicons: &[Lexicon]) -> (Vec<Box<str>>, Vec<Vec<Stem>>) {
    let mut numbers: Vec<Vec<Stem>> = Vec::new();
    let mut all: Vec<(&str, u32, u32)> = Vec::new();
    for (list, lexicon) in lexicons.iter().enumerate() {
        let before = all.len();
        all.extend(lexicon.words().zip(0..).map(|(name, at)| (name, list as u32, at)));
        numbers.push(vec![0; all.len() - before]);
    }
    all.par_sort_unstable();
    let mut names: Vec<Box<str>> = Vec::new();
    for (name, list, at) in all {
        if names.last().is_none_or(|last| **last != *name) {
            names.push(name.into());
        }
        numbers[list as usize][at as usize] = (names.len() - 1) as Stem;
    }
    (names, numbers)
}

/// Reads some questions; their stems are numbered as they come.
fn read_chunk(all: &(impl Questions + ?Sized), chunk: Range<usize>) -> (Vec<Asked>, Lexicon) {
    let mut lexicon = Lexicon::default();
    let mut number = |name: &str| lexicon.number(name);
    let read = chunk.map(|at| Asked::new(Reading::of(&as_read(&all.question(at))), &mut number)).collect();
    (read, lexicon)
}

/// The words of `question`, as written, that `other` has too.
fn shared(terms: &Terms, question: &str, asked: &Asked, other: &Asked) -> Vec<String> {
    let text = as_read(question);
    let words = Reading::of(&text).words;
    let both = words.iter().zip(&asked.words).filter(|(_, word)| is_among(terms, word.stem(), &other.stems));
    both.map(|((_, written), _)| (*written).to_owned()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(one: (&str, &str), other: (&str, &str)) -> bool {
        let posed = |(question, answer)| Posed { question, answer: vec![answer], accept: vec![] };
        // Among others, so that common words are common.
        let filler: Vec<String> =
            (0..40).map(|n| format!("What is the measure of line number {} in rock {n}?", n + 100)).collect();
        let mut all = vec![posed(one), posed(other)];
        all.extend(filler.iter().map(|question| Posed { question, answer: vec!["It"], accept: vec![] }));
        similar_questions(&all[..]).iter().any(|pair| (pair.one, pair.other) == (0, 1))
    }

    #[test]
    fn the_same_in_other_words_is_found() {
        for (one, other) in [
            (("What is an isobar?", "a"), ("Define isobar.", "b")),
            (("What is attrition?", "a"), ("What does attrition mean?", "b")),
            (("What is attrition?", "a"), ("State what is meant by the term attrition.", "b")),
            (
                ("Which line joins places of equal pressure?", "An isobar"),
                ("What is the name of the line that joins places with the same air pressure?", "An isobar"),
            ),
            (
                ("Which instrument measures wind speed?", "An anemometer"),
                ("What do we use to measure wind speed?", "anemometer"),
            ),
            (("When did Mount Pelota erupt?", "1980"), ("In which year did Mount Pelota erupt?", "1980")),
            (("Name three types of rock.", "a"), ("What are the 3 kinds of rock?", "b")),
            (("At which speed does a gale begin?", "a"), ("State the speed at which a gale starts.", "b")),
            (("Where does the Orrin begin?", "a"), ("Where does the Orrin start?", "b")),
            (("What is the capital of Peru?", "Lima"), ("Which city is the capital of Peru?", "Lima")),
            (("Who invented the loom?", "Ann Lee"), ("Who was the inventor of the loom?", "Ann Lee")),
            (("What is the formula for speed?", "d ÷ t"), ("How is speed worked out?", "d ÷ t")),
            (("Which ocean is the biggest?", "The Pacific"), ("Name the largest ocean.", "The Pacific Ocean")),
        ] {
            assert!(found(one, other), "{} = {}", one.0, other.0);
        }
    }

    #[test]
    fn numbers_and_names_that_changed_places_ask_for_something_else() {
        for (one, other) in [
            ("What is thing one of set 4?", "What is thing four of set 1?"),
            ("How far is it from Ambleford to Lume?", "How far is it from Lume to Ambleford?"),
        ] {
            assert!(!found((one, "a hill"), (other, "a lake")), "{one} / {other}");
            assert!(found((one, "a hill"), (other, "a hill")), "{one} / {other}");
        }
        // Each took its own words along.
        let (one, other) = ("In 1066, who won at Hastings?", "Who won at Hastings in 1066?");
        assert!(found((one, "William"), (other, "Harold")), "{one} / {other}");
    }

    #[test]
    fn one_mould_about_different_things_is_different() {
        for (one, other) in [
            (("What is the capital of Peru?", "Lima"), ("What is the capital of Chile?", "Santiago")),
            (("What is the symbol of iron?", "Fe"), ("What is the symbol of tin?", "Sn")),
            (
                ("Which instrument measures wind speed?", "Anemometer"),
                ("Which instrument measures wind direction?", "Vane"),
            ),
            (("What is weathering?", "a"), ("What is weathering of granite by frost in winter?", "b")),
            (("What is a river?", "a"), ("What is a river basin?", "b")),
            (("What eats mice?", "Hawks"), ("What do mice eat?", "Seeds")),
            (("Which rock is permeable?", "Chalk"), ("Which rock is not permeable?", "Clay")),
            (("Which is the highest hill?", "a"), ("Which is the lowest hill?", "b")),
            (("What is force 8 called?", "Gale"), ("What is force 9 called?", "Strong gale")),
            (("When did Mount Pelota erupt?", "1980"), ("Where did Mount Pelota erupt?", "In the north")),
            (("What is attrition?", "a"), ("What does attrition do?", "b")),
            (("What is 5 + 3?", "8"), ("What is 5 - 3?", "2")),
            (("Why does warm air rise?", "a"), ("How does warm air rise?", "b")),
            (
                ("What is osmosis?", "The movement of water through a membrane"),
                ("What name is given to the movement of water through a membrane?", "Osmosis"),
            ),
            (("Which organ filters the blood?", "The kidney"), ("Which organ makes urine?", "The kidney")),
            (("What is the symbol of iron?", "Fe"), ("Which element has the symbol Fe?", "Iron")),
        ] {
            assert!(!found(one, other), "{} is not {}", one.0, other.0);
        }
    }
}
