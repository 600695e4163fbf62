//! A region: the blocks of a topic in a number of columns.

use std::cmp::Reverse;

use super::block::{Block, Near, Placed};

/// A topic's cards in columns.
#[derive(Clone, Debug, Default)]
pub struct Region {
    /// Each card with its column and its top.
    pub cards: Vec<Placed>,
    /// The lines inside.
    pub lines: Vec<Near>,
    /// How high it is.
    pub height: i64,
}

/// Puts blocks into `columns` columns: the wide and tall ones first, each where it stands highest, and of
/// such places the leftmost (a skyline heuristic of strip packing, bottom-left of Baker, Coffman and
/// Rivest 1980). No block may be wider.
pub fn fill(blocks: &[Block], columns: usize) -> Region {
    let mut order: Vec<&Block> = blocks.iter().collect();
    order.sort_by_key(|block| {
        let tall = block.columns.iter().map(|(_, ends)| *ends).max().unwrap_or(0);
        let several = block.cards.len() > 1;
        let first = block.cards.iter().map(|placed| placed.card).min();
        (Reverse(block.columns.len()), Reverse(if several { tall } else { 0 }), first)
    });
    let mut skyline = vec![0; columns];
    let mut region = Region::default();
    for block in order {
        let wide = block.columns.len();
        let top = |left: usize| {
            let needed = block.columns.iter().zip(&skyline[left..]).map(|((begins, _), filled)| filled - begins);
            needed.max().unwrap_or(0).max(0)
        };
        let left = (0..=columns - wide).min_by_key(|&left| (top(left), left)).unwrap_or(0);
        let top = top(left);
        for (at, (_, ends)) in block.columns.iter().enumerate() {
            skyline[left + at] = top + ends;
        }
        region.cards.extend(block.cards.iter().map(|placed| Placed {
            card: placed.card,
            column: placed.column + left,
            top: placed.top + top,
        }));
        region.lines.extend(block.lines.iter().map(|line| Near {
            link: line.link,
            through: line.through.iter().map(|(column, at)| (column + left, at + top)).collect(),
        }));
    }
    region.height = skyline.into_iter().max().unwrap_or(0);
    region
}
