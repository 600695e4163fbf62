//! Goes through a text's pieces and keeps what bears on the next one.

use super::roles::{is_auxiliary, role_of};
use super::{Bound, Sense, Token};
use crate::source::weights::Weights;
use crate::text::{Piece, What, fold, has_opposite, is_stop_word, stem, value_at};

pub(super) struct Reader<'p> {
    pub(super) pieces: &'p [Piece<'p>],
    pub(super) weights: &'p Weights,
    pub(super) out: Vec<Token>,
    pub(super) state: State,
}

pub(super) struct State {
    pub(super) begins: bool,
    pub(super) negated: bool,
    /// Whether it is `without` that denies: it reaches no further than what is lacked.
    pub(super) without: bool,
    /// A negation that holds to the end of the sentence: `it is a myth that`.
    pub(super) retracted: bool,
    /// Whether a relative clause has begun in this clause.
    pub(super) relative: bool,
    /// How many tokens there were when something was denied in a relative clause.
    pub(super) denied_in_relative: Option<usize>,
    pub(super) clause: usize,
    pub(super) sentence: usize,
    pub(super) role: &'static str,
    /// How many tokens there were when the part began.
    pub(super) role_from: usize,
    pub(super) bound: Bound,
    /// The piece at which the bound began.
    pub(super) bound_from: usize,
}

impl Default for State {
    fn default() -> State {
        State {
            begins: true,
            negated: false,
            without: false,
            retracted: false,
            relative: false,
            denied_in_relative: None,
            clause: 0,
            sentence: 0,
            role: "",
            role_from: 0,
            bound: Bound::Is,
            bound_from: 0,
        }
    }
}

impl<'p> Reader<'p> {
    pub(super) fn new(pieces: &'p [Piece<'p>], weights: &'p Weights) -> Reader<'p> {
        Reader { pieces, weights, out: Vec::with_capacity(pieces.len() / 2), state: State::default() }
    }

    /// Reads what begins at piece `at` and says how many pieces it took.
    pub(super) fn step(&mut self, at: usize) -> usize {
        if let What::Sign(sign) = self.pieces[at].what
            && self.boundary(at, sign)
        {
            return 1;
        }
        if let Some((bound, len)) = self.bound_before(at) {
            (self.state.bound, self.state.bound_from) = (bound, at);
            self.state.begins = false;
            return len;
        }
        if let Some((value, len)) = value_at(self.pieces, at) {
            let (bound, more) = self.bound_after(at + len);
            let before = std::mem::replace(&mut self.state.bound, Bound::Is);
            let bound = if bound == Bound::Is { before } else { bound };
            self.push(at, len, Sense::Value(Box::new(value), bound), String::new());
            self.take_bound(if before == Bound::Is { at } else { self.state.bound_from }, at + len + more);
            return len + more;
        }
        if !self.pieces[at].is_word() {
            return 1;
        }
        self.state.bound = Bound::Is;
        self.word(at)
    }

    /// Takes a sign that ends a clause or sentence.
    fn boundary(&mut self, at: usize, sign: char) -> bool {
        let state = &mut self.state;
        match sign {
            '.' | '!' | '?' => {
                // The point of an abbreviation is followed by no capital.
                let next = self.pieces.get(at + 1);
                let ends =
                    next.is_none_or(|next| !next.tight && next.text.chars().next().is_none_or(|c| !c.is_lowercase()));
                let short = sign == '.'
                    && at > 0
                    && matches!(
                        self.pieces[at - 1].text,
                        "St" | "Mt" | "Dr" | "Fig" | "Mr" | "Mrs" | "e.g" | "g" | "e" | "i" | "No"
                    );
                if ends && !short {
                    *state = State { clause: state.clause + 1, sentence: state.sentence + 1, ..State::default() };
                }
            }
            ';' | ':' => {
                state.clause += 1;
                (state.negated, state.role) = (state.retracted, "");
            }
            ',' | '(' | ')' | '"' | '→' => {
                state.clause += 1;
                (state.relative, state.denied_in_relative) = (false, None);
                (state.negated, state.role) = (state.retracted, "");
            }
            '-' if !self.pieces[at].tight => {
                state.clause += 1;
                (state.negated, state.role) = (state.retracted, "");
                return value_at(self.pieces, at).is_none();
            }
            _ => return false,
        }
        true
    }

    pub(super) fn text(&self, at: usize) -> String {
        self.pieces.get(at).map_or(String::new(), |piece| fold(piece.text))
    }

    fn word(&mut self, at: usize) -> usize {
        let word = self.text(at);
        if let Some(len) = self.negation(at, &word) {
            self.state.begins = false;
            return len;
        }
        if matches!(
            word.as_str(),
            "and"
                | "or"
                | "but"
                | "whereas"
                | "while"
                | "although"
                | "though"
                | "however"
                | "because"
                | "so"
                | "which"
                | "since"
                | "until"
                | "unless"
                | "when"
                | "where"
                | "if"
        ) {
            self.state.clause += 1;
            if !matches!(word.as_str(), "and" | "or") {
                self.state.role = "";
            }
            if !matches!(word.as_str(), "and" | "or") {
                self.state.negated = self.state.retracted;
            }
            self.state.begins = false;
            return 1;
        }
        let when = matches!(
            word.as_str(),
            "during" | "throughout" | "in" | "at" | "on" | "between" | "from" | "before" | "after"
        );
        if self.state.without && when {
            (self.state.negated, self.state.without) = (self.state.retracted, false);
        }
        if let Some(role) = role_of(&word) {
            (self.state.role, self.state.role_from) = (role, self.out.len());
        } else if is_auxiliary(&word) {
            self.state.role = "";
            // `The group that is not treated is the control group`: the relative clause is over.
            if self.state.denied_in_relative.is_some_and(|from| self.out.len() > from) {
                (self.state.negated, self.state.denied_in_relative) = (self.state.retracted, None);
            }
        }
        self.state.relative |= matches!(word.as_str(), "that" | "which" | "who");
        let stem = stem(self.pieces[at].text);
        let small = is_stop_word(&word) && !has_opposite(&stem)
            || matches!(word.as_str(), "in" | "out" | "up" | "down" | "all" | "very");
        let symbol = (self.is_capital_inside(at) || self.is_alone(at)) && !matches!(word.as_str(), "the" | "a" | "an");
        let small = small && !symbol && !matches!(word.as_str(), "all" | "up" | "down");
        if small {
            self.state.begins = false;
            return 1;
        }
        let genitive =
            word.ends_with("'s") || self.pieces.get(at + 1).is_some_and(|next| next.tight && next.is_sign('\''));
        let name =
            self.weights.is_name(self.pieces[at].text, &stem, self.state.begins) || (symbol && is_stop_word(&word));
        self.end_of_phrase(name);
        if name {
            self.begin_of_name(at);
        }
        // `by multiplying it`: what is done, and nobody who does it.
        if word.ends_with("ing") && self.state.role == "by" {
            self.state.role = "";
        }
        self.push(at, 1, Sense::Word { name }, stem);
        if genitive {
            self.possess();
        }
        1
    }

    /// A word with a capital that opens its sentence belongs to the name right after it.
    fn begin_of_name(&mut self, at: usize) {
        let follows = at.checked_sub(1).is_some_and(|before| self.pieces[before].is_word());
        let Some(last) = self.out.last_mut().filter(|last| follows && last.span.end + 1 == self.pieces[at].span.start)
        else {
            return;
        };
        let capital = at > 0 && self.pieces[at - 1].text.chars().next().is_some_and(char::is_uppercase);
        if capital && last.value().is_none() && !has_opposite(&last.stem) {
            last.what = Sense::Word { name: true };
        }
    }

    /// A text of one word, such as the answer `He`.
    fn is_alone(&self, at: usize) -> bool {
        self.pieces.iter().filter(|piece| piece.is_word()).count() == 1
            && self.pieces[at].text.chars().next().is_some_and(char::is_uppercase)
    }

    /// A stop word with a capital inside a sentence is part of a name or a symbol, such as `He` or `IT`.
    fn is_capital_inside(&self, at: usize) -> bool {
        let piece = &self.pieces[at];
        let pronoun = piece.text == "I" && self.pieces.get(at + 1).is_some_and(|next| next.is_word());
        !self.state.begins && piece.text.chars().next().is_some_and(char::is_uppercase) && !pronoun
    }

    /// The last value stands with the words that bound it, between two pieces.
    fn take_bound(&mut self, from: usize, to: usize) {
        if let (Some(last), Some(first), Some(end)) =
            (self.out.last_mut(), self.pieces.get(from), to.checked_sub(1).and_then(|at| self.pieces.get(at)))
        {
            last.bounded = first.span.start..end.span.end;
        }
    }

    pub(super) fn push(&mut self, at: usize, len: usize, what: Sense, stem: String) {
        let span = self.pieces[at].span.start..self.pieces[at + len - 1].span.end;
        let weight = if stem.is_empty() { 1.0 } else { self.weights.of_stem(&stem) };
        self.out.push(Token {
            bounded: span.clone(),
            span,
            what,
            plain: is_inflection(self.pieces[at].text, &stem),
            stem,
            weight,
            negated: self.state.negated,
            clause: self.state.clause,
            sentence: self.state.sentence,
            role: self.state.role,
        });
        self.state.begins = false;
    }
}

fn is_inflection(word: &str, stem: &str) -> bool {
    const DERIVED: [&str; 9] = ["ment", "ments", "ness", "ation", "ations", "ism", "ist", "ity", "able"];
    !DERIVED.iter().any(|ending| word.len() == stem.len() + ending.len() && word.ends_with(ending))
}
