//! What is said about a number: more than, at least, up to.

use super::reader::Reader;
use crate::text::{Value, What, value_at};

/// What is said about a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Bound {
    Is,
    Over,
    AtLeast,
    Under,
    AtMost,
}

impl Reader<'_> {
    /// `more than`, `at least` and the like before a number: what they say and how many pieces they take.
    pub(super) fn bound_before(&self, at: usize) -> Option<(Bound, usize)> {
        let sign = match self.pieces[at].what {
            What::Sign('>') => Some(Bound::Over),
            What::Sign('<') => Some(Bound::Under),
            What::Sign('≥') => Some(Bound::AtLeast),
            What::Sign('≤') => Some(Bound::AtMost),
            _ => None,
        };
        let (bound, mut len) = match sign {
            Some(bound) => (bound, 1),
            None => self.bound_words(at)?,
        };
        while matches!(
            self.text(at + len).as_str(),
            "about" | "around" | "approximately" | "roughly" | "some" | "nearly" | "a"
        ) && len < 8
        {
            len += 1;
        }
        value_at(self.pieces, at + len).filter(|(value, _)| !matches!(value, Value::Date(_)))?;
        Some((bound, len))
    }

    fn bound_words(&self, at: usize) -> Option<(Bound, usize)> {
        let (one, two, three) = (self.text(at), self.text(at + 1), self.text(at + 2));
        // `The angles add up to 180°`: they are neither more nor less.
        let adds = at.checked_sub(1).is_some_and(|before| {
            ["add", "sum", "tot", "com", "cam"].iter().any(|verb| self.text(before).starts_with(verb))
        });
        if adds && (one.as_str(), two.as_str()) == ("up", "to") {
            return None;
        }
        let words = (one.as_str(), two.as_str(), three.as_str());
        Some(match words {
            ("no" | "not", more, "than") if is_more(more) => (Bound::AtMost, 3),
            ("no" | "not", less, "than") if is_less(less) => (Bound::AtLeast, 3),
            ("a", "minimum", "of") => (Bound::AtLeast, 3),
            ("a", "maximum", "of") => (Bound::AtMost, 3),
            ("in", "excess", "of") => (Bound::Over, 3),
            (more, "than", _) if is_more(more) => (Bound::Over, 2),
            (less, "than", _) if is_less(less) => (Bound::Under, 2),
            ("at", "least", _) | ("minimum", "of", _) => (Bound::AtLeast, 2),
            ("at", "most", _) | ("maximum", "of", _) | ("up", "to", _) => (Bound::AtMost, 2),
            ("over" | "above" | "exceeding" | "exceeds" | "exceed" | "exceeded" | "beyond", ..) => (Bound::Over, 1),
            ("within", ..) => (Bound::AtMost, 1),
            ("under" | "below" | "beneath", ..) => (Bound::Under, 1),
            _ => return None,
        })
    }

    /// `or more`, `or less` after a number.
    pub(super) fn bound_after(&self, at: usize) -> (Bound, usize) {
        let (one, two) = (self.text(at), self.text(at + 1));
        // `60 m deep or more`: the word between is read by itself.
        let measured = matches!(
            one.as_str(),
            "deep" | "long" | "wide" | "high" | "tall" | "old" | "thick" | "away" | "warm" | "cold" | "heavy"
        );
        if measured && two == "or" {
            return (self.bound_after(at + 1).0, 0);
        }
        match (one.as_str(), two.as_str()) {
            ("or" | "and", word) if is_more(word) || matches!(word, "above" | "over" | "upwards" | "beyond") => {
                (Bound::AtLeast, 2)
            }
            ("or" | "and", word) if is_less(word) || matches!(word, "below" | "under") => (Bound::AtMost, 2),
            _ => (Bound::Is, 0),
        }
    }
}

fn is_more(word: &str) -> bool {
    matches!(
        word,
        "more"
            | "greater"
            | "higher"
            | "larger"
            | "longer"
            | "bigger"
            | "heavier"
            | "hotter"
            | "warmer"
            | "faster"
            | "older"
            | "deeper"
            | "taller"
            | "wider"
            | "stronger"
            | "later"
            | "further"
            | "thicker"
    )
}

fn is_less(word: &str) -> bool {
    matches!(
        word,
        "less"
            | "fewer"
            | "lower"
            | "smaller"
            | "shorter"
            | "lighter"
            | "colder"
            | "cooler"
            | "slower"
            | "younger"
            | "shallower"
            | "narrower"
            | "weaker"
            | "earlier"
            | "nearer"
            | "thinner"
    )
}
