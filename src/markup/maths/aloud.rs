//! Formulas in words.
//!
//! The wording follows common practice in British classrooms; where a part could be heard to end in
//! two places, its end is said, as in MathSpeak, A. Nemeth's way of reading maths aloud.

use super::signs::{Class, Sign, function_said};
use super::{Mark, Term};

/// The formula as one reads it to somebody: `a over b`, `x squared`.
///
/// ```
/// use deckle::markup::maths::{aloud, parse};
/// let read = |text| aloud(&parse(text).expect("in the subset"));
/// assert_eq!(read("\\frac{a + b}{c}"), "the fraction a plus b over c, end of fraction");
/// assert_eq!(read("\\text{m}^{3}/\\text{s}"), "m cubed per s");
/// ```
pub fn aloud(row: &[Term]) -> String {
    let mut speech = Speech::default();
    speech.row(row);
    crate::markup::visible(&speech.said).into_owned()
}

#[derive(Default)]
struct Speech {
    said: String,
    /// Whether the next word follows without a blank.
    close: bool,
}

impl Speech {
    fn say(&mut self, words: &str) {
        let words = words.trim();
        if words.is_empty() {
            return;
        }
        if !self.said.is_empty() && !self.close && !words.starts_with([',', ';', '.', '?']) {
            self.said.push(' ');
        }
        self.close = false;
        self.said.push_str(words);
    }

    fn row(&mut self, row: &[Term]) {
        for (at, term) in row.iter().enumerate() {
            let before = at.checked_sub(1).map(|before| &row[before]);
            match term {
                Term::Sign(sign) if sign.class == Class::Slash => {
                    let units = before.is_some_and(is_unit) && row.get(at + 1).is_some_and(is_unit);
                    self.say(if units { "per" } else { sign.said });
                }
                term => self.term(term),
            }
        }
    }

    fn term(&mut self, term: &Term) {
        match term {
            Term::Number(text) | Term::Upright(text) | Term::Text(text) => self.say(text),
            Term::Letter(letter) => self.say(letter.encode_utf8(&mut [0; 4])),
            Term::Function(name) => self.say(function_said(name)),
            Term::Sign(sign) => self.sign(sign),
            Term::Fraction { over, under } => self.fraction(over, under),
            Term::Root { of, degree } => self.root(of, degree.as_deref()),
            Term::Scripts { base, sub, sup } => self.scripts(base, sub.as_deref(), sup.as_deref()),
            Term::Over { mark, of, .. } => self.over(*mark, of),
            Term::Fence { open, inner, close } => self.fence(*open, inner, *close),
            Term::Group(row) => self.row(row),
            Term::Space(_) => {}
        }
    }

    fn sign(&mut self, sign: &Sign) {
        self.say(sign.said);
        if sign.class == Class::Large {
            self.say("of");
        }
        self.close = sign.class == Class::Currency;
    }

    fn fraction(&mut self, over: &[Term], under: &[Term]) {
        if let Some(words) = common_fraction(over, under) {
            return self.say(&words);
        }
        let clear = over.iter().all(is_clear) && matches!(under, [term] if is_clear(term));
        self.say(if clear { "" } else { "the fraction" });
        self.row(over);
        self.say("over");
        self.row(under);
        self.say(if clear { "" } else { ", end of fraction" });
    }

    fn root(&mut self, of: &[Term], degree: Option<&[Term]>) {
        match degree {
            None | Some([]) => self.say("the square root of"),
            Some([Term::Number(number)]) if number == "2" => self.say("the square root of"),
            Some([Term::Number(number)]) if number == "3" => self.say("the cube root of"),
            Some([Term::Number(number)]) => self.say(&format!("the {number}{} root of", ending(number))),
            Some(degree) => self.say(&format!("the root of order {} of", aloud(degree))),
        }
        self.bounded(of, "root");
    }

    /// A row, with its end said where it could be heard to end earlier.
    fn bounded(&mut self, row: &[Term], name: &str) {
        self.row(row);
        if !matches!(row, [term] if is_leaf(term)) && !is_signed(row) {
            self.say(&format!(", end of {name}"));
        }
    }

    fn scripts(&mut self, base: &Term, sub: Option<&[Term]>, sup: Option<&[Term]>) {
        match base {
            Term::Sign(sign) if sign.class == Class::Large => return self.limits(sign, sub, sup),
            Term::Function(name) if sub.is_none() && sup.is_some_and(|sup| aloud(sup) == "minus 1") => {
                return self.say(&format!("inverse {}", function_said(name)));
            }
            Term::Function("log") => {
                self.say("log");
                if let Some(sub) = sub {
                    self.say("base");
                    self.row(sub);
                }
                self.power(sup);
                return self.say(if sub.is_some() { "of" } else { "" });
            }
            base => self.term(base),
        }
        if let Some(sub) = sub {
            self.say("sub");
            self.bounded(sub, "index");
        }
        let nothing = matches!(base, Term::Group(row) if row.is_empty());
        match sup {
            Some(sup) if nothing || is_charge(sup) => {
                self.say("superscript");
                self.row(sup);
            }
            sup => self.power(sup),
        }
    }

    fn power(&mut self, sup: Option<&[Term]>) {
        match sup {
            None => {}
            Some([Term::Number(number)]) if number == "2" => self.say("squared"),
            Some([Term::Number(number)]) if number == "3" => self.say("cubed"),
            Some(sup) => {
                self.say("to the power");
                self.bounded(sup, "power");
            }
        }
    }

    fn limits(&mut self, sign: &Sign, sub: Option<&[Term]>, sup: Option<&[Term]>) {
        self.say(sign.said);
        for (word, row) in [(if sup.is_some() { "from" } else { "over" }, sub), ("to", sup)] {
            if let Some(row) = row {
                self.say(word);
                self.row(row);
            }
        }
        self.say("of");
    }

    fn over(&mut self, mark: Mark, of: &[Term]) {
        match mark {
            Mark::Arrow => {
                self.say("vector");
                self.row(of);
            }
            Mark::Bar => {
                self.row(of);
                self.say("bar");
            }
        }
    }

    fn fence(&mut self, open: Option<&Sign>, inner: &[Term], close: Option<&Sign>) {
        let is_bar = |sign: Option<&Sign>| sign.is_some_and(|sign| sign.class == Class::Bar);
        if is_bar(open) && is_bar(close) {
            self.say("the modulus of");
            self.row(inner);
            return self.say(", end of modulus");
        }
        if let Some(open) = open {
            self.say(open.said);
        }
        self.row(inner);
        if let Some(close) = close {
            self.say(close.said);
        }
    }
}

/// Something that nobody hears as more than one thing.
fn is_leaf(term: &Term) -> bool {
    match term {
        Term::Number(_) | Term::Letter(_) | Term::Upright(_) | Term::Text(_) => true,
        Term::Sign(sign) => matches!(sign.class, Class::Letter | Class::Ordinary),
        _ => false,
    }
}

/// `-1`, `+2`: a sign and a leaf.
fn is_signed(row: &[Term]) -> bool {
    matches!(row, [Term::Sign(sign), term] if sign.class == Class::Binary && is_leaf(term))
}

/// `2+`, `-`: the charge of an ion.
fn is_charge(row: &[Term]) -> bool {
    matches!(row, [Term::Sign(sign)] | [Term::Number(_), Term::Sign(sign)] if matches!(sign.sign, '+' | '−'))
}

/// Whether it can be said above or below a line without its end being said.
fn is_clear(term: &Term) -> bool {
    match term {
        Term::Scripts { base, sub, sup } => {
            let index = sub.as_deref().is_none_or(|sub| matches!(sub, [term] if is_leaf(term)));
            let power = match sup.as_deref() {
                None => true,
                Some([Term::Number(number)]) => number == "2" || number == "3",
                Some(_) => false,
            };
            is_leaf(base) && index && power
        }
        Term::Over { of, .. } => matches!(&of[..], [term] if is_leaf(term)),
        Term::Space(_) => true,
        Term::Sign(sign) => is_leaf(term) || sign.class == Class::Currency,
        term => is_leaf(term),
    }
}

fn is_unit(term: &Term) -> bool {
    match term {
        Term::Upright(_) | Term::Text(_) => true,
        Term::Scripts { base, .. } => is_unit(base),
        Term::Group(row) => row.iter().all(|term| is_unit(term) || matches!(term, Term::Space(_))),
        _ => false,
    }
}

/// `one half`, `three quarters`: proper fractions of small numbers.
fn common_fraction(over: &[Term], under: &[Term]) -> Option<String> {
    let digit = |row: &[Term]| match row {
        [Term::Number(number)] => number.parse::<usize>().ok().filter(|_| !number.starts_with('0')),
        _ => None,
    };
    let (over, under) = (digit(over)?, digit(under)?);
    let part = PARTS.get(under.checked_sub(2)?)?;
    let plural = if part == &"half" { "halves".to_owned() } else { format!("{part}s") };
    let count = (over < under).then(|| COUNTS.get(over.checked_sub(1)?)).flatten()?;
    Some(format!("{count} {}", if over == 1 { part } else { plural.as_str() }))
}

const COUNTS: &[&str] = &["one", "two", "three", "four", "five", "six", "seven", "eight", "nine"];
const PARTS: &[&str] = &["half", "third", "quarter", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"];

/// The ending that makes a number an ordinal.
fn ending(number: &str) -> &'static str {
    let teen = ["11", "12", "13"].iter().any(|teen| number.ends_with(teen));
    match number.bytes().last() {
        Some(b'1') if !teen => "st",
        Some(b'2') if !teen => "nd",
        Some(b'3') if !teen => "rd",
        _ => "th",
    }
}
