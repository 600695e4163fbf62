//! The pairs among very many questions, worked out anew after a few of them changed.
//!
//! What is kept of the questions before tells which of them have a key, a stem or a counterpart in common with
//! those that changed. A pair is decided anew when one of its questions is new, or has a rare stem of which
//! there are more or fewer now; or when a large group, in which only neighbours are compared, has other
//! neighbours. All other pairs have the same keys and the same weights as before, since those of common stems
//! count in classes; where a class changes, nothing is said.

use super::index::{Facet, Keyed, TOO_COMMON, keys};
use super::terms::{Terms, class_of_questions, class_of_seen, key};
use super::{Posed, Questions, Reading, Similar, found, read, read_named, similar};
use crate::text::digest;
use crate::text::plain::as_read;
use crate::text::relations::synonym_groups;
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

/// A question with everything that counts as its answer, by itself.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct OwnPosed {
    /// The question.
    pub question: String,
    /// The answer, or each point of it.
    pub answer: Vec<String>,
    /// Other wordings that count as right.
    pub accept: Vec<String>,
}

impl OwnPosed {
    fn posed(&self) -> Posed<'_> {
        Posed { question: &self.question, answer: texts(&self.answer), accept: texts(&self.accept) }
    }
}

fn texts(texts: &[String]) -> Vec<&str> {
    texts.iter().map(String::as_str).collect()
}

/// What is to be kept of all questions, besides themselves and the pairs among them.
#[derive(Clone, Debug, Default)]
pub struct Record {
    /// What questions have in common, in order, each with the number of a question.
    pub keys: Vec<(u64, u32)>,
    /// Each stem as a number, with how many questions have it.
    pub seen: Vec<(u64, u32)>,
    /// Each of the rarer stems with the number of a question that has it.
    pub holders: Vec<(u64, u32)>,
}

/// Of stems that so many questions have, it is kept which they are.
const HELD: u32 = 2 * TOO_COMMON as u32;

/// What was kept of the questions of a department. Nothing is said where that cannot be read.
pub trait KeptQuestions {
    /// How many there are.
    fn questions(&self) -> u32;
    /// How many of them have a stem.
    fn seen(&self, stem: u64) -> Option<u32>;
    /// Which of them have a stem, if they were kept, in order.
    fn holders(&self, stem: u64) -> Option<Vec<u32>>;
    /// Which of them have a key, in order.
    fn group(&self, key: u64) -> Option<Vec<u32>>;
    /// Which of them ask the same as this one.
    fn alike(&self, question: u32) -> Option<Vec<u32>>;
    /// The question.
    fn posed(&self, question: u32) -> Option<OwnPosed>;
}

/// How many questions there are now, and how many have each stem.
#[derive(Clone, Debug, Default)]
pub struct Counts {
    questions: u32,
    more: BTreeMap<u64, i64>,
}

/// How the pairs differ from those kept. Questions have the numbers that they are kept under; behind them come
/// the added ones.
#[derive(Clone, Debug, Default)]
pub struct Renewed {
    /// Pairs that are new, the earlier question first.
    pub come: BTreeSet<(u32, u32)>,
    /// Pairs that are no more.
    pub gone: BTreeSet<(u32, u32)>,
    /// How often stems are seen now.
    pub counts: Counts,
}

/// All pairs as [`super::similar_questions`] finds them, and what is to be kept of the questions.
pub fn recorded(all: &(impl Questions + ?Sized)) -> (Vec<Similar>, Record) {
    let (read, terms) = read(all);
    let keyed = Keyed::of(&read, &terms);
    let keys = keyed.in_order(|[high, low], question| (u64::from(high) << 32 | u64::from(low), question));
    let mut record = Record { keys, ..Record::default() };
    let mut stems: Vec<(u64, u32, u32)> = Vec::new();
    for (number, asked) in read.iter().enumerate() {
        stems.extend(asked.stems.iter().map(|&stem| (terms.digest(stem), terms.seen(stem), number as u32)));
    }
    stems.sort_unstable();
    for (stem, seen, question) in stems {
        if record.seen.last() != Some(&(stem, seen)) {
            record.seen.push((stem, seen));
        }
        if seen <= HELD {
            record.holders.push((stem, question));
        }
    }
    (found(all, &read, &terms, &keyed.candidates(read.len())), record)
}

/// Which of the given pairs of questions ask the same, by what is known of all questions now.
pub fn similar_among(
    all: &(impl Questions + ?Sized),
    pairs: impl IntoIterator<Item = (usize, usize)>,
    kept: &dyn KeptQuestions,
    counts: &Counts,
) -> Option<Vec<Similar>> {
    let (read, names) = read_named(all);
    let seen: Option<Vec<u32>> = names.iter().map(|name| counts.seen(kept, digest(name))).collect();
    let terms = Terms::new(names, &seen?, counts.questions as usize);
    Some(pairs.into_iter().filter_map(|(one, other)| similar(all, &read, &terms, one, other)).collect())
}

/// How the pairs differ when the questions `removed` are gone and `added` have come; `place` orders all questions
/// as they stand now. `None` where all pairs have to be worked out again.
pub fn renewed(
    kept: &dyn KeptQuestions,
    removed: &BTreeSet<u32>,
    added: &[OwnPosed],
    place: &dyn Fn(u32) -> u64,
) -> Option<Renewed> {
    let work = Work::new(kept, removed, added, place)?;
    let changed = work.changed_stems()?;
    let again = work.holders(&changed)?;
    let groups = work.groups(&again)?;
    let mut pairs = work.pairs_of_changed(&again, &groups)?;
    pairs.extend(work.pairs_of_neighbours(&groups, &pairs)?);
    let now = work.alike(&pairs)?;
    let before = work.alike_before(&again, &pairs)?;
    Some(Renewed {
        come: now.difference(&before).copied().collect(),
        gone: before.difference(&now).copied().collect(),
        counts: work.counts,
    })
}

impl Counts {
    fn seen(&self, kept: &dyn KeptQuestions, stem: u64) -> Option<u32> {
        let more = self.more.get(&stem).copied().unwrap_or_default();
        u32::try_from(i64::from(kept.seen(stem)?) + more).ok()
    }
}

type Pairs = BTreeSet<(u32, u32)>;

/// A group of questions by one key, as it was and as it is, in order.
struct Group {
    before: Vec<u32>,
    now: Vec<u32>,
}

struct Work<'w> {
    kept: &'w dyn KeptQuestions,
    removed: &'w BTreeSet<u32>,
    added: &'w [OwnPosed],
    place: &'w dyn Fn(u32) -> u64,
    counts: Counts,
    stems: RefCell<BTreeMap<u32, Rc<[Rc<str>]>>>,
}

impl<'w> Work<'w> {
    fn new(
        kept: &'w dyn KeptQuestions,
        removed: &'w BTreeSet<u32>,
        added: &'w [OwnPosed],
        place: &'w dyn Fn(u32) -> u64,
    ) -> Option<Self> {
        let mut work = Self { kept, removed, added, place, counts: Counts::default(), stems: RefCell::default() };
        let mut more: BTreeMap<u64, i64> = BTreeMap::new();
        for &question in removed {
            work.stems(question)?.iter().for_each(|stem| *more.entry(digest(stem)).or_default() -= 1);
        }
        for question in work.new_numbers() {
            work.stems(question)?.iter().for_each(|stem| *more.entry(digest(stem)).or_default() += 1);
        }
        more.retain(|_, more| *more != 0);
        let questions = kept.questions() as usize + added.len() - removed.len();
        work.counts = Counts { questions: u32::try_from(questions).ok()?, more };
        let is_same = class_of_questions(work.counts.questions) == class_of_questions(kept.questions());
        is_same.then_some(work)
    }

    fn new_numbers(&self) -> std::ops::Range<u32> {
        self.kept.questions()..self.kept.questions() + self.added.len() as u32
    }

    fn posed(&self, question: u32) -> Option<OwnPosed> {
        match question.checked_sub(self.kept.questions()) {
            Some(at) => self.added.get(at as usize).cloned(),
            None => self.kept.posed(question),
        }
    }

    /// The stems of a question in the order of the alphabet.
    fn stems(&self, question: u32) -> Option<Rc<[Rc<str>]>> {
        if let Some(stems) = self.stems.borrow().get(&question) {
            return Some(Rc::clone(stems));
        }
        let posed = self.posed(question)?;
        let text = as_read(&posed.question);
        let stems: BTreeSet<Rc<str>> = Reading::of(&text).words.into_iter().map(|(stem, _)| stem).collect();
        let stems: Rc<[Rc<str>]> = stems.into_iter().collect();
        self.stems.borrow_mut().insert(question, Rc::clone(&stems));
        Some(stems)
    }

    /// The rare stems of which there are more or fewer now; `None` when a common one weighs less or more.
    fn changed_stems(&self) -> Option<Vec<u64>> {
        let mut changed = Vec::new();
        for &stem in self.counts.more.keys() {
            let (before, now) = (self.kept.seen(stem)?, self.counts.seen(self.kept, stem)?);
            if before.min(now) <= TOO_COMMON as u32 {
                changed.push(stem);
            } else if class_of_seen(before) != class_of_seen(now) {
                return None;
            }
        }
        Some(changed)
    }

    /// The questions that are still there and have one of these stems.
    fn holders(&self, stems: &[u64]) -> Option<BTreeSet<u32>> {
        let mut holders = BTreeSet::new();
        for &stem in stems {
            let seen = self.kept.seen(stem)?;
            let held = if seen == 0 { Vec::new() } else { self.kept.holders(stem)? };
            if held.len() != seen as usize {
                return None;
            }
            holders.extend(held.into_iter().filter(|question| !self.removed.contains(question)));
        }
        Some(holders)
    }

    fn keys(&self, question: u32, counts: &Counts) -> Option<Vec<u64>> {
        let facet = |stem: &Rc<str>| {
            let digest = digest(stem);
            let seen = counts.seen(self.kept, digest)?;
            Some(Facet { key: key(digest, synonym_groups(stem)), digest, seen })
        };
        let facets: Option<Vec<Facet>> = self.stems(question)?.iter().map(facet).collect();
        Some(keys(&facets?).into_iter().map(|[high, low]| u64::from(high) << 32 | u64::from(low)).collect())
    }

    /// All groups that have or had a changed question, or one in `again`.
    fn groups(&self, again: &BTreeSet<u32>) -> Option<BTreeMap<u64, Group>> {
        let before = Counts::default();
        let mut changes: BTreeMap<u64, (BTreeSet<u32>, BTreeSet<u32>)> = BTreeMap::new();
        for &question in self.removed.iter().chain(again) {
            for key in self.keys(question, &before)? {
                changes.entry(key).or_default().0.insert(question);
            }
        }
        for question in self.new_numbers().chain(again.iter().copied()) {
            for key in self.keys(question, &self.counts)? {
                changes.entry(key).or_default().1.insert(question);
            }
        }
        let mut groups = BTreeMap::new();
        for (key, (out, into)) in changes {
            let before = self.kept.group(key)?;
            let stay = before.iter().copied().filter(|question| !out.contains(question));
            let mut now: Vec<u32> = stay.chain(into).collect();
            now.sort_by_key(|question| (self.place)(*question));
            groups.insert(key, Group { before, now });
        }
        Some(groups)
    }

    /// The pairs to compare that have a new question or one in `again`.
    fn pairs_of_changed(&self, again: &BTreeSet<u32>, groups: &BTreeMap<u64, Group>) -> Option<Pairs> {
        let first_new = self.kept.questions();
        let is_changed = |question: u32| question >= first_new || again.contains(&question);
        let mut pairs = Pairs::new();
        for group in groups.values() {
            let now = &group.now;
            if now.len() <= TOO_COMMON {
                for (at, &one) in now.iter().enumerate() {
                    let after = now[at + 1..].iter().filter(|other| is_changed(one) || is_changed(**other));
                    pairs.extend(after.map(|other| (one, *other)));
                }
            } else {
                let beside = now.windows(2).filter(|two| is_changed(two[0]) || is_changed(two[1]));
                pairs.extend(beside.map(|two| (two[0], two[1])));
            }
        }
        Some(pairs)
    }

    /// Pairs that are or were neighbours in a large group that has other members now, and are worth comparing
    /// now; those in `decided` are left out.
    fn pairs_of_neighbours(&self, groups: &BTreeMap<u64, Group>, decided: &Pairs) -> Option<Pairs> {
        let mut pairs = Pairs::new();
        for group in groups.values().filter(|group| group.before != group.now) {
            if group.before.len().max(group.now.len()) > TOO_COMMON {
                let (before, now) = (within(&group.before), within(&group.now));
                pairs.extend(now.difference(&before).filter(|pair| !decided.contains(pair)));
                // One that was compared for this group alone is compared no more; that is not worked out.
                if before.difference(&now).any(|(one, other)| self.stay_alike(*one, *other)) {
                    return None;
                }
            }
        }
        Some(pairs)
    }

    /// Whether two questions are still there and ask the same, or asked the same.
    fn stay_alike(&self, one: u32, other: u32) -> bool {
        let stay = !self.removed.contains(&one) && !self.removed.contains(&other);
        stay && self.kept.alike(one).is_none_or(|alike| alike.contains(&other))
    }

    /// Those of the pairs that ask the same.
    fn alike(&self, pairs: &Pairs) -> Option<Pairs> {
        let numbers: BTreeSet<u32> = pairs.iter().flat_map(|(one, other)| [*one, *other]).collect();
        let numbers: Vec<u32> = numbers.into_iter().collect();
        let own: Option<Vec<OwnPosed>> = numbers.iter().map(|number| self.posed(*number)).collect();
        let own = own?;
        let posed: Vec<Posed<'_>> = own.iter().map(OwnPosed::posed).collect();
        let at = |number: u32| numbers.binary_search(&number).unwrap_or_default();
        let pairs = pairs.iter().map(|(one, other)| (at(*one), at(*other)));
        let similar = similar_among(&posed[..], pairs, self.kept, &self.counts)?;
        Some(similar.into_iter().map(|pair| (numbers[pair.one], numbers[pair.other])).collect())
    }

    /// The pairs kept that have a removed question or one in `again`, or are among those decided anew.
    fn alike_before(&self, again: &BTreeSet<u32>, decided: &Pairs) -> Option<Pairs> {
        let mut pairs = Pairs::new();
        for &question in self.removed.iter().chain(again) {
            let alike = self.kept.alike(question)?;
            pairs.extend(alike.into_iter().map(|other| (question.min(other), question.max(other))));
        }
        for &(one, other) in decided.iter().filter(|(one, other)| one.max(other) < &self.kept.questions()) {
            if self.kept.alike(one)?.contains(&other) {
                pairs.insert((one.min(other), one.max(other)));
            }
        }
        Some(pairs)
    }
}

/// The pairs within one group that are worth comparing.
fn within(members: &[u32]) -> Pairs {
    if members.len() > TOO_COMMON {
        return members.windows(2).map(|two| (two[0], two[1])).collect();
    }
    let after = |at: usize| members[at + 1..].iter().map(move |other| (members[at], *other));
    (0..members.len()).flat_map(after).collect()
}
