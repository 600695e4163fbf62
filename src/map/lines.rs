//! Lines between blocks: by which lanes they go.

use super::block::Link;
use super::grid::{Cell, Grid};
use super::tracks::tracks;

/// Where a line may run without running over a card.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Lane {
    /// Upright, to the left of a column of a strip; the last one is to the right of its last column.
    Channel(usize, usize),
    /// Upright, to the left of a strip; the last one is to the right of the last strip.
    Trunk(usize),
    /// Level, in a strip, above one of its regions; the last one is below its last region.
    Gutter(usize, usize),
}

/// The way of a line: upright and level lanes in turn, the first and the last upright, each with its track.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Way {
    /// What it joins.
    pub link: Link,
    /// The lanes.
    pub legs: Vec<(Lane, usize)>,
}

impl Way {
    /// The way from one card to another, each with its cell and its height on the sheet, on no track yet;
    /// `gutter` is the height of a gutter.
    pub fn new(
        grid: &Grid,
        link: Link,
        from: (Cell, i64),
        to: (Cell, i64),
        gutter: impl Fn(usize, usize) -> i64,
    ) -> Self {
        let near = |strip: usize, gutters: &[usize], (one, other): (i64, i64)| {
            let detour = |at: usize| (gutter(strip, at) - one).abs() + (gutter(strip, at) - other).abs();
            Lane::Gutter(strip, gutters.iter().copied().min_by_key(|&at| detour(at)).unwrap_or(0))
        };
        let heights = (from.1, to.1);
        let (from, to) = (from.0, to.0);
        let (out, into) = (Lane::Channel(from.strip, from.column + 1), Lane::Channel(to.strip, to.column));
        let around = |cell: Cell| [cell.row, cell.row + 1];
        let lanes = if from.strip == to.strip {
            let common: Vec<usize> = around(from).into_iter().filter(|at| around(to).contains(at)).collect();
            let leave = near(from.strip, &around(from), heights);
            let trunk = Lane::Trunk(if from.strip + 1 < grid.strips.len() { from.strip + 1 } else { from.strip });
            match common.as_slice() {
                _ if out == into && from.row == to.row => vec![out],
                [] => vec![out, leave, trunk, near(to.strip, &around(to), heights), into],
                common => vec![out, near(from.strip, common, heights), into],
            }
        } else {
            let right = to.strip > from.strip;
            let mut lanes = Vec::new();
            // From the last column it is straight into the trunk, and into the first straight out of it.
            if !right || from.column + 1 < grid.columns {
                lanes.extend([out, near(from.strip, &around(from), heights)]);
            }
            let mut strip = from.strip;
            while strip != to.strip {
                lanes.push(Lane::Trunk(if right { strip + 1 } else { strip }));
                strip = if right { strip + 1 } else { strip - 1 };
                if strip != to.strip {
                    let all: Vec<usize> = (0..=grid.strips[strip].len()).collect();
                    lanes.push(near(strip, &all, heights));
                }
            }
            if !right || to.column > 0 {
                lanes.extend([near(to.strip, &around(to), heights), into]);
            }
            lanes
        };
        Self { link, legs: lanes.into_iter().map(|lane| (lane, 0)).collect() }
    }
}

/// How many tracks each lane has.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    channels: Vec<Vec<usize>>,
    trunks: Vec<usize>,
    gutters: Vec<Vec<usize>>,
}

impl Counts {
    /// No tracks anywhere.
    pub fn none(grid: &Grid) -> Self {
        Self {
            channels: vec![vec![0; grid.columns + 1]; grid.strips.len()],
            trunks: vec![0; grid.strips.len() + 1],
            gutters: grid.strips.iter().map(|topics| vec![0; topics.len() + 1]).collect(),
        }
    }

    /// Those of a lane.
    pub fn of(&self, lane: Lane) -> usize {
        match lane {
            Lane::Channel(strip, column) => self.channels[strip][column],
            Lane::Trunk(at) => self.trunks[at],
            Lane::Gutter(strip, at) => self.gutters[strip][at],
        }
    }

    fn set(&mut self, lane: Lane, count: usize) {
        match lane {
            Lane::Channel(strip, column) => self.channels[strip][column] = count,
            Lane::Trunk(at) => self.trunks[at] = count,
            Lane::Gutter(strip, at) => self.gutters[strip][at] = count,
        }
    }
}

/// Gives each leg of each way its track; `spans` says from where to where a leg runs. Lines of one kind that
/// leave the same card share a track, as wires of one net do in channel routing.
pub fn assign(ways: &mut [Way], counts: &mut Counts, spans: &[Vec<(i64, i64)>]) {
    let mut legs: Vec<(Lane, usize, usize)> = Vec::new();
    for (way, one) in ways.iter().enumerate() {
        legs.extend(one.legs.iter().enumerate().map(|(leg, (lane, _))| (*lane, way, leg)));
    }
    let net = |ways: &[Way], way: usize| (ways[way].link.from, ways[way].link.kind);
    legs.sort_by_key(|&(lane, way, leg)| (lane, net(ways, way), way, leg));
    for on in legs.chunk_by(|one, other| one.0 == other.0) {
        let nets: Vec<&[(Lane, usize, usize)]> =
            on.chunk_by(|one, other| net(ways, one.1) == net(ways, other.1)).collect();
        let span = |net: &&[(Lane, usize, usize)]| {
            let ends = net.iter().map(|&(_, way, leg)| spans[way][leg]);
            ends.reduce(|one, other| (one.0.min(other.0), one.1.max(other.1))).unwrap_or((0, 0))
        };
        let (taken, count) = tracks(&nets.iter().map(span).collect::<Vec<_>>());
        counts.set(on[0].0, count);
        for (net, track) in nets.into_iter().zip(taken) {
            net.iter().for_each(|&(_, way, leg)| ways[way].legs[leg].1 = track);
        }
    }
}
