//! Words that deny what follows.

use super::Sense;
use super::reader::Reader;
use crate::text::stem;

/// Whether a word, in lower case, denies what it stands with.
pub(crate) fn is_denial(word: &str) -> bool {
    matches!(
        word,
        "not"
            | "no"
            | "never"
            | "neither"
            | "nor"
            | "none"
            | "without"
            | "cannot"
            | "hardly"
            | "scarcely"
            | "rarely"
            | "seldom"
            | "nothing"
    ) || word.ends_with("n't")
        || word.ends_with("n’t")
}

/// The same, or a word for nobody or nowhere.
pub(crate) fn denies(word: &str) -> bool {
    is_denial(word) || matches!(word, "nobody" | "nowhere")
}

impl Reader<'_> {
    /// A negation and how many pieces it takes.
    pub(super) fn negation(&mut self, at: usize, word: &str) -> Option<usize> {
        let next = self.text(at + 1);
        let retracts = matches!(
            word,
            "false" | "wrong" | "untrue" | "incorrect" | "myth" | "mistake" | "misconception" | "mistaken"
        ) && matches!(next.as_str(), "that" | "to")
            || matches!(word, "wrongly" | "falsely" | "mistakenly" | "incorrectly" | "supposedly");
        if retracts {
            (self.state.retracted, self.state.negated) = (true, true);
            return Some(1);
        }
        let true_that = word == "not" && next == "true" && self.text(at + 2) == "that";
        if true_that {
            (self.state.retracted, self.state.negated) = (true, true);
            return Some(3);
        }
        let denying = match word {
            "not" if next == "only" => return Some(2),
            "no" if next == "longer" => {
                self.state.negated = true;
                return Some(2);
            }
            "no" => self.pieces.get(at + 1).is_some_and(|next| next.digits().is_none() && !next.is_sign('.')),
            "instead" | "rather" if matches!(next.as_str(), "of" | "than") => {
                self.state.negated = true;
                return Some(2);
            }
            "fails" | "fail" | "failed" if next == "to" => {
                self.state.negated = true;
                return Some(2);
            }
            word => denies(word),
        };
        if !denying {
            return None;
        }
        self.state.without = word == "without";
        self.state.denied_in_relative = self.state.relative.then_some(self.out.len());
        // `cannot live without light` is no denial of light.
        self.state.negated = !(word == "without" && self.state.negated);
        // `never` and `rarely` also stand against `always`.
        if matches!(word, "never" | "rarely" | "seldom" | "none") {
            let stem = stem(word);
            let negated = std::mem::replace(&mut self.state.negated, false);
            self.push(at, 1, Sense::Word { name: false }, stem);
            self.state.negated = negated;
        }
        Some(1)
    }
}
