//! `unknown-field`: a field that cards, decks or settings don't have.

use crate::check::rule::{Rule, Scope};
use crate::finding::Level;

pub const RULE: Rule = Rule {
    name: "unknown-field",
    level: Level::Error,
    summary: "a field that does not exist, often a misspelt one",
    why: "What stands in a field that nobody reads is lost without a word. The nearest known field is proposed.",
    wrong: "Question: What is attrition?",
    right: "question: What is attrition?",
    waivable: false,
    repairable: true,
    scope: Scope::Reading,
};
