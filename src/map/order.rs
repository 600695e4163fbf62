//! The order of what stands in a column: fewer crossings, by barycentres (Sugiyama, Tagawa and Toda 1981).

/// How often all columns are gone through, forth and back.
const SWEEPS: usize = 8;

/// Orders each column of `columns` so that lines cross less often. `lines` join things of neighbouring
/// columns, the left one first; things are numbered throughout.
pub fn order(columns: &mut Vec<Vec<usize>>, lines: &[(usize, usize)]) {
    let count = columns.iter().flatten().max().map_or(0, |most| most + 1);
    let mut left = vec![Vec::new(); count];
    let mut right = vec![Vec::new(); count];
    for &(from, to) in lines {
        right[from].push(to);
        left[to].push(from);
    }
    let mut best = columns.clone();
    let mut fewest = crossings(columns, &right);
    for sweep in 0..SWEEPS {
        if fewest == 0 {
            break;
        }
        let forth = sweep % 2 == 0;
        let each: Vec<usize> = if forth { (0..columns.len()).collect() } else { (0..columns.len()).rev().collect() };
        let mut places = places(columns, count);
        for at in each {
            sort(&mut columns[at], if forth { &left } else { &right }, &places);
            columns[at].iter().enumerate().for_each(|(place, &one)| places[one] = place);
        }
        let now = crossings(columns, &right);
        if now < fewest {
            (fewest, best) = (now, columns.clone());
        }
    }
    *columns = best;
}

fn places(columns: &[Vec<usize>], count: usize) -> Vec<usize> {
    let mut places = vec![0; count];
    for column in columns {
        column.iter().enumerate().for_each(|(place, &one)| places[one] = place);
    }
    places
}

/// By the mean place of the neighbours on one side; who has none there stays where it is.
fn sort(column: &mut [usize], neighbours: &[Vec<usize>], places: &[usize]) {
    let mean = |one: usize| {
        let near = &neighbours[one];
        let sum: usize = near.iter().map(|&other| places[other]).sum();
        // A thousandth is fine enough, and whole numbers sort alike everywhere.
        if near.is_empty() { places[one] * 1000 } else { sum * 1000 / near.len() }
    };
    column.sort_by_key(|&one| mean(one));
}

/// How many pairs of lines cross.
fn crossings(columns: &[Vec<usize>], right: &[Vec<usize>]) -> usize {
    let count = right.len();
    let places = places(columns, count);
    let mut crossings = 0;
    for column in columns {
        let mut ends: Vec<usize> = Vec::new();
        for &from in column {
            let mut own: Vec<usize> = right[from].iter().map(|&to| places[to]).collect();
            own.sort_unstable();
            for end in &own {
                crossings += ends.len() - ends.partition_point(|other| other <= end);
            }
            ends.extend(own);
            ends.sort_unstable();
        }
    }
    crossings
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn crossed_lines_are_uncrossed() {
        let mut columns = vec![vec![0, 1, 2], vec![3, 4, 5]];
        let lines = [(0, 5), (1, 4), (2, 3)];
        order(&mut columns, &lines);
        let right: Vec<Vec<usize>> =
            (0..6).map(|at| lines.iter().filter(|line| line.0 == at).map(|line| line.1).collect()).collect();
        assert_eq!(crossings(&columns, &right), 0);
    }

    #[test]
    fn crossings_are_counted() {
        let right = vec![vec![3, 2], vec![2], vec![], vec![]];
        assert_eq!(crossings(&[vec![0, 1], vec![2, 3]], &right), 1);
        assert_eq!(crossings(&[vec![1, 0], vec![2, 3]], &right), 0);
    }
}
