//! Rules whose findings depend on the whole department, however little of it changed.

/// Whether a finding of the rule says something different when other decks are there or not: where else
/// a quote stands, how rare a word is. Such findings about a part of a department are to be looked at
/// again over the whole.
pub fn needs_whole(rule: &str) -> bool {
    NEED_WHOLE.binary_search(&rule).is_ok()
}

const NEED_WHOLE: [&str; 7] = [
    "conflicting-answers",
    "contradicted-answer",
    "lost-quote",
    "moved-quote",
    "reworded-quote",
    "similar-question",
    "unsupported-answer",
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn they_are_rules_in_order() {
        assert!(NEED_WHOLE.is_sorted());
        assert!(NEED_WHOLE.iter().all(|rule| super::super::find(rule).is_some()));
        assert!(needs_whole("lost-quote") && !needs_whole("missing-link"));
    }
}
