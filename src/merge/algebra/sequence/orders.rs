//! The given orders as numbers, and what they say about two keys.

use std::collections::{BTreeMap, BTreeSet};

/// The orders of the base and of the different sides that changed it, sorted, so that nothing
/// depends on who came first. Keys are numbered in their own order.
pub(super) struct Orders {
    base: Order,
    sides: Vec<Order>,
}

/// Keys in order, and the place of each.
struct Order {
    keys: Vec<usize>,
    places: Vec<Option<usize>>,
}

impl Orders {
    /// The keys by number, and the orders. New keys that are not kept are left out.
    pub(super) fn new<'a, K: Ord, S: AsRef<[K]>>(
        base: &'a [K],
        sides: &'a [S],
        kept: &BTreeSet<K>,
    ) -> (Vec<&'a K>, Self) {
        let mut known: BTreeSet<&K> = base.iter().collect();
        let new = sides.iter().flat_map(|side| side.as_ref());
        known.extend(new.filter(|key| kept.contains(key)));
        let keys: Vec<&K> = known.into_iter().collect();
        let base = numbered(base, &keys);
        let lists = sides.iter().map(|side| numbered(side.as_ref(), &keys));
        let changed: BTreeSet<_> = lists.filter(|list| *list != base).collect();
        let order = |list| Order::new(list, keys.len());
        let sides = changed.into_iter().map(order).collect();
        let base = order(base);
        (keys, Self { base, sides })
    }

    /// The base keys in their order: those that every side has and none moved; those that every side
    /// has and some moved; those that some removed.
    pub(super) fn base_keys(&self) -> [Vec<usize>; 3] {
        let in_all = |key: &usize| self.sides.iter().all(|side| side.places[*key].is_some());
        let (common, removed): (Vec<usize>, Vec<usize>) = self.base.keys.iter().partition(|key| in_all(key));
        let mut stays = vec![true; self.base.places.len()];
        for side in &self.sides {
            let common = side.keys.iter().filter(|key| in_all(key));
            let places: Vec<usize> = common.filter_map(|key| self.base.places[*key]).collect();
            let rise: BTreeSet<usize> = longest_rise(&places).into_iter().collect();
            for place in places.iter().filter(|place| !rise.contains(place)) {
                stays[self.base.keys[*place]] = false;
            }
        }
        let (unmoved, moved) = common.into_iter().partition(|key| stays[*key]);
        [unmoved, moved, removed]
    }

    /// New keys in the runs that are put in together: those of several sides one by one, then those
    /// of one side by the side's runs, each by content.
    pub(super) fn insertions(&self) -> Vec<Vec<usize>> {
        let is_new = |key: &usize| self.base.places[*key].is_none();
        let mut owners = vec![0; self.base.places.len()];
        self.sides.iter().flat_map(|side| &side.keys).for_each(|key| owners[*key] += 1);
        let alone = |key: &usize| is_new(key) && owners[*key] == 1;
        let mut runs: Vec<Vec<usize>> = Vec::new();
        for side in &self.sides {
            let parts = side.keys.chunk_by(|left, right| alone(left) && alone(right));
            runs.extend(parts.filter(|part| alone(&part[0])).map(<[usize]>::to_vec));
        }
        runs.sort_unstable();
        let new = (0..owners.len()).filter(is_new);
        let shared = new.filter(|key| !alone(key)).map(|key| vec![key]);
        shared.chain(runs).collect()
    }

    /// How strongly `other` wants to stand after `key`, both in the base: turned pairs count first.
    pub(super) fn pull_in_base(&self, key: usize, other: usize) -> [i64; 2] {
        let before = self.base.pull(key, other);
        let is_turned = |side: &Order| side.pull(key, other) == -before;
        if self.sides.iter().any(is_turned) { [-before, 0] } else { [0, before] }
    }

    /// How many more of the sides that have both put `other` after `key` than before it.
    pub(super) fn pull_in_sides(&self, key: usize, other: usize) -> i64 {
        self.sides.iter().map(|side| side.pull(key, other)).sum()
    }

    /// The nearest placed keys around `key` in each side, below zero before it, above zero after it.
    pub(super) fn neighbours(&self, key: usize, placed: &[bool]) -> BTreeMap<usize, i64> {
        let mut near = BTreeMap::new();
        for side in &self.sides {
            if let Some(place) = side.places[key] {
                let (before, after) = (&side.keys[..place], &side.keys[place + 1..]);
                if let Some(other) = before.iter().rev().find(|other| placed[**other]) {
                    *near.entry(*other).or_default() -= 1;
                }
                if let Some(other) = after.iter().find(|other| placed[**other]) {
                    *near.entry(*other).or_default() += 1;
                }
            }
        }
        near
    }
}

impl Order {
    fn new(keys: Vec<usize>, count: usize) -> Self {
        let mut places = vec![None; count];
        for (place, key) in keys.iter().enumerate() {
            places[*key] = Some(place);
        }
        Self { keys, places }
    }

    /// 1 when `other` stands after `key`, -1 before it, 0 when one is missing.
    fn pull(&self, key: usize, other: usize) -> i64 {
        match (self.places[key], self.places[other]) {
            (Some(place), Some(there)) if there > place => 1,
            (Some(_), Some(_)) => -1,
            _ => 0,
        }
    }
}

/// The list in numbers, each known key where it stands first.
fn numbered<K: Ord>(list: &[K], keys: &[&K]) -> Vec<usize> {
    let mut seen = vec![false; keys.len()];
    let numbers = list.iter().filter_map(|key| keys.binary_search(&key).ok());
    numbers.filter(|number| !std::mem::replace(&mut seen[*number], true)).collect()
}

/// A longest rising part of different numbers, by patience sorting (Fredman 1975).
fn longest_rise(numbers: &[usize]) -> Vec<usize> {
    let mut tails: Vec<usize> = Vec::new();
    let mut before: Vec<Option<usize>> = Vec::with_capacity(numbers.len());
    for (index, number) in numbers.iter().enumerate() {
        let pile = tails.partition_point(|tail| numbers[*tail] < *number);
        before.push(pile.checked_sub(1).map(|pile| tails[pile]));
        match tails.get_mut(pile) {
            Some(tail) => *tail = index,
            None => tails.push(index),
        }
    }
    let last = tails.last().copied();
    let chain = std::iter::successors(last, |index| before[*index]);
    let mut rise: Vec<usize> = chain.map(|index| numbers[index]).collect();
    rise.reverse();
    rise
}

#[cfg(test)]
mod tests {
    use super::longest_rise;
    use proptest::prelude::*;

    fn rises(numbers: &[usize]) -> bool {
        numbers.windows(2).all(|pair| pair[0] < pair[1])
    }

    proptest! {
        #[test]
        fn the_rise_is_as_long_as_the_longest_of_all_choices(
            numbers in Just((0..9).collect::<Vec<usize>>()).prop_shuffle(),
        ) {
            let chosen = |bits: usize| -> Vec<usize> {
                (0..9).filter(|bit| bits >> bit & 1 == 1).map(|bit| numbers[bit]).collect()
            };
            let all = (0..512).map(chosen).filter(|part| rises(part));
            let found = longest_rise(&numbers);
            prop_assert!(rises(&found));
            prop_assert_eq!(all.map(|part| part.len()).max(), Some(found.len()));
            let mut rest = numbers.iter();
            prop_assert!(found.iter().all(|number| rest.any(|other| other == number)));
        }
    }
}
