//! `swallowed-text`: text that is left out in silence.

use crate::check::rule::{Rule, Scope};
use crate::finding::Level;

pub const RULE: Rule = Rule {
    name: "swallowed-text",
    level: Level::Warning,
    summary: "unquoted text is cut short by ` #`, and the rest is left out",
    why: "Behind a blank, `#` starts a remark: the rest of the line never reaches the card, and nothing looks broken.",
    wrong: "question: Which road is the coast's #1 route?",
    right: "question: \"Which road is the coast's #1 route?\"",
    waivable: false,
    repairable: false,
    scope: Scope::Reading,
};
