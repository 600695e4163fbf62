//! `wrong-shape`: a field holds something of another kind than it should.

use crate::check::rule::{Rule, Scope};
use crate::finding::Level;

pub const RULE: Rule = Rule {
    name: "wrong-shape",
    level: Level::Error,
    summary: "a field holds something of another kind than it should, such as text in place of a list",
    why: "Without the right shape it is not clear what is meant, and a guess could end up on a card.",
    wrong: "needs: air-pressure",
    right: "needs: [air-pressure]",
    waivable: false,
    repairable: true,
    scope: Scope::Reading,
};
