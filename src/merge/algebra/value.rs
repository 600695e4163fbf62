//! A value that is resolved or still keeps its sides: alternating adds and removes.

/// A sum of terms, `add − remove + add − … + add`: what the sides made, less what they started from.
///
/// Invariant: the number of terms is odd, one more add than removes. A single term is a resolved
/// value. Use `Merge<Option<T>>` where a term may be absent.
///
/// ```
/// use deckle::merge::algebra::{Merge, SameChange};
///
/// let merge = Merge::of_sides("knots", vec!["knots", "m/s"]);
/// assert_eq!(merge.resolve_trivial(SameChange::Once), Ok("m/s"));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Merge<T> {
    terms: Vec<T>,
}

/// What two sides that made the same change come to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SameChange {
    /// The change counts once: the value is resolved.
    Once,
    /// The change stays open, for values such as running numbers, where agreeing is a coincidence.
    Open,
}

impl<T> Merge<T> {
    /// A value that nobody disagrees about.
    pub fn resolved(value: T) -> Self {
        Self::from_terms(vec![value])
    }

    /// Adds at the even places, removes at the odd ones.
    ///
    /// # Panics
    ///
    /// When the number of terms is even: then some side has no base.
    pub fn from_terms(terms: Vec<T>) -> Self {
        assert!(terms.len() % 2 == 1, "expected an odd number of terms, found {}", terms.len());
        Self { terms }
    }

    /// The sides of one base. Without a side it is the base.
    pub fn of_sides(base: T, sides: Vec<T>) -> Self
    where
        T: Clone,
    {
        let mut terms = Vec::with_capacity(2 * sides.len() + 1);
        for side in sides {
            if !terms.is_empty() {
                terms.push(base.clone());
            }
            terms.push(side);
        }
        if terms.is_empty() {
            terms.push(base);
        }
        Self::from_terms(terms)
    }

    /// All terms, adds and removes in turn.
    pub fn terms(&self) -> &[T] {
        &self.terms
    }

    /// What the sides made.
    pub fn adds(&self) -> impl Iterator<Item = &T> {
        self.terms.iter().step_by(2)
    }

    /// What the sides started from.
    pub fn removes(&self) -> impl Iterator<Item = &T> {
        self.terms.iter().skip(1).step_by(2)
    }

    /// The value, if only one term is left.
    pub fn as_resolved(&self) -> Option<&T> {
        match self.terms.as_slice() {
            [value] => Some(value),
            _ => None,
        }
    }

    /// Each term through `f`, in its place.
    pub fn map<U>(self, f: impl FnMut(T) -> U) -> Merge<U> {
        Merge::from_terms(self.terms.into_iter().map(f).collect())
    }
}

impl<T: Eq> Merge<T> {
    /// Takes out each add with a remove that equals it.
    ///
    /// What is left keeps its order, no add equals a remove, and simplifying again changes nothing.
    pub fn simplify(self) -> Self {
        let (mut adds, mut removes) = (Vec::new(), Vec::new());
        for (place, term) in self.terms.into_iter().enumerate() {
            let same = if place % 2 == 0 { &mut adds } else { &mut removes };
            same.push(term);
        }
        removes.retain(|remove| match adds.iter().position(|add| add == remove) {
            Some(place) => {
                adds.remove(place);
                false
            }
            None => true,
        });
        Self::alternating(adds, removes)
    }

    /// The one value that the terms come to.
    ///
    /// One changed side is the value; sides that all made the same change are it by `policy`.
    ///
    /// # Errors
    ///
    /// The simplified merge, when the sides changed it in different ways.
    pub fn resolve_trivial(self, policy: SameChange) -> Result<T, Self> {
        let mut merge = self.simplify();
        let agreed = policy == SameChange::Once && all_equal(merge.adds()) && all_equal(merge.removes());
        if agreed || merge.terms.len() == 1 {
            return Ok(merge.terms.swap_remove(0));
        }
        Err(merge)
    }

    fn alternating(adds: Vec<T>, removes: Vec<T>) -> Self {
        let mut removes = removes.into_iter();
        let mut terms = Vec::new();
        for add in adds {
            terms.push(add);
            terms.extend(removes.next());
        }
        Self::from_terms(terms)
    }
}

fn all_equal<'a, T: Eq + 'a>(mut terms: impl Iterator<Item = &'a T>) -> bool {
    let first = terms.next();
    terms.all(|term| Some(term) == first)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeMap;

    /// Rows are the first side, columns the second, both in the order `-`, `1`, `2`; `?` is open.
    #[track_caller]
    fn check_table(policy: SameChange, base: Option<u8>, rows: [&str; 3]) {
        let values = [None, Some(1), Some(2)];
        for (left, row) in values.into_iter().zip(rows) {
            for (right, wanted) in values.into_iter().zip(row.split(' ')) {
                let found = match Merge::of_sides(base, vec![left, right]).resolve_trivial(policy) {
                    Ok(Some(value)) => value.to_string(),
                    Ok(None) => "-".to_owned(),
                    Err(_) => "?".to_owned(),
                };
                assert_eq!(found, wanted, "{policy:?} {base:?} {left:?} {right:?}");
            }
        }
    }

    #[test]
    fn truth_table_when_the_same_change_counts_once() {
        check_table(SameChange::Once, None, ["- 1 2", "1 1 ?", "2 ? 2"]);
        check_table(SameChange::Once, Some(1), ["- - ?", "- 1 2", "? 2 2"]);
        check_table(SameChange::Once, Some(2), ["- ? -", "? 1 1", "- 1 2"]);
    }

    #[test]
    fn truth_table_when_the_same_change_stays_open() {
        check_table(SameChange::Open, None, ["- 1 2", "1 ? ?", "2 ? ?"]);
        check_table(SameChange::Open, Some(1), ["? - ?", "- 1 2", "? 2 ?"]);
        check_table(SameChange::Open, Some(2), ["? ? -", "? ? 1", "- 1 2"]);
    }

    /// Every merge of up to seven terms over four values.
    fn every_merge() -> impl Iterator<Item = Merge<u8>> {
        let value = |code: usize, place| (code / 4_usize.pow(place) % 4) as u8;
        let merge = move |code, length| (0..length).map(|place| value(code, place)).collect();
        [1, 3, 5, 7].into_iter().flat_map(move |length: u32| {
            (0..4_usize.pow(length)).map(move |code| Merge::from_terms(merge(code, length)))
        })
    }

    fn sums(merge: &Merge<u8>) -> BTreeMap<u8, i32> {
        let mut sums = BTreeMap::new();
        for (place, term) in merge.terms().iter().enumerate() {
            *sums.entry(*term).or_default() += if place % 2 == 0 { 1 } else { -1 };
        }
        sums.retain(|_, sum| *sum != 0);
        sums
    }

    #[test]
    fn simplify_keeps_the_sum_and_is_idempotent() {
        for merge in every_merge() {
            let simple = merge.clone().simplify();
            assert_eq!(sums(&simple), sums(&merge));
            let mut adds = simple.adds();
            assert!(adds.all(|add| simple.removes().all(|remove| remove != add)));
            assert_eq!(simple.clone().simplify(), simple);
        }
    }

    #[test]
    fn resolving_follows_the_sum_alone() {
        for merge in every_merge() {
            let sums = sums(&merge);
            let risen: Vec<u8> = sums.iter().filter(|sum| *sum.1 > 0).map(|sum| *sum.0).collect();
            let strict = (sums.len() == 1).then(|| risen[0]);
            let once = (risen.len() == 1 && sums.len() <= 2).then(|| risen[0]);
            let open = merge.clone().simplify();
            let wanted = |value: Option<u8>| value.ok_or(open.clone());
            assert_eq!(merge.clone().resolve_trivial(SameChange::Open), wanted(strict));
            assert_eq!(merge.resolve_trivial(SameChange::Once), wanted(once));
        }
    }

    #[test]
    fn swapping_the_sides_swaps_what_is_left() {
        for merge in every_merge().filter(|merge| merge.terms.len() == 3) {
            let swapped = Merge::from_terms(merge.terms.iter().copied().rev().collect());
            let back = swapped.simplify().terms.into_iter().rev().collect();
            assert_eq!(Merge::from_terms(back), merge.simplify());
        }
    }

    #[test]
    fn mapping_keeps_every_term_in_its_place() {
        let merge = Merge::from_terms(vec![1, 2, 3]).map(|term| term * 10);
        assert_eq!(merge.terms(), [10, 20, 30]);
        assert_eq!(merge.as_resolved(), None);
        assert_eq!(Merge::resolved(4).map(|term| term + 1).as_resolved(), Some(&5));
        assert_eq!(Merge::of_sides(7, vec![]).as_resolved(), Some(&7));
    }

    #[test]
    #[should_panic(expected = "expected an odd number of terms, found 2")]
    fn an_even_number_of_terms_is_refused() {
        let _ = Merge::from_terms(vec![1, 2]);
    }
}
