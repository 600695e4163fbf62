//! The affected decks, judged anew with the decks beside them on which they lean.

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet, HashSet};

use rayon::prelude::*;

use super::super::cited::cited;
use super::super::context::Context;
use super::super::policy::{Waived, waivers};
use super::super::repeats::{Asked, Keyed};
use super::super::rules::missing_link::{LOOKED_UP, links};
use super::super::run::found;
use super::super::similar::{Alike, told};
use super::super::teaching::Teaching;
use super::Changed;
use super::affected::{Affected, links_to_nothing};
use super::kept::{Kept, Overview};
use super::questions::Questions;
use super::shares;
use crate::deck::department::{CARDS, deck_of, read_text};
use crate::deck::settings::read_settings;
use crate::deck::{Card, Deck, Department, Settings, read_deck};
use crate::finding::Finding;
use crate::notes::Notes;
use crate::place::SourceFile;
use crate::snapshot::Snapshot;
use crate::source::{AllNotes, Weights};
use crate::text::similar_among;
use std::sync::Arc;

/// Decks by number, each with what is wrong with its file as a whole.
pub type Read = BTreeMap<u32, (Deck, Vec<Finding>)>;

/// What is found in the affected decks, before levels and waivers; and their waivers.
pub struct Part {
    /// What is found.
    pub findings: Vec<Finding>,
    /// The waivers, each with the number of its deck.
    pub waivers: Vec<(u32, Waived)>,
}

/// A deck that did not change, read.
pub fn read(overview: &Overview, snapshot: &dyn Snapshot, number: u32) -> Option<(Deck, Vec<Finding>)> {
    let name = &overview.decks.get(number as usize)?.name;
    let path = format!("decks/{name}/{CARDS}");
    let mut found = Vec::new();
    let file = read_text(snapshot, &path, *overview.files.get(&path)?, &mut found).ok()??;
    Some((read_deck(name, Arc::new(file)), found))
}

/// Judges the affected decks; `None` when more than some decks is needed for it.
pub fn judged_part(
    kept: &dyn Kept,
    snapshot: &dyn Snapshot,
    settings: &Settings,
    changed: Changed,
    affected: Affected<'_>,
) -> Option<Part> {
    let Affected { decks: wanted, questions, read: mut known } = affected;
    let overview = kept.overview();
    let Changed { decks: new, now, .. } = changed;
    let changed: Vec<u32> = new.keys().copied().collect();
    known.extend(new.into_iter().map(|(number, deck)| (number, (deck, Vec::new()))));
    add(&mut known, overview, snapshot, wanted.iter().copied())?;
    let pairs = alike_in(&wanted, &questions)?;
    let shares = |number| now.get(&number).cloned().or_else(|| kept.shares(number));
    let mut beside = Beside { kept, settings, wanted: &wanted, changed: &changed }.decks(&known, shares)?;
    beside.extend(pairs.iter().map(|(one, _)| questions.deck(*one)));
    add(&mut known, overview, snapshot, beside)?;

    let is_wanted = |path: &str| number_of(overview, path).is_some_and(|number| wanted.contains(&number));
    let is_wanted_deck = |deck: &Deck| is_wanted(&deck.file.path);
    let numbers: Vec<u32> = known.keys().copied().collect();
    let (decks, mut findings) = (known.into_values()).fold((Vec::new(), Vec::new()), |mut all, (deck, found)| {
        all.0.push(deck);
        all.1.extend(found);
        all
    });
    let department = department(overview, snapshot, settings, decks, is_wanted_deck)?;
    let elsewhere = Elsewhere::of(kept, &department, &changed, is_wanted_deck)?;
    let mut department = department.without_cards(elsewhere.known);
    // Nothing when somebody asked for notes that were not read.
    let judged = |department: &Department, reach: Reach| -> Option<Option<Part>> {
        let all_notes = notes_with_weights(kept, department, reach)?;
        let alike = told_alike(kept, department, &numbers, &questions, &pairs, all_notes.weights())?;
        let context = Context::of_part(department, all_notes, alike, elsewhere.ids.clone(), is_wanted_deck);
        let mut findings = found(&context, is_wanted_deck);
        findings.retain(|finding| is_wanted(&finding.place.path));
        let waivers = waivers(&context).into_iter().filter_map(|waiver| {
            let path = &waiver.otherwise.place.path;
            let number = number_of(overview, path).filter(|number| wanted.contains(number))?;
            Some((number, waiver))
        });
        let part = Part { findings, waivers: waivers.collect() };
        Some((!context.all_notes.fell_short()).then_some(part))
    };
    let mut part = match judged(&department, Reach::Some)? {
        Some(part) => part,
        None => {
            department.notes = notes_at(overview, snapshot, overview.files.keys())?;
            judged(&department, Reach::All)??
        }
    };
    findings.retain(|finding| is_wanted(&finding.place.path));
    part.findings.splice(0..0, findings);
    Some(part)
}

fn number_of(overview: &Overview, path: &str) -> Option<u32> {
    overview.number(deck_of(path)?)
}

/// The pairs that ask the same of which the later question is in one of the decks, in order.
fn alike_in(wanted: &BTreeSet<u32>, questions: &Questions<'_>) -> Option<Vec<(u32, u32)>> {
    let mut pairs = Vec::new();
    for question in wanted.iter().flat_map(|deck| questions.of_deck(*deck)) {
        pairs.extend(questions.alike_before(question)?.into_iter().map(|one| (one, question)));
    }
    pairs.sort_by_key(|(one, other)| (questions.place(*one), questions.place(*other)));
    Some(pairs)
}

/// The department of these decks, with the notes that the wanted ones name.
fn department(
    overview: &Overview,
    snapshot: &dyn Snapshot,
    settings: &Settings,
    decks: Vec<Deck>,
    is_wanted: impl Fn(&Deck) -> bool,
) -> Option<Department> {
    let notes = notes_of(overview, snapshot, decks.iter().filter(|deck| is_wanted(deck)))?;
    let settings = read_settings(Arc::clone(&settings.file));
    let mut department = Department::of_parts(settings, decks, notes, overview.files.clone());
    department.read_pictures(snapshot).ok()?;
    Some(department)
}

/// Which of a department's notes are read.
#[derive(Clone, Copy)]
enum Reach {
    Some,
    All,
}

fn notes_with_weights(kept: &dyn Kept, department: &Department, reach: Reach) -> Option<AllNotes> {
    let read: Vec<(String, Notes)> =
        department.notes.par_iter().map(|(path, file)| (path.clone(), Notes::read(&file.text))).collect();
    Some(match reach {
        Reach::Some => AllNotes::of_part(read, kept.weights()?),
        Reach::All => AllNotes::of_whole(read, kept.weights()?),
    })
}

/// What is told of the pairs, in a department of the decks of these numbers.
fn told_alike<'d>(
    kept: &dyn Kept,
    department: &'d Department,
    numbers: &[u32],
    questions: &Questions<'_>,
    pairs: &[(u32, u32)],
    weights: &Weights,
) -> Option<Vec<Alike<'d>>> {
    let mut asked: Vec<u32> = pairs.iter().flat_map(|(one, other)| [*one, *other]).collect();
    asked.sort_by_key(|question| questions.place(*question));
    asked.dedup();
    let keyed = |&question: &u32| {
        let deck = &department.decks[numbers.binary_search(&questions.deck(question)).ok()?];
        let (card, number) = questions.at(question)?;
        let card = deck.cards.get(card as usize)?;
        Keyed::of(Asked { deck, card, question: card.questions.get(number as usize)? })
    };
    let keyed: Option<Vec<Keyed<'d>>> = asked.iter().map(keyed).collect();
    let keyed = keyed?;
    let keyed: Vec<&Keyed<'d>> = keyed.iter().collect();
    let at =
        |question: u32| asked.binary_search_by_key(&questions.place(question), |other| questions.place(*other)).ok();
    let pairs: Option<Vec<(usize, usize)>> = pairs.iter().map(|(one, other)| Some((at(*one)?, at(*other)?))).collect();
    let pairs = pairs?;
    let similar = similar_among(&keyed[..], pairs, kept, &questions.renewed.counts)?;
    Some(told(&keyed, similar, weights))
}

/// Reads further decks.
fn add(
    known: &mut Read,
    overview: &Overview,
    snapshot: &dyn Snapshot,
    numbers: impl IntoIterator<Item = u32>,
) -> Option<()> {
    for number in numbers {
        if let Entry::Vacant(vacant) = known.entry(number) {
            vacant.insert(read(overview, snapshot, number)?);
        }
    }
    Some(())
}

/// The notes that decks name as their sources.
fn notes_of<'d>(
    overview: &Overview,
    snapshot: &dyn Snapshot,
    decks: impl Iterator<Item = &'d Deck>,
) -> Option<BTreeMap<String, Arc<SourceFile>>> {
    let mut paths = BTreeSet::new();
    for deck in decks {
        let sources =
            deck.cards.iter().flat_map(|card| &card.questions).filter_map(|question| question.source.as_ref());
        let distinct: BTreeMap<&str, _> = sources.map(|source| (source.value.as_str(), source)).collect();
        paths.extend(distinct.into_values().filter_map(|source| cited(deck, source).path));
    }
    notes_at(overview, snapshot, paths.iter())
}

/// The notes among these files.
fn notes_at<'p>(
    overview: &Overview,
    snapshot: &dyn Snapshot,
    paths: impl Iterator<Item = &'p String>,
) -> Option<BTreeMap<String, Arc<SourceFile>>> {
    let mut notes = BTreeMap::new();
    for path in paths.filter(|path| path.ends_with(".md")) {
        let Some(kind) = overview.files.get(path) else { continue };
        let file = read_text(snapshot, path, *kind, &mut Vec::new()).ok()?;
        notes.extend(file.map(|file| (path.clone(), Arc::new(file))));
    }
    Some(notes)
}

/// Looking for the decks beside the affected ones on which their findings lean.
struct Beside<'b> {
    kept: &'b dyn Kept,
    settings: &'b Settings,
    wanted: &'b BTreeSet<u32>,
    /// What was kept of these does not hold.
    changed: &'b [u32],
}

impl Beside<'_> {
    fn decks(&self, known: &Read, shares: impl Fn(u32) -> Option<shares::Shares>) -> Option<BTreeSet<u32>> {
        let mut decks = BTreeSet::new();
        let teaching = Teaching::of(self.settings);
        for number in self.wanted {
            let shares = shares(*number)?;
            for share in shares.ids.iter().chain(&shares.groups) {
                decks.extend(self.with(*share)?);
            }
            let (deck, _) = known.get(number)?;
            for card in &deck.cards {
                self.add_targets(deck, card, &teaching, &mut decks)?;
            }
        }
        Some(decks)
    }

    /// The unchanged decks that share something.
    fn with(&self, share: u64) -> Option<impl Iterator<Item = u32>> {
        Some(self.kept.decks_with(share)?.into_iter().filter(|deck| !self.changed.contains(deck)))
    }

    /// Adds the decks of cards that a card names: where there are several of one id, and where one that it needs is
    /// taught later.
    fn add_targets(&self, deck: &Deck, card: &Card, teaching: &Teaching<'_>, decks: &mut BTreeSet<u32>) -> Option<()> {
        for (field, to) in links(card) {
            let holders: Vec<u32> = self.with(shares::id(&to.value))?.collect();
            let is_later = holders.iter().any(|holder| {
                let other = &self.kept.overview().decks[*holder as usize];
                let year = deck.year.map(|(year, _)| year);
                let in_later_year = other.year.zip(year).is_some_and(|(other, own)| other > own);
                in_later_year || (other.year == year && teaching.is_later(&other.name, &deck.name))
            });
            if holders.len() > 1 || (field == "needs" && is_later) {
                decks.extend(holders);
            }
        }
        Some(())
    }
}

/// What is known of the cards elsewhere.
struct Elsewhere {
    /// The ids that stand there, of those that are named here.
    known: BTreeSet<String>,
    /// All ids there, when one is named that stands nowhere.
    ids: Vec<String>,
}

impl Elsewhere {
    fn of(
        kept: &dyn Kept,
        department: &Department,
        changed: &[u32],
        is_wanted: impl Fn(&Deck) -> bool,
    ) -> Option<Self> {
        let overview = kept.overview();
        let lost_here: HashSet<&str> =
            department.decks.iter().flat_map(|deck| &deck.lost_ids).map(String::as_str).collect();
        let lost: HashSet<&str> =
            (overview.lost_ids.iter()).filter(|(deck, _)| !changed.contains(deck)).map(|(_, id)| id.as_str()).collect();
        let (mut known, mut missing) = (BTreeSet::new(), BTreeSet::new());
        let named = department.cards().filter(|(deck, _)| is_wanted(deck)).flat_map(|(_, card)| links(card));
        for id in named.map(|(_, to)| to.value.as_str()).filter(|id| !id.is_empty()) {
            if department.card(id).is_some() || lost_here.contains(id) {
                continue;
            }
            let holders = kept.decks_with(shares::id(id))?;
            if lost.contains(id) || holders.iter().any(|holder| !changed.contains(holder)) {
                known.insert(id.to_owned());
            } else {
                missing.insert(id.to_owned());
            }
        }
        let mut ids = Vec::new();
        if !missing.is_empty() {
            missing.extend(links_to_nothing(overview).map(|finding| finding.about.clone()));
            if missing.len() >= LOOKED_UP {
                return None;
            }
            let here: BTreeSet<&str> = department.decks.iter().map(|deck| deck.name.as_str()).collect();
            for (number, deck) in overview.decks.iter().enumerate() {
                if !here.contains(deck.name.as_str()) {
                    ids.extend(kept.ids(number as u32)?);
                }
            }
        }
        Some(Self { known, ids })
    }
}
