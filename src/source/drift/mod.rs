//! What a changed passage says otherwise than the quote did, where it touches what a card asks or
//! answers.

mod align;
mod bounds;
mod doubt;
mod exchange;
mod members;
mod missing;
mod names;
mod negations;
mod order;
mod spots;
mod subject;
mod touch;

use self::align::{Pairing, pair};
pub(crate) use self::doubt::weigh;
pub(crate) use self::spots::spots;
pub(crate) use self::touch::{Touch, touches};
use super::reading::Token;
use super::weights::Weights;
use std::ops::Range;

/// What kind of fact differs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FactKind {
    /// A number.
    Number,
    /// The unit of a number.
    Unit,
    /// A date or year.
    Date,
    /// A name.
    Name,
    /// A word and its opposite, such as a direction.
    Opposite,
    /// Said and denied.
    Negation,
    /// More than, at least, exactly.
    Comparison,
    /// A member of a list.
    Member,
    /// Which comes first, or who does what to whom.
    Order,
    /// Another word that carries the meaning.
    Term,
}

/// One fact that two texts give differently.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// What kind of fact it is.
    pub kind: FactKind,
    /// The words of the card's side; empty when the notes add something.
    pub card: String,
    /// The words of the notes' side; `None` when they no longer say it.
    pub notes: Option<String>,
    /// Where the card's words stand in its text as read.
    pub card_at: Range<usize>,
    /// Where the notes' words stand in their passage as read.
    pub notes_at: Option<Range<usize>>,
    /// Whether the answer is touched, and not only the question.
    pub answers: bool,
    /// Whether the fact differs beyond doubt; else only a person can tell whether both say the same.
    pub certain: bool,
}

/// What a card asks and answers, read for its facts.
#[derive(Clone, Debug, Default)]
pub(crate) struct Focus {
    pub(crate) asks: Vec<Token>,
    /// The points of the answer.
    pub(crate) points: Vec<Vec<Token>>,
    pub(crate) ordered: bool,
    /// The words that say what is asked for: `density` in `What is the density of iron?`.
    pub(crate) heads: Vec<String>,
}

/// A text and its reading.
#[derive(Clone, Copy)]
pub(crate) struct Read<'t> {
    pub(crate) text: &'t str,
    pub(crate) tokens: &'t [Token],
}

/// The passage against the quote: how close it is, and which facts differ.
pub(crate) struct Comparison {
    pub(crate) closeness: f64,
    /// The same of the clauses alone in which the quote answers.
    pub(crate) kept: f64,
    /// How many facts of the quote the sentence of the passage that has fewest has.
    pub(crate) fewest: usize,
    pub(crate) differences: Vec<Difference>,
}

/// Compares a passage with a quote in view of what the card asks and answers. `before` are the tokens
/// of the sentences that stand before the passage, for what a pronoun means.
pub(crate) fn compare(
    quote: Read<'_>,
    passage: Read<'_>,
    focus: &Focus,
    before: &[Token],
    weights: &Weights,
) -> Comparison {
    let pairing = pair(quote.tokens, passage.tokens);
    let touch = touches(quote.tokens, focus);
    let view = View { quote, passage, pairing: &pairing, touch: &touch, heads: &focus.heads, before, weights };
    let mut out = Vec::new();
    view.missing_facts(&mut out);
    view.exchanged(&mut out);
    view.bound_to_others(&mut out);
    view.longer_names(&mut out);
    view.negations(&mut out);
    view.comparisons(&mut out);
    view.ranks(&mut out);
    if focus.ordered {
        view.order(focus, &mut out);
    }
    view.added_members(focus, &mut out);
    out.sort_by(|one, other| {
        (other.answers, one.card_at.start, one.kind).cmp(&(one.answers, other.card_at.start, other.kind))
    });
    out.dedup();
    let kept = kept(quote.tokens, &pairing, &touch);
    Comparison { closeness: pairing.closeness, kept, fewest: fewest(passage.tokens, &pairing), differences: out }
}

/// How much of the clauses in which a quote answers has a passage in one sentence.
fn kept(quote: &[Token], pairing: &Pairing, touch: &[Touch]) -> f64 {
    let answers = |clause: usize| {
        quote.iter().zip(touch).any(|(token, touch)| *touch == Touch::Answers && token.clause == clause)
    };
    let said = || quote.iter().enumerate().filter(|(at, token)| touch[*at] != Touch::Nothing || answers(token.clause));
    let all: f64 = said().map(|(_, token)| token.weight).sum();
    let had: f64 = said().filter(|(at, _)| pairing.to[*at].is_some()).map(|(_, token)| token.weight).sum();
    if said().count() < 3 { 0.0 } else { had / all }
}

fn fewest(passage: &[Token], pairing: &Pairing) -> usize {
    let sentences = passage.last().map_or(0, |last| last.sentence + 1);
    let had = |sentence: usize| {
        passage.iter().zip(&pairing.from).filter(|(token, from)| token.sentence == sentence && from.is_some()).count()
    };
    (0..sentences).map(had).min().unwrap_or(0)
}

pub(super) struct View<'t> {
    pub(super) quote: Read<'t>,
    pub(super) passage: Read<'t>,
    pub(super) pairing: &'t Pairing,
    pub(super) touch: &'t [Touch],
    pub(super) heads: &'t [String],
    pub(super) before: &'t [Token],
    pub(super) weights: &'t Weights,
}

impl View<'_> {
    fn difference(&self, kind: FactKind, at: usize, notes: Option<usize>) -> Difference {
        let card_at = self.quote.tokens[at].span.clone();
        let notes_at = notes.map(|notes| self.passage.tokens[notes].span.clone());
        Difference {
            kind,
            card: self.quote.text[card_at.clone()].to_string(),
            notes: notes_at.clone().map(|at| self.passage.text[at].to_string()),
            card_at,
            notes_at,
            answers: self.touch[at] == Touch::Answers,
            certain: true,
        }
    }

    fn free(&self, at: usize) -> bool {
        self.pairing.from[at].is_none()
    }

    /// The unpaired token of the passage that fits, the one in the same place first.
    fn instead(&self, at: usize, fits: impl Fn(&Token) -> bool) -> Option<usize> {
        let slot = self.pairing.slot[at].filter(|slot| fits(&self.passage.tokens[*slot]));
        slot.or_else(|| {
            (0..self.passage.tokens.len())
                .filter(|other| self.free(*other))
                .find(|other| fits(&self.passage.tokens[*other]))
        })
    }

    /// Whether a token stands in one clause with the answer.
    fn near_answer(&self, at: usize) -> bool {
        let clause = self.quote.tokens[at].clause;
        self.quote
            .tokens
            .iter()
            .zip(self.touch)
            .any(|(token, touch)| *touch == Touch::Answers && token.clause == clause)
    }

    pub(super) fn pairs(&self) -> impl Iterator<Item = (usize, usize)> {
        self.pairing.to.iter().enumerate().filter_map(|(at, to)| to.map(|to| (at, to)))
    }
}
