//! Whether two questions ask the same.

use super::asked::{Asked, Kind, Word};
use super::terms::{Stem, Terms};
use crate::text::near::may_say_the_same;
use std::cell::OnceCell;

/// So much of the words' weight has to be shared.
const ALIKE: f64 = 0.8;
/// The same with the answers as evidence.
const ALIKE_WITH_ANSWER: f64 = 0.4;

/// How two questions ask the same.
pub(super) struct Sameness {
    pub(super) likeness: f64,
    pub(super) same_answer: bool,
}

/// How two questions ask the same; `None` when they don't. `same_answer` is asked only where it counts.
pub(super) fn compare(terms: &Terms, a: &Asked, b: &Asked, same_answer: impl Fn() -> bool) -> Option<Sameness> {
    if a.stems.is_empty() || b.stems.is_empty() || a.denied != b.denied || a.quotes_differ(b) {
        return None;
    }
    let generic = |kind| matches!(kind, Kind::Thing);
    if a.kind != b.kind && !generic(a.kind) && !generic(b.kind) {
        return None;
    }
    // Most questions of one mould part here.
    if tells_apart(terms, a, b) && tells_apart(terms, b, a) {
        return None;
    }
    let only_a: Vec<Stem> = a.stems.iter().copied().filter(|stem| !is_among(terms, *stem, &b.stems)).collect();
    let only_b: Vec<Stem> = b.stems.iter().copied().filter(|stem| !is_among(terms, *stem, &a.stems)).collect();
    let exclusive = || only_a.iter().any(|one| only_b.iter().any(|other| terms.oppose(*one, *other)));
    let lengthens = |asked: &Asked, only: &[Stem]| only.iter().any(|stem| lengthens_name(asked, *stem));
    let any = !only_a.is_empty() || !only_b.is_empty();
    if any && (exclusive() || lengthens(a, &only_a) || lengthens(b, &only_b)) {
        return None;
    }
    let likeness = likeness(terms, a, &only_a, &only_b);
    let explained = || is_explained(terms, &only_a, &only_b) && is_explained(terms, &only_b, &only_a);
    let known = OnceCell::new();
    let same_answer = || *known.get_or_init(&same_answer);
    let same = match (only_a.is_empty(), only_b.is_empty()) {
        (true, true) if exchanged(terms, a, b) => same_answer(),
        (true, true) => a.kind != b.kind || a.inverted == b.inverted || in_order(terms, a, b) || same_answer(),
        (false, false) => {
            let generic = |only: &[Stem]| only.iter().all(|stem| is_generic(terms.name(*stem)));
            let alike = || bare(terms, a, &only_a, &only_b) >= ALIKE_WITH_ANSWER;
            ((generic(&only_a) || generic(&only_b)) && alike() || explained()) && same_answer()
        }
        _ => likeness >= ALIKE || (bare(terms, a, &only_a, &only_b) >= ALIKE_WITH_ANSWER && same_answer()),
    };
    // One kind of question against another needs the answer as evidence.
    let plainly = !any && a.stems.len() >= 3;
    let manner = [a.kind, b.kind].iter().any(|kind| matches!(kind, Kind::Manner | Kind::Reason));
    // `What is an oxbow lake?` and `How does an oxbow lake form?`
    let forms = || only_a.iter().chain(&only_b).any(|stem| terms.name(*stem) == "form");
    let asks_alike = || !manner || (explained() && !forms());
    let same = same && (a.kind == b.kind || plainly || (asks_alike() && same_answer()));
    same.then(|| Sameness { likeness, same_answer: same_answer() })
}

/// Whether a stem, or one that says the same, is among `others`.
pub(super) fn is_among(terms: &Terms, stem: Stem, others: &[Stem]) -> bool {
    others.contains(&stem) || (terms.has_synonyms(stem) && others.iter().any(|other| terms.agree(stem, *other)))
}

/// The share of the weight of both questions' words that they have in common.
fn likeness(terms: &Terms, a: &Asked, only_a: &[Stem], only_b: &[Stem]) -> f64 {
    let sum = |stems: &mut dyn Iterator<Item = &Stem>| stems.map(|stem| terms.weight(*stem)).sum::<f64>();
    let shared = sum(&mut a.stems.iter().filter(|stem| !only_a.contains(stem)));
    shared / (shared + sum(&mut only_a.iter()) + sum(&mut only_b.iter()))
}

/// The same without the words that only say what kind of thing is asked for: with one answer, they tell
/// nothing apart.
fn bare(terms: &Terms, a: &Asked, only_a: &[Stem], only_b: &[Stem]) -> f64 {
    let telling =
        |only: &[Stem]| -> Vec<Stem> { only.iter().copied().filter(|stem| !is_generic(terms.name(*stem))).collect() };
    let sum = |stems: &[Stem]| stems.iter().map(|stem| terms.weight(*stem)).sum::<f64>();
    let shared: Vec<Stem> = a.stems.iter().copied().filter(|stem| !only_a.contains(stem)).collect();
    sum(&shared) / (sum(&shared) + sum(&telling(only_a)) + sum(&telling(only_b)))
}

/// Whether each word that one question has alone says no more than what kind of thing is asked, or has
/// a word of its sense among those that the other has alone.
fn is_explained(terms: &Terms, only: &[Stem], others: &[Stem]) -> bool {
    only.iter().all(|stem| {
        let name = terms.name(*stem);
        is_generic(name) || others.iter().any(|other| may_say_the_same(name, terms.name(*other)))
    })
}

/// Whether a number, name or symbol of the one question is not in the other.
fn tells_apart(terms: &Terms, asked: &Asked, other: &Asked) -> bool {
    asked.words.iter().any(|word| word.telling() && !is_among(terms, word.stem(), &other.stems))
}

/// Whether a word is part of a longer name: `Equatorial` in `Equatorial Guinea`.
fn lengthens_name(asked: &Asked, stem: Stem) -> bool {
    let capital = |at: usize| asked.words.get(at).is_some_and(|word| word.capital());
    let beside = |at: usize| capital(at + 1) || at.checked_sub(1).is_some_and(capital);
    (0..asked.words.len()).any(|at| asked.words[at].stem() == stem && capital(at) && beside(at))
}

/// Whether two numbers or names stand in each other's place while all other words stay: `thing one of set 4`
/// and `thing four of set 1`.
fn exchanged(terms: &Terms, a: &Asked, b: &Asked) -> bool {
    let telling = |word: &Word| word.telling() || terms.name(word.stem()).starts_with(|c: char| c.is_ascii_digit());
    let pairs = || a.words.iter().zip(&b.words).filter(|(one, other)| !terms.agree(one.stem(), other.stem()));
    a.words.len() == b.words.len() && pairs().count() > 1 && pairs().all(|(one, other)| telling(one) && telling(other))
}

fn in_order(terms: &Terms, a: &Asked, b: &Asked) -> bool {
    a.words.len() == b.words.len()
        && a.words.iter().zip(&b.words).all(|(one, other)| terms.agree(one.stem(), other.stem()))
}

/// Whether a word only says what kind of thing the answer is: `which instrument`, `which city`.
fn is_generic(stem: &str) -> bool {
    GENERIC.binary_search(&stem).is_ok()
}

const GENERIC: [&str; 97] = [
    "abbrevi",
    "affect",
    "amount",
    "architect",
    "artist",
    "author",
    "becom",
    "bodi",
    "calcul",
    "caus",
    "chang",
    "chemic",
    "citi",
    "come",
    "countri",
    "devic",
    "diet",
    "distanc",
    "effect",
    "element",
    "english",
    "equat",
    "event",
    "exampl",
    "featur",
    "find",
    "form",
    "formula",
    "full",
    "function",
    "gas",
    "give",
    "go",
    "group",
    "happen",
    "height",
    "institut",
    "instrument",
    "inventor",
    "job",
    "kind",
    "king",
    "land",
    "languag",
    "leader",
    "length",
    "letter",
    "lie",
    "live",
    "locat",
    "main",
    "make",
    "materi",
    "measur",
    "method",
    "metr",
    "number",
    "oper",
    "organ",
    "organis",
    "out",
    "part",
    "peopl",
    "person",
    "place",
    "player",
    "point",
    "popul",
    "process",
    "produc",
    "purpos",
    "queen",
    "reason",
    "role",
    "run",
    "say",
    "scientist",
    "size",
    "speak",
    "stand",
    "substanc",
    "sum",
    "symbol",
    "take",
    "thing",
    "tool",
    "total",
    "town",
    "translat",
    "travel",
    "type",
    "unit",
    "vessel",
    "way",
    "work",
    "world",
    "writer",
];
