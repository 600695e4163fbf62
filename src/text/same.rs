//! The same question in other words, found by an index and not by comparing all pairs.
//!
//! Two questions are the same when what they ask for is: their openers (`What is`, `Define`, `Which …
//! is called`) count for nothing, rare words weigh more than common ones, and the answers are
//! evidence. Questions of one mould about different things are different.

use super::lex::{Piece, What, lex};
use super::normal::{counts, meaning_stems, normal};
use super::plain::plain;
use super::relations::{stems_agree, stems_oppose, synonym_key};
use super::stem::{fold, is_stop_word, stem};
use super::value::value_at;
use std::collections::{BTreeSet, HashMap};

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

/// A group of questions by one key that is larger than this tells nothing.
const TOO_COMMON: usize = 48;
/// So much of the words' weight has to be shared.
const ALIKE: f64 = 0.8;
/// The same with the answers as evidence.
const ALIKE_WITH_ANSWER: f64 = 0.4;

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
/// let found = similar_questions(&all);
/// assert_eq!(found.len(), 1);
/// assert_eq!((found[0].one, found[0].other), (0, 1));
/// ```
pub fn similar_questions(all: &[Posed<'_>]) -> Vec<Similar> {
    let read: Vec<Asked> = all.iter().map(Asked::read).collect();
    let weights = Rarity::of(&read);
    candidates(&read, &weights).into_iter().filter_map(|(one, other)| compare(&read, &weights, one, other)).collect()
}

/// A question read for what it asks.
struct Asked {
    /// The stems that carry meaning, with the word as written, in order.
    words: Vec<(String, String)>,
    stems: BTreeSet<String>,
    kind: Kind,
    denied: bool,
    /// `What do mice eat`, against `What eats mice`.
    inverted: bool,
    answers: BTreeSet<String>,
    whole_answer: String,
}

/// What kind of thing is asked for.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
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

impl Asked {
    fn read(posed: &Posed<'_>) -> Asked {
        let text = plain(posed.question);
        let pieces = lex(&text);
        let folded: Vec<String> = pieces.iter().map(|piece| fold(piece.text)).collect();
        let mut words = Vec::new();
        let mut denied = false;
        let mut at = 0;
        while at < pieces.len() {
            if let Some((_, len)) = value_at(&pieces, at) {
                let written = &text[pieces[at].span.start..pieces[at + len - 1].span.end];
                words.push((normal(written), written.to_string()));
                at += len;
                continue;
            }
            let word = folded[at].as_str();
            denied |= matches!(word, "not" | "never" | "no" | "without" | "except") || word.ends_with("n't");
            let opens = at < 3 && OPENERS.contains(&word);
            let small = is_stop_word(word) && word != "same";
            // With a capital inside the question it is a symbol or a name, such as `He`.
            if small && at > 0 && pieces[at].text.starts_with(char::is_uppercase) {
                words.push((pieces[at].text.to_string(), pieces[at].text.to_string()));
            }
            if let What::Sign(sign) = pieces[at].what
                && (counts(sign) || is_minus(&pieces, at))
            {
                words.push((sign.to_string(), sign.to_string()));
            }
            if pieces[at].is_word() && !opens && !small && !ASKING.contains(&word) {
                words.push((stem(word), pieces[at].text.to_string()));
            }
            at += 1;
        }
        // `What does attrition mean?` asks for a meaning; `mean speed` is a speed.
        if folded.iter().rev().find(|word| word.chars().any(char::is_alphabetic)).is_some_and(|last| last == "mean") {
            words.retain(|(stem, _)| stem != "mean");
        }
        let kind = kind_of(&folded);
        if kind == Kind::Time {
            words.retain(|(stem, _)| !matches!(stem.as_str(), "year" | "date" | "time"));
        }
        let mut answers: BTreeSet<String> = posed.accept.iter().map(|answer| said(answer)).collect();
        let mut points: Vec<String> = posed.answer.iter().map(|answer| said(answer)).collect();
        points.sort();
        let whole_answer = points.join("; ");
        answers.insert(whole_answer.clone());
        Asked {
            stems: words.iter().map(|(stem, _)| stem.clone()).collect(),
            words,
            kind,
            denied,
            inverted: folded.iter().take(4).any(|word| matches!(word.as_str(), "do" | "does" | "did")),
            answers,
            whole_answer,
        }
    }

    fn same_answer(&self, other: &Asked) -> bool {
        self.answers.contains(&other.whole_answer) || other.answers.contains(&self.whole_answer)
    }
}

/// What an answer says, its small words and the order of its words aside.
fn said(answer: &str) -> String {
    let stems = meaning_stems(answer);
    if stems.is_empty() { normal(answer) } else { stems.into_iter().collect::<Vec<_>>().join(" ") }
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
    )
}

/// Whether a dash between two numbers takes one from the other: `5 - 3`, against `5-10 km`.
fn is_minus(pieces: &[Piece<'_>], at: usize) -> bool {
    let number = |at: usize| pieces.get(at).is_some_and(|piece| piece.digits().is_some());
    let apart = |at: usize| pieces.get(at).is_some_and(|piece| !piece.tight);
    pieces[at].is_sign('-') && at > 0 && number(at - 1) && number(at + 1) && apart(at) && apart(at + 1)
}

const OPENERS: [&str; 16] = [
    "complete", "define", "describe", "explain", "give", "identify", "list", "name", "outline", "recall", "say",
    "state", "suggest", "tell", "write", "please",
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

fn kind_of(folded: &[String]) -> Kind {
    let has = |word: &str| folded.iter().any(|other| other == word);
    let first = folded
        .iter()
        .find(|word| matches!(word.as_str(), "who" | "whom" | "when" | "where" | "why" | "how" | "what" | "which"));
    match first.map(String::as_str) {
        Some("who" | "whom") => Kind::Person,
        Some("when") => Kind::Time,
        Some("where") => Kind::Place,
        Some("why") => Kind::Reason,
        Some("how") if has("many") || has("much") => Kind::Amount,
        Some("how") => Kind::Manner,
        Some(_) if has("year") || has("date") => Kind::Time,
        Some(_)
            if folded
                .iter()
                .rev()
                .find(|word| word.chars().any(char::is_alphabetic))
                .is_some_and(|last| last == "do") =>
        {
            Kind::Action
        }
        _ => Kind::Thing,
    }
}

/// How rare each stem is among the questions.
struct Rarity {
    seen: HashMap<String, u32>,
    all: f64,
}

impl Rarity {
    fn of(read: &[Asked]) -> Rarity {
        let mut seen: HashMap<String, u32> = HashMap::new();
        for stem in read.iter().flat_map(|asked| &asked.stems) {
            *seen.entry(stem.clone()).or_default() += 1;
        }
        Rarity { seen, all: read.len() as f64 }
    }

    fn count(&self, stem: &str) -> u32 {
        self.seen.get(stem).copied().unwrap_or(0)
    }

    fn weight(&self, stem: &str) -> f64 {
        0.3 + ((self.all + 2.0) / (1.0 + f64::from(self.count(stem)))).ln().max(0.0)
    }
}

/// Pairs worth comparing: those with the same words, with one word more or less, or with a rare word
/// in common. Near linear: a key that many questions have is not a key.
fn candidates(read: &[Asked], weights: &Rarity) -> BTreeSet<(usize, usize)> {
    let mut groups: HashMap<String, Vec<usize>> = HashMap::new();
    for (number, asked) in read.iter().enumerate() {
        for key in keys(asked, weights) {
            groups.entry(key).or_default().push(number);
        }
    }
    let mut out = BTreeSet::new();
    let mut sorted: Vec<(String, Vec<usize>)> = groups.into_iter().filter(|(_, group)| group.len() > 1).collect();
    sorted.sort_unstable();
    for (key, group) in sorted {
        if group.len() <= TOO_COMMON {
            out.extend(
                group.iter().enumerate().flat_map(|(at, one)| group[at + 1..].iter().map(|other| (*one, *other))),
            );
        } else if key.starts_with('=') {
            // The same words so often: each with the next is enough to see it.
            out.extend(group.windows(2).map(|two| (two[0], two[1])));
        }
    }
    out
}

fn keys(asked: &Asked, weights: &Rarity) -> Vec<String> {
    let stems: BTreeSet<String> = asked.stems.iter().map(|stem| synonym_key(stem)).collect();
    let stems: Vec<&str> = stems.iter().map(String::as_str).collect();
    let mut out = vec![format!("={}", stems.join(" "))];
    if (2..=8).contains(&stems.len()) {
        for without in 0..stems.len() {
            let rest: Vec<&str> =
                stems.iter().enumerate().filter(|(at, _)| *at != without).map(|(_, stem)| *stem).collect();
            out.push(format!("={}", rest.join(" ")));
        }
    }
    let mut rare: Vec<&String> =
        asked.stems.iter().filter(|stem| (2..=TOO_COMMON as u32).contains(&weights.count(stem))).collect();
    rare.sort_by_key(|stem| (weights.count(stem), *stem));
    out.extend(rare.into_iter().take(3).map(|stem| format!("~{stem}")));
    out
}

fn compare(read: &[Asked], weights: &Rarity, one: usize, other: usize) -> Option<Similar> {
    let (a, b) = (&read[one], &read[other]);
    if a.stems.is_empty() || b.stems.is_empty() || a.denied != b.denied {
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
        similar_questions(&all).iter().any(|pair| (pair.one, pair.other) == (0, 1))
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
        ] {
            assert!(found(one, other), "{} = {}", one.0, other.0);
        }
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
        ] {
            assert!(!found(one, other), "{} is not {}", one.0, other.0);
        }
    }
}
