//! Which comes first, who does what to whom, and what belongs to what.

use super::exchange::{Exchange, exchange};
use super::{Difference, FactKind, Focus, Touch, View};
use crate::source::reading::Token;

impl View<'_> {
    /// What the question names has another answer beside it now, and the answer stands beside
    /// another name: `the capital of A is Y and the capital of B is X`.
    pub(super) fn bound_to_others(&self, out: &mut Vec<Difference>) {
        let passage = self.passage.tokens;
        let quote = self.quote.tokens;
        let distinct = |token: &Token| token.value().is_some() || token.is_name();
        for (answer, answer_to) in
            self.pairs().filter(|(at, _)| self.touch[*at] == Touch::Answers && distinct(&quote[*at]))
        {
            for (asked, asked_to) in
                self.pairs().filter(|(at, _)| self.touch[*at] == Touch::Asks && distinct(&quote[*at]))
            {
                let (with_answer, with_asked) = (passage[answer_to].clause, passage[asked_to].clause);
                if quote[answer].clause != quote[asked].clause || with_answer == with_asked {
                    continue;
                }
                let new = |clause: usize, like: &Token| {
                    (0..passage.len())
                        .find(|at| passage[*at].clause == clause && self.free(*at) && passage[*at].same_kind(like))
                };
                let rival = new(with_asked, &quote[answer]);
                if let (Some(rival), Some(_)) = (rival, new(with_answer, &quote[asked])) {
                    return out.push(self.difference(FactKind::Order, answer, Some(rival)));
                }
            }
        }
    }

    /// Facts that changed places, unless an opposite word turns the sense back.
    pub(super) fn exchanged(&self, out: &mut Vec<Difference>) {
        let found = exchange(self);
        match found {
            Some(Exchange { turned: true, .. }) => out.retain(|difference| difference.kind != FactKind::Opposite),
            Some(Exchange { one, other, .. }) => {
                let before = out.len();
                out.retain(|difference| difference.kind != FactKind::Opposite);
                if out.len() == before {
                    let mut difference = self.difference(FactKind::Order, one, self.pairing.to[other]);
                    difference.answers = difference.answers || self.touch[other] == Touch::Answers;
                    out.push(difference);
                }
            }
            None => {}
        }
    }

    /// The points of an ordered answer stand in another order now.
    pub(super) fn order(&self, focus: &Focus, out: &mut Vec<Difference>) {
        let mut places: Vec<(usize, usize)> = focus.points.iter().filter_map(|point| self.place_of(point)).collect();
        places.sort_unstable();
        if let Some(two) = places.windows(2).find(|two| two[0].1 > two[1].1) {
            out.push(self.difference(FactKind::Order, two[0].0, self.pairing.to[two[1].0]));
        }
    }

    /// Where the weightiest word of a point stands in the quote and in the passage.
    pub(super) fn place_of(&self, point: &[Token]) -> Option<(usize, usize)> {
        // A word that several points have, such as `core`, tells no place.
        let once = |token: &Token| self.quote.tokens.iter().filter(|other| token.is_same(other)).count() == 1;
        let says = |token: &Token| if once(token) { token.weight + 1.0 } else { token.weight };
        let heaviest = point.iter().max_by(|one, other| says(one).total_cmp(&says(other)))?;
        let at = self.quote.tokens.iter().position(|token| heaviest.is_said_by(token))?;
        Some((at, self.pairing.to[at]?))
    }
}
