//! Lists without order, merged member by member.

use super::{Merge, SameChange};
use std::collections::BTreeSet;

/// The members that the sides agree on.
///
/// A member of the base that any side removed is gone, although others kept it; a member that any
/// side added is in. Nobody can both add and remove the same member, so nothing stays open.
///
/// When one side alone changed the list, or all who did wrote the same, the list is as they wrote
/// it. Otherwise each member stands once: those of the base in its order, then the added ones
/// sorted, whatever the order of the sides.
///
/// ```
/// use deckle::merge::algebra::set;
///
/// let merged = set(&["wind", "rain"], &[["wind", "rain", "snow"].as_slice(), &["rain", "hail"]]);
/// assert_eq!(merged, ["rain", "hail", "snow"]);
/// ```
pub fn set<T: Clone + Ord, S: AsRef<[T]>>(base: &[T], sides: &[S]) -> Vec<T> {
    let lists = sides.iter().map(AsRef::as_ref).collect();
    match Merge::of_sides(base, lists).resolve_trivial(SameChange::Once) {
        Ok(list) => list.to_vec(),
        Err(_) => by_member(base, sides),
    }
}

fn by_member<T: Clone + Ord, S: AsRef<[T]>>(base: &[T], sides: &[S]) -> Vec<T> {
    let sides: Vec<BTreeSet<&T>> = sides.iter().map(|side| side.as_ref().iter().collect()).collect();
    let mut old = BTreeSet::new();
    let mut members: Vec<T> = base.iter().filter(|member| old.insert(*member)).cloned().collect();
    members.retain(|member| sides.iter().all(|side| side.contains(member)));
    let added: BTreeSet<&T> = sides.iter().flatten().copied().filter(|member| !old.contains(member)).collect();
    members.extend(added.into_iter().cloned());
    members
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The members whose bit is set.
    fn members(bits: u8) -> Vec<u8> {
        (0..8).filter(|bit| bits >> bit & 1 == 1).collect()
    }

    #[test]
    fn truth_table_of_one_member() {
        // In the base, in the first side, in the second side: in the result.
        let table = [
            (0, 0, 0, 0),
            (0, 0, 1, 1),
            (0, 1, 0, 1),
            (0, 1, 1, 1),
            (1, 0, 0, 0),
            (1, 0, 1, 0),
            (1, 1, 0, 0),
            (1, 1, 1, 1),
        ];
        for (base, left, right, wanted) in table {
            assert_eq!(set(&members(base), &[members(left), members(right)]), members(wanted));
            assert_eq!(by_member(&members(base), &[members(left), members(right)]), members(wanted));
        }
    }

    #[test]
    fn laws_over_all_sets_of_four_members_and_three_sides() {
        for code in 0..16_u16.pow(3) {
            let [base, left, right] = [0, 4, 8].map(|shift| members((code >> shift & 15) as u8));
            assert_eq!(set(&base, &[&base, &left]), left);
            assert_eq!(set(&base, &[&left, &left]), left);
            for last in (0..16).map(members) {
                let merged = set(&base, &[&left, &right, &last]);
                assert_eq!(set(&base, &[&last, &left, &right]), merged);
                assert_eq!(set(&base, &[&right, &left, &last]), merged);
                for member in 0..4 {
                    let holds = [&left, &right, &last].map(|side| side.contains(&member));
                    let wanted = if base.contains(&member) { holds.iter().all(|h| *h) } else { holds.contains(&true) };
                    assert_eq!(merged.iter().filter(|m| **m == member).count(), usize::from(wanted));
                }
            }
        }
    }

    #[test]
    fn base_order_first_then_the_added_ones_sorted() {
        let merged =
            set(&["tide", "fetch", "berm"], &[vec!["tide", "berm", "swash", "fetch"], vec!["arch", "tide", "fetch"]]);
        assert_eq!(merged, ["tide", "fetch", "arch", "swash"]);
    }

    #[test]
    fn a_list_that_one_side_alone_wrote_stays_as_written() {
        let written = ["berm", "tide", "arch"];
        assert_eq!(set(&["tide", "berm"], &[written.as_slice(), &["tide", "berm"]]), written);
    }
}
