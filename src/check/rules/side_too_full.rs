//! `side-too-full`: a side that does not fit on a printed card.

use crate::check::rule::{Rule, Scope};
use crate::finding::Level;

pub const RULE: Rule = Rule {
    name: "side-too-full",
    level: Level::Error,
    summary: "a side does not fit on a printed card at 9 points; told when a pack is built",
    why: "Text is printed as large as fits, from 20 points down to 9. What needs smaller letters is hard to read and too much \
          for a card, and what stands over the edge would be cut off.",
    wrong: "answer: Eight long sentences, a picture and a caution, all on one side …",
    right: "answer: The one fact that the card asks for.",
    waivable: false,
    repairable: false,
    scope: Scope::Printing,
};
