//! `bad-id`: an id that is not lower-case words joined by hyphens.

use crate::check::rule::{Rule, Scope};
use crate::finding::Level;

pub const RULE: Rule = Rule {
    name: "bad-id",
    level: Level::Error,
    summary: "an id that is not lower-case words joined by hyphens",
    why: "Cards are found by their ids for life, through edits and moves, in links, file names and packs. Plain ids mean the \
          same everywhere.",
    wrong: "- id: Air Pressure",
    right: "- id: air-pressure",
    waivable: false,
    repairable: false,
    scope: Scope::Reading,
};
