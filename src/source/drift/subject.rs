//! Another subject: words of the question that are gone.

use super::{Difference, FactKind, Touch, View};
use crate::source::reading::Token;

impl View<'_> {
    /// Words of the question that are gone: another subject, when they are most of what the card says,
    /// or when what is asked for, or asked about, gave way to something else.
    pub(super) fn other_subject(&self, gone: &[usize], lost: f64, all: f64, out: &mut Vec<Difference>) {
        let understood = |at: usize| self.before.iter().any(|earlier| self.quote.tokens[at].is_same(earlier));
        let weight = |at: &usize| self.quote.tokens[*at].weight;
        let heaviest = gone
            .iter()
            .copied()
            .filter(|at| !understood(*at))
            .max_by(|one, other| weight(one).total_cmp(&weight(other)).then(other.cmp(one)));
        let Some(heaviest) = heaviest else { return };
        let instead = |at: usize| {
            self.slot_of(at).filter(|slot| self.free(*slot) && self.passage.tokens[*slot].value().is_none())
        };
        if lost > 0.5 * all {
            out.push(self.difference(FactKind::Term, heaviest, instead(heaviest)));
        }
        let other = gone.iter().copied().filter(|at| !understood(*at)).find(|at| {
            instead(*at).is_some_and(|other| {
                self.is_key(*at) || self.is_rival(*at, other) || (gone.len() == 1 && self.is_noun(*at))
            })
        });
        if let Some(at) = other {
            out.push(self.difference(FactKind::Term, at, instead(at)));
        }
    }

    /// What stands in a word's place, or in that of the word that it is joined to by a hyphen.
    fn slot_of(&self, at: usize) -> Option<usize> {
        let tokens = self.quote.tokens;
        let joined = |before: &usize| &self.quote.text[tokens[*before].span.end..tokens[at].span.start] == "-";
        self.pairing.slot[at].or_else(|| at.checked_sub(1).filter(joined).and_then(|before| self.pairing.slot[before]))
    }

    /// Whether a word of the question says what is asked for, or is the thing asked about: the
    /// rarest of its words, standing as a noun does.
    fn is_key(&self, at: usize) -> bool {
        let token = &self.quote.tokens[at];
        if self.heads.contains(&token.stem) {
            return true;
        }
        let asked = || {
            self.quote.tokens.iter().zip(self.touch).filter(|(_, touch)| **touch == Touch::Asks).map(|(token, _)| token)
        };
        // Between words that are equally rare, the longer is more of a term.
        let says = |token: &Token| token.weight + 0.02 * token.stem.len() as f64;
        let rarest = asked()
            .filter(|other| other.value().is_none())
            .all(|other| other.is_same(token) || (!other.is_name() && says(other) < says(token)));
        rarest && self.is_noun(at)
    }

    /// Whether a word stands as a noun does: first, or after an article or a preposition.
    fn is_noun(&self, at: usize) -> bool {
        let token = &self.quote.tokens[at];
        let before = self.quote.text[..token.span.start].split_whitespace().next_back().unwrap_or("").to_lowercase();
        before.ends_with([',', ';', ':', '|', '('])
            || matches!(
                before.as_str(),
                "" | "the"
                    | "a"
                    | "an"
                    | "of"
                    | "in"
                    | "on"
                    | "from"
                    | "for"
                    | "with"
                    | "by"
                    | "during"
                    | "between"
                    | "than"
                    | "into"
                    | "through"
                    | "at"
            )
    }

    /// Whether two words are both key terms of the notes.
    fn is_rival(&self, at: usize, other: usize) -> bool {
        self.weights.is_term(&self.quote.tokens[at].stem) && self.weights.is_term(&self.passage.tokens[other].stem)
    }
}
