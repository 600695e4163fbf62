//! Laws of merged order: by exhaustion over small orders, by random edit scripts over larger ones.
//!
//! Idempotence, identity, symmetry, locality (edits far apart) and stability are named after Khanna, Kunal and Pierce,
//! "A Formal Investigation of Diff3" (2007). They do not hold of diff3 in general; unique keys make
//! them hold here as far as stated.

use super::*;
use proptest::prelude::*;

/// What survives when nobody edits: in the base and in each side, or new in some side.
fn kept(base: &[u8], sides: &[Vec<u8>]) -> BTreeSet<u8> {
    super::super::set(base, sides).into_iter().collect()
}

fn merge(base: &[u8], sides: &[Vec<u8>]) -> Vec<u8> {
    sequence(base, sides, &kept(base, sides))
}

#[track_caller]
fn check(base: &str, sides: &[&str], wanted: &str) {
    let sides: Vec<Vec<u8>> = sides.iter().map(|side| side.bytes().collect()).collect();
    let reversed: Vec<Vec<u8>> = sides.iter().rev().cloned().collect();
    for sides in [sides, reversed] {
        let merged = merge(base.as_bytes(), &sides);
        assert_eq!(String::from_utf8_lossy(&merged), wanted);
    }
}

#[test]
fn moves_of_different_keys_are_both_honoured() {
    check("abcd", &["dabc", "bcda"], "dbca");
    check("abcdef", &["bacdef", "abcdfe"], "bacdfe");
    check("abcdef", &["defabc", "abcfed"], "fedabc");
    check("abcdefgh", &["bacdefgh", "abcdefhg", "abcfdegh"], "bacfdehg");
}

#[test]
fn a_key_moved_into_a_moved_block_moves_along() {
    check("xabcdefghi", &["xaefghibcd", "abxcdefghi"], "aefghibxcd");
}

#[test]
fn contradictory_moves_follow_the_longer_one() {
    check("abcdefgh", &["eabcdfgh", "abcdfghe"], "eabcdfgh");
    check("abcdef", &["bacdef", "acdefb"], "acdefb");
    check("abcdef", &["cabdef", "abdefc", "bacdef"], "badefc");
}

#[test]
fn insertions_at_one_place_stay_in_runs_by_content() {
    check("ab", &["axyb", "apqb"], "apqxyb");
    check("", &["zy", "mn", "ab"], "abmnzy");
    check("ab", &["abz", "aby", "abx"], "abxyz");
    check("ab", &["axpb", "axqb"], "axpqb");
    check("abc", &["abzc", "bamc"], "bamzc");
}

#[test]
fn an_insertion_goes_with_the_neighbours_it_was_put_between() {
    check("abcdefgh", &["aefghbcd", "abxcdefgh"], "aefghbxcd");
    check("abcd", &["axbcd", "bcda"], "xbcda");
    check("abcdef", &["aef", "abxcydef"], "axyef");
    check("abc", &["ayxbc", "abmc", "ac"], "ayxmc");
}

#[test]
fn a_key_that_is_kept_although_one_side_removed_it_keeps_its_place() {
    let all = (b'a'..=b'f').collect();
    let merged = sequence(b"abcdef", &[b"fbde".as_slice(), b"abcdef"], &all);
    assert_eq!(merged, b"afbcde");
}

#[test]
fn a_key_that_stands_twice_counts_where_it_stands_first() {
    check("abca", &["cabc"], "cab");
}

/// Each arrangement of each choice of the keys.
fn arrangements(keys: &[u8]) -> Vec<Vec<u8>> {
    let mut all: Vec<Vec<u8>> = vec![vec![]];
    let mut from = 0;
    while from < all.len() {
        let order = all[from].clone();
        let new = keys.iter().filter(|key| !order.contains(key));
        all.extend(new.map(|key| [order.as_slice(), &[*key]].concat()));
        from += 1;
    }
    all
}

#[test]
fn laws_over_all_pairs_of_small_orders() {
    let base = b"abc".to_vec();
    let sides = arrangements(b"abcx");
    for left in &sides {
        for right in &sides {
            let pair = [left.clone(), right.clone()];
            let merged = merge(&base, &pair);
            assert_eq!(merge(&base, &[right.clone(), left.clone()]), merged);
            let again = [right, left, right, &base].map(Vec::clone);
            assert_eq!(merge(&base, &again), merged);
            assert_eq!(merged.len(), kept(&base, &pair).len());
            assert_eq!(BTreeSet::from_iter(merged), kept(&base, &pair));
        }
        assert_eq!(merge(&base, &[base.clone(), left.clone()]), *left);
        let all: BTreeSet<u8> = b"abcx".iter().copied().collect();
        let mut without_removed = sequence(&base, &[left, &base], &all);
        without_removed.retain(|key| left.contains(key));
        assert_eq!(without_removed, *left);
    }
}

/// Which of the two comes first when each pair is merged for itself.
fn first_of_pair(base: &[u8], sides: &[Vec<u8>], pair: [u8; 2]) -> u8 {
    let first = |order: &[u8]| order.iter().copied().find(|key| pair.contains(key));
    let old = first(base);
    let turned = sides.iter().map(|side| first(side)).find(|new| *new != old);
    turned.unwrap_or(old).expect("a key of the pair")
}

/// How many turned pairs the result does not follow.
fn turned_pairs_lost(base: &[u8], sides: &[Vec<u8>], merged: &[u8]) -> usize {
    let pairs = base.iter().enumerate();
    let pairs = pairs.flat_map(|(place, left)| base[place + 1..].iter().map(|right| [*left, *right]));
    let lost = pairs.filter(|[left, right]| {
        let first = merged.iter().find(|key| [left, right].contains(key));
        first == Some(left) && first_of_pair(base, sides, [*left, *right]) == *right
    });
    lost.count()
}

/// The order that all merged pairs make together, if they make one.
fn pairwise(base: &[u8], sides: &[Vec<u8>]) -> Option<Vec<u8>> {
    let mut order = base.to_vec();
    let wins = |key: u8| {
        let others = base.iter().filter(|other| **other != key);
        others.filter(|other| first_of_pair(base, sides, [key, **other]) == key).count()
    };
    order.sort_by_key(|key| std::cmp::Reverse(wins(*key)));
    let distinct: BTreeSet<usize> = base.iter().map(|key| wins(*key)).collect();
    (distinct.len() == base.len()).then_some(order)
}

#[test]
fn pairs_that_fit_together_are_the_result() {
    let base = b"abcd".to_vec();
    let mut orders = arrangements(&base);
    orders.retain(|order| order.len() == base.len());
    let mut fitting = 0;
    for code in 0..24_usize.pow(3) {
        let sides = [code, code / 24, code / 576].map(|code| orders[code % 24].clone());
        if let Some(wanted) = pairwise(&base, &sides) {
            assert_eq!(merge(&base, &sides), wanted, "{sides:?}");
            fitting += 1;
        }
    }
    assert!(fitting > 24 * 24, "expected many triples to fit together, found {fitting}");
}

#[derive(Clone, Debug)]
enum Edit {
    Insert(usize, Vec<u8>),
    Remove(usize),
    Move(usize, usize),
}

fn apply(base: &[u8], edits: &[Edit], own: u8) -> Vec<u8> {
    let mut order = base.to_vec();
    for edit in edits {
        let count = order.len();
        match edit {
            Edit::Insert(at, keys) => {
                let mut run: Vec<u8> = keys.iter().map(|key| 100 + own + key).collect();
                run.retain(|key| !order.contains(key));
                order.splice(at % (count + 1)..at % (count + 1), run);
            }
            Edit::Remove(at) if count > 0 => drop(order.remove(at % count)),
            Edit::Move(from, to) if count > 0 => {
                let key = order.remove(from % count);
                order.insert(to % count, key);
            }
            Edit::Remove(_) | Edit::Move(..) => {}
        }
    }
    order
}

fn edits(moves: bool) -> impl Strategy<Value = Vec<Edit>> {
    let run = proptest::collection::btree_set(0..12_u8, 1..4).prop_map(Vec::from_iter);
    let edit = prop_oneof![
        2 => (0..40_usize, run.prop_shuffle()).prop_map(|(at, keys)| Edit::Insert(at, keys)),
        1 => (0..40_usize).prop_map(Edit::Remove),
        2 * u32::from(moves) => (0..40_usize, 0..40_usize).prop_map(|(from, to)| Edit::Move(from, to)),
    ];
    proptest::collection::vec(edit, 0..8)
}

/// A base of at most so many keys, and sides that each moved a few.
fn moves(most: u8, each: usize) -> impl Strategy<Value = (Vec<u8>, Vec<Vec<u8>>)> {
    let shift = (0..40_usize, 0..40_usize).prop_map(|(from, to)| Edit::Move(from, to));
    let scripts = proptest::collection::vec(proptest::collection::vec(shift, each), 2..=6);
    (2..=most, scripts).prop_map(|(count, scripts)| {
        let base: Vec<u8> = (0..count).collect();
        let sides = scripts.iter().map(|script| apply(&base, script, 0)).collect();
        (base, sides)
    })
}

/// A base of up to 30 keys and two to six sides; sides may insert the same keys, unless `apart`.
fn case(moves: bool, apart: bool) -> impl Strategy<Value = (Vec<u8>, Vec<Vec<u8>>)> {
    (0..=30_u8, proptest::collection::vec(edits(moves), 2..=6)).prop_map(move |(count, scripts)| {
        let base: Vec<u8> = (0..count).collect();
        let own = (0..).step_by(if apart { 20 } else { 2 });
        let sides = scripts.iter().zip(own).map(|(script, own)| apply(&base, script, own)).collect();
        (base, sides)
    })
}

proptest! {
    #[test]
    fn any_order_of_the_sides_and_nothing_lost((base, sides) in case(true, false), turn in 0..6_usize) {
        let merged = merge(&base, &sides);
        let mut turned = sides.clone();
        turned.rotate_left(turn % sides.len());
        turned.swap(0, 1);
        turned.push(sides[0].clone());
        prop_assert_eq!(&merge(&base, &turned), &merged);
        prop_assert_eq!(merged.len(), kept(&base, &sides).len());
        prop_assert_eq!(merged.into_iter().collect::<BTreeSet<_>>(), kept(&base, &sides));
    }

    #[test]
    fn one_changed_side_is_the_result((base, sides) in case(true, false)) {
        prop_assert_eq!(&merge(&base, &[base.clone(), sides[0].clone()]), &sides[0]);
        let all = base.iter().chain(&sides[0]).copied().collect();
        let mut without_removed = sequence(&base, &[&base, &sides[0]], &all);
        without_removed.retain(|key| sides[0].contains(key));
        prop_assert_eq!(&without_removed, &sides[0]);
    }

    #[test]
    fn pairs_that_fit_together_are_the_result_of_larger_moves((base, sides) in moves(30, 1)) {
        let fits = |some| Some((some, pairwise(&base, &sides[..some])?));
        let fitting = (1..=sides.len()).rev().find_map(fits);
        let (some, wanted) = fitting.expect("one side always fits");
        prop_assert_eq!(&merge(&base, &sides[..some]), &wanted);
        prop_assert_eq!(&merge(&base, &[sides[0].clone(), wanted.clone()]), &wanted);
    }

    #[test]
    fn no_moved_key_could_stand_elsewhere_with_fewer_turned_pairs_lost((base, sides) in moves(12, 2)) {
        let merged = merge(&base, &sides);
        let lost = turned_pairs_lost(&base, &sides, &merged);
        let [_, moved, _] = Orders::new(&base, &sides, &BTreeSet::new()).1.base_keys();
        for from in (0..base.len()).filter(|from| moved.contains(&usize::from(merged[*from]))) {
            for to in 0..base.len() {
                let other = apply(&merged, &[Edit::Move(from, to)], 0);
                prop_assert!(lost <= turned_pairs_lost(&base, &sides, &other));
            }
        }
    }

    #[test]
    fn a_removed_key_has_no_say(
        (base, sides) in moves(12, 2),
        removed in proptest::collection::btree_set(0..12_u8, 1..6),
    ) {
        let without = |order: &Vec<u8>| -> Vec<u8> {
            order.iter().copied().filter(|key| !removed.contains(key)).collect()
        };
        let wanted = merge(&without(&base), &sides.iter().map(without).collect::<Vec<_>>());
        let with_removal = [sides, vec![without(&base)]].concat();
        prop_assert_eq!(merge(&base, &with_removal), wanted);
    }

    #[test]
    fn runs_of_insertions_stay_together((base, sides) in case(true, true)) {
        let merged = merge(&base, &sides);
        for pair in sides.iter().flat_map(|side| side.windows(2)).filter(|pair| pair.iter().all(|key| *key >= 100)) {
            prop_assert!(merged.windows(2).any(|found| found == pair));
        }
    }

    #[test]
    fn idempotence_merging_the_result_again_changes_nothing((base, sides) in case(false, true)) {
        let merged = merge(&base, &sides);
        for side in &sides {
            prop_assert_eq!(&merge(&base, &[side.clone(), merged.clone()]), &merged);
            prop_assert_eq!(&merge(side, &[side.clone(), merged.clone()]), &merged);
        }
    }

    #[test]
    fn idempotence_the_same_edit_on_both_sides_is_that_edit((base, sides) in case(true, false)) {
        let edited = &sides[0];
        prop_assert_eq!(&merge(&base, &[edited.clone(), edited.clone()]), edited);
    }

    #[test]
    fn identity_an_unchanged_side_gives_the_other((base, sides) in case(true, false)) {
        let edited = &sides[0];
        prop_assert_eq!(&merge(&base, &[base.clone(), edited.clone()]), edited);
        prop_assert_eq!(&merge(&base, &[edited.clone(), base.clone()]), edited);
    }

    #[test]
    fn symmetry_the_sides_can_be_swapped((base, sides) in case(true, false)) {
        let [left, right] = [&sides[0], &sides[1]].map(Clone::clone);
        prop_assert_eq!(merge(&base, &[left.clone(), right.clone()]), merge(&base, &[right, left]));
    }

    /// Changes with a common key between them never stand in each other's way, however many there are.
    #[test]
    fn stability_changes_parted_by_common_keys_are_all_taken(
        places in proptest::collection::vec((edits(true), any::<bool>()), 2..6),
    ) {
        let (mut base, mut wanted, mut sides) = (Vec::new(), Vec::new(), vec![Vec::new(), Vec::new()]);
        for ((script, is_left), number) in places.iter().zip(0_u8..) {
            let here: Vec<u8> = (number * 8..number * 8 + 5).collect();
            let edited = apply(&here, script, number * 14);
            let [left, right] = if *is_left { [&edited, &here] } else { [&here, &edited] };
            for (line, keys) in [(&mut base, &here), (&mut wanted, &edited)] {
                line.extend(keys.iter().copied().chain([200 + number]));
            }
            for (line, keys) in sides.iter_mut().zip([left, right]) {
                line.extend(keys.iter().copied().chain([200 + number]));
            }
        }
        prop_assert_eq!(merge(&base, &sides), wanted);
    }

    #[test]
    fn locality_edits_far_apart_are_each_applied_in_their_place(left in edits(true), right in edits(true)) {
        let (base, rest): (Vec<u8>, Vec<u8>) = ((0..15).collect(), (16..30).collect());
        let whole = |left: &[u8], right: &[u8]| [left, &[15], right].concat();
        let (left, right) = (apply(&base, &left, 0), apply(&rest, &right, 20));
        let sides = [whole(&left, &rest), whole(&base, &right)];
        prop_assert_eq!(merge(&whole(&base, &rest), &sides), whole(&left, &right));
    }

    #[test]
    fn stability_without_moves_every_side_keeps_its_order((base, sides) in case(false, true)) {
        let merged = merge(&base, &sides);
        for side in &sides {
            let stayed: Vec<u8> = side.iter().copied().filter(|key| merged.contains(key)).collect();
            let found: Vec<u8> = merged.iter().copied().filter(|key| side.contains(key)).collect();
            prop_assert_eq!(found, stayed);
        }
    }
}
