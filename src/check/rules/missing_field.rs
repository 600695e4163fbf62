//! `missing-field`: a field that must be there is missing or empty.

use crate::check::rule::{Rule, Scope};
use crate::finding::Level;

pub const RULE: Rule = Rule {
    name: "missing-field",
    level: Level::Error,
    summary: "a field that must be there is missing, or nothing stands behind it",
    why: "A card needs an id, a question and an answer; a deck a title, a year and cards. An empty field is most often one \
          that somebody meant to come back to.",
    wrong: "- id: attrition\n  question: What is attrition?\n  answer:",
    right: "- id: attrition\n  question: What is attrition?\n  answer: Pebbles knocking together and wearing away.",
    waivable: false,
    repairable: false,
    scope: Scope::Reading,
};
