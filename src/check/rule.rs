//! What a rule is.

use super::context::{CardView, Context, DeckView};
use crate::finding::{Finding, Level};
use crate::place::Place;

/// What makes findings of one kind.
#[derive(Debug)]
pub struct Rule {
    /// Its name in words, such as `duplicate-question`.
    pub name: &'static str,
    /// How much its findings matter, unless the department's policy says otherwise.
    pub level: Level,
    /// One line.
    pub summary: &'static str,
    /// Why it matters, for a teacher.
    pub why: &'static str,
    /// A card (or deck, notes, settings) that it finds fault with.
    pub wrong: &'static str,
    /// The same put right.
    pub right: &'static str,
    /// Whether a card may waive it under `allow`, and the department switch it off.
    pub waivable: bool,
    /// Whether `check --fix` can repair its findings, at least some of them.
    pub repairable: bool,
    /// What it looks at.
    pub scope: Scope,
}

/// What a rule looks at.
#[derive(Clone, Copy)]
pub enum Scope {
    /// It is found while files are read.
    Reading,
    /// One card at a time.
    Card(fn(&CardView<'_>, &mut Vec<Finding>)),
    /// One deck at a time.
    Deck(fn(&DeckView<'_>, &mut Vec<Finding>)),
    /// The whole department.
    Department(fn(&Context<'_>, &mut Vec<Finding>)),
    /// It is found while levels and waivers are applied.
    Waivers,
    /// It is found while a pack is printed.
    Printing,
}

impl std::fmt::Debug for Scope {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Scope::Reading => "Reading",
            Scope::Card(_) => "Card",
            Scope::Deck(_) => "Deck",
            Scope::Department(_) => "Department",
            Scope::Waivers => "Waivers",
            Scope::Printing => "Printing",
        })
    }
}

impl Rule {
    /// A finding of this rule at its own level.
    pub fn finding(&self, place: Place, message: impl Into<String>) -> Finding {
        Finding::new(self.name, self.level, place, message)
    }
}
