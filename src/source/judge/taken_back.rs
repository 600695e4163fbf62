//! Sentences that stand but are denied by what is around them.

use std::ops::Range;

/// No words below are longer.
const LONGEST: usize = 32;

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
    let before = text[..range.start].trim_end();
    let near = before.char_indices().rev().nth(LONGEST).map_or(0, |(at, _)| at);
    let before = before[near..].to_lowercase();
    let after = text[range.end..].trim_start_matches([' ', ',', '"', '\'']);
    let after: String = after.chars().take(LONGEST).flat_map(char::to_lowercase).collect();
    let lead = BEFORE.iter().find(|words| before.ends_with(*words)).map(|words| format!("{words} …"));
    lead.or_else(|| AFTER.iter().find(|words| after.starts_with(*words)).map(|words| format!("… {words}")))
}
