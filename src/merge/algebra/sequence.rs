//! Order merged as order: everybody's moves and insertions in one line.
//!
//! For two keys that the base has, the question "which comes first?" has only two answers, so sides
//! that changed it agree: the pair is turned if any side turned it. Where these answers fit
//! together, they are the result. Where they run in a circle (one key moved up by one side and down
//! by another), the keys that nobody moved stand, and each of the others goes where the fewest
//! turned pairs, then the fewest other pairs, are against it. A removed key has no say in the order
//! of those that stay.
//!
//! Keys that the base has not go between the neighbours that their side gave them; a run that one
//! side inserted is never parted. Insertions at one place follow each other by their keys.

mod orders;

use self::orders::Orders;
use std::collections::BTreeSet;

/// One order of the `kept` keys from the orders of the base and of the sides.
///
/// Guarantees:
/// - each kept key that stands in the base or in a side stands in the result, once;
/// - the order of the sides, and one of them given twice, makes no difference;
/// - one changed side: the result, without what that side had removed, is that side;
/// - a pair of base keys that all sides have is turned exactly if a side turned it, unless the moves
///   contradict each other;
/// - keys that one side alone inserted next to each other stay next to each other.
///
/// A key that stands twice in one order counts where it stands first.
///
/// The time grows with the keys times the sides times the keys moved, inserted or removed.
///
/// ```
/// use deckle::merge::algebra::sequence;
///
/// let (first, second) = (["d", "a", "b", "c"], ["a", "c", "x", "b", "d"]);
/// let kept = ["a", "b", "c", "d", "x"].into();
/// let merged = sequence(&["a", "b", "c", "d"], &[first.as_slice(), &second], &kept);
/// assert_eq!(merged, ["d", "a", "c", "x", "b"]);
/// ```
pub fn sequence<K: Clone + Ord, S: AsRef<[K]>>(base: &[K], sides: &[S], kept: &BTreeSet<K>) -> Vec<K> {
    let (keys, orders) = Orders::new(base, sides, kept);
    let mut line = line_of_base(&orders, keys.len());
    for run in orders.insertions() {
        let first = run[0];
        let near = orders.neighbours(first, &line.placed);
        let nearest = |other| near.get(&other).copied().unwrap_or_default();
        line.insert(&run, |other| [nearest(other), orders.pull_in_sides(first, other)]);
    }
    let merged = line.keys.into_iter().map(|key| keys[key]);
    merged.filter(|key| kept.contains(key)).cloned().collect()
}

/// The base keys: first those that all sides have, so that the others have no say in their order.
fn line_of_base(orders: &Orders, count: usize) -> Line {
    let [unmoved, moved, removed] = orders.base_keys();
    let mut line = Line::new(count, unmoved);
    for key in &moved {
        line.insert(&[*key], |other| orders.pull_in_base(*key, other));
    }
    let mut improve = |key: &usize| line.improve(*key, |other| orders.pull_in_base(*key, other));
    let mut rounds = 0..ROUNDS;
    while rounds.next().is_some() && moved.iter().filter(|key| improve(key)).count() > 0 {}
    for key in removed {
        line.insert(&[key], |other| orders.pull_in_base(key, other));
    }
    line
}

/// How often contradictory moves are gone through again at most, so that the time stays bounded.
const ROUNDS: usize = 8;

/// How strongly a key wants to stand after (above zero) or before another; the first number counts
/// first.
type Pull = [i64; 2];

/// The result as far as it stands.
struct Line {
    keys: Vec<usize>,
    placed: Vec<bool>,
}

impl Line {
    fn new(count: usize, keys: Vec<usize>) -> Self {
        let mut placed = vec![false; count];
        keys.iter().for_each(|key| placed[*key] = true);
        Self { keys, placed }
    }

    /// Puts the run where the least is against it, the last such place.
    ///
    /// `pull` says how strongly a key that already stands wants to stand after the run. The keys of
    /// an inserted run all answer alike, so that the last place is never inside a run.
    fn insert(&mut self, run: &[usize], pull: impl Fn(usize) -> Pull) {
        let (place, _) = cheapest(&self.costs(pull));
        run.iter().for_each(|key| self.placed[*key] = true);
        self.keys.splice(place..place, run.iter().copied());
    }

    /// Puts the key elsewhere if less is against it there; whether it did.
    fn improve(&mut self, key: usize, pull: impl Fn(usize) -> Pull) -> bool {
        let costs = self.costs(|other| if other == key { [0, 0] } else { pull(other) });
        let old = self.keys.iter().position(|other| *other == key);
        let (place, cost) = cheapest(&costs);
        match old {
            Some(old) if cost < costs[old] => {
                self.keys.remove(old);
                self.keys.insert(place - usize::from(place > old), key);
                true
            }
            _ => false,
        }
    }

    /// What is against each place, compared with the first one.
    fn costs(&self, pull: impl Fn(usize) -> Pull) -> Vec<Pull> {
        let mut costs = vec![[0, 0]];
        let mut cost = [0, 0];
        for pull in self.keys.iter().map(|key| pull(*key)) {
            cost = [cost[0] + pull[0], cost[1] + pull[1]];
            costs.push(cost);
        }
        costs
    }
}

fn cheapest(costs: &[Pull]) -> (usize, Pull) {
    let places = costs.iter().copied().enumerate().rev();
    places.min_by_key(|(_, cost)| *cost).unwrap_or_default()
}

#[cfg(test)]
mod tests;
