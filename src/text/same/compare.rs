//! Whether two questions ask the same.

use super::Similar;
use super::asked::{Asked, Kind};
use super::index::Rarity;
use crate::text::relations::{stems_agree, stems_oppose};
use std::collections::BTreeSet;

/// So much of the words' weight has to be shared.
const ALIKE: f64 = 0.8;
/// The same with the answers as evidence.
const ALIKE_WITH_ANSWER: f64 = 0.4;

pub(super) fn compare(read: &[Asked], weights: &Rarity, one: usize, other: usize) -> Option<Similar> {
    let (a, b) = (&read[one], &read[other]);
    if a.stems.is_empty() || b.stems.is_empty() || a.denied != b.denied || quotes_differ(a, b) {
        return None;
    }
    let generic = |kind| matches!(kind, Kind::Thing);
    if a.kind != b.kind && !generic(a.kind) && !generic(b.kind) {
        return None;
    }
    let matches = |stem: &String, others: &BTreeSet<String>| {
        others.contains(stem) || others.iter().any(|other| stems_agree(stem, other))
    };
    let only_a: Vec<&String> = a.stems.iter().filter(|stem| !matches(stem, &b.stems)).collect();
    let only_b: Vec<&String> = b.stems.iter().filter(|stem| !matches(stem, &a.stems)).collect();
    let sum = |stems: &mut dyn Iterator<Item = &String>| stems.map(|stem| weights.weight(stem)).sum::<f64>();
    let shared = sum(&mut a.stems.iter().filter(|stem| matches(stem, &b.stems)));
    let likeness = shared / (shared + sum(&mut only_a.iter().copied()) + sum(&mut only_b.iter().copied()));
    let same_answer = a.same_answer(b);
    let words = |asked: &Asked, only: &[&String]| only.iter().any(|stem| distinguishes(asked, stem));
    let exclusive = only_a.iter().any(|one| only_b.iter().any(|other| stems_oppose(one, other)));
    let apart = exclusive || (!only_a.is_empty() && !only_b.is_empty() && words(a, &only_a) && words(b, &only_b));
    let same = match (only_a.is_empty(), only_b.is_empty()) {
        (true, true) => same_answer || a.kind != b.kind || a.inverted == b.inverted || in_order(a, b),
        _ if apart
            || only_a.iter().any(|stem| lengthens_name(a, stem))
            || only_b.iter().any(|stem| lengthens_name(b, stem)) =>
        {
            false
        }
        (false, false) => {
            let generic = |only: &[&String]| only.iter().all(|stem| is_generic(stem));
            same_answer && likeness >= ALIKE_WITH_ANSWER && (generic(&only_a) || generic(&only_b))
        }
        _ => likeness >= if same_answer { ALIKE_WITH_ANSWER } else { ALIKE },
    };
    // One kind of question against another needs the answer as evidence.
    let plainly = only_a.is_empty() && only_b.is_empty() && a.stems.len() >= 3;
    let manner = [a.kind, b.kind].iter().any(|kind| matches!(kind, Kind::Manner | Kind::Reason));
    let same = same && (a.kind == b.kind || (same_answer && !manner) || plainly);
    let shared = a.words.iter().filter(|(stem, _)| matches(stem, &b.stems)).map(|(_, word)| word.clone()).collect();
    same.then_some(Similar { one, other, shared, likeness, same_answer })
}

/// Whether both ask about words that they quote, and about other ones.
fn quotes_differ(a: &Asked, b: &Asked) -> bool {
    !a.quoted.is_empty() && !b.quoted.is_empty() && a.quoted != b.quoted
}

/// Numbers, names and symbols tell questions of one mould apart.
fn distinguishes(asked: &Asked, stem: &str) -> bool {
    asked.words.iter().enumerate().any(|(at, (other, word))| {
        other == stem
            && (word.starts_with(|c: char| c.is_ascii_digit())
                || (at > 0 && word.starts_with(char::is_uppercase))
                || word.chars().skip(1).any(char::is_uppercase))
    })
}

/// Whether a word is part of a longer name: `Equatorial` in `Equatorial Guinea`.
fn lengthens_name(asked: &Asked, stem: &str) -> bool {
    let capital = |at: usize| asked.words.get(at).is_some_and(|(_, word)| word.starts_with(char::is_uppercase));
    let beside = |at: usize| capital(at + 1) || at.checked_sub(1).is_some_and(capital);
    (0..asked.words.len()).any(|at| asked.words[at].0 == stem && capital(at) && beside(at))
}

fn in_order(a: &Asked, b: &Asked) -> bool {
    a.words.len() == b.words.len() && a.words.iter().zip(&b.words).all(|((one, _), (other, _))| stems_agree(one, other))
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
