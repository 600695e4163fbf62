//! Facts of the quote that the passage does not have.

use super::exchange::is_passive;
use super::{Difference, FactKind, Read, Touch, View};
use crate::source::reading::Token;
use crate::text::{Value, grade_of, may_say_the_same, with_particle};
use std::ops::Range;

impl View<'_> {
    pub(super) fn missing_facts(&self, out: &mut Vec<Difference>) {
        let mut lost = 0.0;
        let mut asked = 0.0;
        let mut gone = Vec::new();
        for (at, token) in self.quote.tokens.iter().enumerate() {
            let touch = self.touch[at];
            let light = is_light(&token.stem);
            if touch == Touch::Asks && !light {
                asked += token.weight;
            }
            if self.pairing.to[at].is_some()
                || self.said_again(at)
                || self.said_as_ratio(at)
                || self.said_as_compound(at)
                || self.said_as_date(at)
            {
                continue;
            }
            if let Some(other) = self.instead(at, |other| token.opposes(other)) {
                let denied = token.negated != self.passage.tokens[other].negated || self.is_converse(at, other);
                if !denied && (touch != Touch::Nothing || self.near_answer(at)) {
                    out.push(self.difference(FactKind::Opposite, at, Some(other)));
                }
                continue;
            }
            if touch == Touch::Nothing || self.said_nearly(at) {
                continue;
            }
            if let Some(other) = self.instead(at, |other| is_alike(&other.stem)).filter(|_| self.is_graded(at)) {
                out.push(self.difference(FactKind::Comparison, at, Some(other)));
                continue;
            }
            if let Some(value) = token.value() {
                out.extend(self.other_value(at, value));
            } else if token.is_name() {
                out.extend(self.other_name(at));
            } else if touch == Touch::Answers {
                out.extend(self.other_term(at));
            } else if !light {
                lost += token.weight;
                gone.push(at);
            }
        }
        self.other_subject(&gone, lost, asked, out);
    }

    /// `is given the treatment`, `receives the treatment`: the same from the other side.
    fn is_converse(&self, at: usize, other: usize) -> bool {
        are_converse(&self.quote.tokens[at].stem, &self.passage.tokens[other].stem)
            && is_passive(self.quote, at) != is_passive(self.passage, other)
    }

    /// A fact that the quote gives twice and the passage once is not missing.
    fn said_again(&self, at: usize) -> bool {
        let token = &self.quote.tokens[at];
        let twice = self
            .quote
            .tokens
            .iter()
            .enumerate()
            .any(|(other, twin)| other != at && twin.is_same(token) && self.pairing.to[other].is_some());
        let fills = |slot: usize| {
            self.free(slot)
                && (token.value().is_some() || self.touch[at] == Touch::Answers)
                && self.passage.tokens[slot].same_kind(token)
        };
        twice && !self.pairing.slot[at].is_some_and(fills)
    }

    /// A word of common English that says the same stands in its place, unless the notes call both key
    /// terms.
    fn said_nearly(&self, at: usize) -> bool {
        let token = &self.quote.tokens[at];
        let Some(other) = self.pairing.slot[at].filter(|slot| self.free(*slot)) else { return false };
        let other = &self.passage.tokens[other];
        let words = [token, other].iter().all(|token| token.value().is_none() && !token.is_name());
        let terms = self.weights.is_term(&token.stem) && self.weights.is_term(&other.stem);
        let forms = |read: Read<'_>, span: &Range<usize>| {
            std::iter::once(read.text[span.clone()].to_owned())
                .chain(with_particle(read.text, span))
                .collect::<Vec<_>>()
        };
        words && !terms && {
            let others = forms(self.passage, &other.span);
            forms(self.quote, &token.span).iter().any(|one| others.iter().any(|other| may_say_the_same(one, other)))
        }
    }

    /// `2:3` is said by `2 to 3`.
    fn said_as_ratio(&self, at: usize) -> bool {
        let bare = |text: &str| text.replace([',', ' '], "");
        let ratio = &self.quote.text[self.quote.tokens[at].span.clone()];
        ratio.contains(':') && bare(self.passage.text).contains(&bare(&ratio.replace(':', "to")))
    }

    /// A date that is in one place now, or in two.
    fn said_as_date(&self, at: usize) -> bool {
        let token = &self.quote.tokens[at];
        token.is_part_of_a_date(self.passage.tokens) || token.dated_in_parts(self.passage.tokens).is_some()
    }

    /// `south-east` is said by `southeast`, and the other way round.
    fn said_as_compound(&self, at: usize) -> bool {
        let joined = |c: char| c.is_alphanumeric() || c == '-';
        let (text, span) = (self.quote.text, self.quote.tokens[at].span.clone());
        let start = text[..span.start].trim_end_matches(joined).len();
        let end = text.len() - text[span.end..].trim_start_matches(joined).len();
        let mine = &text[start..end];
        let mut others = self.passage.text.split(|c: char| !joined(c));
        others.any(|other| {
            mine.contains('-') != other.contains('-')
                && other.replace('-', "").eq_ignore_ascii_case(&mine.replace('-', ""))
        })
    }

    /// Whether a word compares: `larger`, `more`.
    fn is_graded(&self, at: usize) -> bool {
        let token = &self.quote.tokens[at];
        matches!(token.stem.as_str(), "more" | "less" | "fewer")
            || grade_of(&self.quote.text[token.span.clone()]) == Some("er")
    }

    fn other_value(&self, at: usize, value: &Value) -> Option<Difference> {
        let token = &self.quote.tokens[at];
        let same_kind = |other: &Token| other.value().is_some_and(|other| value.same_kind(other));
        let other = self.instead(at, same_kind).or_else(|| self.instead(at, |other| other.value().is_some()));
        let kind = match (value, other.and_then(|other| self.passage.tokens[other].value())) {
            (Value::Date(_), _) | (_, Some(Value::Date(_))) => FactKind::Date,
            (Value::Quantity { number: one, .. }, Some(Value::Quantity { number: two, .. })) if one == two => {
                FactKind::Unit
            }
            _ => FactKind::Number,
        };
        debug_assert!(token.value().is_some());
        let apart = kind == FactKind::Unit && other.is_some_and(|other| self.unit_stands_apart(at, other));
        (!apart).then(|| self.difference(kind, at, other))
    }

    /// The unit stands after a word that came between, `687 Earth days`, or is money written out, `12 pounds`.
    fn unit_stands_apart(&self, at: usize, other: usize) -> bool {
        let written = &self.quote.text[self.quote.tokens[at].span.clone()];
        let now = &self.passage.text[self.passage.tokens[other].span.start..];
        let unit = written.rsplit(' ').next().unwrap_or("").to_lowercase();
        let spelt = unit.len() > 3 && unit.chars().all(char::is_alphabetic);
        let between = now
            .split_whitespace()
            .skip(2)
            .take(1)
            .any(|word| word.trim_matches(|c: char| !c.is_alphabetic()).to_lowercase() == unit);
        let money = [('£', "pound"), ('$', "dollar"), ('€', "euro")];
        let named = |(sign, name): &(char, &str)| {
            written.starts_with(*sign)
                && now.split_whitespace().take(4).any(|word| word.to_lowercase().starts_with(name))
        };
        (spelt && between) || money.iter().any(named)
    }

    fn other_name(&self, at: usize) -> Option<Difference> {
        let token = &self.quote.tokens[at];
        // A name that looks like a small word where it opens the sentence, such as the symbol `He`.
        let written = &self.quote.text[token.span.clone()];
        if crate::text::words(self.passage.text).any(|word| word == written) {
            return None;
        }
        let other =
            self.pairing.slot[at].filter(|slot| self.free(*slot) && self.passage.tokens[*slot].value().is_none());
        let understood = other.is_none_or(|other| !self.passage.tokens[other].is_name())
            && self.before.iter().any(|earlier| token.is_same(earlier));
        if understood && self.touch[at] == Touch::Asks {
            return None;
        }
        let other = other.or_else(|| self.instead(at, Token::is_name));
        Some(self.difference(FactKind::Name, at, other))
    }

    fn other_term(&self, at: usize) -> Option<Difference> {
        if is_light(&self.quote.tokens[at].stem) {
            return None;
        }
        let other =
            self.pairing.slot[at].filter(|slot| self.free(*slot) && self.passage.tokens[*slot].value().is_none());
        Some(self.difference(FactKind::Term, at, other))
    }
}

/// Verbs, by their stems, of which one says from the one side what the other says from the other.
const CONVERSE: [[&str; 2]; 6] = [
    ["give", "receiv"],
    ["send", "receiv"],
    ["sell", "buy"],
    ["lend", "borrow"],
    ["teach", "learn"],
    ["lead", "follow"],
];

/// Whether two stems are those of such verbs.
pub(super) fn are_converse(one: &str, other: &str) -> bool {
    CONVERSE.iter().any(|pair| one != other && pair.contains(&one) && pair.contains(&other))
}

/// Words that say that there is no more and no less.
fn is_alike(stem: &str) -> bool {
    matches!(stem, "same" | "equal" | "ident" | "alik")
}

/// Verbs that any sentence may do without.
pub(super) fn is_light(stem: &str) -> bool {
    matches!(
        stem,
        "be" | "call"
            | "do"
            | "have"
            | "make"
            | "get"
            | "use"
            | "become"
            | "take"
            | "give"
            | "know"
            | "happen"
            | "occur"
            | "form"
            | "way"
            | "thing"
            | "place"
            | "also"
            | "often"
            | "one"
            | "act"
            | "find"
            | "everi"
            | "each"
            | "ani"
            | "up"
            | "off"
            | "out"
            | "with"
    )
}
