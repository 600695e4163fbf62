//! The signs, letters and functions that formulas may use.

/// A sign, a bracket or a Greek letter.
#[derive(Debug, PartialEq, Eq)]
pub struct Sign {
    /// The ways to type it; the sign itself may be typed as well.
    pub typed: &'static [&'static str],
    /// The sign as it is shown.
    pub sign: char,
    /// How it stands among its neighbours.
    pub class: Class,
    /// How it is read aloud.
    pub said: &'static str,
}

/// How a sign stands among its neighbours.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Class {
    /// A Greek letter for a quantity, in italics.
    Letter,
    /// An upright sign that stands close: capital Greek, ∞, %, °.
    Ordinary,
    /// The sign of a currency, before its number.
    Currency,
    /// Between two things that are put together: +, ×.
    Binary,
    /// Between two things that are compared: =, ≤, →.
    Relation,
    /// /, between two things, close to both.
    Slash,
    /// A left bracket.
    Open,
    /// A right bracket.
    Close,
    /// |, left or right.
    Bar,
    /// A comma or semicolon.
    Punctuation,
    /// A large sign with limits: ∑.
    Large,
}

/// All signs.
pub fn signs() -> &'static [Sign] {
    SIGNS
}

/// All functions, with how they are read aloud.
pub fn functions() -> &'static [(&'static str, &'static str)] {
    FUNCTIONS
}

/// The sign that is typed as `typed`.
pub(super) fn typed_as(typed: &str) -> Option<&'static Sign> {
    SIGNS.iter().find(|sign| sign.typed.contains(&typed))
}

/// The sign that looks like `c`.
pub(super) fn looking_like(c: char) -> Option<&'static Sign> {
    SIGNS.iter().find(|sign| sign.sign == c)
}

/// The function of that name.
pub(super) fn function(name: &str) -> Option<&'static str> {
    FUNCTIONS.iter().find(|(function, _)| *function == name).map(|(function, _)| *function)
}

/// How a function is read aloud.
pub(super) fn function_said(name: &str) -> &str {
    FUNCTIONS.iter().find(|(function, _)| *function == name).map_or(name, |(_, said)| said)
}

const FUNCTIONS: &[(&str, &str)] = &[
    ("sin", "sine"),
    ("cos", "cosine"),
    ("tan", "tangent"),
    ("sec", "secant"),
    ("cosec", "cosecant"),
    ("cot", "cotangent"),
    ("arcsin", "inverse sine"),
    ("arccos", "inverse cosine"),
    ("arctan", "inverse tangent"),
    ("log", "log"),
    ("ln", "natural log"),
    ("exp", "exponential"),
    ("max", "maximum"),
    ("min", "minimum"),
];

const fn sign(typed: &'static [&'static str], sign: char, class: Class, said: &'static str) -> Sign {
    Sign { typed, sign, class, said }
}

use Class::{Bar, Binary, Close, Currency, Large, Letter, Open, Ordinary, Punctuation, Relation, Slash};

const SIGNS: &[Sign] = &[
    sign(&["+"], '+', Binary, "plus"),
    sign(&["-"], '−', Binary, "minus"),
    sign(&["\\pm"], '±', Binary, "plus or minus"),
    sign(&["\\mp"], '∓', Binary, "minus or plus"),
    sign(&["\\times"], '×', Binary, "times"),
    sign(&["\\div"], '÷', Binary, "divided by"),
    sign(&["\\cdot"], '⋅', Binary, "times"),
    sign(&["="], '=', Relation, "equals"),
    sign(&["\\ne", "\\neq"], '≠', Relation, "does not equal"),
    sign(&["<", "\\lt"], '<', Relation, "is less than"),
    sign(&[">", "\\gt"], '>', Relation, "is greater than"),
    sign(&["\\le", "\\leq", "\\leqslant"], '≤', Relation, "is less than or equal to"),
    sign(&["\\ge", "\\geq", "\\geqslant"], '≥', Relation, "is greater than or equal to"),
    sign(&["\\ll"], '≪', Relation, "is much less than"),
    sign(&["\\gg"], '≫', Relation, "is much greater than"),
    sign(&["\\approx"], '≈', Relation, "is approximately"),
    sign(&["\\sim"], '∼', Relation, "is about"),
    sign(&["\\equiv"], '≡', Relation, "is identical to"),
    sign(&["\\cong"], '≅', Relation, "is congruent to"),
    sign(&["\\propto"], '∝', Relation, "is proportional to"),
    sign(&["\\parallel"], '∥', Relation, "is parallel to"),
    sign(&["\\perp"], '⊥', Relation, "is perpendicular to"),
    sign(&[":"], ':', Relation, "to"),
    sign(&["\\rightarrow", "\\to"], '→', Relation, "goes to"),
    sign(&["\\leftarrow"], '←', Relation, "comes from"),
    sign(&["\\leftrightarrow"], '↔', Relation, "goes both ways with"),
    sign(&["\\Rightarrow", "\\implies"], '⇒', Relation, "implies"),
    sign(&["\\Leftrightarrow", "\\iff"], '⇔', Relation, "is equivalent to"),
    sign(&["\\rightleftharpoons"], '⇌', Relation, "is in balance with"),
    sign(&["\\uparrow"], '↑', Ordinary, "rises"),
    sign(&["\\downarrow"], '↓', Ordinary, "falls"),
    sign(&["/"], '/', Slash, "over"),
    sign(&["("], '(', Open, "open bracket"),
    sign(&[")"], ')', Close, "close bracket"),
    sign(&["[", "\\lbrack"], '[', Open, "open square bracket"),
    sign(&["]", "\\rbrack"], ']', Close, "close square bracket"),
    sign(&["\\{", "\\lbrace"], '{', Open, "open curly bracket"),
    sign(&["\\}", "\\rbrace"], '}', Close, "close curly bracket"),
    sign(&["|", "\\vert", "\\lvert", "\\rvert"], '|', Bar, "bar"),
    sign(&[","], ',', Punctuation, ","),
    sign(&[";"], ';', Punctuation, ";"),
    sign(&["."], '.', Ordinary, "."),
    sign(&["!"], '!', Ordinary, "factorial"),
    sign(&["?"], '?', Ordinary, "question mark"),
    sign(&["%", "\\%"], '%', Ordinary, "per cent"),
    sign(&["\\degree", "\\circ"], '°', Ordinary, "degrees"),
    sign(&["'", "\\prime"], '′', Ordinary, "prime"),
    sign(&["\\infty"], '∞', Ordinary, "infinity"),
    sign(&["\\ldots", "\\dots", "\\cdots"], '…', Ordinary, "and so on"),
    sign(&["\\angle"], '∠', Ordinary, "angle"),
    sign(&["\\triangle"], '△', Ordinary, "triangle"),
    sign(&["\\therefore"], '∴', Ordinary, "therefore"),
    sign(&["\\because"], '∵', Ordinary, "because"),
    sign(&["\\pounds"], '£', Currency, "£"),
    sign(&["\\euro"], '€', Currency, "€"),
    sign(&["\\$"], '$', Currency, "$"),
    sign(&["\\sum"], '∑', Large, "the sum"),
    sign(&["\\alpha"], 'α', Letter, "alpha"),
    sign(&["\\beta"], 'β', Letter, "beta"),
    sign(&["\\gamma"], 'γ', Letter, "gamma"),
    sign(&["\\delta"], 'δ', Letter, "delta"),
    sign(&["\\epsilon", "\\varepsilon"], 'ε', Letter, "epsilon"),
    sign(&["\\zeta"], 'ζ', Letter, "zeta"),
    sign(&["\\eta"], 'η', Letter, "eta"),
    sign(&["\\theta"], 'θ', Letter, "theta"),
    sign(&["\\iota"], 'ι', Letter, "iota"),
    sign(&["\\kappa"], 'κ', Letter, "kappa"),
    sign(&["\\lambda"], 'λ', Letter, "lambda"),
    sign(&["\\mu"], 'μ', Letter, "mu"),
    sign(&["\\nu"], 'ν', Letter, "nu"),
    sign(&["\\xi"], 'ξ', Letter, "xi"),
    sign(&["\\pi"], 'π', Letter, "pi"),
    sign(&["\\rho"], 'ρ', Letter, "rho"),
    sign(&["\\sigma"], 'σ', Letter, "sigma"),
    sign(&["\\tau"], 'τ', Letter, "tau"),
    sign(&["\\upsilon"], 'υ', Letter, "upsilon"),
    sign(&["\\phi", "\\varphi"], 'φ', Letter, "phi"),
    sign(&["\\chi"], 'χ', Letter, "chi"),
    sign(&["\\psi"], 'ψ', Letter, "psi"),
    sign(&["\\omega"], 'ω', Letter, "omega"),
    sign(&["\\Gamma"], 'Γ', Ordinary, "capital gamma"),
    sign(&["\\Delta"], 'Δ', Ordinary, "delta"),
    sign(&["\\Theta"], 'Θ', Ordinary, "capital theta"),
    sign(&["\\Lambda"], 'Λ', Ordinary, "capital lambda"),
    sign(&["\\Xi"], 'Ξ', Ordinary, "capital xi"),
    sign(&["\\Pi"], 'Π', Ordinary, "capital pi"),
    sign(&["\\Sigma"], 'Σ', Ordinary, "capital sigma"),
    sign(&["\\Phi"], 'Φ', Ordinary, "capital phi"),
    sign(&["\\Psi"], 'Ψ', Ordinary, "capital psi"),
    sign(&["\\Omega"], 'Ω', Ordinary, "omega"),
];

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_way_to_type_a_sign_stands_once() {
        let mut seen = BTreeSet::new();
        let mut looks = BTreeSet::new();
        for sign in signs() {
            assert!(looks.insert(sign.sign), "{}", sign.sign);
            assert!(!sign.said.is_empty() && !sign.typed.is_empty(), "{}", sign.sign);
            for typed in sign.typed {
                assert!(seen.insert(*typed), "{typed}");
            }
        }
        for (name, said) in functions() {
            assert!(!said.is_empty() && seen.insert(name), "{name}");
        }
    }
}
