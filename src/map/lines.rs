//! Lines between blocks: which channel they leave by, and along which gutter they run.

use super::block::Link;
use super::tracks::tracks;

/// A cell of the grid: the row and column of its region, and the column in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cell {
    /// The row of regions.
    pub row: usize,
    /// The column of regions.
    pub region: usize,
    /// The column of cards in it.
    pub column: usize,
}

/// The way of a line: along a channel, along the gutter between two rows, along another channel. A channel
/// is the room to the left of a column; the last one of a region is to the right of its last column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Way {
    /// What it joins.
    pub link: Link,
    /// The channel by which it leaves.
    pub out: (usize, usize),
    /// The track in it.
    pub out_track: usize,
    /// The gutter, by number from the top, and the track in it; none when both channels are one.
    pub gutter: Option<(usize, usize)>,
    /// The channel by which it comes in.
    pub into: (usize, usize),
    /// The track in it.
    pub into_track: usize,
}

impl Way {
    /// The way from cell to cell, on no track yet.
    pub fn new(link: Link, from: Cell, to: Cell) -> Self {
        let (out, into) = ((from.region, from.column + 1), (to.region, to.column));
        // Below the higher row: the line passes below titles, not through them, where it can.
        let gutter = (out != into).then_some((from.row.min(to.row) + 1, 0));
        Self { link, out, out_track: 0, gutter, into, into_track: 0 }
    }
}

/// How many tracks each channel and each gutter has.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// By region column, then by channel.
    pub channels: Vec<Vec<usize>>,
    /// By gutter.
    pub gutters: Vec<usize>,
}

impl Counts {
    /// No tracks anywhere.
    pub fn none(regions: usize, columns: usize, rows: usize) -> Self {
        Self { channels: vec![vec![0; columns + 1]; regions], gutters: vec![0; rows + 1] }
    }
}

/// Where things are as long as there are no tracks; what lies apart then lies apart with them.
pub struct Guess<'a> {
    /// The height of a line's end: of the first card, or of the second.
    pub end: &'a dyn Fn(&Way, bool) -> i64,
    /// The height of a gutter.
    pub gutter: &'a dyn Fn(usize) -> i64,
    /// The place of a channel.
    pub channel: &'a dyn Fn((usize, usize)) -> i64,
}

/// Gives each way its tracks.
pub fn assign(ways: &mut [Way], counts: &mut Counts, guess: &Guess<'_>) {
    for gutter in 0..counts.gutters.len() {
        let on: Vec<usize> =
            (0..ways.len()).filter(|&at| ways[at].gutter.is_some_and(|(one, _)| one == gutter)).collect();
        let spans: Vec<(i64, i64)> =
            on.iter().map(|&at| sorted((guess.channel)(ways[at].out), (guess.channel)(ways[at].into))).collect();
        let (taken, count) = tracks(&spans);
        on.iter().zip(taken).for_each(|(&at, track)| ways[at].gutter = Some((gutter, track)));
        counts.gutters[gutter] = count;
    }
    for region in 0..counts.channels.len() {
        for column in 0..counts.channels[region].len() {
            counts.channels[region][column] = in_channel(ways, (region, column), guess);
        }
    }
}

fn in_channel(ways: &mut [Way], channel: (usize, usize), guess: &Guess<'_>) -> usize {
    let mut on: Vec<(usize, bool)> = Vec::new();
    let mut spans = Vec::new();
    for (at, way) in ways.iter().enumerate() {
        let between = |first: bool| match way.gutter {
            Some((gutter, _)) => sorted((guess.end)(way, first), (guess.gutter)(gutter)),
            None => sorted((guess.end)(way, true), (guess.end)(way, false)),
        };
        if way.out == channel {
            on.push((at, true));
            spans.push(between(true));
        }
        if way.into == channel && way.gutter.is_some() {
            on.push((at, false));
            spans.push(between(false));
        }
    }
    let (taken, count) = tracks(&spans);
    for ((at, first), track) in on.into_iter().zip(taken) {
        if first {
            ways[at].out_track = track;
        } else {
            ways[at].into_track = track;
        }
    }
    count
}

fn sorted(one: i64, other: i64) -> (i64, i64) {
    (one.min(other), one.max(other))
}
