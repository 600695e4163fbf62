//! Drawing cards from piles.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use jiff::civil::Date;
use sha2::{Digest, Sha256};

use super::piles::Piles;
use crate::deck::{Card, Deck};

/// A card that may be drawn or was.
#[derive(Clone, Copy, Debug)]
pub(super) struct Drawn<'d> {
    /// The review day of its pile; none for longer ago.
    pub days: Option<u16>,
    /// The day from which its topic is taught.
    pub taught_on: Date,
    /// Its deck.
    pub deck: &'d Deck,
    /// It.
    pub card: &'d Card,
}

/// Draws up to `count` cards, each once: one from longer ago, the others from the recent piles in turn.
/// Where these run out, what lies between and longer ago gives more. Cards of the core come before those
/// beyond it; else `key` decides which.
///
/// They come out with what was taught last first.
pub(super) fn draw<'d>(piles: &Piles<'d>, count: usize, key: &str) -> Vec<Drawn<'d>> {
    let shuffled = |pile: &[Drawn<'d>]| {
        let mut pile = pile.to_vec();
        pile.sort_by_cached_key(|one| (one.card.extension, digest(key, &one.card.id.value)));
        pile.into_iter()
    };
    let mut recent: Vec<_> = piles.recent.iter().map(|pile| shuffled(pile)).collect();
    let (mut older, mut between) = (vec![shuffled(&piles.older)], vec![shuffled(&piles.between)]);
    let mut hand = Hand { seen: BTreeSet::new(), drawn: Vec::new(), left: count };
    hand.draw_one(&mut older[0]);
    for piles in [&mut recent, &mut between, &mut older] {
        hand.draw_in_turn(piles);
    }
    let mut drawn = hand.drawn;
    drawn.sort_by_key(|one| (Reverse(one.taught_on), one.days.unwrap_or(u16::MAX), digest(key, &one.card.id.value)));
    drawn
}

fn digest(key: &str, id: &str) -> Vec<u8> {
    Sha256::digest(format!("{key}/{id}")).to_vec()
}

/// What was drawn so far.
struct Hand<'d> {
    seen: BTreeSet<&'d str>,
    drawn: Vec<Drawn<'d>>,
    left: usize,
}

impl<'d> Hand<'d> {
    /// Draws the next card of a pile that was not drawn before, when there is room for one and there is one.
    fn draw_one(&mut self, pile: &mut impl Iterator<Item = Drawn<'d>>) -> bool {
        if self.left == 0 {
            return false;
        }
        let Some(one) = pile.find(|one| !self.seen.contains(one.card.id.value.as_str())) else { return false };
        self.seen.insert(&one.card.id.value);
        self.drawn.push(one);
        self.left -= 1;
        true
    }

    /// Draws from each pile in turn until all have run out.
    fn draw_in_turn(&mut self, piles: &mut [impl Iterator<Item = Drawn<'d>>]) {
        loop {
            let drawn = piles.iter_mut().map(|pile| self.draw_one(pile)).filter(|drew| *drew).count();
            if drawn == 0 {
                return;
            }
        }
    }
}
