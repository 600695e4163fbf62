//! What is to be printed.

use super::options::Options;
use crate::deck::Department;
use crate::pack::model::{Pack, PackCard};

/// A document to be printed.
#[derive(Clone, Copy, Debug)]
pub struct Job<'a> {
    /// The pack.
    pub pack: &'a Pack,
    /// The department at the pack's commit, for pictures and for cards of other packs.
    pub department: &'a Department,
    /// How it is printed.
    pub options: Options,
    /// Its cards.
    pub cards: &'a [&'a PackCard],
    /// What it is.
    pub kind: Kind<'a>,
}

/// What a document is.
#[derive(Clone, Copy, Debug)]
pub enum Kind<'a> {
    /// A pack, or a part of one: its number and how many there are.
    Cards {
        /// The number of the part, from 1.
        part: usize,
        /// How many parts there are.
        parts: usize,
    },
    /// Cards that take the place of others.
    Corrections {
        /// The edition in which those are.
        edition: u32,
        /// Of each of the cards the number that it has there.
        replaces: &'a [usize],
    },
}
