//! From a grid to a sheet: cards, and the lines between them.

use super::block::{Link, Near};
use super::frame::Frame;
use super::grid::{Cell, Grid};
use super::lines::{Counts, Lane, Way, assign};
use super::sheet::{Area, Course, Line, Point, Sheet};

/// How often tracks are given anew: where lines are depends on how many tracks there are, and the tracks on
/// where lines are.
const ROUNDS: usize = 6;

/// Everything on a grid but the text on the cards. `tall` is the height of each card, and `far` are the links
/// that no block holds.
pub fn laid_out(grid: &Grid, tall: &[i64], far: &[Link]) -> Sheet {
    let cells = grid.cells(tall.len());
    let mut counts = Counts::none(grid);
    let mut ways = ways(&Frame { grid, counts: &counts }, &cells, tall, far);
    let near: Vec<((usize, usize), &Near)> = (grid.places().into_iter().zip(&grid.regions))
        .flat_map(|(place, region)| region.lines.iter().map(move |line| (place, line)))
        .collect();
    for round in 0.. {
        let frame = Frame { grid, counts: &counts };
        let cards: Vec<Area> = cells.iter().zip(tall).map(|(cell, &height)| frame.card(*cell, height)).collect();
        let ports = ports(&frame, &cards, &near, &ways);
        let points: Vec<Vec<Point>> =
            ways.iter().zip(&ports[near.len()..]).map(|(way, ports)| frame.points(way, *ports)).collect();
        let (mut now, mut again) = (counts.clone(), ways.clone());
        assign(&mut again, &mut now, &spans(&ways, &points));
        if round == ROUNDS || (now == counts && again == ways) {
            let mut lines: Vec<Line> =
                near.iter().zip(&ports).map(|((place, near), ports)| inside(&frame, *place, near, *ports)).collect();
            lines.extend(
                ways.iter().zip(points).map(|(way, points)| Line { link: way.link, course: Course::Angled(points) }),
            );
            let regions = grid.places().into_iter().map(|place| frame.region(place)).collect();
            let (width, height) = (frame.width(), frame.height());
            return Sheet { width, height, regions, cards, labels: Vec::new(), lines };
        }
        (counts, ways) = (now, again);
    }
    unreachable!("the rounds end")
}

fn ways(bare: &Frame<'_>, cells: &[(Cell, i64)], tall: &[i64], far: &[Link]) -> Vec<Way> {
    let end = |card: usize| {
        let area = bare.card(cells[card], tall[card]);
        (cells[card].0, area.y + area.height / 2)
    };
    let gutter = |strip, at| bare.middle(Lane::Gutter(strip, at));
    far.iter().map(|&link| Way::new(bare.grid, link, end(link.from), end(link.to), gutter)).collect()
}

/// From where to where each leg of each way runs.
fn spans(ways: &[Way], points: &[Vec<Point>]) -> Vec<Vec<(i64, i64)>> {
    let of_way = |(way, points): (&Way, &Vec<Point>)| {
        let leg = |(at, (lane, _)): (usize, &(Lane, usize))| {
            let (from, to) = (points[at + 1], points[at + 2]);
            let (from, to) = if matches!(lane, Lane::Gutter(..)) { (from.0, to.0) } else { (from.1, to.1) };
            (from.min(to), from.max(to))
        };
        way.legs.iter().enumerate().map(leg).collect()
    };
    ways.iter().zip(points).map(of_way).collect()
}

fn inside(frame: &Frame<'_>, (strip, row): (usize, usize), near: &Near, (from, to): (Point, Point)) -> Line {
    let course = if from.0 == to.0 {
        Course::Bow(from, to)
    } else {
        let mut points = vec![from];
        for &(column, top) in &near.through {
            let (x, y) = (frame.column(strip, column), frame.inside(strip, row, top));
            points.extend([(x, y), (x + frame.grid.card, y)]);
        }
        points.push(to);
        Course::Curved(points)
    };
    Line { link: near.link, course }
}

/// One end of a line: at the right edge of the card or at its left, and what it looks towards.
struct End {
    card: usize,
    right: bool,
    towards: i64,
    /// Lines with the same number share their port; others have a number of their own.
    net: usize,
    line: usize,
    first: bool,
}

/// Where each line leaves and arrives: those within blocks, then the others. At each edge of a card the ends
/// stand in the order in which their other ends do; what shares a track shares its port.
fn ports(frame: &Frame<'_>, cards: &[Area], near: &[((usize, usize), &Near)], ways: &[Way]) -> Vec<(Point, Point)> {
    let middle = |card: usize| cards[card].y + cards[card].height / 2;
    let mut ends = Vec::new();
    for (line, (_, near)) in near.iter().enumerate() {
        let Link { from, to, .. } = near.link;
        let bow = cards[from].x == cards[to].x;
        ends.push(End { card: from, right: true, towards: middle(to), net: line, line, first: true });
        ends.push(End { card: to, right: bow, towards: middle(from), net: line, line, first: false });
    }
    let mut leaving = std::collections::BTreeMap::new();
    for (at, way) in ways.iter().enumerate() {
        let line = near.len() + at;
        let Link { from, to, kind } = way.link;
        let looks = |leg: Option<&(Lane, usize)>, other: usize| match leg {
            Some(&(lane @ Lane::Gutter(..), _)) => frame.middle(lane),
            _ => middle(other),
        };
        let (net, towards) = *leaving.entry((from, kind)).or_insert((line, looks(way.legs.get(1), to)));
        ends.push(End { card: from, right: true, towards, net, line, first: true });
        let towards = looks(way.legs.iter().rev().nth(1), from);
        ends.push(End { card: to, right: false, towards, net: line, line, first: false });
    }
    let mut ports = vec![((0, 0), (0, 0)); near.len() + ways.len()];
    ends.sort_by_key(|end| (end.card, end.right, end.towards, end.net, end.line, end.first));
    for edge in ends.chunk_by(|one, other| (one.card, one.right) == (other.card, other.right)) {
        let shared: Vec<&[End]> = edge.chunk_by(|one, other| one.net == other.net).collect();
        for (at, group) in shared.iter().enumerate() {
            for end in *group {
                let card = cards[end.card];
                let y = card.y + card.height * (at as i64 + 1) / (shared.len() as i64 + 1);
                let port = (if end.right { card.x + card.width } else { card.x }, y);
                if end.first { ports[end.line].0 = port } else { ports[end.line].1 = port }
            }
        }
    }
    ports
}
