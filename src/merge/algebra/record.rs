//! Fields by name, each merged by its own policy.

use super::{Outcome, sequence, set, whole};
use std::collections::{BTreeMap, BTreeSet};

/// The fields of a record by name. A field that is absent has no entry.
pub type Fields<N, T> = BTreeMap<N, Value<T>>;

/// What a field holds.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Value<T> {
    /// One value.
    One(T),
    /// A list of values.
    Many(Vec<T>),
}

/// How a field that two sides changed in different ways is put together.
///
/// A field that one side alone changed, or all alike, is taken as it stands under each policy.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Policy {
    /// Taken whole, never blended: it stays open.
    Whole,
    /// A list without order, see [`set`]. Absent is the empty list, one value a list of one.
    Set,
    /// A list in order: members as in [`set`], their order as in [`sequence`]. With a member twice
    /// in one list it stays open as under [`Policy::Whole`].
    Sequence,
}

/// All fields of a record, in the order of their names.
///
/// An absent record counts as one without fields; fields that end up absent are left out. What is
/// [`Outcome::Resolved`] here is never `None`.
pub fn record<'a, N: Clone + Ord, T: Clone + Ord>(
    base: Option<&'a Fields<N, T>>,
    sides: &[Option<&'a Fields<N, T>>],
    policy: impl Fn(&N) -> Policy,
) -> BTreeMap<N, Outcome<Value<T>>> {
    let records = sides.iter().chain([&base]).flatten();
    let names: BTreeSet<&N> = records.flat_map(|fields| fields.keys()).collect();
    let mut merged = BTreeMap::new();
    for name in names {
        let value = |record: &Option<&'a Fields<N, T>>| record.and_then(|fields| fields.get(name));
        let values: Vec<_> = sides.iter().map(value).collect();
        merged.insert(name.clone(), field(policy(name), value(&base), &values));
    }
    merged.retain(|_, outcome| *outcome != Outcome::Resolved(None));
    merged
}

/// One field by its policy; lists that end up empty are absent, unless a side alone wrote them so.
pub fn field<T: Clone + Ord>(
    policy: Policy,
    base: Option<&Value<T>>,
    sides: &[Option<&Value<T>>],
) -> Outcome<Value<T>> {
    let outcome = whole(base, sides);
    if outcome.is_resolved() {
        return outcome;
    }
    let old = items(base);
    let lists: Vec<&[T]> = sides.iter().map(|side| items(*side)).collect();
    let members = match policy {
        Policy::Whole => return outcome,
        Policy::Set => set(old, &lists),
        Policy::Sequence if lists.iter().any(|list| has_repeats(list)) => return outcome,
        Policy::Sequence if has_repeats(old) => return outcome,
        Policy::Sequence => sequence(old, &lists, &set(old, &lists).into_iter().collect()),
    };
    Outcome::Resolved((!members.is_empty()).then_some(Value::Many(members)))
}

fn items<T>(value: Option<&Value<T>>) -> &[T] {
    match value {
        None => &[],
        Some(Value::One(item)) => std::slice::from_ref(item),
        Some(Value::Many(items)) => items,
    }
}

fn has_repeats<T: Ord>(list: &[T]) -> bool {
    list.iter().collect::<BTreeSet<_>>().len() < list.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    type Small = Option<Value<u8>>;

    /// Absent, a single value, and each list of up to two of three values.
    fn every_value() -> Vec<Small> {
        let of_two = |code: u8| Some(Value::Many(vec![code / 3, code % 3]));
        let of_one = |item| Some(Value::Many(vec![item]));
        let few = [None, Some(Value::One(1)), Some(Value::Many(vec![]))];
        few.into_iter().chain((0..3).map(of_one)).chain((0..9).map(of_two)).collect()
    }

    fn merge(policy: Policy, base: &Small, sides: [&Small; 2]) -> Outcome<Value<u8>> {
        field(policy, base.as_ref(), &sides.map(Option::as_ref))
    }

    #[test]
    fn laws_over_every_small_field_and_policy() {
        let values = every_value();
        for policy in [Policy::Whole, Policy::Set, Policy::Sequence] {
            for (base, left) in values.iter().flat_map(|base| values.iter().map(move |l| (base, l))) {
                let taken = Outcome::Resolved(left.clone());
                assert_eq!(merge(policy, base, [base, left]), taken);
                assert_eq!(merge(policy, base, [left, left]), taken);
                for right in values.iter().filter(|right| ![base, left].contains(right)) {
                    if left != base {
                        check_both_changed(policy, base, [left, right]);
                    }
                }
            }
        }
    }

    fn check_both_changed(policy: Policy, base: &Small, sides: [&Small; 2]) {
        let swapped = merge(policy, base, [sides[1], sides[0]]);
        match (merge(policy, base, sides), swapped) {
            (Outcome::Open(open), Outcome::Open(swapped)) => {
                assert_ne!(policy, Policy::Set);
                let values = |open: &super::super::Open<Value<u8>>| {
                    open.sides().iter().map(|side| side.value.clone()).collect::<Vec<_>>()
                };
                assert_eq!(values(&open), values(&swapped));
                assert!(sides.iter().all(|side| values(&open).contains(side)));
            }
            (Outcome::Resolved(merged), swapped) => {
                assert_ne!(policy, Policy::Whole);
                assert_eq!(swapped, Outcome::Resolved(merged.clone()));
                let has = |value: &Small, item| items(value.as_ref()).contains(item);
                for item in sides.iter().flat_map(|side| items(side.as_ref())) {
                    let gone = has(base, item) && sides.iter().any(|side| !has(side, item));
                    assert_ne!(has(&merged, item), gone);
                }
            }
            pair => panic!("expected the same of swapped sides, found {pair:?}"),
        }
    }

    /// A field a word: its name, then its items.
    fn card(text: &'static str) -> Fields<&'static str, &'static str> {
        let field = |field: &'static str| {
            let (name, items) = field.split_once('=').expect("a name and items");
            (name, Value::Many(items.split(',').collect()))
        };
        text.split(' ').map(field).collect()
    }

    #[test]
    fn each_field_goes_its_own_way() {
        let base = card("answer=fetch accept=sea,gulf steps=a,b,c caution=x");
        let left = card("answer=the-fetch accept=sea,bay steps=b,a,c");
        let right = card("answer=a-fetch accept=sea,gulf,area steps=a,b,c,d caution=x");
        let policy = |name: &&str| match *name {
            "accept" => Policy::Set,
            "steps" => Policy::Sequence,
            _ => Policy::Whole,
        };
        let merged = record(Some(&base), &[Some(&left), Some(&right)], policy);
        let wanted = card("accept=sea,area,bay steps=b,a,c,d");
        for (name, value) in wanted {
            assert_eq!(merged[name], Outcome::Resolved(Some(value)));
        }
        assert!(!merged["answer"].is_resolved());
        assert!(!merged.contains_key("caution"));
    }

    #[test]
    fn two_records_without_a_base_agree_field_by_field() {
        let (left, right) = (card("answer=8 tier=core"), card("answer=8 source=notes"));
        let merged = record(None, &[Some(&left), None, Some(&right)], |_| Policy::Whole);
        assert_eq!(merged.len(), 3);
        assert!(merged.values().all(Outcome::is_resolved));
    }
}
