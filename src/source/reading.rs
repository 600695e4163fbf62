//! A text read for its facts: the words that carry meaning, its values and names, each with what
//! bears on it: negation, comparison, the clause it stands in and the part it plays there.

use super::weights::Weights;
use crate::text::{
    Piece, Value, What, fold, has_opposite, is_stop_word, lex, stem, stems_agree, stems_oppose, value_at,
};
use std::ops::Range;

/// One fact-bearing piece of a text.
#[derive(Clone, Debug)]
pub(crate) struct Token {
    pub(crate) span: Range<usize>,
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

/// What is said about a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Bound {
    Is,
    Over,
    AtLeast,
    Under,
    AtMost,
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
    let mut reader =
        Reader { pieces: &pieces, weights, out: Vec::with_capacity(pieces.len() / 2), state: State::default() };
    let mut at = 0;
    while at < pieces.len() {
        at += reader.step(at);
    }
    reader.out
}

struct Reader<'p> {
    pieces: &'p [Piece<'p>],
    weights: &'p Weights,
    out: Vec<Token>,
    state: State,
}

struct State {
    begins: bool,
    negated: bool,
    /// A negation that holds to the end of the sentence: `it is a myth that`.
    retracted: bool,
    clause: usize,
    sentence: usize,
    role: &'static str,
    /// How many tokens there were when the part began.
    role_from: usize,
    bound: Bound,
}

impl Default for State {
    fn default() -> State {
        State {
            begins: true,
            negated: false,
            retracted: false,
            clause: 0,
            sentence: 0,
            role: "",
            role_from: 0,
            bound: Bound::Is,
        }
    }
}

impl Reader<'_> {
    /// Reads what begins at piece `at` and says how many pieces it took.
    fn step(&mut self, at: usize) -> usize {
        if let What::Sign(sign) = self.pieces[at].what
            && self.boundary(at, sign)
        {
            return 1;
        }
        if let Some((bound, len)) = self.bound_before(at) {
            self.state.bound = bound;
            self.state.begins = false;
            return len;
        }
        if let Some((value, len)) = value_at(self.pieces, at) {
            let (bound, more) = self.bound_after(at + len);
            let bound = if bound == Bound::Is { std::mem::replace(&mut self.state.bound, Bound::Is) } else { bound };
            self.push(at, len, Sense::Value(Box::new(value), bound), String::new());
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

    fn text(&self, at: usize) -> String {
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
        if let Some(role) = role_of(&word) {
            (self.state.role, self.state.role_from) = (role, self.out.len());
        } else if is_auxiliary(&word) {
            self.state.role = "";
        }
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
        self.push(at, 1, Sense::Word { name }, stem);
        if genitive {
            self.possess();
        }
        if word.ends_with("ing") && self.state.role == "by" {
            self.state.role = "";
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

    /// A small word's part ends with the phrase after it: at a plain word after a name or a number,
    /// or after three words.
    fn end_of_phrase(&mut self, name: bool) {
        let phrase = self.out.len().saturating_sub(self.state.role_from);
        let Some(last) = self.out.last().filter(|_| phrase > 0 && !self.state.role.is_empty()) else { return };
        let after_name = !name && (last.is_name() || last.value().is_some());
        if after_name || (phrase >= 3 && !name) {
            self.state.role = "";
        }
    }

    /// What stands before `'s` is `of` what follows, with all of a name of several words.
    fn possess(&mut self) {
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

    fn push(&mut self, at: usize, len: usize, what: Sense, stem: String) {
        let weight = if stem.is_empty() { 1.0 } else { self.weights.of_stem(&stem) };
        self.out.push(Token {
            span: self.pieces[at].span.start..self.pieces[at + len - 1].span.end,
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

    /// A negation and how many pieces it takes.
    fn negation(&mut self, at: usize, word: &str) -> Option<usize> {
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
        let denies = match word {
            "not" if next == "only" => return Some(2),
            "no" if next == "longer" => {
                self.state.negated = true;
                return Some(2);
            }
            "no" => self.pieces.get(at + 1).is_some_and(|next| next.digits().is_none() && !next.is_sign('.')),
            "not" | "never" | "neither" | "nor" | "none" | "without" | "cannot" | "hardly" | "scarcely" | "rarely"
            | "seldom" | "nothing" | "nobody" | "nowhere" => true,
            "instead" | "rather" if matches!(next.as_str(), "of" | "than") => {
                self.state.negated = true;
                return Some(2);
            }
            "fails" | "fail" | "failed" if next == "to" => {
                self.state.negated = true;
                return Some(2);
            }
            _ => word.ends_with("n't"),
        };
        if !denies {
            return None;
        }
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

    /// `more than`, `at least` and the like before a number: what they say and how many pieces they take.
    fn bound_before(&self, at: usize) -> Option<(Bound, usize)> {
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
            ("under" | "below" | "beneath", ..) => (Bound::Under, 1),
            _ => return None,
        })
    }

    /// `or more`, `or less` after a number.
    fn bound_after(&self, at: usize) -> (Bound, usize) {
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

fn is_inflection(word: &str, stem: &str) -> bool {
    const DERIVED: [&str; 9] = ["ment", "ments", "ness", "ation", "ations", "ism", "ist", "ity", "able"];
    !DERIVED.iter().any(|ending| word.len() == stem.len() + ending.len() && word.ends_with(ending))
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

/// The small words that say what part the next words play.
fn role_of(word: &str) -> Option<&'static str> {
    const ROLES: [&str; 25] = [
        "above", "below", "beneath", "after", "against", "at", "before", "between", "by", "finally", "first", "for",
        "from", "in", "into", "next", "of", "on", "over", "than", "then", "through", "to", "towards", "under",
    ];
    ROLES.iter().find(|role| **role == word).copied()
}

fn is_auxiliary(word: &str) -> bool {
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
