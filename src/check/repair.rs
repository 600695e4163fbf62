//! Making the repairs that findings carry.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::finding::{Finding, Replacement};

/// How often repairing and checking alternate: one repair can uncover the next finding.
pub const ROUNDS: usize = 8;

/// The replacements of all repairable findings by file, a list a finding.
pub fn repairs(findings: &[Finding]) -> BTreeMap<Arc<str>, Vec<Vec<Replacement>>> {
    let mut by_path: BTreeMap<Arc<str>, Vec<Vec<Replacement>>> = BTreeMap::new();
    for finding in findings {
        // A repair never spans files: a file is replaced whole or not at all.
        let Some(first) = finding.repair.first() else { continue };
        if finding.repair.iter().all(|replacement| replacement.path == first.path) {
            by_path.entry(Arc::clone(&first.path)).or_default().push(finding.repair.clone());
        }
    }
    by_path
}

/// `text` with the repairs made, and how many were; of repairs that overlap, the first is made.
pub fn apply(text: &str, repairs: &[Vec<Replacement>]) -> (String, usize) {
    let mut chosen: Vec<&Replacement> = Vec::new();
    let mut made = 0;
    for repair in repairs {
        let fits = |replacement: &Replacement| {
            let span = replacement.span;
            let apart = |other: &&Replacement| {
                span != other.span && (span.end() <= other.span.start() || other.span.end() <= span.start())
            };
            text.get(span.start()..span.end()).is_some() && chosen.iter().all(apart)
        };
        if repair.iter().all(fits) {
            chosen.extend(repair);
            made += 1;
        }
    }
    chosen.sort();
    let mut mended = text.to_owned();
    for replacement in chosen.iter().rev() {
        mended.replace_range(replacement.span.start()..replacement.span.end(), &replacement.text);
    }
    (mended, made)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::place::Span;

    fn replacement(start: usize, end: usize, text: &str) -> Replacement {
        Replacement { path: "a".into(), span: Span::new(start, end), text: text.into() }
    }

    #[test]
    fn repairs_are_made_from_behind_and_overlapping_ones_once() {
        let repairs = [vec![replacement(0, 1, "AA")], vec![replacement(4, 5, "E")], vec![replacement(0, 2, "x")]];
        assert_eq!(apply("abcde", &repairs), ("AAbcdE".to_owned(), 2));
    }
}
