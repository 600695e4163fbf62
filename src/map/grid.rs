//! The grid: regions one below the other in strips, the strips side by side.

use super::block::Block;
use super::region::{Region, fill};
use super::sizes::*;

/// Where a card stands: its strip, which of the strip's regions, and the column in it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Cell {
    /// The strip, from the left.
    pub strip: usize,
    /// The region in the strip, from the top.
    pub row: usize,
    /// The column of cards in the region.
    pub column: usize,
}

/// The regions with their places.
#[derive(Clone, Debug, Default)]
pub struct Grid {
    /// How wide a card is.
    pub card: i64,
    /// How many columns of cards each strip has.
    pub columns: usize,
    /// The topics of each strip.
    pub strips: Vec<Vec<usize>>,
    /// By topic.
    pub regions: Vec<Region>,
}

impl Grid {
    /// The topics in so many columns, in at most so many strips: in their order, so that the highest strip
    /// is as low as can be.
    pub fn new(card: i64, columns: usize, strips: usize, topics: &[Vec<Block>]) -> Self {
        let regions: Vec<Region> = topics.iter().map(|blocks| fill(blocks, columns)).collect();
        let heights: Vec<i64> = regions.iter().map(|region| region_height(region) + GUTTER).collect();
        Self { card, columns, strips: even(&heights, strips), regions }
    }

    /// The strip of each topic, and its place in it.
    pub fn places(&self) -> Vec<(usize, usize)> {
        let mut places = vec![(0, 0); self.regions.len()];
        for (strip, topics) in self.strips.iter().enumerate() {
            topics.iter().enumerate().for_each(|(row, &topic)| places[topic] = (strip, row));
        }
        places
    }

    /// The cell of each card, and its top in its region.
    pub fn cells(&self, cards: usize) -> Vec<(Cell, i64)> {
        let mut cells = vec![(Cell::default(), 0); cards];
        for (region, (strip, row)) in self.regions.iter().zip(self.places()) {
            for placed in &region.cards {
                cells[placed.card] = (Cell { strip, row, column: placed.column }, placed.top);
            }
        }
        cells
    }
}

/// How high a region is with its title.
pub fn region_height(region: &Region) -> i64 {
    region.height + BAND + 2 * GAP
}

/// Shares `heights` out in their order, so that the largest sum is as small as can be: the least limit with
/// which so many strips do is found by halving.
fn even(heights: &[i64], strips: usize) -> Vec<Vec<usize>> {
    let (mut too_low, mut enough) = (heights.iter().max().map_or(0, |most| most - 1), heights.iter().sum::<i64>());
    while enough - too_low > 1 {
        let middle = too_low + (enough - too_low) / 2;
        if shared(heights, middle).len() <= strips { enough = middle } else { too_low = middle }
    }
    shared(heights, enough)
}

fn shared(heights: &[i64], limit: i64) -> Vec<Vec<usize>> {
    let mut strips: Vec<Vec<usize>> = Vec::new();
    let mut sum = 0;
    for (at, height) in heights.iter().enumerate() {
        match strips.last_mut().filter(|_| sum + height <= limit) {
            Some(strip) => strip.push(at),
            None => {
                strips.push(vec![at]);
                sum = 0;
            }
        }
        sum += height;
    }
    strips
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strips_are_as_even_as_their_order_allows() {
        assert_eq!(even(&[3, 3, 3, 3, 3, 3], 3), [vec![0, 1], vec![2, 3], vec![4, 5]]);
        assert_eq!(even(&[9, 1, 1, 1], 2), [vec![0], vec![1, 2, 3]]);
        assert_eq!(even(&[1, 1], 5), [vec![0], vec![1]]);
        assert_eq!(even(&[], 3), Vec::<Vec<usize>>::new());
    }
}
