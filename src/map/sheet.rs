//! The sheet: all regions on one grid of columns, and where everything comes to stand.

use super::block::{Block, Kind, Link, blocks};
use super::content::Map;
use super::lines::{Cell, Counts, Guess, Way, assign};
use super::region::{Region, fill};
use super::sizes::*;
use super::words::wrapped;

/// A point.
pub type Point = (i64, i64);

/// Everything with its place.
#[derive(Clone, Debug, Default)]
pub struct Sheet {
    /// How wide it is.
    pub width: i64,
    /// How high it is.
    pub height: i64,
    /// A box for each topic; its title stands in a band at its top.
    pub regions: Vec<Area>,
    /// A box for each card.
    pub cards: Vec<Area>,
    /// The lines of text on each card.
    pub labels: Vec<Vec<String>>,
    /// The lines between cards.
    pub lines: Vec<Line>,
}

/// A box.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Area {
    /// Its left edge.
    pub x: i64,
    /// Its top.
    pub y: i64,
    /// How wide it is.
    pub width: i64,
    /// How high it is.
    pub height: i64,
}

/// A line between two cards.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// What it joins.
    pub link: Link,
    /// Its course.
    pub course: Course,
}

/// How a line runs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Course {
    /// Through these points: curved in the channels, straight through the columns between them.
    Curved(Vec<Point>),
    /// From the first to the second, both at the right edges of cards in one column, round by the channel.
    Bow(Point, Point),
    /// Through these points, always level or upright.
    Angled(Vec<Point>),
}

/// The regions with their place on a grid.
struct Grid {
    columns: usize,
    across: usize,
    regions: Vec<Region>,
    /// How high the regions of each row are.
    rows: Vec<i64>,
}

/// Where columns, channels and rows are, with so many tracks in them.
struct Frame<'a> {
    grid: &'a Grid,
    counts: &'a Counts,
}

/// Lays out a map.
pub fn sheet(map: &Map) -> Sheet {
    let labels: Vec<Vec<String>> = map.cards.iter().map(|card| label(card.number, &card.label)).collect();
    let tall: Vec<i64> = labels.iter().map(|lines| card_height(lines.len())).collect();
    let mut far = between_topics(map);
    let mut topics = Vec::new();
    for topic in 0..map.topics.len() {
        let (blocks, own) = blocks(map, topic, &tall);
        topics.push(blocks);
        far.extend(own);
    }
    far.sort_unstable();
    let grid = grid(&topics);
    let cells = grid.cells(map.cards.len());
    let mut ways: Vec<Way> = far.into_iter().map(|link| Way::new(link, cells[link.from].0, cells[link.to].0)).collect();
    let mut counts = Counts::none(grid.across, grid.columns, grid.rows.len());
    let none = counts.clone();
    let bare = Frame { grid: &grid, counts: &none };
    let middle = |card: usize| bare.card_top(cells[card]) + tall[card] / 2;
    assign(
        &mut ways,
        &mut counts,
        &Guess {
            end: &|way, first| middle(if first { way.link.from } else { way.link.to }),
            gutter: &|gutter| bare.gutter(gutter) + GUTTER / 2,
            channel: &|(region, column)| bare.channel(region, column),
        },
    );
    let frame = Frame { grid: &grid, counts: &counts };
    let cards: Vec<Area> = (cells.iter().zip(&tall))
        .map(|(cell, &height)| Area {
            x: frame.column(cell.0.region, cell.0.column),
            y: frame.card_top(*cell),
            width: CARD,
            height,
        })
        .collect();
    let lines = lines(&frame, &cards, &ways);
    let regions = (0..grid.regions.len()).map(|at| frame.region(at)).collect();
    Sheet { width: frame.width(), height: frame.height(), regions, cards, labels, lines }
}

/// What stands on a card, in lines that fit.
fn label(number: Option<usize>, text: &str) -> Vec<String> {
    let text = number.map_or_else(|| text.to_owned(), |number| format!("{number} {text}"));
    // A little less than there is: fonts differ.
    let room = (CARD - 2 * PADDING) * 960 / TEXT;
    wrapped(&text, room, LINES)
}

fn between_topics(map: &Map) -> Vec<Link> {
    let mut far = Vec::new();
    for (to, card) in map.cards.iter().enumerate() {
        let other = |from: &&usize| map.cards[**from].topic != card.topic;
        far.extend(card.needs.iter().filter(other).map(|&from| Link { from, to, kind: Kind::Needs }));
        far.extend(card.see.iter().filter(other).map(|&from| Link { from, to, kind: Kind::See }));
    }
    far
}

/// The grid that fits best on a sheet of the A series, lying.
fn grid(topics: &[Vec<Block>]) -> Grid {
    let least = topics.iter().flatten().map(|block| block.columns.len()).max().unwrap_or(1).max(1);
    let most_cards = topics.iter().map(|blocks| blocks.iter().map(|block| block.cards.len()).sum::<usize>()).max();
    let most = (least + 6).min(least.max(most_cards.unwrap_or(1)));
    let mut best: Option<(i64, Grid)> = None;
    for columns in least..=most {
        let regions: Vec<Region> = topics.iter().map(|blocks| fill(blocks, columns)).collect();
        for across in 1..=regions.len().clamp(1, 8) {
            let grid = Grid::new(columns, across, &regions);
            let counts = Counts::none(across, columns, grid.rows.len());
            let frame = Frame { grid: &grid, counts: &counts };
            // ISO 216: the sides are as 1 to the square root of 2.
            let size = (frame.width() * 1000 / 1414).max(frame.height());
            if best.as_ref().is_none_or(|(smallest, _)| size < *smallest) {
                best = Some((size, grid));
            }
        }
    }
    best.map_or_else(|| Grid::new(1, 1, &[]), |(_, grid)| grid)
}

impl Grid {
    fn new(columns: usize, across: usize, regions: &[Region]) -> Self {
        let row = |row: &[Region]| row.iter().map(|region| region.height).max().unwrap_or(0);
        Self { columns, across, regions: regions.to_vec(), rows: regions.chunks(across).map(row).collect() }
    }

    /// The cell of each card, and its top in its region.
    fn cells(&self, cards: usize) -> Vec<(Cell, i64)> {
        let mut cells = vec![(Cell { row: 0, region: 0, column: 0 }, 0); cards];
        for (at, region) in self.regions.iter().enumerate() {
            for placed in &region.cards {
                let cell = Cell { row: at / self.across, region: at % self.across, column: placed.column };
                cells[placed.card] = (cell, placed.top);
            }
        }
        cells
    }
}

impl Frame<'_> {
    fn tracks(&self, region: usize, column: usize) -> i64 {
        self.counts.channels[region][column] as i64 * TRACK
    }

    /// How wide the channel to the left of a column is.
    fn channel_width(&self, region: usize, column: usize) -> i64 {
        let plain = if column == 0 || column == self.grid.columns { EDGE } else { CHANNEL };
        plain + self.tracks(region, column)
    }

    fn region_width(&self, region: usize) -> i64 {
        (0..=self.grid.columns).map(|column| self.channel_width(region, column)).sum::<i64>()
            + self.grid.columns as i64 * CARD
    }

    fn region_left(&self, region: usize) -> i64 {
        MARGIN + (0..region).map(|before| self.region_width(before) + GUTTER).sum::<i64>()
    }

    /// The left edge of the channel to the left of a column.
    fn channel(&self, region: usize, column: usize) -> i64 {
        let before = (0..column).map(|before| self.channel_width(region, before) + CARD);
        self.region_left(region) + before.sum::<i64>()
    }

    fn column(&self, region: usize, column: usize) -> i64 {
        self.channel(region, column) + self.channel_width(region, column)
    }

    fn gutter_height(&self, gutter: usize) -> i64 {
        let outer = gutter == 0 || gutter == self.grid.rows.len();
        (if outer { 0 } else { GUTTER })
            + self.counts.gutters[gutter] as i64 * TRACK
            + if self.counts.gutters[gutter] > 0 { TRACK } else { 0 }
    }

    /// The top of the gutter above a row, or below the last one.
    fn gutter(&self, gutter: usize) -> i64 {
        MARGIN + HEADING + (0..gutter).map(|row| self.gutter_height(row) + self.row_height(row)).sum::<i64>()
    }

    fn row_height(&self, row: usize) -> i64 {
        self.grid.rows[row] + BAND + 2 * GAP
    }

    fn row(&self, row: usize) -> i64 {
        self.gutter(row) + self.gutter_height(row)
    }

    fn card_top(&self, (cell, top): (Cell, i64)) -> i64 {
        self.inside(cell.row, top)
    }

    /// A height in a region of that row, from the top of the sheet.
    fn inside(&self, row: usize, top: i64) -> i64 {
        self.row(row) + BAND + 2 * GAP + top
    }

    fn region(&self, at: usize) -> Area {
        let (row, region) = (at / self.grid.across, at % self.grid.across);
        Area {
            x: self.region_left(region),
            y: self.row(row),
            width: self.region_width(region),
            height: self.row_height(row),
        }
    }

    fn width(&self) -> i64 {
        (self.region_left(self.grid.across) - GUTTER + MARGIN).max(1900)
    }

    fn height(&self) -> i64 {
        let rows = self.grid.rows.len();
        self.gutter(rows) + self.gutter_height(rows) + LEGEND + MARGIN
    }

    /// The place of a track in a channel.
    fn out(&self, (region, column): (usize, usize), track: usize) -> i64 {
        self.channel(region, column) + TRACK + track as i64 * TRACK
    }

    /// The height of a track in a gutter.
    fn along(&self, (gutter, track): (usize, usize)) -> i64 {
        self.gutter(gutter)
            + TRACK
            + track as i64 * TRACK
            + if gutter == 0 || gutter == self.grid.rows.len() { 0 } else { GUTTER / 4 }
    }
}

/// One end of a line: at the right edge of the card or at its left, and what it looks towards.
struct End {
    card: usize,
    right: bool,
    towards: i64,
    line: usize,
    first: bool,
}

fn lines(frame: &Frame<'_>, cards: &[Area], ways: &[Way]) -> Vec<Line> {
    let near: Vec<(usize, &super::block::Near)> = (frame.grid.regions.iter().enumerate())
        .flat_map(|(at, region)| region.lines.iter().map(move |line| (at, line)))
        .collect();
    let links = near.iter().map(|(_, line)| line.link).chain(ways.iter().map(|way| way.link));
    let links: Vec<Link> = links.collect();
    let middle = |card: usize| cards[card].y + cards[card].height / 2;
    let mut ends = Vec::new();
    for (line, link) in links.iter().enumerate() {
        let bow = near.get(line).is_some_and(|_| cards[link.from].x == cards[link.to].x);
        ends.push(End { card: link.from, right: true, towards: middle(link.to), line, first: true });
        ends.push(End { card: link.to, right: bow, towards: middle(link.from), line, first: false });
    }
    let ports = ports(&mut ends, cards, links.len());
    let course = |line: usize| match near.get(line) {
        Some((_, near)) if near.through.is_empty() && cards[near.link.from].x == cards[near.link.to].x => {
            Course::Bow(ports[line].0, ports[line].1)
        }
        Some((region, near)) => Course::Curved(curved(frame, *region, near, ports[line])),
        None => Course::Angled(angled(frame, &ways[line - near.len()], ports[line])),
    };
    links.iter().enumerate().map(|(line, link)| Line { link: *link, course: course(line) }).collect()
}

/// Where each line leaves and arrives: at each edge of a card the ends stand in the order in which their
/// other ends do.
fn ports(ends: &mut [End], cards: &[Area], lines: usize) -> Vec<(Point, Point)> {
    let mut ports = vec![((0, 0), (0, 0)); lines];
    ends.sort_by_key(|end| (end.card, end.right, end.towards, end.line, end.first));
    for group in ends.chunk_by(|one, other| (one.card, one.right) == (other.card, other.right)) {
        for (at, end) in group.iter().enumerate() {
            let card = cards[end.card];
            let y = card.y + card.height * (at as i64 + 1) / (group.len() as i64 + 1);
            let port = (if end.right { card.x + card.width } else { card.x }, y);
            if end.first { ports[end.line].0 = port } else { ports[end.line].1 = port }
        }
    }
    ports
}

fn curved(frame: &Frame<'_>, at: usize, near: &super::block::Near, (from, to): (Point, Point)) -> Vec<Point> {
    let (row, region) = (at / frame.grid.across, at % frame.grid.across);
    let mut points = vec![from];
    for &(column, top) in &near.through {
        let (x, y) = (frame.column(region, column), frame.inside(row, top));
        points.extend([(x, y), (x + CARD, y)]);
    }
    points.push(to);
    points
}

fn angled(frame: &Frame<'_>, way: &Way, (from, to): (Point, Point)) -> Vec<Point> {
    let out = frame.out(way.out, way.out_track);
    let Some(gutter) = way.gutter else { return vec![from, (out, from.1), (out, to.1), to] };
    let (into, along) = (frame.out(way.into, way.into_track), frame.along(gutter));
    vec![from, (out, from.1), (out, along), (into, along), (into, to.1), to]
}
