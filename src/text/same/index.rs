//! Which pairs are worth comparing: those with the same words, with one word more or less, or with a
//! rare word in common. Near linear: a key that many questions have is not a key.

use super::asked::Asked;
use super::terms::Terms;
use rayon::prelude::*;
use std::ops::Range;

/// A group of questions by one key that is larger than this tells nothing.
pub(super) const TOO_COMMON: usize = 48;
/// Marks the last question of a group; nobody has two thousand million.
const LAST: u32 = 1 << 31;

/// For each question, those after it that are worth comparing with it.
pub(super) struct Candidates {
    /// The questions of one group after another, in order; the last of each is marked.
    members: Vec<u32>,
    /// Where each question stands among the members: of question `q`, `at[from[q]..from[q + 1]]`.
    at: Vec<u32>,
    from: Vec<u32>,
}

impl Candidates {
    fn placed(members: Vec<u32>, questions: usize) -> Candidates {
        let mut from = vec![0u32; questions + 1];
        members.iter().for_each(|member| from[(member & !LAST) as usize + 1] += 1);
        for question in 0..questions {
            from[question + 1] += from[question];
        }
        let mut next = from.clone();
        let mut at = vec![0u32; members.len()];
        for (place, member) in members.iter().enumerate() {
            let next = &mut next[(member & !LAST) as usize];
            at[*next as usize] = place as u32;
            *next += 1;
        }
        Candidates { members, at, from }
    }

    /// The questions after `question` to compare it with, in order, each once; of those the ones that are
    /// `wanted`.
    pub(super) fn after(&self, question: usize, wanted: impl Fn(usize) -> bool) -> Vec<u32> {
        let own: Range<usize> = self.from[question] as usize..self.from[question + 1] as usize;
        let mut out = Vec::new();
        for &place in &self.at[own] {
            let mut place = place as usize;
            while self.members[place] & LAST == 0 {
                place += 1;
                let other = self.members[place] & !LAST;
                if wanted(other as usize) {
                    out.push(other);
                }
            }
        }
        out.sort_unstable();
        out.dedup();
        out
    }
}

/// The keys of all questions, each with the number of its question, in runs that are in order.
pub(super) struct Keyed(Vec<Vec<(Key, u32)>>);

/// So many questions have their keys in one run.
const RUN: usize = 4096;
/// Keys that begin with the same so many bits are put in order together.
const BITS: u32 = 6;

impl Keyed {
    pub(super) fn of(read: &[Asked], terms: &Terms) -> Keyed {
        let of_question = |(number, asked): (usize, &Asked)| {
            let facets = asked.stems.iter().map(|&stem| Facet {
                key: terms.key(stem),
                digest: terms.digest(stem),
                seen: terms.seen(stem),
            });
            keys(&facets.collect::<Vec<_>>()).into_iter().map(move |key| (key, number as u32))
        };
        let run = |(at, questions): (usize, &[Asked])| {
            let numbered = (at * RUN..).zip(questions);
            let mut run: Vec<(Key, u32)> = numbered.flat_map(of_question).collect();
            run.shrink_to_fit();
            run.sort_unstable();
            run
        };
        Keyed(read.par_chunks(RUN).enumerate().map(run).collect())
    }

    /// For each question, those worth comparing with it.
    pub(super) fn candidates(self, questions: usize) -> Candidates {
        let members = self.parts(|part| {
            let mut members = Vec::new();
            for group in part.chunk_by(|one, other| one.0 == other.0) {
                if group.len() <= TOO_COMMON {
                    add(&mut members, group);
                } else {
                    // The same words so often: each with the next is enough to see it.
                    group.windows(2).for_each(|two| add(&mut members, two));
                }
            }
            members
        });
        drop(self);
        Candidates::placed(members.concat(), questions)
    }

    /// All of them in order, as `work` gives them.
    pub(super) fn in_order<T: Send + Clone>(&self, work: impl Fn(Key, u32) -> T + Sync) -> Vec<T> {
        self.parts(|part| part.iter().map(|(key, question)| work(*key, *question)).collect()).concat()
    }

    /// What `work` makes of the keys, a part after another: all at once they would take twice the room.
    fn parts<T: Send>(&self, work: impl Fn(&[(Key, u32)]) -> Vec<T> + Sync) -> Vec<Vec<T>> {
        let part = |bits: u32| {
            let mut part = Vec::new();
            for run in &self.0 {
                let from = run.partition_point(|([high, _], _)| high >> (32 - BITS) < bits);
                let to = run.partition_point(|([high, _], _)| high >> (32 - BITS) <= bits);
                part.extend_from_slice(&run[from..to]);
            }
            // Stable, since that merges what is in order already.
            part.sort();
            work(&part)
        };
        (0..1 << BITS).into_par_iter().map(part).collect()
    }
}

/// Adds a group, unless one stands alone in it.
fn add(members: &mut Vec<u32>, group: &[(Key, u32)]) {
    let [group @ .., last] = group else { return };
    if !group.is_empty() {
        members.extend(group.iter().map(|(_, question)| *question));
        members.push(last.1 | LAST);
    }
}

/// A digest of what questions have in common. When two things have one digest, some pairs too many are
/// compared, and no more. In two halves, so that a key and a question take twelve bytes.
pub(super) type Key = [u32; 2];

/// What the keys of a question are made from: a stem, the numbers that stand for it, and how many have it.
#[derive(Clone, Copy)]
pub(super) struct Facet {
    pub(super) key: u64,
    pub(super) digest: u64,
    pub(super) seen: u32,
}

/// The keys of a question of these stems, which come in the order of the alphabet.
pub(super) fn keys(facets: &[Facet]) -> Vec<Key> {
    let mut stems: Vec<u64> = facets.iter().map(|facet| facet.key).collect();
    stems.sort_unstable();
    stems.dedup();
    // A sum, from which each can be taken out.
    let all = stems.iter().fold(0u64, |sum, stem| sum.wrapping_add(mixed(*stem)));
    let mut out = vec![all];
    if (2..=8).contains(&stems.len()) {
        out.extend(stems.iter().map(|stem| all.wrapping_sub(mixed(*stem))));
    }
    let mut rare: Vec<Facet> =
        facets.iter().copied().filter(|facet| (2..=TOO_COMMON as u32).contains(&facet.seen)).collect();
    // Those that are as rare stay in the order of the alphabet.
    rare.sort_by_key(|facet| facet.seen);
    out.extend(rare.into_iter().take(3).map(|facet| mixed(!facet.digest)));
    out.sort_unstable();
    out.dedup();
    out.into_iter().map(|key| [(key >> 32) as u32, key as u32]).collect()
}

/// The finaliser of SplitMix64 (Steele, Lea and Flood 2014), which spreads every bit over all of them.
fn mixed(value: u64) -> u64 {
    let value = value.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let value = (value ^ (value >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let value = (value ^ (value >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    value ^ (value >> 31)
}
