//! A text read for its facts: the words that carry meaning, its values and names, each with what
//! bears on it: negation, comparison, the clause it stands in and the part it plays there.
mod bound;
mod dates;
mod negation;
mod reader;
mod roles;

pub(crate) use self::bound::Bound;
pub(crate) use self::negation::{denies, is_denial};
use self::reader::Reader;
use super::weights::Weights;
use crate::text::{Value, lex, stems_agree, stems_oppose};
use std::ops::Range;

/// One fact-bearing piece of a text.
#[derive(Clone, Debug)]
pub(crate) struct Token {
    pub(crate) span: Range<usize>,
    /// The same with the words that bound a number: `more than 34 knots`.
    pub(crate) bounded: Range<usize>,
    pub(crate) what: Sense,
    pub(crate) stem: String,
    /// Whether the word is an inflection of its stem and not another word made from it, such as
    /// `department` from `depart`; only then do the lists of synonyms and opposites speak of it.
    pub(crate) plain: bool,
    pub(crate) weight: f64,
    pub(crate) negated: bool,
    /// The part of the sentence between commas, stops and `and`.
    pub(crate) clause: usize,
    pub(crate) sentence: usize,
    /// The small word before it that says what part it plays: `of`, `by`, `than`, `before`.
    pub(crate) role: &'static str,
}

/// What a token is.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Sense {
    Word { name: bool },
    Value(Box<Value>, Bound),
}

impl Token {
    pub(crate) fn value(&self) -> Option<&Value> {
        match &self.what {
            Sense::Value(value, _) => Some(value),
            Sense::Word { .. } => None,
        }
    }

    pub(crate) fn bound(&self) -> Bound {
        match self.what {
            Sense::Value(_, bound) => bound,
            Sense::Word { .. } => Bound::Is,
        }
    }

    pub(crate) fn is_name(&self) -> bool {
        self.what == Sense::Word { name: true }
    }

    /// Whether `other` says the same, its negation and comparison aside.
    pub(crate) fn is_said_by(&self, other: &Token) -> bool {
        match (self.value(), other.value()) {
            (Some(mine), Some(other)) => mine.is_said_by(other),
            (None, None) => {
                self.stem == other.stem || (self.plain && other.plain && stems_agree(&self.stem, &other.stem))
            }
            _ => false,
        }
    }

    /// Whether it is the very same word or value.
    pub(crate) fn is_same(&self, other: &Token) -> bool {
        match (self.value(), other.value()) {
            (Some(mine), Some(other)) => mine.is_said_by(other),
            (None, None) => self.stem == other.stem,
            _ => false,
        }
    }

    pub(crate) fn opposes(&self, other: &Token) -> bool {
        self.value().is_none()
            && other.value().is_none()
            && self.plain
            && other.plain
            && stems_oppose(&self.stem, &other.stem)
    }

    /// Whether `other` could stand in its place as another fact of its kind.
    pub(crate) fn same_kind(&self, other: &Token) -> bool {
        match (self.value(), other.value()) {
            (Some(mine), Some(other)) => mine.same_kind(other),
            (None, None) => self.is_name() == other.is_name(),
            _ => false,
        }
    }
}

/// Reads plain text for its facts.
pub(crate) fn read(text: &str, weights: &Weights) -> Vec<Token> {
    let pieces = lex(text);
    let mut reader = Reader::new(&pieces, weights);
    let mut at = 0;
    while at < pieces.len() {
        at += reader.step(at);
    }
    reader.out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn facts(text: &str) -> String {
        let weights = Weights::even();
        let tokens = read(text, &weights);
        let show = |token: &Token| {
            let mark = match token.bound() {
                Bound::Is => "",
                Bound::Over => ">",
                Bound::AtLeast => "≥",
                Bound::Under => "<",
                Bound::AtMost => "≤",
            };
            let not = if token.negated { "!" } else { "" };
            let role = if token.role.is_empty() { String::new() } else { format!("/{}", token.role) };
            format!(
                "{not}{mark}{}{role}",
                if token.value().is_some() { &text[token.span.clone()] } else { &token.stem }
            )
        };
        tokens.iter().map(show).collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn facts_carry_what_bears_on_them() {
        for (text, want) in [
            ("Force 8 begins at 34 knots.", "forc 8 begin 34 knots/at"),
            ("It is more than 34 knots or at least 5 km.", ">34 knots ≥5 km"),
            ("No more than 6 m, 7 m or less", "≤6 m ≤7 m"),
            ("Wind does not rise, but rain falls.", "wind !rise rain fall"),
            ("It is not true that ice sinks, or melts.", "!ice !sink !melt"),
            ("Not only rain falls", "rain fall"),
            ("The capital of France is Paris", "capit franc/of pari"),
            ("France's capital", "franc/of capit"),
            ("never flows", "never !flow"),
            ("The group that is not treated is the control group.", "group !treat control group"),
            ("They go without food between dawn and sunset.", "go !food dawn/between sunset/between"),
        ] {
            let found = facts(text);
            assert_eq!(found, want, "{text}");
        }
    }

    #[test]
    fn clauses_and_sentences_are_told_apart() {
        let tokens = read("Paris lies in France and Rome in Italy. Oslo is far.", &Weights::even());
        let clauses: Vec<usize> = tokens.iter().map(|token| token.clause).collect();
        assert_eq!(clauses, [0, 0, 0, 1, 1, 2, 2]);
        assert_eq!(tokens.iter().filter(|token| token.is_name()).count(), 3);
    }
}
