//! The list of rules, so that a new or a lost one shows in review.

use deckle::check;

use crate::support::{rewrite, root};

#[test]
fn the_rules_are_the_ones_in_the_list() {
    let path = root().join("tests/fixtures/rules.txt");
    let mark = |holds: bool, word: &'static str| if holds { word } else { "-" };
    let line = |rule: &check::Rule| {
        let (waivable, repairable) = (mark(rule.waivable, "waivable"), mark(rule.repairable, "repairable"));
        format!("{:<22} {:<8} {waivable:<9} {repairable}\n", rule.name, rule.level.word())
    };
    let list: String = check::all().iter().map(line).collect();
    if rewrite() {
        std::fs::write(&path, &list).expect("written");
    }
    assert_eq!(list, std::fs::read_to_string(path).expect("the list is there"));
}
