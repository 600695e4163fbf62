//! Sentences that stand but are denied by what is around them.

use std::ops::Range;

/// The words around a quote that deny it: `It is a myth that …`, `… is no longer true`.
pub(super) fn taken_back(text: &str, range: &Range<usize>) -> Option<String> {
    const BEFORE: [&str; 12] = [
        "not true that",
        "a myth that",
        "false that",
        "wrong to say that",
        "wrong that",
        "untrue that",
        "incorrect to say that",
        "mistaken belief that",
        "no longer true that",
        "wrongly said that",
        "wrongly thought that",
        "misconception that",
    ];
    const AFTER: [&str; 8] = [
        "is false",
        "is not true",
        "is no longer true",
        "is wrong",
        "is a myth",
        "is incorrect",
        "is untrue",
        "is no longer the case",
    ];
    let before = text[..range.start].trim_end().to_lowercase();
    let after = text[range.end..].trim_start_matches([' ', ',', '"', '\'']).to_lowercase();
    let lead = BEFORE.iter().find(|words| before.ends_with(*words)).map(|words| format!("{words} …"));
    lead.or_else(|| AFTER.iter().find(|words| after.starts_with(*words)).map(|words| format!("… {words}")))
}
