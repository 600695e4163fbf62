//! Which pairs are worth comparing.

use super::asked::Asked;
use crate::text::relations::synonym_key;
use std::collections::{BTreeSet, HashMap};

/// A group of questions by one key that is larger than this tells nothing.
const TOO_COMMON: usize = 48;

/// How rare each stem is among the questions.
pub(super) struct Rarity {
    seen: HashMap<String, u32>,
    all: f64,
}

impl Rarity {
    pub(super) fn of(read: &[Asked]) -> Rarity {
        let mut seen: HashMap<String, u32> = HashMap::new();
        for stem in read.iter().flat_map(|asked| &asked.stems) {
            *seen.entry(stem.clone()).or_default() += 1;
        }
        Rarity { seen, all: read.len() as f64 }
    }

    fn count(&self, stem: &str) -> u32 {
        self.seen.get(stem).copied().unwrap_or(0)
    }

    pub(super) fn weight(&self, stem: &str) -> f64 {
        0.3 + ((self.all + 2.0) / (1.0 + f64::from(self.count(stem)))).ln().max(0.0)
    }
}

/// Pairs worth comparing: those with the same words, with one word more or less, or with a rare word
/// in common. Near linear: a key that many questions have is not a key.
pub(super) fn candidates(read: &[Asked], weights: &Rarity) -> BTreeSet<(usize, usize)> {
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
