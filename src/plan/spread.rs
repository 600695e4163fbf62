//! Spreading checks over school days.

use std::collections::BTreeMap;

use jiff::ToSpan;
use jiff::civil::Date;

use super::part::parts;
use super::{Check, Limits, Plan, SchoolDays, Topic};

/// Plans the checks of one year group's topics.
///
/// - Every check is on a school day and not before the day on which it is due.
/// - No day asks for more than a session holds, unless a single card does.
/// - The checks of a topic, and the parts of a check, keep their order; no topic comes back twice on
///   one day.
/// - What falls due first is placed first; of what falls due on one day, earlier checks before later
///   ones, because what was learnt last is forgotten fastest, then topics in the given order.
///
/// The same topics give the same plan.
pub fn spread(topics: &[Topic], days: &SchoolDays, limits: &Limits) -> Plan {
    let mut spreading = Spreading { topics, days, limits, asked: BTreeMap::new(), plan: Plan::default() };
    spreading.plan.undated = (0..topics.len()).filter(|&at| topics[at].taught_on.is_none()).collect();
    spreading.find_long_cards();
    let due = spreading.due();
    spreading.find_crowded_days(&due);
    let mut last: BTreeMap<usize, Option<Date>> = BTreeMap::new();
    for check in due {
        let earliest = match last.get(&check.topic) {
            None => days.from(check.due),
            Some(Some(last)) => days.after(*last).and_then(|after| days.from(after.max(check.due))),
            Some(None) => continue,
        };
        let placed = earliest.and_then(|earliest| spreading.place(&check, earliest));
        if placed.is_none() {
            spreading.plan.unplaced.push((check.topic, check.number));
        }
        last.insert(check.topic, placed);
    }
    let mut plan = spreading.plan;
    plan.checks.sort_by_key(|check| check.day);
    plan
}

struct Spreading<'a> {
    topics: &'a [Topic],
    days: &'a SchoolDays,
    limits: &'a Limits,
    /// Questions by day.
    asked: BTreeMap<Date, usize>,
    plan: Plan,
}

/// A check that has no day yet. Their order is that in which they are placed.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Due {
    due: Date,
    number: usize,
    topic: usize,
    after: u16,
}

impl Spreading<'_> {
    fn due(&self) -> Vec<Due> {
        let mut after = self.limits.review_days.clone();
        after.sort_unstable();
        after.dedup();
        let mut due = Vec::new();
        for (topic, taught_on) in self.topics.iter().enumerate().filter_map(|(at, topic)| Some((at, topic.taught_on?)))
        {
            for (at, &after) in after.iter().enumerate().filter(|_| self.topics[topic].questions() > 0) {
                // No day so far away is in any term.
                let day = taught_on.checked_add(i32::from(after).days()).unwrap_or(Date::MAX);
                due.push(Due { due: day, number: at + 1, topic, after });
            }
        }
        due.sort();
        due
    }

    fn find_long_cards(&mut self) {
        let limit = self.limits.questions();
        for (at, topic) in self.topics.iter().enumerate() {
            let long = topic.cards.iter().enumerate().filter(|(_, questions)| **questions > limit);
            self.plan.too_long.extend(long.map(|(card, _)| (at, card)));
        }
    }

    fn find_crowded_days(&mut self, due: &[Due]) {
        let mut falling: BTreeMap<Date, usize> = BTreeMap::new();
        for check in due {
            if let Some(day) = self.days.from(check.due) {
                *falling.entry(day).or_default() += self.topics[check.topic].questions();
            }
        }
        let limit = self.limits.questions();
        self.plan.crowded = falling.into_iter().filter(|(_, questions)| *questions > limit).collect();
    }

    /// Puts the parts of a check on the first days from `earliest` that have room for them. Gives the
    /// last of these days; `None` when the days run out, and then no part is placed.
    fn place(&mut self, due: &Due, earliest: Date) -> Option<Date> {
        let topic = &self.topics[due.topic];
        let parts = parts(&topic.cards, self.limits.questions());
        let mut placed: Vec<Check> = Vec::with_capacity(parts.len());
        for (at, cards) in parts.iter().enumerate() {
            let questions = topic.cards[cards.clone()].iter().sum();
            let from = match placed.last() {
                None => earliest,
                Some(before) => self.days.after(before.day)?,
            };
            placed.push(Check {
                day: self.with_room(from, questions)?,
                topic: due.topic,
                number: due.number,
                after: due.after,
                due: due.due,
                part: at + 1,
                parts: parts.len(),
                cards: cards.clone(),
                questions,
            });
        }
        placed.iter().for_each(|check| *self.asked.entry(check.day).or_default() += check.questions);
        let last = placed.last().map(|check| check.day);
        self.plan.checks.append(&mut placed);
        last
    }

    fn with_room(&self, from: Date, questions: usize) -> Option<Date> {
        let limit = self.limits.questions();
        let has_room = |day: Date| match self.asked.get(&day) {
            None | Some(0) => true,
            Some(asked) => asked + questions <= limit,
        };
        let mut day = Some(from);
        while let Some(at) = day.filter(|&day| !has_room(day)) {
            day = self.days.after(at);
        }
        day
    }
}
