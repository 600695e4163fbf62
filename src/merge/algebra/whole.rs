//! Values that are taken whole: a sentence is one side's or the other's, never a blend.

use super::{Merge, SameChange};
use std::collections::BTreeMap;

/// One text, or anything else that must not be blended, from its base and its sides.
///
/// Nobody changed it: the base. Some changed it, all to the same: that value. Otherwise it stays
/// open. `None` is absent, so removing it is a change like any other, and against an edit it stays
/// open. The number of a side in the result is its place in `sides`.
///
/// ```
/// use deckle::merge::algebra::{Outcome, whole};
///
/// let merged = whole(Some(&"34 knots"), &[Some(&"34 knots"), Some(&"34 to 40 knots")]);
/// assert_eq!(merged, Outcome::Resolved(Some("34 to 40 knots")));
/// ```
pub fn whole<T: Clone + Ord>(base: Option<&T>, sides: &[Option<&T>]) -> Outcome<T> {
    match Merge::of_sides(base, sides.to_vec()).resolve_trivial(SameChange::Once) {
        Ok(value) => Outcome::Resolved(value.cloned()),
        Err(_) => Outcome::Open(Open::new(base.cloned(), sides.iter().map(|side| side.cloned()).enumerate())),
    }
}

/// What a merge came to.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome<T> {
    /// One value; `None` when it is absent.
    Resolved(Option<T>),
    /// Changed in different ways: somebody has to decide.
    Open(Open<T>),
}

impl<T> Outcome<T> {
    /// Whether nobody has to decide.
    pub fn is_resolved(&self) -> bool {
        matches!(self, Outcome::Resolved(_))
    }

    /// What stands open, if anything does.
    pub fn as_open(&self) -> Option<&Open<T>> {
        match self {
            Outcome::Resolved(_) => None,
            Outcome::Open(open) => Some(open),
        }
    }
}

/// Values that different sides wrote, none of them chosen.
///
/// Invariant: at least two sides, each with a value of its own that is not the base, in the order
/// of their values with absent first.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Open<T> {
    base: Option<T>,
    sides: Vec<Side<T>>,
}

/// One of the values that stand open, and whose it is.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Side<T> {
    /// What was written; `None` when it was removed.
    pub value: Option<T>,
    /// The numbers of the sides that wrote it, ascending, at least one.
    pub by: Vec<usize>,
}

impl<T: Ord> Open<T> {
    /// Sides by number: equal ones are taken once, those that equal the base drop out.
    ///
    /// # Panics
    ///
    /// When fewer than two different changes are left: then there is nothing to decide.
    pub fn new(base: Option<T>, sides: impl IntoIterator<Item = (usize, Option<T>)>) -> Self {
        let mut by_value: BTreeMap<Option<T>, Vec<usize>> = BTreeMap::new();
        for (number, value) in sides {
            by_value.entry(value).or_default().push(number);
        }
        by_value.remove(&base);
        assert!(by_value.len() > 1, "expected at least two different changes, found {}", by_value.len());
        let sides = by_value.into_iter().map(|(value, mut by)| {
            by.sort_unstable();
            Side { value, by }
        });
        Self { base, sides: sides.collect() }
    }
}

impl<T> Open<T> {
    /// What all of them started from; `None` when it was not there.
    pub fn base(&self) -> Option<&T> {
        self.base.as_ref()
    }

    /// The different values, in their own order.
    pub fn sides(&self) -> &[Side<T>] {
        &self.sides
    }

    /// Whether one of the sides removed it.
    pub fn has_removal(&self) -> bool {
        self.sides.iter().any(|side| side.value.is_none())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    const VALUES: [Option<&u8>; 5] = [None, Some(&1), Some(&2), Some(&3), Some(&4)];

    /// Every base with every choice of up to four sides.
    fn every_case(mut check: impl FnMut(Option<&u8>, &[Option<&u8>])) {
        for base in VALUES {
            for count in 1..=4_u32 {
                for code in 0..5_usize.pow(count) {
                    let sides: Vec<_> = (0..count).map(|place| VALUES[code / 5_usize.pow(place) % 5]).collect();
                    check(base, &sides);
                }
            }
        }
    }

    #[test]
    fn the_number_of_different_changes_decides() {
        every_case(|base, sides| {
            let changes: BTreeSet<_> = sides.iter().copied().filter(|side| *side != base).collect();
            match whole(base, sides) {
                Outcome::Resolved(value) if changes.is_empty() => assert_eq!(value.as_ref(), base),
                Outcome::Resolved(value) => assert_eq!(BTreeSet::from([value.as_ref()]), changes),
                Outcome::Open(open) => {
                    assert!(changes.len() > 1);
                    assert_eq!(open.base(), base);
                    assert!(open.sides().iter().map(|side| side.value.as_ref()).eq(changes));
                }
            }
        });
    }

    #[test]
    fn every_value_of_every_side_is_there_under_its_number() {
        every_case(|base, sides| {
            let outcome = whole(base, sides);
            for (number, side) in sides.iter().enumerate().filter(|(_, side)| **side != base) {
                let stands = match &outcome {
                    Outcome::Resolved(value) => value.as_ref() == *side,
                    Outcome::Open(open) => {
                        open.sides().iter().any(|open| open.value.as_ref() == *side && open.by.contains(&number))
                    }
                };
                assert!(stands, "{base:?} {sides:?} lost side {number}");
            }
        });
    }

    #[test]
    fn reversing_or_turning_the_sides_renumbers_them_and_no_more() {
        every_case(|base, sides| {
            let count = sides.len();
            let reversed: Vec<_> = sides.iter().rev().copied().collect();
            assert_eq!(renumbered(whole(base, &reversed), |by| count - 1 - by), whole(base, sides));
            let turned: Vec<_> = sides.iter().cycle().skip(1).take(count).copied().collect();
            assert_eq!(renumbered(whole(base, &turned), |by| (by + 1) % count), whole(base, sides));
        });
    }

    fn renumbered(mut outcome: Outcome<u8>, number: impl Fn(usize) -> usize) -> Outcome<u8> {
        if let Outcome::Open(open) = &mut outcome {
            for side in &mut open.sides {
                side.by = side.by.iter().map(|by| number(*by)).collect();
                side.by.sort_unstable();
            }
        }
        outcome
    }

    #[test]
    fn removed_by_one_and_edited_by_another_stays_open() {
        let outcome = whole(Some(&"fetch"), &[None, Some(&"the fetch"), Some(&"fetch"), None]);
        let open = outcome.as_open().expect("open");
        assert!(open.has_removal());
        assert_eq!(open.sides()[0], Side { value: None, by: vec![0, 3] });
        assert_eq!(open.sides()[1], Side { value: Some("the fetch"), by: vec![1] });
    }

    #[test]
    fn the_numbers_ascend_however_the_sides_come() {
        let open = Open::new(None, [(3, Some(1)), (1, Some(2)), (0, Some(1))]);
        assert_eq!(open.sides()[0].by, [0, 3]);
    }

    #[test]
    #[should_panic(expected = "expected at least two different changes, found 1")]
    fn one_change_is_nothing_to_decide() {
        let _ = Open::new(Some(1), [(0, Some(2)), (1, Some(2)), (2, Some(1))]);
    }
}
