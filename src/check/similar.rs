//! Questions that are asked again in other words.

use std::borrow::Cow;
use std::collections::hash_map::Entry;
use std::collections::{BTreeSet, HashMap};

use foldhash::fast::RandomState;

use super::agree::Right;
use super::repeats::{Asked, Keyed};
use crate::deck::{Question, Text};
use crate::source::{Statement, Weights, supports};
use crate::text::{Questions, Record, Similar, are_synonyms, meaning_stems, recorded, similar_questions};

/// Two questions that ask the same in other words.
#[derive(Clone, Debug)]
pub struct Alike<'a> {
    /// Where it was asked first.
    pub first: Asked<'a>,
    /// Where it is asked again.
    pub again: Asked<'a>,
    /// The words that both have.
    pub shared: Vec<String>,
    /// Whether the answers are two, and not one in two wordings.
    pub conflicting: bool,
    /// The normal forms of both questions.
    pub form: String,
}

/// The questions that one year group is asked again in other words, or that are answered in two ways in
/// whatever years; each against the first one only, in the order of the department.
///
/// Questions in the same words are not among them, nor are those of one card.
pub fn alike<'a>(keyed: &[Keyed<'a>], weights: &Weights) -> Vec<Alike<'a>> {
    let asked = distinct(keyed);
    let pairs = similar_questions(&asked[..]);
    told(&asked, pairs, weights)
}

/// The same; `note` is told which questions were compared, what they have in common, and which pairs of them ask
/// the same.
pub fn noted<'a>(
    keyed: &[Keyed<'a>],
    weights: &Weights,
    note: impl FnOnce(&[&Keyed<'a>], Record, Vec<(u32, u32)>),
) -> Vec<Alike<'a>> {
    let asked = distinct(keyed);
    let (pairs, record) = recorded(&asked[..]);
    note(&asked, record, pairs.iter().map(|pair| (pair.one as u32, pair.other as u32)).collect());
    told(&asked, pairs, weights)
}

impl Questions for [&Keyed<'_>] {
    fn count(&self) -> usize {
        self.len()
    }

    fn question(&self, number: usize) -> Cow<'_, str> {
        text(self[number])
    }

    fn answer(&self, number: usize) -> Vec<&str> {
        texts(&self[number].asked.question.answer.points)
    }

    fn accept(&self, number: usize) -> Vec<&str> {
        texts(&self[number].asked.question.accept)
    }
}

fn texts(texts: &[Text]) -> Vec<&str> {
    texts.iter().map(|text| text.value.as_str()).collect()
}

/// What is told of the pairs of questions that ask the same in other words, which come in order.
pub fn told<'a>(asked: &[&Keyed<'a>], pairs: Vec<Similar>, weights: &Weights) -> Vec<Alike<'a>> {
    let (mut repeated, mut answered) = (BTreeSet::new(), BTreeSet::new());
    let mut out = Vec::new();
    for pair in pairs {
        let (one, other) = (asked[pair.one], asked[pair.other]);
        let (first, again) = (&one.asked, &other.asked);
        if one.is_same(other) || std::ptr::eq(first.card, again.card) {
            continue;
        }
        let conflicting = !pair.same_answer && conflict(first.question, again.question, weights);
        let year = |asked: &Asked<'_>| asked.deck.year.map(|(year, _)| year);
        let in_one_year = year(first).is_some() && year(first) == year(again);
        let new = match conflicting {
            true => answered.insert(pair.other),
            false => in_one_year && repeated.insert(pair.other),
        };
        if new {
            let form = format!("{} / {}", one.form(), other.form());
            out.push(Alike { first: *first, again: *again, shared: pair.shared, conflicting, form });
        }
    }
    out
}

/// The questions that are compared: of those with one form, the first of each year group.
pub fn distinct<'k, 'a>(keyed: &'k [Keyed<'a>]) -> Vec<&'k Keyed<'a>> {
    let mut seen: HashMap<(u64, Option<u8>), u32, RandomState> =
        HashMap::with_capacity_and_hasher(keyed.len(), RandomState::default());
    let year = |keyed: &Keyed<'_>| keyed.asked.deck.year.map(|(year, _)| year);
    let mut is_new = |(at, one): &(usize, &Keyed<'_>)| match seen.entry((one.digest, year(one))) {
        Entry::Occupied(first) => !one.is_same(&keyed[*first.get() as usize]),
        Entry::Vacant(vacant) => {
            vacant.insert(*at as u32);
            true
        }
    };
    keyed.iter().enumerate().filter(|numbered| is_new(numbered)).map(|(_, keyed)| keyed).collect()
}

/// The question as it is asked; with the card's own before it where it leans on that one.
pub fn text<'k>(keyed: &'k Keyed<'_>) -> Cow<'k, str> {
    let Asked { card, question, .. } = keyed.asked;
    match keyed.leans {
        true => format!("{} {}", &*card.own().question, &*question.question).into(),
        false => question.question.value.as_str().into(),
    }
}

/// Whether two answers to one question exclude each other: other facts, or other words where an answer
/// is no more than a word or two. Longer answers may be one in two wordings.
fn conflict(one: &Question, other: &Question, weights: &Weights) -> bool {
    if one.answer.points.is_empty() || other.answer.points.is_empty() || Right::of(one).agrees(&Right::of(other)) {
        return false;
    }
    let (a, b) = (meaning_stems(&one.answer.text()), meaning_stems(&other.answer.text()));
    let short = |stems: &BTreeSet<String>| (1..=2).contains(&stems.len());
    let common = a.iter().any(|one| b.iter().any(|other| one == other || are_synonyms(one, other)));
    let contradicts = |one: &Question, other: &Question| {
        let statement = Statement {
            question: one.question.value.to_string(),
            points: one.answer.points.iter().map(|point| point.value.to_string()).collect(),
            ..Statement::default()
        };
        !supports(&statement, &other.answer.text(), weights).contradicted.is_empty()
    };
    short(&a) && short(&b) && !common || contradicts(one, other) && contradicts(other, one)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::change::support::{card, decks};
    use crate::check::repeats::keyed;

    fn pairs(cards: &[(&str, &str)]) -> Vec<(String, String, bool)> {
        let text: String = cards
            .iter()
            .enumerate()
            .map(|(at, (question, answer))| card(&format!("c{at}"), question, answer))
            .collect();
        let department = decks(&[("year-8/a", &text)]);
        let found = alike(&keyed(&department), &Weights::even());
        found
            .into_iter()
            .map(|two| (two.first.card.id.value.to_string(), two.again.card.id.value.to_string(), two.conflicting))
            .collect()
    }

    fn pair(conflicting: bool) -> Vec<(String, String, bool)> {
        vec![("c0".to_owned(), "c1".to_owned(), conflicting)]
    }

    #[test]
    fn other_words_are_the_same_question() {
        let (one, two) = ("A line that joins places of equal pressure", "A line joining places with the same pressure");
        assert_eq!(pairs(&[("What is an isobar?", one), ("Define the term isobar.", two)]), pair(false));
        assert_eq!(pairs(&[("What is an isobar?", one), ("What is an isotherm?", two)]), []);
        assert_eq!(pairs(&[("What is an isobar?", one), ("what is *an isobar*", one)]), [], "the same words");
    }

    #[test]
    fn other_facts_conflict() {
        let ask = |one, other| {
            pairs(&[("At which speed does a gale begin?", one), ("State the speed at which a gale starts.", other)])
        };
        assert_eq!(ask("34 knots", "32 knots"), pair(true));
        assert_eq!(ask("34 knots", "thirty-four knots"), pair(false));
        let ask = |one, other| {
            pairs(&[("Which instrument measures wind?", one), ("Name the instrument that measures wind.", other)])
        };
        assert_eq!(ask("An anemometer", "A barometer"), pair(true));
        assert_eq!(ask("An anemometer", "anemometer"), pair(false));
    }
}
