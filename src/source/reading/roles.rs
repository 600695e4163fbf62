//! The small words that say what part the next words play.

use super::reader::Reader;
use std::ops::Range;

impl Reader<'_> {
    /// A small word's part ends with the phrase after it: at a plain word after a name or a number,
    /// or after three words.
    pub(super) fn end_of_phrase(&mut self, name: bool) {
        let phrase = self.out.len().saturating_sub(self.state.role_from);
        let Some(last) = self.out.last().filter(|_| phrase > 0 && !self.state.role.is_empty()) else { return };
        let after_name = !name && (last.is_name() || last.value().is_some());
        if after_name || (phrase >= 3 && !name) {
            self.state.role = "";
        }
    }

    /// What stands before `'s` is `of` what follows, with all of a name of several words.
    pub(super) fn possess(&mut self) {
        if self.state.role == "of" {
            self.state.role = "";
        }
        let mut later: Option<Range<usize>> = None;
        for token in self.out.iter_mut().rev() {
            let joined =
                later.as_ref().is_none_or(|later| later.start.saturating_sub(token.span.end) <= 8 && token.is_name());
            if !joined {
                break;
            }
            token.role = "of";
            later = Some(token.span.clone());
        }
    }
}

/// The small words that say what part the next words play.
pub(super) fn role_of(word: &str) -> Option<&'static str> {
    const ROLES: [&str; 25] = [
        "above", "below", "beneath", "after", "against", "at", "before", "between", "by", "finally", "first", "for",
        "from", "in", "into", "next", "of", "on", "over", "than", "then", "through", "to", "towards", "under",
    ];
    ROLES.iter().find(|role| **role == word).copied()
}

pub(super) fn is_auxiliary(word: &str) -> bool {
    matches!(
        word,
        "is" | "are"
            | "was"
            | "were"
            | "be"
            | "been"
            | "has"
            | "have"
            | "had"
            | "can"
            | "may"
            | "will"
            | "does"
            | "do"
            | "did"
            | "must"
            | "should"
            | "would"
            | "could"
            | "might"
    )
}
