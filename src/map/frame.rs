//! Where strips, columns, regions and lanes are on the sheet, with so many tracks in the lanes.

use super::grid::{Cell, Grid, region_height};
use super::lines::{Counts, Lane, Way};
use super::sheet::{Area, Point};
use super::sizes::*;

/// A grid with so many tracks.
#[derive(Clone, Copy)]
pub struct Frame<'a> {
    /// The grid.
    pub grid: &'a Grid,
    /// The tracks.
    pub counts: &'a Counts,
}

impl Frame<'_> {
    /// How wide an upright lane is, or how high a level one.
    fn room(&self, lane: Lane) -> i64 {
        let (plain, outer) = match lane {
            Lane::Channel(_, column) if column == 0 || column == self.grid.columns => (EDGE, false),
            Lane::Channel(..) => (CHANNEL, false),
            Lane::Trunk(at) => (GUTTER, at == 0 || at == self.grid.strips.len()),
            Lane::Gutter(strip, at) => (GUTTER, at == 0 || at == self.grid.strips[strip].len()),
        };
        match self.counts.of(lane) {
            0 if outer => 0,
            0 => plain,
            // With room for the head of an arrow beside the outermost track.
            count if matches!(lane, Lane::Channel(..)) => plain.max((count as i64 + 4) * TRACK),
            count => plain.max((count as i64 + 1) * TRACK),
        }
    }

    fn strip_width(&self, strip: usize) -> i64 {
        let channels = (0..=self.grid.columns).map(|column| self.room(Lane::Channel(strip, column)));
        channels.sum::<i64>() + self.grid.columns as i64 * self.grid.card
    }

    fn strip_left(&self, strip: usize) -> i64 {
        let before = (0..strip).map(|before| self.room(Lane::Trunk(before)) + self.strip_width(before));
        MARGIN + before.sum::<i64>() + self.room(Lane::Trunk(strip))
    }

    /// The left edge of a column of cards.
    pub fn column(&self, strip: usize, column: usize) -> i64 {
        let channels: i64 = (0..=column).map(|at| self.room(Lane::Channel(strip, at))).sum();
        self.strip_left(strip) + channels + column as i64 * self.grid.card
    }

    /// Where a lane begins: from the left, or from the top.
    fn begins(&self, lane: Lane) -> i64 {
        match lane {
            Lane::Channel(strip, column) => self.column(strip, column) - self.room(lane),
            Lane::Trunk(at) if at == self.grid.strips.len() => self.strip_left(at),
            Lane::Trunk(at) => self.strip_left(at) - self.room(lane),
            Lane::Gutter(strip, at) => {
                let above = (0..at).map(|row| self.room(Lane::Gutter(strip, row)) + self.row_height(strip, row));
                MARGIN + HEADING + above.sum::<i64>()
            }
        }
    }

    /// The middle of a lane.
    pub fn middle(&self, lane: Lane) -> i64 {
        self.begins(lane) + self.room(lane) / 2
    }

    /// The place of a track; all of a lane are in its middle.
    fn track(&self, lane: Lane, track: usize) -> i64 {
        let all = (self.counts.of(lane) as i64 - 1) * TRACK;
        self.middle(lane) - all / 2 + track as i64 * TRACK
    }

    fn row_height(&self, strip: usize, row: usize) -> i64 {
        region_height(&self.grid.regions[self.grid.strips[strip][row]])
    }

    fn row(&self, strip: usize, row: usize) -> i64 {
        self.begins(Lane::Gutter(strip, row)) + self.room(Lane::Gutter(strip, row))
    }

    /// A height in a region, from the top of the sheet.
    pub fn inside(&self, strip: usize, row: usize, top: i64) -> i64 {
        self.row(strip, row) + BAND + GAP + GAP / 2 + top
    }

    /// Where a card is, of which this is the top in its region.
    pub fn card(&self, (cell, top): (Cell, i64), height: i64) -> Area {
        Area {
            x: self.column(cell.strip, cell.column),
            y: self.inside(cell.strip, cell.row, top),
            width: self.grid.card,
            height,
        }
    }

    /// Where the region at a place is.
    pub fn region(&self, (strip, row): (usize, usize)) -> Area {
        Area {
            x: self.strip_left(strip),
            y: self.row(strip, row),
            width: self.strip_width(strip),
            height: self.row_height(strip, row),
        }
    }

    /// How wide the sheet is.
    pub fn width(&self) -> i64 {
        let strips = self.grid.strips.len();
        (self.strip_left(strips) + MARGIN).max(1900)
    }

    /// How high the sheet is.
    pub fn height(&self) -> i64 {
        let lowest = (self.grid.strips.iter().enumerate()).map(|(strip, topics)| {
            let last = Lane::Gutter(strip, topics.len());
            self.begins(last) + self.room(last)
        });
        lowest.max().unwrap_or(MARGIN + HEADING) + LEGEND + MARGIN
    }

    /// The corners of a way between two ports.
    pub fn points(&self, way: &Way, (from, to): (Point, Point)) -> Vec<Point> {
        let mut points = vec![from];
        let mut at = from;
        for &(lane, track) in &way.legs {
            match lane {
                Lane::Gutter(..) => at.1 = self.track(lane, track),
                _ => at.0 = self.track(lane, track),
            }
            points.push(at);
        }
        points.extend([(at.0, to.1), to]);
        points
    }
}
