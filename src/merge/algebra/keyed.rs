//! Items by key, in their order: added, removed, edited, moved.

use super::{Open, sequence};
use std::collections::{BTreeMap, BTreeSet};

/// One item of a merged collection.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Entry<V, R> {
    /// It is there; `R` is what its values came to.
    Merged(R),
    /// Some sides removed it, others edited it.
    Open {
        /// The removal, as an absent value, against each edit.
        open: Open<V>,
        /// What the edits come to if the item stays.
        kept: R,
    },
}

/// The items of all sides by key, in one order.
///
/// | base | sides | result |
/// | --- | --- | --- |
/// | absent | some added it | `each` on what they added |
/// | there | all have it | `each` on what they have |
/// | there | some removed it, nobody edited it | gone |
/// | there | some removed it, some edited it | [`Entry::Open`] |
///
/// `each` gets the key, the base and one value for each side; a side that removed the item counts
/// there as one that left it alone, and `None` stands only where the base has none either. The order
/// is that of [`sequence`], so an item moved by one side and edited by another arrives both. Where
/// an item may move between collections, make the collection it stands in a part of its value.
///
/// # Panics
///
/// When a key stands twice in one collection: one of its values would be lost.
///
/// ```
/// use deckle::merge::algebra::{Entry, Outcome, keyed, whole};
///
/// let base = [("gale", "8"), ("storm", "10")];
/// let first = vec![("storm", "10"), ("gale", "8")];
/// let second = vec![("gale", "force 8"), ("storm", "10")];
/// let merged = keyed(&base, &[first, second], |_, base, sides| whole(base, sides));
/// assert_eq!(merged[1], ("gale", Entry::Merged(Outcome::Resolved(Some("force 8")))));
/// ```
pub fn keyed<K, V, R, S>(
    base: &[(K, V)],
    sides: &[S],
    mut each: impl FnMut(&K, Option<&V>, &[Option<&V>]) -> R,
) -> Vec<(K, Entry<V, R>)>
where
    K: Clone + Ord,
    V: Clone + Ord,
    S: AsRef<[(K, V)]>,
{
    let old = by_key(base);
    let new: Vec<_> = sides.iter().map(|side| by_key(side.as_ref())).collect();
    let all: BTreeSet<&K> = old.keys().chain(new.iter().flat_map(BTreeMap::keys)).copied().collect();
    let mut entries = BTreeMap::new();
    for key in all {
        let values: Vec<Option<&V>> = new.iter().map(|side| side.get(key).copied()).collect();
        let merged = entry(old.get(key).copied(), &values, |base, sides| each(key, base, sides));
        entries.extend(merged.map(|entry| (key.clone(), entry)));
    }
    let side_keys: Vec<_> = sides.iter().map(|side| keys_of(side.as_ref())).collect();
    let kept = entries.keys().cloned().collect();
    let order = sequence(&keys_of(base), &side_keys, &kept);
    order.into_iter().filter_map(|key| entries.remove_entry(&key)).collect()
}

/// What one item comes to, by the table of [`keyed`]; `None` when it is gone.
///
/// For items that are not in one collection but in several, whose order is merged apart.
pub fn entry<V: Clone + Ord, R>(
    base: Option<&V>,
    sides: &[Option<&V>],
    each: impl FnOnce(Option<&V>, &[Option<&V>]) -> R,
) -> Option<Entry<V, R>> {
    if base.is_none() || !sides.contains(&None) {
        return Some(Entry::Merged(each(base, sides)));
    }
    if sides.iter().all(|side| side.is_none() || *side == base) {
        return None;
    }
    let edits = sides.iter().map(|side| side.cloned()).enumerate();
    let open = Open::new(base.cloned(), edits);
    let stays: Vec<_> = sides.iter().map(|side| side.or(base)).collect();
    let kept = each(base, &stays);
    Some(Entry::Open { open, kept })
}

fn by_key<K: Ord, V>(items: &[(K, V)]) -> BTreeMap<&K, &V> {
    let map: BTreeMap<&K, &V> = items.iter().map(|(key, value)| (key, value)).collect();
    assert_eq!(map.len(), items.len(), "expected each key once");
    map
}

fn keys_of<K: Clone, V>(items: &[(K, V)]) -> Vec<K> {
    items.iter().map(|(key, _)| key.clone()).collect()
}

#[cfg(test)]
mod tests {
    use super::super::{Outcome, Side, whole};
    use super::*;
    use proptest::prelude::*;

    type Items = Vec<(u8, u8)>;
    type Merged = Vec<(u8, Entry<u8, Outcome<u8>>)>;

    fn merge(base: &Items, sides: &[Items]) -> Merged {
        keyed(base, sides, |_, base, sides| whole(base, sides))
    }

    fn of_one(value: Option<u8>) -> Items {
        value.map(|value| (7, value)).into_iter().collect()
    }

    /// Rows are the first side, columns the second, both in the order absent, `1`, `2`.
    #[test]
    fn truth_table_of_one_key() {
        let tables = [
            (None, ["- 1 2", "1 1 1/2", "2 1/2 2"]),
            (Some(1), ["- - -/2(2)", "- 1 2", "-/2(2) 2 2"]),
            (Some(2), ["- -/1(1) -", "-/1(1) 1 1", "- 1 2"]),
        ];
        let values = [None, Some(1), Some(2)];
        for (base, rows) in tables {
            for (left, row) in values.into_iter().zip(rows) {
                for (right, wanted) in values.into_iter().zip(row.split(' ')) {
                    let merged = merge(&of_one(base), &[of_one(left), of_one(right)]);
                    assert_eq!(in_words(&merged), wanted, "{base:?} {left:?} {right:?}");
                }
            }
        }
    }

    fn in_words(merged: &Merged) -> String {
        let open = |open: &Open<u8>| {
            let values = open.sides().iter().map(|side| value(side.value));
            values.collect::<Vec<_>>().join("/")
        };
        let outcome = |outcome: &Outcome<u8>| match outcome {
            Outcome::Resolved(found) => value(*found),
            Outcome::Open(found) => open(found),
        };
        match merged.first() {
            None => "-".to_owned(),
            Some((_, Entry::Merged(found))) => outcome(found),
            Some((_, Entry::Open { open: found, kept })) => open(found) + "(" + &outcome(kept) + ")",
        }
    }

    fn value(value: Option<u8>) -> String {
        value.map_or("-".to_owned(), |value| value.to_string())
    }

    #[test]
    fn moved_to_another_place_and_edited_arrives_both() {
        // Each value is the collection that the item stands in, and its text.
        let base = [("arch", ("coasts", "a hole")), ("stack", ("coasts", "a pillar"))];
        let moved = [base[1], ("arch", ("rivers", "a hole"))];
        let edited = [("arch", ("coasts", "a hole in a headland")), base[1]];
        let merged = keyed(&base, &[moved, edited], |_, base, sides| {
            let places: Vec<_> = sides.iter().map(|side| side.map(|(place, _)| place)).collect();
            let texts: Vec<_> = sides.iter().map(|side| side.map(|(_, text)| text)).collect();
            let place = whole(base.map(|(place, _)| place), &places);
            (place, whole(base.map(|(_, text)| text), &texts))
        });
        assert_eq!(merged[0].0, "stack");
        let [rivers, text] = ["rivers", "a hole in a headland"].map(|part| Outcome::Resolved(Some(part)));
        assert_eq!(merged[1], ("arch", Entry::Merged((rivers, text))));
    }

    #[test]
    #[should_panic(expected = "expected each key once")]
    fn a_key_that_stands_twice_is_refused() {
        merge(&vec![(1, 1), (1, 2)], &[]);
    }

    fn items() -> impl Strategy<Value = Items> {
        let keys = Just((0..12).collect::<Vec<u8>>()).prop_shuffle();
        let values = proptest::collection::vec(0..3_u8, 0..12);
        (keys, values).prop_map(|(keys, values)| keys.into_iter().zip(values).collect())
    }

    fn stands(merged: &Merged, key: u8, value: u8, number: usize) -> bool {
        let value = Some(value);
        let named = |side: &Side<u8>| side.value == value && side.by.contains(&number);
        let entry = merged.iter().find(|(found, _)| *found == key);
        match entry.map(|(_, entry)| entry) {
            None => false,
            Some(Entry::Merged(Outcome::Resolved(found))) => *found == value,
            Some(Entry::Merged(Outcome::Open(open)) | Entry::Open { open, .. }) => open.sides().iter().any(named),
        }
    }

    proptest! {
        #[test]
        fn one_changed_side_is_the_result(base in items(), side in items()) {
            let taken = |(key, value): &(u8, u8)| (*key, Entry::Merged(Outcome::Resolved(Some(*value))));
            let wanted: Merged = side.iter().map(taken).collect();
            prop_assert_eq!(&merge(&base, std::slice::from_ref(&side)), &wanted);
            prop_assert_eq!(&merge(&base, &[base.clone(), side.clone()]), &wanted);
            prop_assert_eq!(&merge(&base, &[side.clone(), side.clone()]), &wanted);
        }

        #[test]
        fn no_value_of_any_side_is_lost(base in items(), sides in proptest::collection::vec(items(), 1..6)) {
            let merged = merge(&base, &sides);
            for (number, side) in sides.iter().enumerate() {
                for (key, value) in side.iter().filter(|item| !base.contains(item)) {
                    prop_assert!(stands(&merged, *key, *value, number));
                }
            }
            for (key, value) in base.iter().filter(|item| sides.iter().all(|side| side.contains(item))) {
                prop_assert!(stands(&merged, *key, *value, 0));
            }
        }
    }
}
