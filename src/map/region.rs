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

/// Puts blocks into `columns` columns: the large ones first, each where it stands highest, and of such
/// places the leftmost (bottom-left of Baker, Coffman and Rivest 1980). Small ones go into the holes that
/// large ones leave. No block may be wider.
pub fn fill(blocks: &[Block], columns: usize) -> Region {
    let mut order: Vec<&Block> = blocks.iter().collect();
    order.sort_by_key(|block| {
        let several = block.cards.len() > 1;
        let first = block.cards.iter().map(|placed| placed.card).min();
        (Reverse(block.columns.len()), Reverse(if several { lowest(&block.columns) } else { 0 }), first)
    });
    let mut taken: Vec<Vec<(i64, i64)>> = vec![Vec::new(); columns];
    let mut region = Region::default();
    for block in order {
        let lefts = 0..=columns - block.columns.len();
        let (top, left) = lefts.map(|left| (highest(block, &taken[left..]), left)).min().unwrap_or((0, 0));
        for (at, things) in block.columns.iter().enumerate() {
            taken[left + at].extend(things.iter().map(|(begins, ends)| (begins + top, ends + top)));
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
    region.height = lowest(&taken);
    region
}

fn lowest(columns: &[Vec<(i64, i64)>]) -> i64 {
    columns.iter().flatten().map(|(_, ends)| *ends).max().unwrap_or(0)
}

/// The highest place in these columns where nothing of a block lies on anything.
fn highest(block: &Block, taken: &[Vec<(i64, i64)>]) -> i64 {
    let mut top = 0;
    loop {
        let lower = block.columns.iter().zip(taken).flat_map(|(things, taken)| {
            let clash = move |&(begins, ends): &(i64, i64)| {
                let over = taken.iter().filter(move |other| begins + top < other.1 && other.0 < ends + top);
                over.map(move |other| other.1 - begins)
            };
            things.iter().flat_map(clash)
        });
        // Below all that is in the way just now, it fits if nothing else is.
        match lower.max() {
            None => return top,
            Some(lower) => top = lower,
        }
    }
}
