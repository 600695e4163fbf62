//! What a changed passage says otherwise than the quote did, where it touches what a card asks or
//! answers.

use super::align::{Pairing, pair};
use super::exchange::{Exchange, exchange};
use super::reading::{Bound, Token};
use super::weights::Weights;
use crate::text::{Value, grade_of, words};
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
}

/// How a token of the quote matters to the card.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Touch {
    Nothing,
    Asks,
    Answers,
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
    Comparison { closeness: pairing.closeness, fewest: fewest(passage.tokens, &pairing), differences: out }
}

fn fewest(passage: &[Token], pairing: &Pairing) -> usize {
    let sentences = passage.last().map_or(0, |last| last.sentence + 1);
    let had = |sentence: usize| {
        passage.iter().zip(&pairing.from).filter(|(token, from)| token.sentence == sentence && from.is_some()).count()
    };
    (0..sentences).map(had).min().unwrap_or(0)
}

/// How each token of the quote matters.
pub(crate) fn touches(quote: &[Token], focus: &Focus) -> Vec<Touch> {
    let said = |tokens: &[Token], token: &Token| tokens.iter().any(|other| other.is_said_by(token));
    let asked = |token: &Token| focus.asks.iter().any(|other| other.is_same(token));
    let mut out: Vec<Touch> = quote
        .iter()
        .enumerate()
        .map(|(at, token)| {
            let answers = focus.points.iter().any(|point| said(point, token));
            match (answers, asked(token)) {
                (true, false) => Touch::Answers,
                (true, true) if token.value().is_some() || token.is_name() || is_twin(quote, at) => Touch::Answers,
                (false, false) if !focus.asks.iter().any(|other| other.is_said_by(token)) => Touch::Nothing,
                _ => Touch::Asks,
            }
        })
        .collect();
    // A bare number in the answer means the bare number in the quote, if there is one.
    let bare = |token: &Token| token.value().is_some_and(|value| !value.has_unit());
    if quote.iter().zip(&out).any(|(token, touch)| *touch == Touch::Answers && bare(token)) {
        for (token, touch) in quote.iter().zip(&mut out) {
            let given_bare = focus.points.iter().flatten().any(|point| bare(point) && point.is_said_by(token));
            let given_whole = focus.points.iter().flatten().any(|point| !bare(point) && point.is_said_by(token));
            if token.value().is_some_and(Value::has_unit) && given_bare && !given_whole {
                *touch = Touch::Nothing;
            }
        }
    }
    // Yes, no, or a worked-out answer: then all that the quote says is what matters.
    if !out.contains(&Touch::Answers) {
        out.fill(Touch::Asks);
    }
    out
}

/// Whether a word stands a second time, so that the question may mean the one and the answer the other.
fn is_twin(quote: &[Token], at: usize) -> bool {
    quote[..at].iter().any(|earlier| earlier.is_same(&quote[at]))
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

    fn missing_facts(&self, out: &mut Vec<Difference>) {
        let mut lost = 0.0;
        let mut asked = 0.0;
        let mut gone = Vec::new();
        for (at, token) in self.quote.tokens.iter().enumerate() {
            let touch = self.touch[at];
            let light = is_light(&token.stem);
            if touch == Touch::Asks && !light {
                asked += token.weight;
            }
            if self.pairing.to[at].is_some() || self.said_again(at) {
                continue;
            }
            if let Some(other) = self.instead(at, |other| token.opposes(other)) {
                let denied = token.negated != self.passage.tokens[other].negated;
                if !denied && (touch != Touch::Nothing || self.near_answer(at)) {
                    out.push(self.difference(FactKind::Opposite, at, Some(other)));
                }
                continue;
            }
            if touch == Touch::Nothing {
                continue;
            }
            if let Some(other) = self.instead(at, |other| is_alike(&other.stem)).filter(|_| self.is_graded(at)) {
                out.push(self.difference(FactKind::Comparison, at, Some(other)));
                continue;
            }
            if let Some(value) = token.value() {
                out.push(self.other_value(at, value));
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

    /// Whether a word compares: `larger`, `more`.
    fn is_graded(&self, at: usize) -> bool {
        let token = &self.quote.tokens[at];
        matches!(token.stem.as_str(), "more" | "less" | "fewer")
            || grade_of(&self.quote.text[token.span.clone()]) == Some("er")
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

    fn other_value(&self, at: usize, value: &Value) -> Difference {
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
        self.difference(kind, at, other)
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

    /// Words of the question that are gone: another subject, when they are most of what the card says,
    /// or when what is asked for, or asked about, gave way to something else.
    fn other_subject(&self, gone: &[usize], lost: f64, all: f64, out: &mut Vec<Difference>) {
        let understood = |at: usize| self.before.iter().any(|earlier| self.quote.tokens[at].is_same(earlier));
        let weight = |at: &usize| self.quote.tokens[*at].weight;
        let heaviest = gone
            .iter()
            .copied()
            .filter(|at| !understood(*at))
            .max_by(|one, other| weight(one).total_cmp(&weight(other)).then(other.cmp(one)));
        let Some(heaviest) = heaviest else { return };
        let instead = |at: usize| {
            self.pairing.slot[at].filter(|slot| self.free(*slot) && self.passage.tokens[*slot].value().is_none())
        };
        if lost > 0.5 * all {
            out.push(self.difference(FactKind::Term, heaviest, instead(heaviest)));
        }
        let other = gone
            .iter()
            .copied()
            .filter(|at| !understood(*at))
            .find(|at| instead(*at).is_some_and(|other| self.is_key(*at) || self.is_rival(*at, other)));
        if let Some(at) = other {
            out.push(self.difference(FactKind::Term, at, instead(at)));
        }
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
        let before = self.quote.text[..token.span.start].split_whitespace().next_back().unwrap_or("").to_lowercase();
        rarest
            && matches!(
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

    /// What the question names has another answer beside it now, and the answer stands beside
    /// another name: `the capital of A is Y and the capital of B is X`.
    fn bound_to_others(&self, out: &mut Vec<Difference>) {
        let passage = self.passage.tokens;
        let quote = self.quote.tokens;
        let distinct = |token: &Token| token.value().is_some() || token.is_name();
        for (answer, answer_to) in
            self.pairs().filter(|(at, _)| self.touch[*at] == Touch::Answers && distinct(&quote[*at]))
        {
            for (asked, asked_to) in
                self.pairs().filter(|(at, _)| self.touch[*at] == Touch::Asks && distinct(&quote[*at]))
            {
                let (with_answer, with_asked) = (passage[answer_to].clause, passage[asked_to].clause);
                if quote[answer].clause != quote[asked].clause || with_answer == with_asked {
                    continue;
                }
                let new = |clause: usize, like: &Token| {
                    (0..passage.len())
                        .find(|at| passage[*at].clause == clause && self.free(*at) && passage[*at].same_kind(like))
                };
                let rival = new(with_asked, &quote[answer]);
                if let (Some(rival), Some(_)) = (rival, new(with_answer, &quote[asked])) {
                    return out.push(self.difference(FactKind::Order, answer, Some(rival)));
                }
            }
        }
    }

    /// `South Korea` for `Korea`, `Guinea-Bissau` for `Bissau`.
    fn longer_names(&self, out: &mut Vec<Difference>) {
        let tokens = self.passage.tokens;
        for (at, other) in
            self.pairs().filter(|(at, _)| self.touch[*at] != Touch::Nothing && self.quote.tokens[*at].is_name())
        {
            let added = |first: usize, second: usize, new: usize| {
                let gap = &self.passage.text[tokens[first].span.end..tokens[second].span.start];
                let capital = self.passage.text[tokens[new].span.clone()].starts_with(char::is_uppercase);
                let leads = gap == " "
                    && new == first
                    && (tokens[new].stem == "new" || crate::text::has_opposite(&tokens[new].stem));
                (capital && self.free(new) && tokens[new].value().is_none() && (gap == "-" || leads))
                    .then_some(first..second)
            };
            let before = other.checked_sub(1).and_then(|before| added(before, other, before));
            let longer = before.or_else(|| (other + 1 < tokens.len()).then(|| added(other, other + 1, other + 1))?);
            if let Some(longer) = longer {
                let mut difference = self.difference(FactKind::Name, at, Some(other));
                let whole = tokens[longer.start].span.start..tokens[longer.end].span.end;
                difference.notes = Some(self.passage.text[whole.clone()].to_string());
                difference.notes_at = Some(whole);
                return out.push(difference);
            }
        }
    }

    /// Facts that changed places, unless an opposite word turns the sense back.
    fn exchanged(&self, out: &mut Vec<Difference>) {
        let found = exchange(self);
        match found {
            Some(Exchange { turned: true, .. }) => out.retain(|difference| difference.kind != FactKind::Opposite),
            Some(Exchange { one, other, .. }) => {
                let before = out.len();
                out.retain(|difference| difference.kind != FactKind::Opposite);
                if out.len() == before {
                    let mut difference = self.difference(FactKind::Order, one, self.pairing.to[other]);
                    difference.answers = difference.answers || self.touch[other] == Touch::Answers;
                    out.push(difference);
                }
            }
            None => {}
        }
    }

    fn negations(&self, out: &mut Vec<Difference>) {
        for (at, other) in self.pairs() {
            let (mine, theirs) = (&self.quote.tokens[at], &self.passage.tokens[other]);
            if mine.negated == theirs.negated || (self.touch[at] == Touch::Nothing && !self.near_answer(at)) {
                continue;
            }
            let mut difference = self.difference(FactKind::Negation, at, Some(other));
            let with_before = |text: &str, tokens: &[Token], at: usize| {
                let from = at.checked_sub(1).map_or(0, |before| tokens[before].span.end);
                let lead =
                    text[from..tokens[at].span.start].rfind([',', '.', ';', ':']).map_or(from, |stop| from + stop + 1);
                let start = lead + (text[lead..].len() - text[lead..].trim_start().len());
                start.min(tokens[at].span.start)..tokens[at].span.end
            };
            let notes_at = with_before(self.passage.text, self.passage.tokens, other);
            let card_at = with_before(self.quote.text, self.quote.tokens, at);
            difference.notes = Some(self.passage.text[notes_at.clone()].to_string());
            difference.card = self.quote.text[card_at.clone()].to_string();
            (difference.notes_at, difference.card_at) = (Some(notes_at), card_at);
            // One is enough: the others are in the reach of the same small word.
            return out.push(difference);
        }
    }

    fn comparisons(&self, out: &mut Vec<Difference>) {
        for (at, other) in self.pairs() {
            let (mine, theirs) = (self.quote.tokens[at].bound(), self.passage.tokens[other].bound());
            if mine == theirs || self.touch[at] == Touch::Nothing {
                continue;
            }
            let mut difference = self.difference(FactKind::Comparison, at, Some(other));
            difference.card = worded(mine, &difference.card);
            difference.notes = difference.notes.map(|notes| worded(theirs, &notes));
            out.push(difference);
        }
        out.extend(self.pairs().find_map(|(at, other)| self.stretched(at, other)));
        out.extend(self.bidden());
    }

    /// A number that is the end of a range now, or multiplied: `34 to 40 knots`, `twice 34 knots`.
    fn stretched(&self, at: usize, other: usize) -> Option<Difference> {
        let value = self.quote.tokens[at].value().filter(|_| self.touch[at] != Touch::Nothing)?;
        let tokens = self.passage.tokens;
        let joined = |first: usize, second: usize| {
            let gap = self.passage.text[tokens[first].span.end..tokens[second].span.start].trim();
            matches!(gap, "-" | "to")
        };
        let kind = |token: usize| {
            self.free(token) && tokens[token].value().is_some_and(|other| value.same_kind(other) || !value.has_unit())
        };
        let after =
            (other + 1 < tokens.len() && kind(other + 1) && joined(other, other + 1)).then_some(other..other + 2);
        let before = other
            .checked_sub(1)
            .filter(|before| kind(*before) && joined(*before, other))
            .map(|before| before..other + 1);
        let multiplied = || {
            let multiplies = |text: &str| {
                text.split_whitespace().next_back().is_some_and(|word| {
                    matches!(
                        word.to_lowercase().as_str(),
                        "twice" | "double" | "thrice" | "triple" | "treble" | "times"
                    )
                })
            };
            let now = multiplies(&self.passage.text[..tokens[other].span.start]);
            (now && !multiplies(&self.quote.text[..self.quote.tokens[at].span.start])).then_some(other..other + 1)
        };
        let range = after.or(before).or_else(multiplied)?;
        let mut difference = self.difference(FactKind::Comparison, at, Some(other));
        let mut start = tokens[range.start].span.start;
        if range.len() == 1 {
            start = self.passage.text[..start].trim_end().rfind(' ').map_or(0, |space| space + 1);
        }
        let whole = start..tokens[range.end - 1].span.end;
        difference.notes = Some(self.passage.text[whole.clone()].to_string());
        difference.notes_at = Some(whole);
        Some(difference)
    }

    /// `must` for `may`, or the other way.
    fn bidden(&self) -> Option<Difference> {
        let find = |text: &str, any: &[&str]| {
            words(text).find(|word| any.contains(&word.to_lowercase().as_str())).map(str::to_string)
        };
        let (must, may): (&[&str], &[&str]) =
            (&["must", "needs", "need", "required", "compulsory"], &["may", "might", "can", "could", "optional"]);
        let (quote, passage) = (self.quote.text, self.passage.text);
        let turned = |from: &[&str], to: &[&str]| {
            let (card, notes) = (find(quote, from)?, find(passage, to)?);
            (find(quote, to).is_none() && find(passage, from).is_none()).then_some((card, notes))
        };
        let (card, notes) = turned(must, may).or_else(|| turned(may, must))?;
        let at = quote.find(&card)?;
        let notes_at = passage.find(&notes)?;
        Some(Difference {
            kind: FactKind::Comparison,
            card_at: at..at + card.len(),
            notes_at: Some(notes_at..notes_at + notes.len()),
            card,
            notes: Some(notes),
            answers: false,
        })
    }

    /// `the second longest` and `one of the longest` are not the longest.
    fn ranks(&self, out: &mut Vec<Difference>) {
        for (at, other) in self.pairs() {
            let superlative = grade_of(&self.quote.text[self.quote.tokens[at].span.clone()]) == Some("est");
            let ranked = |tokens: &[Token], at: usize| {
                at.checked_sub(1).is_some_and(|before| {
                    tokens[before].value().is_some_and(|value| !value.has_unit())
                        && tokens[before].clause == tokens[at].clause
                })
            };
            let near = self.touch[at] != Touch::Nothing || self.near_answer(at);
            if superlative
                && near
                && !ranked(self.quote.tokens, at)
                && ranked(self.passage.tokens, other)
                && self.free(other - 1)
            {
                out.push(self.difference(FactKind::Comparison, at, Some(other - 1)));
            }
        }
    }

    /// The points of an ordered answer stand in another order now.
    fn order(&self, focus: &Focus, out: &mut Vec<Difference>) {
        let mut places: Vec<(usize, usize)> = focus.points.iter().filter_map(|point| self.place_of(point)).collect();
        places.sort_unstable();
        if let Some(two) = places.windows(2).find(|two| two[0].1 > two[1].1) {
            out.push(self.difference(FactKind::Order, two[0].0, self.pairing.to[two[1].0]));
        }
    }

    /// Where the weightiest word of a point stands in the quote and in the passage.
    fn place_of(&self, point: &[Token]) -> Option<(usize, usize)> {
        // A word that several points have, such as `core`, tells no place.
        let once = |token: &Token| self.quote.tokens.iter().filter(|other| token.is_same(other)).count() == 1;
        let says = |token: &Token| if once(token) { token.weight + 1.0 } else { token.weight };
        let heaviest = point.iter().max_by(|one, other| says(one).total_cmp(&says(other)))?;
        let at = self.quote.tokens.iter().position(|token| heaviest.is_said_by(token))?;
        Some((at, self.pairing.to[at]?))
    }

    /// A member that the notes' list has now and the answer's has not.
    fn added_members(&self, focus: &Focus, out: &mut Vec<Difference>) {
        let members = |point: &Vec<Token>| self.place_of(point);
        let places: Vec<(usize, usize)> = focus.points.iter().filter_map(members).collect();
        if places.len() < 2 {
            return;
        }
        let clauses = || places.iter().map(|place| self.passage.tokens[place.1].clause);
        let (Some(first), Some(last)) = (clauses().min(), clauses().max()) else { return };
        for clause in first..=last + 1 {
            let Some(begin) = self.passage.tokens.iter().position(|token| token.clause == clause) else { continue };
            let end = begin + self.passage.tokens[begin..].iter().take_while(|token| token.clause == clause).count();
            let new = (begin..end).all(|at| self.free(at)) && end - begin <= 3;
            if new && self.stands_in_list(begin, end) {
                let last = places.iter().map(|place| place.0).max().unwrap_or(0);
                let mut difference = self.difference(FactKind::Member, last, Some(begin));
                let whole = self.passage.tokens[begin].span.start..self.passage.tokens[end - 1].span.end;
                difference.notes = Some(self.passage.text[whole.clone()].to_string());
                difference.notes_at = Some(whole);
                (difference.card, difference.answers) = (String::new(), true);
                out.push(difference);
            }
        }
    }

    /// Whether the tokens are joined to what is before by a comma or `and` alone, and end likewise.
    fn stands_in_list(&self, begin: usize, end: usize) -> bool {
        let Some(before) = begin.checked_sub(1) else { return false };
        let tokens = self.passage.tokens;
        let gap = &self.passage.text[tokens[before].span.end..tokens[begin].span.start];
        let joint: Vec<&str> =
            gap.split_whitespace().filter(|word| !matches!(*word, "a" | "an" | "the" | "The")).collect();
        let inside = &self.passage.text[tokens[begin].span.start..tokens[end - 1].span.end];
        let after =
            tokens.get(end).map_or("", |next| &self.passage.text[tokens[end - 1].span.end..next.span.start]).trim();
        let same_sentence = tokens[before].sentence == tokens[begin].sentence;
        let plain =
            inside.split_whitespace().all(|word| matches!(word, "of" | "the") || !crate::text::is_stop_word(word));
        let closes = after.is_empty()
            || after.starts_with([',', ';', '.'])
            || after.starts_with("and")
            || after.starts_with("or");
        same_sentence
            && plain
            && closes
            && !joint.is_empty()
            && joint.iter().all(|word| matches!(*word, "," | "and" | "or" | "&" | ";"))
    }

    pub(super) fn pairs(&self) -> impl Iterator<Item = (usize, usize)> {
        self.pairing.to.iter().enumerate().filter_map(|(at, to)| to.map(|to| (at, to)))
    }
}

/// Words that say that there is no more and no less.
fn is_alike(stem: &str) -> bool {
    matches!(stem, "same" | "equal" | "ident" | "alik")
}

/// Verbs that any sentence may do without.
fn is_light(stem: &str) -> bool {
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
    )
}

fn worded(bound: Bound, number: &str) -> String {
    let words = match bound {
        Bound::Is => return number.to_string(),
        Bound::Over => "more than",
        Bound::AtLeast => "at least",
        Bound::Under => "less than",
        Bound::AtMost => "at most",
    };
    format!("{words} {number}")
}
