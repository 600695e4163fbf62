//! Which findings a change brings in, and which it clears.

use std::collections::BTreeMap;

use crate::finding::Finding;

/// The findings of `now` that `before` does not have.
///
/// A finding is the same in both when rule, card, field and what it is about are the same, wherever
/// it stands; so a card that moves brings nothing in, and a colleague's old mistake stops nobody.
pub fn brought_in(before: &[Finding], now: &[Finding]) -> Vec<Finding> {
    let mut known: BTreeMap<_, usize> = BTreeMap::new();
    for finding in before {
        *known.entry((finding.identity(), finding.level)).or_default() += 1;
    }
    let mut new = Vec::new();
    for finding in now {
        match known.get_mut(&(finding.identity(), finding.level)) {
            Some(left) if *left > 0 => *left -= 1,
            _ => new.push(finding.clone()),
        }
    }
    new
}

/// The findings of `before` that `now` no longer has.
pub fn cleared(before: &[Finding], now: &[Finding]) -> Vec<Finding> {
    brought_in(now, before)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::Level;
    use crate::place::Place;

    fn finding(card: &str, about: &str) -> Finding {
        Finding::new("giveaway", Level::Warning, Place::top_of("a"), "x").on_card(card).about(about)
    }

    #[test]
    fn counts_count() {
        let (one, two) = (finding("a", ""), finding("b", ""));
        let before = vec![one.clone()];
        let now = vec![one.clone(), one.clone(), two.clone()];
        assert_eq!(brought_in(&before, &now), [one, two]);
        assert!(cleared(&before, &now).is_empty());
    }
}
