//! How high things stand in their columns: beside what they are joined with, in their order, without
//! overlaps.

/// How often all columns are gone through, forth and back.
const SWEEPS: usize = 6;

/// The top of each thing. `columns` hold things in their order, `tall` is how high each is with the room
/// around it, and `lines` join things of neighbouring columns, the left one first.
///
/// Each column takes, of all positions in which nothing overlaps and no column ends lower than the fullest
/// one, those with the least squared distance from the mean of the neighbours: an isotonic regression, by
/// pooling adjacent violators (Ayer, Brunk, Ewing, Reid and Silverman 1955), cut off at its bounds.
pub fn heights(columns: &[Vec<usize>], tall: &[i64], lines: &[(usize, usize)]) -> Vec<i64> {
    let mut left = vec![Vec::new(); tall.len()];
    let mut right = vec![Vec::new(); tall.len()];
    for &(from, to) in lines {
        right[from].push(to);
        left[to].push(from);
    }
    let mut tops = vec![0; tall.len()];
    for column in columns {
        let mut at = 0;
        for &one in column {
            tops[one] = at;
            at += tall[one];
        }
    }
    let fullest = columns.iter().map(|column| column.iter().map(|&one| tall[one]).sum()).max().unwrap_or(0);
    for sweep in 0..SWEEPS {
        let forth = sweep % 2 == 0;
        let near = if forth { &left } else { &right };
        let each: Vec<&Vec<usize>> = if forth { columns.iter().collect() } else { columns.iter().rev().collect() };
        for column in each {
            let wanted: Vec<i64> = column.iter().map(|&one| beside(one, &near[one], &tops, tall)).collect();
            let room: Vec<i64> = column.iter().map(|&one| tall[one]).collect();
            column.iter().zip(nearest(&wanted, &room, fullest)).for_each(|(&one, top)| tops[one] = top);
        }
    }
    tops
}

/// Where the middle of a thing is level with the mean of its neighbours' middles.
fn beside(one: usize, near: &[usize], tops: &[i64], tall: &[i64]) -> i64 {
    if near.is_empty() {
        return tops[one];
    }
    let middles: i64 = near.iter().map(|&other| tops[other] + tall[other] / 2).sum();
    middles.div_euclid(near.len() as i64) - tall[one] / 2
}

/// The tops nearest to `wanted` that leave each thing its room, between 0 and `lowest`.
fn nearest(wanted: &[i64], room: &[i64], lowest: i64) -> Vec<i64> {
    // Things pushed together move as one; each pool has its sum, its size and where it begins.
    let mut pools: Vec<(i64, i64)> = Vec::new();
    let mut before = 0;
    for (want, tall) in wanted.iter().zip(room) {
        let mut pool = (want - before, 1);
        before += tall;
        while let Some(&(sum, count)) = pools.last() {
            if sum.div_euclid(count) <= pool.0.div_euclid(pool.1) {
                break;
            }
            pools.pop();
            pool = (pool.0 + sum, pool.1 + count);
        }
        pools.push(pool);
    }
    let bases = pools.into_iter().flat_map(|(sum, count)| std::iter::repeat_n(sum.div_euclid(count), count as usize));
    let spare = lowest - room.iter().sum::<i64>();
    let mut before = 0;
    bases
        .zip(room)
        .map(|(base, tall)| {
            before += tall;
            base.clamp(0, spare.max(0)) + before - tall
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn things_stand_beside_their_neighbours_where_there_is_room() {
        assert_eq!(nearest(&[0, 50, 60], &[20, 20, 20], 100), [0, 45, 65]);
        assert_eq!(nearest(&[30, 0], &[20, 20], 100), [5, 25]);
        assert_eq!(nearest(&[-9, 90], &[20, 20], 60), [0, 40]);
        let tops = heights(&[vec![0], vec![1, 2, 3]], &[20; 4], &[(0, 1), (0, 2), (0, 3)]);
        assert_eq!(tops, [20, 0, 20, 40]);
    }
}
