//! The piles that questions are drawn from.

use std::collections::BTreeSet;

use jiff::ToSpan;
use jiff::civil::Date;

use super::draw::Drawn;
use super::taught::Taught;

/// Piles of cards without errors. A card may lie in several.
pub(super) struct Piles<'d> {
    /// One for each review day: what was taught that many days before.
    pub recent: Vec<Vec<Drawn<'d>>>,
    /// What was taught before all that.
    pub older: Vec<Drawn<'d>>,
    /// What was taught between the review days.
    pub between: Vec<Drawn<'d>>,
    /// The ids of cards that have errors, in order.
    pub left_out: Vec<String>,
}

impl<'d> Piles<'d> {
    /// The piles of a lesson on the day `on`, leaving out the cards that are `wrong`.
    pub fn new(taught: &[Taught<'d>], review_days: &[u16], on: Date, wrong: &BTreeSet<&str>) -> Self {
        let days: BTreeSet<u16> = review_days.iter().copied().collect();
        let begun_by = |after: u16| {
            let day = on.checked_sub(i32::from(after).days()).unwrap_or(Date::MIN);
            taught.iter().rposition(|topic| topic.on <= day)
        };
        let found: Vec<(u16, usize)> = days.iter().filter_map(|&after| Some((after, begun_by(after)?))).collect();
        let places: BTreeSet<usize> = found.iter().map(|(_, at)| *at).collect();
        let oldest = places.first().copied().unwrap_or(taught.len());
        let between = (oldest..taught.len()).filter(|at| !places.contains(at));
        let sound = |at: usize, days: Option<u16>| {
            let of = move |&(deck, card)| Drawn { days, taught_on: taught[at].on, deck, card };
            let cards = taught[at].cards.iter().filter(|(_, card)| !wrong.contains(card.id.value.as_str()));
            cards.map(of).collect::<Vec<Drawn<'d>>>()
        };
        let all = taught.iter().flat_map(|topic| &topic.cards).map(|(_, card)| card.id.value.to_string());
        let left_out: BTreeSet<String> = all.filter(|id| wrong.contains(id.as_str())).collect();
        Self {
            recent: found.iter().map(|&(after, at)| sound(at, Some(after))).collect(),
            older: (0..oldest).flat_map(|at| sound(at, None)).collect(),
            between: between.flat_map(|at| sound(at, None)).collect(),
            left_out: left_out.into_iter().collect(),
        }
    }
}
