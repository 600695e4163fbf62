//! A question read for what it asks.

use super::terms::Stem;
use crate::text::known::{Known, known};
use crate::text::lex::{Piece, What, lex};
use crate::text::normal::{counts, meaning_stems, normal};
use crate::text::value::value_at;
use std::collections::BTreeSet;
use std::rc::Rc;
use std::sync::OnceLock;
use thin_vec::ThinVec;

/// A question read for what it asks, its stems as numbers.
pub(super) struct Asked {
    /// The words that carry meaning, in order.
    pub(super) words: Box<[Word]>,
    /// Their stems, each once, in order.
    pub(super) stems: Box<[Stem]>,
    pub(super) kind: Kind,
    pub(super) denied: bool,
    /// `What do mice eat`, against `What eats mice`.
    pub(super) inverted: bool,
    /// What stands in quotation marks, in its normal form.
    quoted: ThinVec<String>,
    /// What counts as its answer, worked out when it is asked for.
    answers: OnceLock<Box<Answers>>,
}

/// A word of a question: its stem, and in the two highest bits what is seen of it as written.
#[derive(Clone, Copy)]
pub(super) struct Word(u32);

const CAPITAL: u32 = 1 << 31;
const TELLING: u32 = 1 << 30;

impl Word {
    /// There are fewer than a thousand million stems: their names would not fit into any machine.
    fn new(stem: Stem, capital: bool, telling: bool) -> Word {
        Word(stem & !(CAPITAL | TELLING) | u32::from(capital) << 31 | u32::from(telling) << 30)
    }

    pub(super) fn stem(self) -> Stem {
        self.0 & !(CAPITAL | TELLING)
    }

    /// Whether it begins with a capital.
    pub(super) fn capital(self) -> bool {
        self.0 & CAPITAL != 0
    }

    /// Whether it is a number, a name or a symbol, which tells questions of one mould apart.
    pub(super) fn telling(self) -> bool {
        self.0 & TELLING != 0
    }
}

/// What counts as the answer of a question: any of the wordings, one of which is the whole.
pub(super) struct Answers {
    pub(super) wordings: BTreeSet<String>,
    pub(super) whole: String,
}

impl Asked {
    /// `number` gives the number of a stem.
    pub(super) fn new(reading: Reading<'_>, mut number: impl FnMut(&str) -> Stem) -> Asked {
        let words = reading.words.iter().enumerate().map(|(at, (stem, written))| {
            let capital = written.starts_with(char::is_uppercase);
            let digit = written.starts_with(|c: char| c.is_ascii_digit());
            let telling = digit || (at > 0 && capital) || written.chars().skip(1).any(char::is_uppercase);
            Word::new(number(stem), capital, telling)
        });
        Asked {
            words: words.collect(),
            stems: Box::default(),
            kind: reading.kind,
            denied: reading.denied,
            inverted: reading.inverted,
            quoted: reading.quoted.into(),
            answers: OnceLock::new(),
        }
    }

    /// Gives every stem the number that `numbers` has for it.
    pub(super) fn renumber(&mut self, numbers: &[Stem]) {
        let renumbered = |word: &Word| Word::new(numbers[word.stem() as usize], word.capital(), word.telling());
        self.words.iter_mut().for_each(|word| *word = renumbered(word));
        let mut stems: Vec<Stem> = self.words.iter().map(|word| word.stem()).collect();
        stems.sort_unstable();
        stems.dedup();
        self.stems = stems.into();
    }

    /// Whether both ask about words that they quote, and about other ones.
    pub(super) fn quotes_differ(&self, other: &Asked) -> bool {
        !self.quoted.is_empty() && !other.quoted.is_empty() && self.quoted != other.quoted
    }

    /// What counts as its answer; `given` tells the points and the other wordings when they are needed first.
    pub(super) fn answers<'q>(&self, given: impl FnOnce() -> (Vec<&'q str>, Vec<&'q str>)) -> &Answers {
        self.answers.get_or_init(|| {
            let (points, accept) = given();
            let mut wordings: BTreeSet<String> = accept.into_iter().map(said).collect();
            let mut points: Vec<String> = points.into_iter().map(said).collect();
            points.sort();
            let whole = points.join("; ");
            wordings.insert(whole.clone());
            Box::new(Answers { wordings, whole })
        })
    }
}

/// What kind of thing is asked for.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Thing,
    Time,
    Place,
    Person,
    Reason,
    Amount,
    Manner,
    /// `What does attrition do?`, against `What is attrition?`
    Action,
}

/// A question as it is read, before its stems have numbers.
pub(super) struct Reading<'t> {
    /// The stems that carry meaning, with the word as written, in order.
    pub(super) words: Vec<(Rc<str>, &'t str)>,
    kind: Kind,
    denied: bool,
    inverted: bool,
    quoted: Vec<String>,
}

impl<'t> Reading<'t> {
    /// Reads a question in plain text.
    pub(super) fn of(text: &'t str) -> Reading<'t> {
        let pieces = lex(text);
        let all: Vec<Option<Known>> = pieces.iter().map(|piece| piece.is_word().then(|| known(piece.text))).collect();
        let folded: Vec<&str> = pieces.iter().zip(&all).map(|(piece, known)| shown(piece, known.as_ref())).collect();
        let mut words: Vec<(Rc<str>, &str)> = Vec::with_capacity(pieces.len());
        let mut denied = false;
        let mut at = 0;
        while at < pieces.len() {
            if let Some((_, len)) = value_at(&pieces, at) {
                let written = &text[pieces[at].span.start..pieces[at + len - 1].span.end];
                words.push((amount(written).into(), written));
                at += len;
                continue;
            }
            let (word, written) = (folded[at], pieces[at].text);
            denied |= matches!(word, "not" | "never" | "no" | "without" | "except") || word.ends_with("n't");
            let opens = at < 3 && OPENERS.contains(&word);
            let small = all[at].as_ref().is_some_and(|known| known.small) && word != "same";
            // With a capital inside the question it is a symbol or a name, such as `He`.
            if small && at > 0 && written.starts_with(char::is_uppercase) {
                words.push((written.into(), written));
            }
            if let What::Sign(sign) = pieces[at].what
                && (counts(sign) || is_minus(&pieces, at))
            {
                words.push((written.into(), written));
            }
            if at > 0
                && folded[at - 1] == "how"
                && let Some(measure) = measure_of(word)
            {
                words.push((known(measure).stem, written));
            } else if let Some(known) = &all[at]
                && !(opens || small || ASKING.contains(&word))
            {
                words.push((Rc::clone(&known.stem), written));
            }
            at += 1;
        }
        let kind = kind_of(&folded);
        drop_asking(&mut words, kind, &folded);
        Reading {
            words,
            kind,
            denied,
            inverted: folded.iter().take(4).any(|word| matches!(*word, "do" | "does" | "did")),
            quoted: text.split('"').skip(1).step_by(2).map(normal).collect(),
        }
    }
}

/// A value as it counts for the same question: `15 per cent` is `15%`.
fn amount(written: &str) -> String {
    match written.strip_suffix("per cent").or_else(|| written.strip_suffix("percent")) {
        Some(number) => normal(&format!("{}%", number.trim_end())),
        None => normal(written),
    }
}

fn shown<'s>(piece: &Piece<'s>, known: Option<&'s Known>) -> &'s str {
    known.map_or(piece.text, |known| &*known.folded)
}

/// Takes out the words that ask here but carry meaning elsewhere.
fn drop_asking(words: &mut Vec<(Rc<str>, &str)>, kind: Kind, folded: &[&str]) {
    // `What does attrition mean?` asks for a meaning; `mean speed` is a speed.
    if last_word(folded) == Some("mean") {
        words.retain(|(stem, _)| &**stem != "mean");
    }
    if kind == Kind::Time {
        words.retain(|(stem, _)| !matches!(&**stem, "year" | "date" | "time"));
    }
    if kind == Kind::Reason {
        words.retain(|(stem, _)| &**stem != "reason");
    }
}

fn last_word<'f>(folded: &[&'f str]) -> Option<&'f str> {
    folded.iter().rev().find(|word| word.chars().any(char::is_alphabetic)).copied()
}

/// What `how fast`, `how tall` and the like ask for.
fn measure_of(word: &str) -> Option<&'static str> {
    Some(match word {
        "fast" | "quickly" => "speed",
        "tall" | "high" => "height",
        "long" => "length",
        "deep" => "depth",
        "wide" | "broad" => "width",
        "thick" => "thickness",
        "heavy" => "mass",
        "far" => "distance",
        "hot" | "warm" | "cold" => "temperature",
        "big" | "large" => "size",
        _ => return None,
    })
}

/// What an answer says, its small words and the order of its words aside.
fn said(answer: &str) -> String {
    let stems = meaning_stems(answer);
    if stems.is_empty() { normal(answer) } else { stems.into_iter().collect::<Vec<_>>().join(" ") }
}

/// Whether a dash between two numbers takes one from the other: `5 - 3`, against `5-10 km`.
fn is_minus(pieces: &[Piece<'_>], at: usize) -> bool {
    let number = |at: usize| pieces.get(at).is_some_and(|piece| piece.digits().is_some());
    let apart = |at: usize| pieces.get(at).is_some_and(|piece| !piece.tight);
    pieces[at].is_sign('-') && at > 0 && number(at - 1) && number(at + 1) && apart(at) && apart(at + 1)
}

const OPENERS: [&str; 19] = [
    "calculate",
    "convert",
    "complete",
    "define",
    "describe",
    "explain",
    "give",
    "identify",
    "list",
    "name",
    "outline",
    "recall",
    "say",
    "state",
    "suggest",
    "tell",
    "translate",
    "write",
    "please",
];
/// Words that only ask.
const ASKING: [&str; 18] = [
    "called",
    "definition",
    "happen",
    "happens",
    "known",
    "meaning",
    "meant",
    "name",
    "named",
    "names",
    "term",
    "termed",
    "use",
    "used",
    "uses",
    "word",
    "describes",
    "phrase",
];

fn kind_of(folded: &[&str]) -> Kind {
    let has = |word: &str| folded.contains(&word);
    let first = folded
        .iter()
        .find(|word| matches!(**word, "who" | "whom" | "when" | "where" | "why" | "how" | "what" | "which"));
    match first.copied() {
        Some("who" | "whom") => Kind::Person,
        Some("when") => Kind::Time,
        Some("where") => Kind::Place,
        Some("why") => Kind::Reason,
        Some("how") if has("many") || has("much") => Kind::Amount,
        Some("how") if folded.windows(2).any(|two| two[0] == "how" && measure_of(two[1]).is_some()) => Kind::Thing,
        Some("how") => Kind::Manner,
        Some(_) if has("year") || has("date") => Kind::Time,
        Some(_) if folded.windows(2).any(|two| matches!(two[0], "what" | "which") && two[1] == "reason") => {
            Kind::Reason
        }
        Some(_) if last_word(folded) == Some("do") => Kind::Action,
        _ => Kind::Thing,
    }
}
