//! The registry of rules. Every listing of rules is made from it.

use super::rule::Rule;
use super::rules;

/// All rules, in the order in which they are listed.
pub fn all() -> &'static [Rule] {
    rules::ALL
}

/// The rule of that name.
pub fn find(name: &str) -> Option<&'static Rule> {
    all().iter().find(|rule| rule.name == name)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn names_are_words_and_stand_once() {
        let mut seen = BTreeSet::new();
        for rule in all() {
            assert!(crate::deck::is_id(rule.name), "{}", rule.name);
            assert!(seen.insert(rule.name), "{} stands twice", rule.name);
        }
    }

    #[test]
    fn every_rule_is_documented() {
        for rule in all() {
            let name = rule.name;
            assert!(!rule.summary.is_empty() && !rule.summary.ends_with('.') && !rule.summary.contains('\n'), "{name}");
            assert!(rule.why.len() > 30 && rule.why.ends_with('.'), "{name}");
            assert!(!rule.wrong.is_empty() && rule.wrong != rule.right && !rule.right.is_empty(), "{name}");
        }
    }
}
