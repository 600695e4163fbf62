//! Looking things up in an index.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use git2::Oid;

use super::blocks::{Blocks, Section};
use super::bytes::Reader;
use crate::cache::stored;
use crate::check::partial::{Kept, KeptDeck, KeptQuestion, Overview, Said, Shares, Waived};
use crate::snapshot::{Kind, Listing, Snapshot, differing_trees};
use crate::source::Weights;
use crate::text::{KeptQuestions, OwnPosed};

/// An index that is there.
#[derive(Debug)]
pub struct Index {
    blocks: Blocks,
    overview: Overview,
    questions: u32,
}

/// An index of which only the files are known yet.
#[derive(Debug)]
pub struct Opened {
    blocks: Blocks,
    /// The files that it is about.
    pub listing: Listing,
}

impl Index {
    /// The index at `path`, when `program` wrote it and it is sound so far.
    pub fn open(path: &Path, program: &str) -> Option<Opened> {
        let blocks = Blocks::open(path, program)?;
        let bytes = blocks.whole(Section::Listing)?;
        let mut reader = Reader(&bytes);
        let (store, tree) = (reader.text()?.to_owned(), reader.text()?.to_owned());
        let mut files = BTreeMap::new();
        while !reader.0.is_empty() {
            files.insert(reader.text()?.to_owned(), reader.text()?.to_owned());
        }
        Some(Opened { blocks, listing: Listing { store, files, tree: (!tree.is_empty()).then_some(tree) } })
    }
}

impl Opened {
    /// The files of a snapshot that differ from those it is about; `None` when one has files that the other has
    /// not, or that is not known.
    pub fn differing(&self, snapshot: &dyn Snapshot) -> Option<BTreeSet<String>> {
        let tree = self.listing.tree.as_deref().and_then(|tree| Oid::from_str(tree).ok());
        match (tree, snapshot.tree_of_decks()) {
            (Some(tree), Some((repository, now))) if repository.find_tree(tree).is_ok() => {
                differing_trees(repository, tree, now)
            }
            _ => self.listing.differing(&snapshot.listing()?),
        }
    }

    /// The index with all that is read of it at once.
    pub fn index(self) -> Option<Index> {
        let bytes = self.blocks.whole(Section::Overview)?;
        let mut reader = Reader(&bytes);
        let questions = reader.number()?;
        let overview = overview(&mut reader)?;
        Some(Index { blocks: self.blocks, overview, questions })
    }
}

fn overview(reader: &mut Reader<'_>) -> Option<Overview> {
    let mut overview = Overview::default();
    for _ in 0..reader.number()? {
        let (name, year) = (reader.text()?.to_owned(), reader.number()?);
        let year = year.checked_sub(1).and_then(|year| u8::try_from(year).ok());
        let (cards, first_question) = (reader.number()?, reader.number()?);
        overview.decks.push(KeptDeck { name, year, cards, first_question });
    }
    for _ in 0..reader.number()? {
        overview.files.insert(reader.text()?.to_owned(), Kind::File { size: reader.long()? });
    }
    for _ in 0..reader.number()? {
        overview.lost_ids.push((reader.number()?, reader.text()?.to_owned()));
    }
    let mut waivers = Vec::new();
    for _ in 0..reader.number()? {
        let (deck, card) = (reader.number()?, reader.text()?.to_owned());
        waivers.push((deck, card, reader.text()?.to_owned(), reader.number()? == 1));
    }
    let mut lists = Vec::new();
    for _ in 0..3 {
        let len = reader.number()? as usize;
        let (bytes, rest) = reader.0.split_at_checked(len)?;
        reader.0 = rest;
        lists.push(stored::found(bytes)?);
    }
    let otherwise = lists.pop()?;
    overview.strays = lists.pop()?;
    overview.findings = lists.pop()?;
    if otherwise.len() != waivers.len() {
        return None;
    }
    let waived = |((deck, card, rule, reasoned), otherwise)| (deck, Waived { card, rule, reasoned, otherwise });
    overview.waivers = waivers.into_iter().zip(otherwise).map(waived).collect();
    Some(overview)
}

impl KeptQuestions for Index {
    fn questions(&self) -> u32 {
        self.questions
    }

    fn seen(&self, stem: u64) -> Option<u32> {
        Some(self.blocks.numbers(Section::Seen, stem)?.first().copied().unwrap_or_default())
    }

    fn holders(&self, stem: u64) -> Option<Vec<u32>> {
        self.blocks.numbers(Section::Holders, stem)
    }

    fn group(&self, key: u64) -> Option<Vec<u32>> {
        self.blocks.numbers(Section::Groups, key)
    }

    fn alike(&self, question: u32) -> Option<Vec<u32>> {
        self.blocks.numbers(Section::Alike, u64::from(question))
    }

    fn posed(&self, question: u32) -> Option<OwnPosed> {
        self.question(question).map(|question| question.said.posed)
    }
}

impl Kept for Index {
    fn overview(&self) -> &Overview {
        &self.overview
    }

    fn decks_with(&self, share: u64) -> Option<Vec<u32>> {
        self.blocks.numbers(Section::DecksWith, share)
    }

    fn shares(&self, deck: u32) -> Option<Shares> {
        self.blocks.record(Section::Decks, deck, |reader| {
            let (ids, links, groups, needs) = (reader.longs()?, reader.longs()?, reader.longs()?, reader.longs()?);
            let (needs, _) = needs.as_chunks::<2>();
            Some(Shares { ids, links, groups, needs: needs.iter().map(|[from, to]| (*from, *to)).collect() })
        })
    }

    fn ids(&self, deck: u32) -> Option<Vec<String>> {
        self.blocks.record(Section::Ids, deck, |reader| reader.texts())
    }

    fn question(&self, number: u32) -> Option<KeptQuestion> {
        self.blocks.record(Section::Questions, number, |reader| {
            let at = (reader.number()?, reader.number()?);
            let (form, flags) = (reader.long()?, reader.number()?);
            let question = reader.text()?.to_owned();
            let posed = OwnPosed { question, answer: reader.texts()?, accept: reader.texts()? };
            Some(KeptQuestion { at, said: Said { form, ordered: flags & 1 == 1, listed: flags & 2 == 2, posed } })
        })
    }

    fn weights(&self) -> Option<Weights> {
        Weights::from_bytes(&self.blocks.whole(Section::Weights)?)
    }
}
