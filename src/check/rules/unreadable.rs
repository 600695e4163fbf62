//! `unreadable`: a part of a file cannot be read.

use crate::check::rule::{Rule, Scope};
use crate::finding::Level;

pub const RULE: Rule = Rule {
    name: "unreadable",
    level: Level::Error,
    summary: "a file or a part of it cannot be read as it is written, is too large, or is not where it is looked for",
    why: "What cannot be read is on no card. Most often a sign such as a colon, a quotation mark or a dash is taken for \
          something else than text; the message shows the line as it should be.",
    wrong: "question: Erosion: what is it?",
    right: "question: \"Erosion: what is it?\"",
    waivable: false,
    repairable: true,
    scope: Scope::Reading,
};
