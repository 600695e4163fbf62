//! Blocks: cards of one topic that hang together, in columns.

use std::collections::BTreeMap;

use petgraph::unionfind::UnionFind;

use super::content::{Map, MapCard};
use super::heights::heights;
use super::layers::layers;
use super::order::order;
use super::sizes::{GAP, PASS};

/// How many cards of a block may stand in a column, from few to many: the fewest with which it fits.
const HEIGHTS: std::ops::RangeInclusive<usize> = 3..=9;
/// How many there are where it does not fit with any, and goes on in another block.
const USUAL: usize = 6;
/// The most places in a block where a line passes between cards; lines beyond run round the block.
const PASSES: usize = 300;

/// How two cards are joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// The first is to be known first.
    Needs,
    /// They are connected.
    See,
}

/// Two cards that are joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Link {
    /// The one to know first, or the earlier one.
    pub from: usize,
    /// The other.
    pub to: usize,
    /// How.
    pub kind: Kind,
}

/// Cards that hang together.
#[derive(Clone, Debug, Default)]
pub struct Block {
    /// Each card with its column and its top.
    pub cards: Vec<Placed>,
    /// Where everything in each column begins and ends.
    pub columns: Vec<Vec<(i64, i64)>>,
    /// The lines that stay in the block.
    pub lines: Vec<Near>,
}

/// A card in a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Placed {
    /// The card.
    pub card: usize,
    /// Its column.
    pub column: usize,
    /// Its top.
    pub top: i64,
}

/// A line from column to column, or between two cards of one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Near {
    /// What it joins; the left card first.
    pub link: Link,
    /// At which heights it passes the columns in between.
    pub through: Vec<(usize, i64)>,
}

/// The blocks of a topic, none wider than `columns`, and the links that none of them holds. `tall` is the
/// height of every card.
pub fn blocks(map: &Map, topic: usize, tall: &[i64], columns: usize) -> (Vec<Block>, Vec<Link>) {
    let members: Vec<usize> = (0..map.cards.len()).filter(|&at| map.cards[at].topic == topic).collect();
    let place: BTreeMap<usize, usize> = members.iter().enumerate().map(|(place, &card)| (card, place)).collect();
    let own = |others: &[usize]| others.iter().filter_map(|other| place.get(other).copied()).collect::<Vec<_>>();
    let needs: Vec<Vec<usize>> = members.iter().map(|&card| own(&map.cards[card].needs)).collect();
    let see: Vec<Vec<usize>> = members.iter().map(|&card| own(&map.cards[card].see)).collect();
    let mut together = UnionFind::<usize>::new(members.len());
    for at in 0..members.len() {
        needs[at].iter().chain(&see[at]).for_each(|&other| _ = together.union(at, other));
    }
    let group: Vec<usize> = (0..members.len()).map(|at| together.find(at)).collect();
    let layers = fitting(&needs, &group, columns);
    let mut groups: BTreeMap<(usize, usize), Vec<usize>> = BTreeMap::new();
    for at in 0..members.len() {
        groups.entry((group[at], layers[at] / columns)).or_default().push(at);
    }
    let links = |at: usize| {
        let link = |kind| move |&from: &usize| Link { from, to: at, kind };
        needs[at].iter().map(link(Kind::Needs)).chain(see[at].iter().map(link(Kind::See))).collect::<Vec<_>>()
    };
    let all: Vec<Link> = (0..members.len()).flat_map(links).collect();
    let block_of: BTreeMap<usize, usize> =
        groups.values().enumerate().flat_map(|(block, cards)| cards.iter().map(move |&card| (card, block))).collect();
    let mut blocks = Vec::new();
    let mut far = Vec::new();
    for (block, cards) in groups.values().enumerate() {
        let inside: Vec<Link> =
            all.iter().copied().filter(|link| block_of[&link.to] == block && block_of[&link.from] == block).collect();
        let mut sketch = Sketch::new(cards, &layers, |at| tall[members[at]]);
        inside.into_iter().for_each(|link| far.extend(sketch.join(link)));
        blocks.push(sketch.block());
    }
    far.extend(all.into_iter().filter(|link| block_of[&link.to] != block_of[&link.from]));
    let named = |link: Link| Link { from: members[link.from], to: members[link.to], ..link };
    for block in &mut blocks {
        block.cards.iter_mut().for_each(|placed| placed.card = members[placed.card]);
        block.lines.iter_mut().for_each(|line| line.link = named(line.link));
    }
    (blocks, far.into_iter().map(named).collect())
}

/// How many cards the longest chain of needs within a topic has.
pub fn longest_chain(map: &Map) -> usize {
    let within = |card: &MapCard| {
        let own = card.needs.iter().copied().filter(|&other| map.cards[other].topic == card.topic);
        own.collect::<Vec<usize>>()
    };
    let needs: Vec<Vec<usize>> = map.cards.iter().map(within).collect();
    layers(&needs, &vec![0; needs.len()], usize::MAX).into_iter().max().map_or(0, |last| last + 1)
}

/// The column of each card in its group, counted from the group's first: so that groups are flat and yet fit
/// the columns that there are.
fn fitting(needs: &[Vec<usize>], group: &[usize], columns: usize) -> Vec<usize> {
    let mut chosen = vec![usize::MAX; needs.len()];
    for (most, last_try) in HEIGHTS.map(|most| (most, false)).chain([(USUAL, true)]) {
        let layers = layers(needs, group, most);
        let mut ends: BTreeMap<usize, (usize, usize)> = BTreeMap::new();
        for (&group, &layer) in group.iter().zip(&layers) {
            let (first, last) = ends.entry(group).or_insert((layer, layer));
            (*first, *last) = (layer.min(*first), layer.max(*last));
        }
        for (at, chosen) in chosen.iter_mut().enumerate().filter(|(_, chosen)| **chosen == usize::MAX) {
            let (first, last) = ends[&group[at]];
            if last - first < columns || last_try {
                *chosen = layers[at] - first;
            }
        }
    }
    chosen
}

/// A block while it is made: cards and passes are its things, by number.
struct Sketch {
    columns: Vec<Vec<usize>>,
    /// The card, unless the thing is a pass.
    cards: Vec<Option<usize>>,
    tall: Vec<i64>,
    column_of: BTreeMap<usize, usize>,
    thing_of: BTreeMap<usize, usize>,
    /// Where the lines of one kind that leave a card pass a column: all in one place.
    passes: BTreeMap<(usize, Kind, usize), usize>,
    steps: Vec<(usize, usize)>,
    lines: Vec<(Link, Vec<usize>)>,
}

impl Sketch {
    fn new(cards: &[usize], layers: &[usize], tall: impl Fn(usize) -> i64) -> Self {
        let first = cards.iter().map(|&card| layers[card]).min().unwrap_or(0);
        let last = cards.iter().map(|&card| layers[card]).max().unwrap_or(0);
        let mut columns = vec![Vec::new(); last - first + 1];
        cards.iter().enumerate().for_each(|(thing, &card)| columns[layers[card] - first].push(thing));
        Self {
            columns,
            cards: cards.iter().copied().map(Some).collect(),
            tall: cards.iter().map(|&card| tall(card) + GAP).collect(),
            column_of: cards.iter().map(|&card| (card, layers[card] - first)).collect(),
            thing_of: cards.iter().enumerate().map(|(thing, &card)| (card, thing)).collect(),
            passes: BTreeMap::new(),
            steps: Vec::new(),
            lines: Vec::new(),
        }
    }

    /// Draws a link, or gives it back when it has to run round the block.
    fn join(&mut self, link: Link) -> Option<Link> {
        let (from, to) = (self.column_of[&link.from], self.column_of[&link.to]);
        match link.kind {
            Kind::See if from == to => self.lines.push((link, Vec::new())),
            Kind::See if from > to => return self.join(Link { from: link.to, to: link.from, kind: Kind::See }),
            Kind::Needs if from >= to => return Some(link),
            _ if self.passes.len() + (to - from) > PASSES => return Some(link),
            _ => self.pass(link, from, to),
        }
        None
    }

    fn pass(&mut self, link: Link, from: usize, to: usize) {
        let mut before = self.thing_of[&link.from];
        let mut passes = Vec::new();
        for column in from + 1..to {
            before = self.passed(link, column, before);
            passes.push(before);
        }
        self.steps.push((before, self.thing_of[&link.to]));
        self.lines.push((link, passes));
    }

    /// Where a link passes a column, coming from `before`.
    fn passed(&mut self, link: Link, column: usize, before: usize) -> usize {
        if let Some(&known) = self.passes.get(&(link.from, link.kind, column)) {
            return known;
        }
        let thing = self.cards.len();
        self.cards.push(None);
        self.tall.push(PASS);
        self.columns[column].push(thing);
        self.steps.push((before, thing));
        self.passes.insert((link.from, link.kind, column), thing);
        thing
    }

    fn block(mut self) -> Block {
        order(&mut self.columns, &self.steps);
        let tops = heights(&self.columns, &self.tall, &self.steps);
        let mut block = Block::default();
        let mut column_of = vec![0; self.cards.len()];
        for (at, column) in self.columns.iter().enumerate() {
            block.columns.push(column.iter().map(|&thing| (tops[thing], tops[thing] + self.tall[thing])).collect());
            for &thing in column {
                column_of[thing] = at;
                block.cards.extend(self.cards[thing].map(|card| Placed { card, column: at, top: tops[thing] }));
            }
        }
        let at = |thing: &usize| (column_of[*thing], tops[*thing] + PASS / 2);
        block.lines = self
            .lines
            .iter()
            .map(|(link, passes)| Near { link: *link, through: passes.iter().map(at).collect() })
            .collect();
        block
    }
}
