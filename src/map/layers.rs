//! Which column a card stands in: to the right of all it needs.

use std::collections::BTreeMap;

use crate::pack::{teaching_order, without_loops};

/// The column of each thing, when `needs[i]` are those to know before `i`: to the right of all of them,
/// with no more than `most` of its group in one column (layering of limited width, Coffman and Graham 1972),
/// then as far right as what needs it allows, so that lines are short. Needs in a loop do not count.
pub fn layers(needs: &[Vec<usize>], group: &[usize], most: usize) -> Vec<usize> {
    let order = teaching_order(needs);
    let needs = without_loops(needs);
    let mut layers = vec![0; needs.len()];
    let mut held: BTreeMap<(usize, usize), usize> = BTreeMap::new();
    for &at in &order {
        let mut layer = needs[at].iter().map(|&need| layers[need] + 1).max().unwrap_or(0);
        while held.get(&(group[at], layer)).is_some_and(|&count| count >= most) {
            layer += 1;
        }
        *held.entry((group[at], layer)).or_default() += 1;
        layers[at] = layer;
    }
    let mut first_user = vec![usize::MAX; needs.len()];
    for &at in order.iter().rev() {
        let later = first_user[at].wrapping_sub(1);
        let room = held.get(&(group[at], later)).copied().unwrap_or(0) < most;
        if first_user[at] != usize::MAX && later > layers[at] && room {
            held.entry((group[at], layers[at])).and_modify(|count| *count -= 1);
            *held.entry((group[at], later)).or_default() += 1;
            layers[at] = later;
        }
        for &need in &needs[at] {
            first_user[need] = first_user[need].min(layers[at]);
        }
    }
    layers
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn everything_stands_to_the_right_of_what_it_needs_and_close_to_what_needs_it() {
        assert_eq!(layers(&[vec![], vec![0], vec![1], vec![2, 4], vec![]], &[0; 5], 6), [0, 1, 2, 3, 2]);
        assert_eq!(layers(&[vec![], vec![]], &[0, 1], 6), [0, 0]);
        assert_eq!(layers(&[vec![1], vec![0], vec![1]], &[0; 3], 6), [0, 0, 1]);
    }

    #[test]
    fn no_column_holds_more_than_a_few_of_a_group() {
        let mut needs = vec![vec![0]; 16];
        needs[0].clear();
        let layers = layers(&needs, &[0; 16], 6);
        assert_eq!([1, 2, 3].map(|layer| layers.iter().filter(|&&at| at == layer).count()), [6, 6, 3]);
    }
}
