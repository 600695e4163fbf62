//! In which decks the findings may be others than before.

use std::collections::{BTreeMap, BTreeSet};

use super::super::near::near;
use super::super::rules::missing_link::LOOKED_UP;
use super::super::rules::{link_loop, missing_link};
use super::Changed;
use super::kept::{Kept, Overview};
use super::part::{Read, read};
use super::questions::{Questions, range};
use super::shares;
use crate::deck::Deck;
use crate::deck::department::deck_of;
use crate::finding::Finding;
use crate::snapshot::Snapshot;

/// The decks whose findings may be others than before, by number, and what was read on the way.
pub struct Affected<'k> {
    /// The decks.
    pub decks: BTreeSet<u32>,
    /// The questions that are compared.
    pub questions: Questions<'k>,
    /// Decks that did not change, read.
    pub read: Read,
}

/// The decks whose findings may be others than before; `None` when that cannot be told from what was kept.
pub fn affected<'k>(kept: &'k dyn Kept, snapshot: &dyn Snapshot, changed: &Changed) -> Option<Affected<'k>> {
    if may_need_in_a_circle(kept, changed)? {
        return None;
    }
    let overview = kept.overview();
    let lost: BTreeSet<&str> = links_to_nothing(overview).map(|finding| finding.about.as_str()).collect();
    if lost.len() >= LOOKED_UP {
        return None;
    }
    let mut decks: BTreeSet<u32> = changed.decks.keys().copied().collect();
    decks.extend(pointing(overview, changed));
    decks.extend(linking(kept, changed)?);
    decks.extend(with_links_near(kept, changed)?);
    let sharing = sharing(kept, changed)?;
    decks.extend(&sharing);
    let mut known = Read::new();
    for number in sharing {
        known.insert(number, read(overview, snapshot, number)?);
    }
    let sharing: BTreeMap<u32, &Deck> = known.iter().map(|(number, (deck, _))| (*number, deck)).collect();
    let questions = Questions::new(kept, changed, &sharing)?;
    let renewed = &questions.renewed;
    decks.extend(renewed.come.iter().chain(&renewed.gone).map(|(_, other)| questions.deck(*other)));
    decks.extend(alike_in_other_years(kept, changed)?);
    Some(Affected { decks, questions, read: known })
}

/// Decks with findings that point to a changed deck.
fn pointing<'o>(overview: &'o Overview, changed: &'o Changed) -> impl Iterator<Item = u32> + 'o {
    let number = |path: &str| deck_of(path).and_then(|name| overview.number(name));
    let is_changed = move |path: &str| number(path).is_some_and(|number| changed.decks.contains_key(&number));
    let points = move |finding: &&Finding| finding.related.iter().any(|related| is_changed(&related.place.path));
    overview.findings.iter().filter(points).filter_map(move |finding| number(&finding.place.path))
}

/// Decks with the form of a question in common, or an answer asked both ways.
fn sharing(kept: &dyn Kept, changed: &Changed) -> Option<BTreeSet<u32>> {
    let mut decks = BTreeSet::new();
    let groups: BTreeSet<u64> =
        changed.sides().flat_map(|(before, now)| before.groups.iter().chain(&now.groups)).copied().collect();
    for group in groups {
        decks.extend(kept.decks_with(group)?);
    }
    decks.retain(|deck| !changed.decks.contains_key(deck));
    Some(decks)
}

/// Decks that name or have ids which came to a changed deck or left it, or which stand in another year now.
fn linking(kept: &dyn Kept, changed: &Changed) -> Option<BTreeSet<u32>> {
    let mut decks = BTreeSet::new();
    for (&number, deck) in &changed.decks {
        for id in ids_that_differ(kept, number, deck)? {
            decks.extend(kept.decks_with(shares::link(&id))?);
            decks.extend(kept.decks_with(shares::id(&id))?);
        }
        let lost_before = kept.overview().lost_ids.iter().filter(|(at, _)| *at == number).map(|(_, id)| id);
        for id in lost_before.chain(&deck.lost_ids) {
            decks.extend(kept.decks_with(shares::link(id))?);
        }
        if year_before(kept, number) != year(deck) {
            for id in kept.ids(number)? {
                decks.extend(kept.decks_with(shares::link(&id))?);
            }
        }
    }
    Some(decks)
}

fn year(deck: &Deck) -> Option<u8> {
    deck.year.map(|(year, _)| year)
}

fn year_before(kept: &dyn Kept, number: u32) -> Option<u8> {
    kept.overview().decks.get(number as usize).and_then(|deck| deck.year)
}

/// The ids that only one version of a deck has.
fn ids_that_differ(kept: &dyn Kept, number: u32, deck: &Deck) -> Option<BTreeSet<String>> {
    let before: BTreeSet<String> = kept.ids(number)?.into_iter().collect();
    let now: BTreeSet<String> = deck.cards.iter().map(|card| card.id.value.to_string()).collect();
    Some(before.symmetric_difference(&now).filter(|id| !id.is_empty()).cloned().collect())
}

/// Decks with a link to nothing, of which an id that came or went may be thought to be meant.
fn with_links_near(kept: &dyn Kept, changed: &Changed) -> Option<BTreeSet<u32>> {
    let mut ids = BTreeSet::new();
    for (number, deck) in &changed.decks {
        ids.extend(ids_that_differ(kept, *number, deck)?);
    }
    let overview = kept.overview();
    let lost = links_to_nothing(overview);
    let is_near = |link: &str| ids.iter().any(|id| !near(link, [id.as_str()]).is_empty());
    let decks = lost.filter(|finding| is_near(&finding.about)).filter_map(|finding| finding.deck.as_deref());
    Some(decks.filter_map(|deck| overview.number(deck)).collect())
}

/// The findings about links to cards that are not there.
pub(super) fn links_to_nothing(overview: &Overview) -> impl Iterator<Item = &Finding> {
    overview.findings.iter().filter(|finding| finding.rule == missing_link::RULE.name)
}

/// Decks with questions alike to those of a changed deck that is another year's now.
fn alike_in_other_years(kept: &dyn Kept, changed: &Changed) -> Option<BTreeSet<u32>> {
    let mut decks = BTreeSet::new();
    for (number, deck) in &changed.decks {
        if year_before(kept, *number) != year(deck) {
            for question in range(kept, *number) {
                decks.extend(kept.alike(question)?.into_iter().map(|other| kept.overview().deck_of_question(other)));
            }
        }
    }
    Some(decks)
}

/// More cards than this are not followed from one to the next.
const FOLLOWED: usize = 50_000;

/// Whether cards need each other in a circle, or may do so now.
fn may_need_in_a_circle(kept: &dyn Kept, changed: &Changed) -> Option<bool> {
    if kept.overview().findings.iter().any(|finding| finding.rule == link_loop::RULE.name) {
        return Some(true);
    }
    if changed.sides().all(|(before, now)| before.needs == now.needs && before.ids == now.ids) {
        return Some(false);
    }
    let starts: BTreeSet<u64> = changed.now.values().flat_map(|shares| &shares.needs).map(|(from, _)| *from).collect();
    let mut walk = Walk { kept, changed, shares: BTreeMap::new(), open: BTreeSet::new(), done: BTreeSet::new() };
    for start in starts {
        if walk.meets_itself(start)? {
            return Some(true);
        }
    }
    Some(false)
}

/// A walk from card to card along what they need.
struct Walk<'w> {
    kept: &'w dyn Kept,
    changed: &'w Changed,
    shares: BTreeMap<u32, shares::Shares>,
    open: BTreeSet<u64>,
    done: BTreeSet<u64>,
}

impl Walk<'_> {
    /// Whether the way from a card comes to a card that it has come from.
    fn meets_itself(&mut self, start: u64) -> Option<bool> {
        if self.done.contains(&start) {
            return Some(false);
        }
        let mut way = vec![(start, self.needs(start)?)];
        self.open.insert(start);
        while let Some((at, left)) = way.last_mut() {
            let Some(next) = left.pop() else {
                self.open.remove(at);
                self.done.insert(*at);
                way.pop();
                continue;
            };
            if self.open.contains(&next) {
                return Some(true);
            }
            if !self.done.contains(&next) {
                let needs = self.needs(next)?;
                self.open.insert(next);
                way.push((next, needs));
            }
        }
        Some(false)
    }

    /// What the cards of an id need.
    fn needs(&mut self, id: u64) -> Option<Vec<u64>> {
        if self.done.len() + self.open.len() > FOLLOWED {
            return None;
        }
        let from = |needs: &[(u64, u64)]| -> Vec<u64> {
            let start = needs.partition_point(|(from, _)| *from < id);
            needs[start..].iter().take_while(|(from, _)| *from == id).map(|(_, to)| *to).collect()
        };
        let mut needs: Vec<u64> = self.changed.now.values().flat_map(|shares| from(&shares.needs)).collect();
        for deck in self.kept.decks_with(id)?.into_iter().filter(|deck| !self.changed.decks.contains_key(deck)) {
            if !self.shares.contains_key(&deck) {
                self.shares.insert(deck, self.kept.shares(deck)?);
            }
            needs.extend(from(&self.shares[&deck].needs));
        }
        Some(needs)
    }
}
