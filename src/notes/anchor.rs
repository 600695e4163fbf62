//! Anchors as hosting sites make them from headings.

use std::collections::{BTreeMap, BTreeSet};

/// The anchor of a heading by itself: lower case, punctuation dropped, each space a hyphen.
///
/// Common practice of the large hosting sites; there is no standard.
///
/// ```
/// assert_eq!(deckle::notes::anchor_of("Wind: force & speed"), "wind-force--speed");
/// ```
pub fn anchor_of(heading: &str) -> String {
    let kept = heading.trim().chars().filter(|c| c.is_alphanumeric() || is_mark(*c) || matches!(c, ' ' | '-' | '_'));
    kept.flat_map(char::to_lowercase).map(|c| if c == ' ' { '-' } else { c }).collect()
}

fn is_mark(c: char) -> bool {
    unicode_normalization::char::is_combining_mark(c)
}

/// Numbers repeated anchors in one file.
#[derive(Default)]
pub(super) struct Anchors {
    used: BTreeSet<String>,
    count: BTreeMap<String, usize>,
}

impl Anchors {
    /// The anchor of the next heading of the file.
    pub(super) fn next(&mut self, heading: &str) -> String {
        let base = anchor_of(heading);
        let mut anchor = base.clone();
        while self.used.contains(&anchor) {
            let count = self.count.entry(base.clone()).or_default();
            *count += 1;
            anchor = format!("{base}-{count}");
        }
        self.used.insert(anchor.clone());
        anchor
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn anchors_drop_punctuation_and_number_repeats() {
        assert_eq!(anchor_of("What's an isobar?"), "whats-an-isobar");
        assert_eq!(anchor_of("Größe_1 – neu"), "größe_1--neu");
        let mut anchors = Anchors::default();
        let all: Vec<String> =
            ["Wind", "wind", "Wind 1", "Wind!", "Wind-1"].into_iter().map(|heading| anchors.next(heading)).collect();
        assert_eq!(all, ["wind", "wind-1", "wind-1-1", "wind-2", "wind-1-2"]);
    }
}
