//! Facts that changed places: `the Nile is longer than the Amazon` against `the Amazon is longer than
//! the Nile`; but not `mice are eaten by hawks` for `hawks eat mice`.

use super::{Read, Touch, View};
use crate::source::reading::Token;
use crate::text::{are_opposites, classes, is_irregular_past};

/// Two tokens of the quote whose parts are exchanged in the passage.
pub(super) struct Exchange {
    pub(super) one: usize,
    pub(super) other: usize,
    /// Whether the word between them is the opposite one, so that the sense stays:
    /// `A before B`, `B after A`.
    pub(super) turned: bool,
}

/// The first exchange that touches the card.
pub(super) fn exchange(view: &View<'_>) -> Option<Exchange> {
    let pairs: Vec<(usize, usize)> = view.pairs().collect();
    let mut turned = None;
    for (index, &(one, one_to)) in pairs.iter().enumerate() {
        for &(other, other_to) in &pairs[index + 1..] {
            if view.touch[one] == Touch::Nothing && view.touch[other] == Touch::Nothing {
                continue;
            }
            let found = Two { view, one, other, one_to, other_to }.exchanged();
            match found {
                Some(false) => return Some(Exchange { one, other, turned: false }),
                Some(true) => turned = turned.or(Some(Exchange { one, other, turned: true })),
                None => {}
            }
        }
    }
    turned
}

struct Two<'v> {
    view: &'v View<'v>,
    one: usize,
    other: usize,
    one_to: usize,
    other_to: usize,
}

impl Two<'_> {
    /// `Some(false)` when exchanged, `Some(true)` when exchanged with the opposite word.
    fn exchanged(&self) -> Option<bool> {
        let quote = |at: usize| &self.view.quote.tokens[at];
        let passage = |at: usize| &self.view.passage.tokens[at];
        let part_in_quote = |at: usize| part(self.view.quote, at);
        let part_in_passage = |at: usize| part(self.view.passage, at);
        let (a, b, x, y) = (quote(self.one), quote(self.other), passage(self.one_to), passage(self.other_to));
        if self.is_twin(self.one, self.one_to)
            || self.is_twin(self.other, self.other_to)
            || a.is_said_by(b)
            || a.sentence != b.sentence
            || x.sentence != y.sentence
        {
            return None;
        }
        if self.moved_along(a, b) || self.goes_both_ways(a, b) || self.is_recast() {
            return None;
        }
        if self.clauses_swapped(a, b) {
            return Some(false);
        }
        if self.turned_passive(a, b, x, y) {
            return Some(false);
        }
        let (of_a, of_b) = (part_in_quote(self.one), part_in_quote(self.other));
        let (of_x, of_y) = (part_in_passage(self.one_to), part_in_passage(self.other_to));
        if of_a != of_b {
            return self.by_role(of_a, of_b, of_x, of_y);
        }
        if of_x != of_y {
            return None;
        }
        if self.slots_swapped() && a.same_kind(b) && self.tells_apart(a, b) && !self.voice_changed() {
            return Some(false);
        }
        (of_a.is_empty() && self.around_verb()).then_some(false)
    }

    /// Whether a word stands a second time, so that either may be meant: in the same clause, or in one that went
    /// to where this one's counterpart stands.
    fn is_twin(&self, at: usize, to: usize) -> bool {
        let (quote, passage) = (self.view.quote.tokens, self.view.passage.tokens);
        quote.iter().enumerate().any(|(twin, token)| {
            let gone = self.view.pairing.to[twin].is_none_or(|twin_to| passage[twin_to].clause == passage[to].clause);
            twin != at && token.is_same(&quote[at]) && (token.clause == quote[at].clause || gone)
        })
    }

    /// One of both is the verb, which is passive on one side alone: `shows a red light`, `a red light is shown`.
    fn is_recast(&self) -> bool {
        let quote = self.view.quote;
        let verb = |at: usize| {
            let word = &quote.text[quote.tokens[at].span.clone()];
            !quote.tokens[at].is_name() && classes(word).is_some_and(|used| used.verb)
        };
        let recast = |(at, to)| verb(at) && is_passive(quote, at) != is_passive(self.view.passage, to);
        [(self.one, self.one_to), (self.other, self.other_to)].into_iter().any(recast)
    }

    /// `A beat B` against `A was beaten by B`: both in their order, the voice changed.
    fn turned_passive(&self, a: &Token, b: &Token, x: &Token, y: &Token) -> bool {
        let agents = (b.role == "by") != (y.role == "by") && a.role == x.role;
        let bare = |role: &str| matches!(role, "" | "by");
        let named = a.same_kind(b) && a.is_name() && b.is_name();
        let verb = |(at, to): (usize, usize)| {
            (self.one < at && at < self.other)
                && (self.one_to < to && to < self.other_to)
                && is_passive(self.view.quote, at) != is_passive(self.view.passage, to)
        };
        agents && bare(b.role) && bare(y.role) && named && self.view.pairs().any(verb)
    }

    fn by_role(&self, a: &str, b: &str, x: &str, y: &str) -> Option<bool> {
        let crossed = |part: &str, place: &str| {
            part == place
                || are_opposites(part, place)
                    && matches!(part, "before" | "after" | "above" | "below" | "over" | "under")
        };
        let values = |at: usize| self.view.quote.tokens[at].value().is_some();
        let quote = self.view.quote.tokens;
        let unlike = values(self.one) && !quote[self.one].same_kind(&quote[self.other]);
        if (!is_part(a) && !is_part(b)) || values(self.one) != values(self.other) || unlike {
            return None;
        }
        // Both must leave their own part for the other's.
        if x == a || y == b || !crossed(b, x) || !crossed(a, y) {
            return None;
        }
        Some(x != b || y != a)
    }

    /// Each now stands where the other stood, everything else being in its place.
    fn slots_swapped(&self) -> bool {
        let slot = |at: usize| self.view.pairing.slot[at];
        slot(self.one) == Some(self.other_to) && slot(self.other) == Some(self.one_to)
    }

    /// Words in general may change places freely; values, names, opposites and key terms not.
    fn tells_apart(&self, a: &Token, b: &Token) -> bool {
        let term = |token: &Token| self.view.weights.is_term(&token.stem);
        // Members of a list: nothing between them, or only what each of them has.
        let quote = self.view.quote.tokens;
        let repeated =
            |at: usize| quote.iter().enumerate().any(|(twin, token)| twin != at && token.is_same(&quote[at]));
        let listed = (self.one + 1..self.other).all(repeated);
        (a.value().is_some()
            || a.is_name()
            || a.opposes(b)
            || (term(a) && term(b))
            || self.view.touch[self.one] == Touch::Answers
            || self.view.touch[self.other] == Touch::Answers)
            && !listed
    }

    /// Each still stands in one clause with what it stood with: only the clauses changed places.
    fn moved_along(&self, a: &Token, b: &Token) -> bool {
        let passage = self.view.passage.tokens;
        let (x, y) = (passage[self.one_to].clause, passage[self.other_to].clause);
        a.clause != b.clause && x != y && self.partners(a.clause, x) > 0 && self.partners(b.clause, y) > 0
    }

    /// How many facts, but for the two and what stands twice, went from one clause to another.
    fn partners(&self, clause: usize, to: usize) -> usize {
        let (quote, passage) = (self.view.quote.tokens, self.view.passage.tokens);
        let partner = |at: usize| {
            at != self.one
                && at != self.other
                && quote[at].clause == clause
                && !quote.iter().enumerate().any(|(twin, token)| twin != at && token.is_said_by(&quote[at]))
        };
        self.view.pairs().filter(|(at, other)| partner(*at) && passage[*other].clause == to).count()
    }

    /// What stood in one clause with each now stands with the other.
    fn clauses_swapped(&self, a: &Token, b: &Token) -> bool {
        let exclusive = a.same_kind(b) && (a.value().is_some() || a.is_name() || a.opposes(b));
        let passage = self.view.passage.tokens;
        let (x, y) = (passage[self.one_to].clause, passage[self.other_to].clause);
        if !exclusive || a.clause == b.clause || x == y {
            return false;
        }
        let (stays, crosses) = (self.partners(a.clause, x), self.partners(a.clause, y));
        let (other_stays, other_crosses) = (self.partners(b.clause, y), self.partners(b.clause, x));
        crosses > 0 && other_crosses > 0 && (stays == 0 || other_stays == 0)
    }

    /// `Scotland borders England`, `it joins the Red Sea to the Mediterranean`: what stands at the two ends of
    /// such a verb may change places.
    fn goes_both_ways(&self, a: &Token, b: &Token) -> bool {
        let passage = self.view.passage.tokens;
        let (x, y) = (&passage[self.one_to], &passage[self.other_to]);
        if a.clause != b.clause
            || x.clause != y.clause
            || ![a, b, x, y].iter().all(|token| matches!(token.role, "" | "to" | "with"))
        {
            return false;
        }
        let ends = |verbs: &[&str], fits: fn(usize, usize, usize) -> bool| {
            self.view.pairs().any(|(at, to)| {
                let (first, last) = (self.one_to.min(self.other_to), self.one_to.max(self.other_to));
                verbs.contains(&self.view.quote.tokens[at].stem.as_str())
                    && fits(at, self.one, self.other)
                    && fits(to, first, last)
            })
        };
        ends(&BETWEEN, |verb, first, last| first < verb && verb < last)
            || [a, b].iter().any(|token| token.role == "to" || token.role == "with")
                && ends(&JOINING, |verb, first, _| verb < first)
    }

    fn between(&self) -> impl Iterator<Item = (usize, usize)> {
        self.view
            .pairs()
            .filter(|(at, to)| (self.one < *at && *at < self.other) && (self.other_to < *to && *to < self.one_to))
    }

    fn voice_changed(&self) -> bool {
        self.between().any(|(at, to)| is_passive(self.view.quote, at) != is_passive(self.view.passage, to))
    }

    /// Both sides of one verb are exchanged while its voice stays.
    fn around_verb(&self) -> bool {
        let quote = self.view.quote.tokens;
        let passage = self.view.passage.tokens;
        let together = quote[self.one].clause == quote[self.other].clause
            && passage[self.one_to].clause == passage[self.other_to].clause;
        together
            && self.between().any(|(at, to)| {
                is_verb_like(self.view.quote, at)
                    && is_verb_like(self.view.passage, to)
                    && is_passive(self.view.quote, at) == is_passive(self.view.passage, to)
                    && (is_only_verb(self.view.quote, at) || quote[at].role.is_empty() && passage[to].role.is_empty())
            })
    }
}

/// Verbs, by their stems, of which both sides do the same to each other.
const BETWEEN: [&str; 8] = ["adjoin", "border", "equal", "marri", "meet", "met", "resembl", "touch"];
/// Verbs of which both objects end up the same.
const JOINING: [&str; 4] = ["connect", "join", "link", "unit"];

/// Whether a small word gives a part that can be exchanged.
fn is_part(role: &str) -> bool {
    matches!(
        role,
        "than"
            | "of"
            | "by"
            | "from"
            | "to"
            | "into"
            | "before"
            | "after"
            | "over"
            | "under"
            | "above"
            | "below"
            | "first"
            | "then"
            | "next"
            | "finally"
            | "towards"
            | "through"
    )
}

/// The words before a token, the nearest first.
fn words_before<'t>(read: Read<'t>, at: usize) -> impl Iterator<Item = String> + 't {
    read.text[..read.tokens[at].span.start].split_whitespace().rev().take(3).map(str::to_lowercase)
}

fn is_be(word: &str) -> bool {
    matches!(word, "is" | "are" | "was" | "were" | "be" | "been" | "being")
}

fn is_participle(word: &str) -> bool {
    let word = word.to_lowercase();
    word.ends_with("ed") || word.ends_with("en") || is_irregular_past(&word)
}

pub(super) fn is_passive(read: Read<'_>, at: usize) -> bool {
    let word = &read.text[read.tokens[at].span.clone()];
    is_participle(word) && words_before(read, at).any(|word| is_be(&word))
}

/// The part that a token plays: its small word's, unless a verb stands between the two.
fn part<'t>(read: Read<'t>, at: usize) -> &'t str {
    let token = &read.tokens[at];
    let within =
        |before: &usize| read.tokens[*before].role == token.role && read.tokens[*before].clause == token.clause;
    let verb = |before: usize| is_only_verb(read, before);
    if token.role.is_empty() || (0..at).rev().take_while(within).take(2).any(verb) { "" } else { token.role }
}

/// Whether a word is a verb and nothing else.
fn is_only_verb(read: Read<'_>, at: usize) -> bool {
    classes(&read.text[read.tokens[at].span.clone()]).is_some_and(|used| used.verb && !used.noun && !used.describes)
}

fn is_verb_like(read: Read<'_>, at: usize) -> bool {
    let token = &read.tokens[at];
    if token.value().is_some() || token.is_name() {
        return false;
    }
    let word = &read.text[token.span.clone()];
    if classes(word).is_some_and(|used| !used.verb) {
        return false;
    }
    match words_before(read, at).next() {
        Some(before) if is_be(&before) => is_participle(word) || word.ends_with("ing"),
        Some(before) => !matches!(
            before.as_str(),
            "a" | "an"
                | "the"
                | "of"
                | "in"
                | "on"
                | "at"
                | "by"
                | "for"
                | "with"
                | "this"
                | "its"
                | "their"
                | "these"
                | "more"
                | "most"
                | "less"
                | "and"
                | "or"
                | "very"
                | "as"
        ),
        None => false,
    }
}
