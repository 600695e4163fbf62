//! A department checked again after a few of its decks changed, with what was kept of the check before.
//!
//! A finding stands in a file. [`affected`] works out in which decks the findings may be others than before:
//! those that changed, and those that share something with them: an id, a link, the form of a question, an
//! answer asked both ways, a question alike in other words, a finding that points to them. [`part`] judges these
//! anew, with the decks beside them on which they lean. All other findings are those that were kept.
//!
//! What is out of the ordinary is not worked out here: then the whole department is to be checked.

mod affected;
mod kept;
mod part;
mod questions;
mod record;
mod shares;

use std::collections::{BTreeMap, BTreeSet};

pub use super::policy::Waived;
pub use kept::{Kept, KeptDeck, KeptQuestion, Overview, Record, Said};
pub use record::check_recorded;
pub use shares::Shares;

use super::run::{Report, judged};
use crate::deck::department::{MAX_TEXT, deck_of, read_text};
use crate::deck::settings::{self, read_settings};
use crate::deck::{Deck, Settings, read_deck};
use crate::finding::Finding;
use crate::place::SourceFile;
use crate::snapshot::{Kind, Snapshot};
use std::sync::Arc;

/// The report on the department in `snapshot`, in which nothing but the files `changed` differs from the one of
/// which `kept` is known; `None` when the whole has to be checked.
pub fn check_part(kept: &dyn Kept, snapshot: &dyn Snapshot, changed: &BTreeSet<String>) -> Option<Report> {
    let settings = settings_in(snapshot)?;
    let changed = Changed::read(kept, snapshot, changed)?;
    let overview = kept.overview();
    let cards = |(at, deck): (usize, &KeptDeck)| match changed.decks.get(&(at as u32)) {
        Some(deck) => deck.cards.len(),
        None => deck.cards as usize,
    };
    let cards = overview.decks.iter().enumerate().map(cards).sum();
    let affected = affected::affected(kept, snapshot, &changed)?;
    let affected_decks = affected.decks.clone();
    let part = part::judged_part(kept, snapshot, &settings, changed, affected)?;
    let number = |path: &str| deck_of(path).and_then(|name| overview.number(name));
    let stays = |path: &str| number(path).is_none_or(|number| !affected_decks.contains(&number));
    let mut findings: Vec<Finding> =
        overview.findings.iter().filter(|finding| stays(&finding.place.path)).cloned().collect();
    findings.extend(overview.strays.iter().cloned());
    findings.extend(part.findings);
    let mut waivers: Vec<_> =
        overview.waivers.iter().filter(|(deck, _)| !affected_decks.contains(deck)).cloned().collect();
    waivers.extend(part.waivers);
    waivers.sort_by_key(|(deck, _)| *deck);
    let waivers: Vec<_> = waivers.into_iter().map(|(_, waiver)| waiver).collect();
    Some(judged(&settings, &waivers, findings, (overview.decks.len(), cards)))
}

fn settings_in(snapshot: &dyn Snapshot) -> Option<Settings> {
    let file = sound_text(snapshot, settings::PATH)?;
    Some(read_settings(Arc::new(file)))
}

/// The text of a file that is nothing but well saved.
fn sound_text(snapshot: &dyn Snapshot, path: &str) -> Option<SourceFile> {
    let mut found = Vec::new();
    let file = read_text(snapshot, path, Kind::File { size: 0 }, &mut found).ok()??;
    (found.is_empty() && file.text.len() as u64 <= MAX_TEXT).then_some(file)
}

/// The decks that changed, by their numbers, with what they share with others, before and now.
struct Changed {
    decks: BTreeMap<u32, Deck>,
    before: BTreeMap<u32, Shares>,
    now: BTreeMap<u32, Shares>,
}

impl Changed {
    fn read(kept: &dyn Kept, snapshot: &dyn Snapshot, paths: &BTreeSet<String>) -> Option<Self> {
        let mut changed = Self { decks: BTreeMap::new(), before: BTreeMap::new(), now: BTreeMap::new() };
        for path in paths {
            let name = deck_of(path)?;
            let number = kept.overview().number(name)?;
            let deck = read_deck(name, Arc::new(sound_text(snapshot, path)?));
            changed.before.insert(number, kept.shares(number)?);
            changed.now.insert(number, Shares::of(&deck));
            changed.decks.insert(number, deck);
        }
        Some(changed)
    }

    /// What each of the decks shared with others, and what it shares now.
    fn sides(&self) -> impl Iterator<Item = (&Shares, &Shares)> {
        self.before.iter().map(|(number, before)| (before, &self.now[number]))
    }
}
