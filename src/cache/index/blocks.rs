//! A file of sections, each cut into blocks with the first key in them and a digest.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::{Read, Seek, SeekFrom};
use std::path::Path;
use std::sync::{Arc, Mutex};

use sha2::{Digest, Sha256};

use super::bytes::{Reader, Writer};

/// How large a block may grow before the next one begins.
const BLOCK: usize = 16 * 1024;

/// What a file begins with.
const MAGIC: &[u8; 8] = b"deckle\x00\x01";

/// The sections, in order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Section {
    Listing,
    Overview,
    Decks,
    Ids,
    Questions,
    DecksWith,
    Groups,
    Seen,
    Holders,
    Alike,
    Weights,
}

/// Where a block stands.
#[derive(Clone, Copy, Debug)]
struct Block {
    section: u32,
    first: u64,
    at: u64,
    len: u32,
    digest: u64,
}

/// A file in the making.
#[derive(Debug, Default)]
pub struct Making {
    blocks: Vec<Block>,
    bytes: Vec<u8>,
}

impl Making {
    /// Adds a section of one piece.
    pub fn whole(&mut self, section: Section, bytes: &[u8]) {
        for (at, bytes) in bytes.chunks(BLOCK).enumerate() {
            self.block(section, at as u64, bytes);
        }
    }

    /// Adds pairs of a key and a number, in order.
    pub fn pairs(&mut self, section: Section, pairs: &[(u64, u32)]) {
        for pairs in pairs.chunks(BLOCK / 12) {
            let mut block = Writer::default();
            for (key, number) in pairs {
                block.long(*key);
                block.number(*number);
            }
            self.block(section, pairs[0].0, &block.0);
        }
    }

    /// Adds records, which are numbered from 0.
    pub fn records(&mut self, section: Section, records: impl IntoIterator<Item = Vec<u8>>) {
        let (mut first, mut block, mut count) = (0, Writer::default(), 0);
        for record in records {
            if block.0.len() + record.len() > BLOCK && !block.0.is_empty() {
                self.block(section, first, &block.0);
                (first, block) = (count, Writer::default());
            }
            block.number(record.len() as u32);
            block.0.extend(record);
            count += 1;
        }
        if !block.0.is_empty() {
            self.block(section, first, &block.0);
        }
    }

    fn block(&mut self, section: Section, first: u64, bytes: &[u8]) {
        let at = self.bytes.len() as u64;
        let (len, digest) = (bytes.len() as u32, digest(bytes));
        self.blocks.push(Block { section: section as u32, first, at, len, digest });
        self.bytes.extend(bytes);
    }

    /// The whole file, of a program.
    pub fn finish(self, program: &str) -> Vec<u8> {
        let mut list = Writer::default();
        for Block { section, first, at, len, digest } in &self.blocks {
            list.number(*section);
            list.long(*first);
            list.long(*at);
            list.number(*len);
            list.long(*digest);
        }
        let sum = sum(program, &list.0);
        [MAGIC, &(list.0.len() as u64).to_le_bytes(), &sum[..], &list.0, &self.bytes].concat()
    }
}

/// The digest of the list of blocks, and of the program that wrote it.
fn sum(program: &str, list: &[u8]) -> [u8; 32] {
    Sha256::new().chain_update(Sha256::digest(program)).chain_update(list).finalize().into()
}

fn digest(bytes: &[u8]) -> u64 {
    Sha256::digest(bytes).iter().take(8).fold(0, |number, byte| number << 8 | u64::from(*byte))
}

/// How many bytes stand before the list of blocks.
const HEAD: usize = 8 + 8 + 32;

/// A file that is there.
#[derive(Debug)]
pub struct Blocks {
    file: Mutex<File>,
    blocks: Vec<Block>,
    start: u64,
    read: Mutex<BTreeMap<usize, Arc<[u8]>>>,
}

impl Blocks {
    /// The file at `path`, when `program` wrote it.
    pub fn open(path: &Path, program: &str) -> Option<Self> {
        let mut file = File::open(path).ok()?;
        let mut head = [0; HEAD];
        file.read_exact(&mut head).ok()?;
        let len = u64::from_le_bytes(*head[8..].first_chunk()?);
        let whole = file.metadata().ok()?.len();
        if head[..8] != *MAGIC || len > whole {
            return None;
        }
        let mut list = vec![0; usize::try_from(len).ok()?];
        file.read_exact(&mut list).ok()?;
        if head[16..] != sum(program, &list) {
            return None;
        }
        let mut reader = Reader(&list);
        let mut blocks = Vec::with_capacity(list.len() / 32);
        while !reader.0.is_empty() {
            let (section, first, at) = (reader.number()?, reader.long()?, reader.long()?);
            blocks.push(Block { section, first, at, len: reader.number()?, digest: reader.long()? });
        }
        Some(Self { file: Mutex::new(file), blocks, start: HEAD as u64 + len, read: Mutex::default() })
    }

    /// The numbers of the blocks of a section.
    fn of(&self, section: Section) -> std::ops::Range<usize> {
        let section = section as u32;
        let at = |section: u32| self.blocks.partition_point(|block| block.section < section);
        at(section)..at(section + 1)
    }

    /// A block; nothing unless every byte is as it was written.
    fn block(&self, number: usize) -> Option<Arc<[u8]>> {
        if let Some(bytes) = self.read.lock().ok()?.get(&number) {
            return Some(Arc::clone(bytes));
        }
        let block = self.blocks.get(number)?;
        let mut bytes = vec![0; block.len as usize];
        {
            let mut file = self.file.lock().ok()?;
            file.seek(SeekFrom::Start(self.start + block.at)).ok()?;
            file.read_exact(&mut bytes).ok()?;
        }
        if digest(&bytes) != block.digest {
            return None;
        }
        let bytes: Arc<[u8]> = bytes.into();
        self.read.lock().ok()?.insert(number, Arc::clone(&bytes));
        Some(bytes)
    }

    /// A section of one piece.
    pub fn whole(&self, section: Section) -> Option<Vec<u8>> {
        let mut whole = Vec::new();
        for number in self.of(section) {
            whole.extend(&*self.block(number)?);
        }
        Some(whole)
    }

    /// The numbers that stand beside a key, in order.
    pub fn numbers(&self, section: Section, key: u64) -> Option<Vec<u32>> {
        let blocks = self.of(section);
        let before = self.blocks[blocks.clone()].partition_point(|block| block.first < key);
        let mut numbers = Vec::new();
        for number in blocks.start + before.saturating_sub(1)..blocks.end {
            if self.blocks[number].first > key {
                break;
            }
            let block = self.block(number)?;
            let (pairs, _) = block.as_chunks::<12>();
            let key_of = |pair: &[u8; 12]| pair.first_chunk().map(|key| u64::from_le_bytes(*key));
            let start = pairs.partition_point(|pair| key_of(pair) < Some(key));
            let same = pairs[start..].iter().take_while(|pair| key_of(pair) == Some(key));
            numbers.extend(same.filter_map(|pair| pair.last_chunk().map(|number| u32::from_le_bytes(*number))));
        }
        Some(numbers)
    }

    /// Calls `look` with a record.
    pub fn record<R>(
        &self,
        section: Section,
        number: u32,
        look: impl FnOnce(&mut Reader<'_>) -> Option<R>,
    ) -> Option<R> {
        let blocks = self.of(section);
        let before = self.blocks[blocks.clone()].partition_point(|block| block.first <= u64::from(number));
        let at = blocks.start + before.checked_sub(1)?;
        let block = self.block(at)?;
        let mut reader = Reader(&block);
        for _ in self.blocks[at].first..u64::from(number) {
            reader.text_bytes()?;
        }
        look(&mut Reader(reader.text_bytes()?))
    }
}

impl<'b> Reader<'b> {
    /// Bytes with their number before them.
    fn text_bytes(&mut self) -> Option<&'b [u8]> {
        let len = self.number()? as usize;
        let (bytes, rest) = self.0.split_at_checked(len)?;
        self.0 = rest;
        Some(bytes)
    }
}
