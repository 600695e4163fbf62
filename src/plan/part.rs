//! Dividing a topic that takes longer than a session.

use std::ops::Range;

/// The cards of a topic in as few parts as hold at most `limit` questions each, the parts as even as
/// they can be. A card is never divided: one that asks more than `limit` is a part by itself.
pub(super) fn parts(cards: &[usize], limit: usize) -> Vec<Range<usize>> {
    let fewest = filled(cards, limit).len();
    let (mut low, mut high) = (0, limit);
    // The smallest filling that still needs no more parts.
    while low < high {
        let middle = low.midpoint(high);
        if filled(cards, middle).len() <= fewest {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    filled(cards, high)
}

/// Parts filled one after the other.
fn filled(cards: &[usize], limit: usize) -> Vec<Range<usize>> {
    let mut parts: Vec<Range<usize>> = Vec::new();
    let mut held = 0;
    for (at, &questions) in cards.iter().enumerate() {
        match parts.last_mut() {
            Some(part) if held + questions <= limit => {
                part.end = at + 1;
                held += questions;
            }
            _ => {
                parts.push(at..at + 1);
                held = questions;
            }
        }
    }
    parts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_are_few_and_even() {
        let lengths = |cards: &[usize], limit| parts(cards, limit).iter().map(Range::len).collect::<Vec<_>>();
        assert_eq!(lengths(&[1; 40], 40), [40]);
        assert_eq!(lengths(&[1; 41], 40), [21, 20]);
        assert_eq!(lengths(&[3, 3, 3, 1], 5), [1, 1, 2]);
        assert_eq!(lengths(&[2, 9, 2], 5), [1, 1, 1]);
        assert_eq!(lengths(&[1, 1], 0), [1, 1]);
        assert!(parts(&[], 40).is_empty());
    }
}
