//! Order: which of the things that are in both lists stand in another place.

/// Of numbers in their new order, which ones do not rise with the most that do: the fewest that were
/// moved to get from the old order to the new one.
pub(super) fn out_of_place(order: &[usize]) -> Vec<bool> {
    // The longest rising run, by patience: `tops[len]` is where the best run of that length ends.
    let mut tops: Vec<usize> = Vec::new();
    let mut before: Vec<Option<usize>> = Vec::with_capacity(order.len());
    for (at, number) in order.iter().enumerate() {
        let len = tops.partition_point(|&top| order[top] < *number);
        before.push(len.checked_sub(1).map(|shorter| tops[shorter]));
        if len == tops.len() {
            tops.push(at);
        } else {
            tops[len] = at;
        }
    }
    let mut moved = vec![true; order.len()];
    let mut at = tops.last().copied();
    while let Some(kept) = at {
        moved[kept] = false;
        at = before[kept];
    }
    moved
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_fewest_are_moved() {
        let count = |order: &[usize]| out_of_place(order).iter().filter(|moved| **moved).count();
        assert_eq!(count(&[]), 0);
        assert_eq!(count(&[0, 1, 2]), 0);
        assert_eq!(out_of_place(&[1, 2, 3, 0]), [false, false, false, true]);
        assert_eq!(count(&[2, 1, 0]), 2);
        assert_eq!(count(&[0, 3, 1, 2, 4]), 1);
    }
}
