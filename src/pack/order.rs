//! Teaching order: what is to be known first stands first.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use petgraph::algo::kosaraju_scc;
use petgraph::graph::DiGraph;

/// The order in which things are taught, when `needs[i]` are those to know before `i`.
///
/// Every thing stands behind what it needs, and otherwise as it stood: the next one is always the
/// first that waits for nothing. Links between things that need each other in a loop do not count, nor
/// do those that name the thing itself or nothing that there is.
///
/// ```
/// use deckle::pack::teaching_order;
/// // The first needs the third.
/// assert_eq!(teaching_order(&[vec![2], vec![], vec![]]), [1, 2, 0]);
/// ```
pub fn teaching_order(needs: &[Vec<usize>]) -> Vec<usize> {
    let needs = without_loops(needs);
    let mut needed_by = vec![Vec::new(); needs.len()];
    for (at, needs) in needs.iter().enumerate() {
        needs.iter().for_each(|&need| needed_by[need].push(at));
    }
    let mut left: Vec<usize> = needs.iter().map(Vec::len).collect();
    let mut ready: BinaryHeap<Reverse<usize>> = (0..needs.len()).filter(|&at| left[at] == 0).map(Reverse).collect();
    let mut order = Vec::with_capacity(needs.len());
    while let Some(Reverse(next)) = ready.pop() {
        order.push(next);
        for &waiting in &needed_by[next] {
            left[waiting] -= 1;
            if left[waiting] == 0 {
                ready.push(Reverse(waiting));
            }
        }
    }
    order
}

/// The needs that lead out of their own loop, each once.
pub(crate) fn without_loops(needs: &[Vec<usize>]) -> Vec<Vec<usize>> {
    let known = |at: usize| needs[at].iter().copied().filter(|&need| need < needs.len());
    let mut graph = DiGraph::<(), ()>::with_capacity(needs.len(), 0);
    let nodes: Vec<_> = (0..needs.len()).map(|_| graph.add_node(())).collect();
    for at in 0..needs.len() {
        known(at).for_each(|need| _ = graph.add_edge(nodes[at], nodes[need], ()));
    }
    let mut knot = vec![0; needs.len()];
    for (number, members) in kosaraju_scc(&graph).iter().enumerate() {
        members.iter().for_each(|member| knot[member.index()] = number);
    }
    let outside = |at: usize| {
        let mut needs: Vec<usize> = known(at).filter(|&need| knot[need] != knot[at]).collect();
        needs.sort_unstable();
        needs.dedup();
        needs
    };
    (0..needs.len()).map(outside).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn what_waits_for_nothing_stays_where_it_is() {
        assert_eq!(teaching_order(&[vec![], vec![], vec![]]), [0, 1, 2]);
        assert_eq!(teaching_order(&[vec![], vec![0], vec![1]]), [0, 1, 2]);
        assert_eq!(teaching_order(&[vec![3], vec![], vec![], vec![]]), [1, 2, 3, 0]);
        assert_eq!(teaching_order(&[vec![0, 9, 1, 1], vec![]]), [1, 0]);
        assert!(teaching_order(&[]).is_empty());
    }

    #[test]
    fn loops_disturb_nothing_else() {
        assert_eq!(teaching_order(&[vec![1], vec![0]]), [0, 1]);
        // 0 needs the loop of 2 and 3, and still comes behind 2.
        assert_eq!(teaching_order(&[vec![2], vec![], vec![3], vec![2]]), [1, 2, 0, 3]);
        // The loop of 0 and 1 needs 2.
        assert_eq!(teaching_order(&[vec![1], vec![0, 2], vec![]]), [0, 2, 1]);
    }

    #[test]
    fn long_chains_and_many_loops_take_no_long_time() {
        let count = 100_000;
        let chain: Vec<Vec<usize>> = (0..count).map(|at| vec![at + 1]).collect();
        assert_eq!(teaching_order(&chain)[0], count - 1);
        let loops: Vec<Vec<usize>> = (0..count).map(|at| vec![at ^ 1]).collect();
        assert_eq!(teaching_order(&loops), (0..count).collect::<Vec<_>>());
        // Each loop needs the next one.
        let chained: Vec<Vec<usize>> = (0..count).map(|at| vec![at ^ 1, at + 2 - at % 2]).collect();
        assert_eq!(teaching_order(&chained)[..2], [count - 2, count - 4]);
    }

    fn links(loops: bool) -> impl Strategy<Value = Vec<Vec<usize>>> {
        let rank = Just((0..12usize).collect::<Vec<_>>()).prop_shuffle();
        (rank, prop::collection::vec(prop::collection::vec(0..12usize, 0..4), 12)).prop_map(move |(rank, mut needs)| {
            if !loops {
                for (at, needs) in needs.iter_mut().enumerate() {
                    needs.retain(|&need| rank[need] < rank[at]);
                }
            }
            needs
        })
    }

    proptest! {
        #[test]
        fn every_prerequisite_stands_before_its_card(needs in links(false)) {
            let order = teaching_order(&needs);
            let place = |card: usize| order.iter().position(|&at| at == card).unwrap();
            for (at, needs) in needs.iter().enumerate() {
                for &need in needs {
                    prop_assert!(place(need) < place(at), "{need} before {at} in {order:?}");
                }
            }
        }

        #[test]
        fn the_order_is_a_permutation(needs in links(true)) {
            let mut order = teaching_order(&needs);
            order.sort_unstable();
            prop_assert_eq!(order, (0..needs.len()).collect::<Vec<_>>());
        }

        #[test]
        fn an_order_that_is_right_already_is_kept(needs in links(true)) {
            let forward: Vec<Vec<usize>> = (needs.into_iter().enumerate())
                .map(|(at, needs)| needs.into_iter().filter(|&need| need < at).collect()).collect();
            prop_assert_eq!(teaching_order(&forward), (0..forward.len()).collect::<Vec<_>>());
        }
    }
}
