//! Whether two questions ask the same.

use super::asked::{Asked, Kind};
use super::terms::{Stem, Terms};
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
    let known = OnceCell::new();
    let same_answer = || *known.get_or_init(&same_answer);
    let same = match (only_a.is_empty(), only_b.is_empty()) {
        (true, true) => a.kind != b.kind || a.inverted == b.inverted || in_order(terms, a, b) || same_answer(),
        (false, false) => {
            let generic = |only: &[Stem]| only.iter().all(|stem| is_generic(terms.name(*stem)));
            likeness >= ALIKE_WITH_ANSWER && (generic(&only_a) || generic(&only_b)) && same_answer()
        }
        _ => likeness >= ALIKE || (likeness >= ALIKE_WITH_ANSWER && same_answer()),
    };
    // One kind of question against another needs the answer as evidence.
    let plainly = !any && a.stems.len() >= 3;
    let manner = [a.kind, b.kind].iter().any(|kind| matches!(kind, Kind::Manner | Kind::Reason));
    let same = same && (a.kind == b.kind || plainly || (!manner && same_answer()));
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

/// Whether a number, name or symbol of the one question is not in the other.
fn tells_apart(terms: &Terms, asked: &Asked, other: &Asked) -> bool {
    asked.words.iter().any(|word| word.telling && !is_among(terms, word.stem, &other.stems))
}

/// Whether a word is part of a longer name: `Equatorial` in `Equatorial Guinea`.
fn lengthens_name(asked: &Asked, stem: Stem) -> bool {
    let capital = |at: usize| asked.words.get(at).is_some_and(|word| word.capital);
    let beside = |at: usize| capital(at + 1) || at.checked_sub(1).is_some_and(capital);
    (0..asked.words.len()).any(|at| asked.words[at].stem == stem && capital(at) && beside(at))
}

fn in_order(terms: &Terms, a: &Asked, b: &Asked) -> bool {
    a.words.len() == b.words.len() && a.words.iter().zip(&b.words).all(|(one, other)| terms.agree(one.stem, other.stem))
}

/// Whether a word only says what kind of thing the answer is: `which instrument`, `which city`.
fn is_generic(stem: &str) -> bool {
    matches!(
        stem,
        "instrument"
            | "devic"
            | "tool"
            | "thing"
            | "citi"
            | "town"
            | "person"
            | "scientist"
            | "unit"
            | "countri"
            | "place"
            | "type"
            | "kind"
            | "number"
            | "amount"
            | "substanc"
            | "process"
            | "featur"
            | "part"
            | "measur"
            | "popul"
            | "live"
            | "chemic"
            | "element"
            | "main"
            | "land"
            | "event"
            | "exampl"
            | "group"
            | "way"
            | "method"
            | "reason"
            | "effect"
            | "materi"
            | "size"
            | "point"
            | "job"
            | "function"
            | "role"
            | "purpos"
            | "formula"
            | "equat"
            | "calcul"
            | "work"
            | "stand"
            | "letter"
            | "symbol"
            | "institut"
            | "organis"
            | "leader"
            | "king"
            | "queen"
            | "artist"
            | "author"
            | "writer"
            | "peopl"
            | "player"
            | "travel"
            | "metr"
            | "world"
            | "bodi"
            | "happen"
            | "chang"
            | "vessel"
            | "becom"
            | "go"
    )
}
