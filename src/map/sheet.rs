//! The sheet: everything with its place, the best of several layouts.

use super::block::{Block, Kind, Link, blocks, longest_chain};
use super::content::Map;
use super::frame::Frame;
use super::grid::Grid;
use super::lines::Counts;
use super::route::laid_out;
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

/// The most strips of regions.
const STRIPS: usize = 8;
/// The most columns of cards in a strip.
const COLUMNS: usize = 7;
/// So many columns there are at least where a chain of needs is as long; longer ones may go on below.
const CHAIN: usize = 4;

/// Lays out a map: of all widths of cards, numbers of columns and of strips, those with which it is largest on
/// a sheet of the A series, lying.
pub fn sheet(map: &Map) -> Sheet {
    let mut best = Sheet { width: i64::MAX / 2000, height: i64::MAX / 2000, ..Sheet::default() };
    let least = longest_chain(map).clamp(1, CHAIN);
    for card in CARDS {
        let labels: Vec<Vec<String>> = map.cards.iter().map(|one| label(one.number, &one.label, card)).collect();
        let tall: Vec<i64> = labels.iter().map(|lines| card_height(lines.len())).collect();
        for columns in least..=COLUMNS.min(map.cards.len().max(1)) {
            let (topics, far) = blocks_and_links(map, &tall, columns);
            for strips in 1..=map.topics.len().clamp(1, STRIPS) {
                let grid = Grid::new(card, columns, strips, &topics);
                let none = Counts::none(&grid);
                let bare = Frame { grid: &grid, counts: &none };
                // Lines only make it larger.
                if size(bare.width(), bare.height()) < best.size() {
                    let drawn = laid_out(&grid, &tall, &far);
                    if drawn.size() < best.size() {
                        best = Sheet { labels: labels.clone(), ..drawn };
                    }
                }
            }
        }
    }
    best
}

impl Sheet {
    fn size(&self) -> i64 {
        size(self.width, self.height)
    }
}

/// The height of the sheet of the A series that holds so much (ISO 216: the sides are as 1 to the square root
/// of 2).
fn size(width: i64, height: i64) -> i64 {
    (width * 1000 / 1414).max(height)
}

/// What stands on a card of that width, in lines that fit.
fn label(number: Option<usize>, text: &str, card: i64) -> Vec<String> {
    let text = number.map_or_else(|| text.to_owned(), |number| format!("{number} {text}"));
    // A little less than there is: fonts differ.
    let room = (card - 2 * PADDING) * 9600 / TEXT;
    wrapped(&text, room, LINES)
}

/// The blocks of each topic, and the links that none of them holds.
fn blocks_and_links(map: &Map, tall: &[i64], columns: usize) -> (Vec<Vec<Block>>, Vec<Link>) {
    let mut far = between_topics(map);
    let mut topics = Vec::new();
    for topic in 0..map.topics.len() {
        let (blocks, own) = blocks(map, topic, tall, columns);
        topics.push(blocks);
        far.extend(own);
    }
    far.sort_unstable();
    (topics, far)
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
