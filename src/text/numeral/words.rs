//! Whole numbers in words, and the decimals after `point`.

use super::digits::in_digits;
use super::fractions::{denominator, lone_fraction, with_fraction};
use super::{Form, Numeral};
use crate::text::lex::Piece;
use crate::text::number::Number;

pub(super) fn in_words(pieces: &[Piece<'_>], at: usize) -> Option<Numeral> {
    let first = pieces[at].text.to_lowercase();
    if first == "minus" || first == "negative" {
        let value = pieces.get(at + 1)?.digits();
        let found = match value {
            Some(value) => in_digits(pieces, at + 1, value)?,
            None if first == "minus" => in_words(pieces, at + 1).filter(|found| found.form == Form::Cardinal)?,
            None => return None,
        };
        return Some(Numeral { value: found.value.negated(), len: found.len + 1, ..found });
    }
    if let Some(fraction) = lone_fraction(pieces, at, &first) {
        return Some(fraction);
    }
    let found = counted(pieces, at)?;
    Some(with_fraction(pieces, at, found).unwrap_or(found))
}

/// Whether a numeral can begin with a word.
pub(crate) fn begins_numeral(word: &str) -> bool {
    let word = word.to_lowercase();
    matches!(word.as_str(), "minus" | "negative")
        || denominator(&word).is_some()
        || part_of(&word).is_some()
        || ordinal(&word).is_some()
}

/// What a number word adds.
#[derive(Clone, Copy, PartialEq)]
enum Part {
    Small(i64),
    Tens(i64),
    Hundred,
    Scale(i64),
    Dozen,
}

/// A whole number in words, such as `two hundred and twenty-one` or `forty-second`.
pub(super) fn counted(pieces: &[Piece<'_>], at: usize) -> Option<Numeral> {
    let mut sum = Sum::default();
    let mut next = at;
    let mut end = at;
    let mut form = Form::Cardinal;
    while let Some(piece) = pieces.get(next) {
        if end > at
            && ((piece.is_sign('-') && piece.tight) || (piece.text.eq_ignore_ascii_case("and") && sum.takes_and()))
        {
            next += 1;
            if pieces.get(next).is_none_or(|piece| !piece.is_word()) {
                break;
            }
            if part_of(&pieces[next].text.to_lowercase()).is_none()
                && ordinal(&pieces[next].text.to_lowercase()).is_none()
            {
                break;
            }
            continue;
        }
        if !piece.is_word() {
            break;
        }
        let word = piece.text.to_lowercase();
        if let Some(part) = part_of(&word) {
            if !sum.add(part) {
                break;
            }
        } else if let Some(value) = ordinal_here(pieces, next, &word, end > at) {
            if !sum.add_ordinal(value) {
                break;
            }
            (end, form) = (next + 1, Form::Ordinal);
            break;
        } else {
            break;
        }
        next += 1;
        end = next;
    }
    if end == at {
        return None;
    }
    let mut value = Number::whole(sum.total());
    if form == Form::Cardinal
        && let Some((part, len)) = decimals(pieces, end)
    {
        value = value.plus(part)?;
        end += len;
    }
    Some(Numeral { value, form, len: end - at })
}

/// `point five two`: the part and how many pieces.
fn decimals(pieces: &[Piece<'_>], at: usize) -> Option<(Number, usize)> {
    pieces.get(at).filter(|piece| piece.text.eq_ignore_ascii_case("point"))?;
    let mut digits = String::from("0.");
    for piece in pieces[at + 1..].iter().take(12) {
        match part_of(&piece.text.to_lowercase()) {
            Some(Part::Small(n)) if n < 10 => digits.push(char::from(b'0' + n as u8)),
            _ => break,
        }
    }
    let len = digits.len() - 2;
    (len > 0).then(|| Some((Number::decimal(&digits)?, len + 1)))?
}

/// Whether `second` is a place in an order here and not a time.
fn ordinal_here(pieces: &[Piece<'_>], at: usize, word: &str, inside: bool) -> Option<i64> {
    let value = ordinal(word)?;
    if word != "second" || inside {
        return Some(value);
    }
    let before = at.checked_sub(1).map(|at| &pieces[at]);
    let time = before.is_some_and(|piece| {
        piece.digits().is_some()
            || piece.is_sign('/')
            || matches!(piece.text.to_lowercase().as_str(), "per" | "a" | "each" | "every" | "one" | "of" | "half")
    });
    (!time).then_some(value)
}

#[derive(Default)]
struct Sum {
    done: i64,
    group: i64,
    last: Option<Part>,
    scale: i64,
}

impl Sum {
    fn total(&self) -> i64 {
        self.done + self.group
    }

    fn takes_and(&self) -> bool {
        matches!(self.last, Some(Part::Hundred | Part::Scale(_)))
    }

    /// Adds a part if a number can go on with it.
    fn add(&mut self, part: Part) -> bool {
        let tens = matches!(self.last, Some(Part::Tens(_)));
        let room = self.last.is_none() || self.takes_and();
        let fits = match part {
            Part::Small(n) => room || (tens && (1..10).contains(&n)),
            Part::Tens(_) => room,
            Part::Hundred => {
                self.last.is_none() || (matches!(self.last, Some(Part::Small(_) | Part::Tens(_))) && self.group < 100)
            }
            Part::Scale(scale) => {
                (self.scale == 0 || scale < self.scale)
                    && (self.last.is_none() || !matches!(self.last, Some(Part::Scale(_))))
            }
            Part::Dozen => {
                self.last.is_none() || (self.done == 0 && self.group < 100 && matches!(self.last, Some(Part::Small(_))))
            }
        };
        if !fits {
            return false;
        }
        match part {
            Part::Small(n) | Part::Tens(n) => self.group += n,
            Part::Hundred => self.group = self.group.max(1) * 100,
            Part::Dozen => self.group = self.group.max(1) * 12,
            Part::Scale(scale) => {
                self.done += if self.last.is_none() { scale } else { self.group * scale };
                (self.group, self.scale) = (0, scale);
            }
        }
        self.last = Some(part);
        true
    }

    fn add_ordinal(&mut self, value: i64) -> bool {
        match value {
            1..20 => self.add(Part::Small(value)),
            20..100 => self.add(Part::Tens(value)),
            100 => self.add(Part::Hundred),
            scale => self.add(Part::Scale(scale)),
        }
    }
}

fn part_of(word: &str) -> Option<Part> {
    const SMALL: [&str; 20] = [
        "zero",
        "one",
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "eleven",
        "twelve",
        "thirteen",
        "fourteen",
        "fifteen",
        "sixteen",
        "seventeen",
        "eighteen",
        "nineteen",
    ];
    const TENS: [&str; 8] = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"];
    if let Some(at) = SMALL.iter().position(|small| *small == word) {
        return Some(Part::Small(at as i64));
    }
    if let Some(at) = TENS.iter().position(|tens| *tens == word) {
        return Some(Part::Tens(20 + 10 * at as i64));
    }
    Some(match word {
        "nought" | "naught" => Part::Small(0),
        "hundred" => Part::Hundred,
        "dozen" => Part::Dozen,
        "thousand" => Part::Scale(1_000),
        "million" => Part::Scale(1_000_000),
        "billion" => Part::Scale(1_000_000_000),
        "trillion" => Part::Scale(1_000_000_000_000),
        _ => return None,
    })
}

pub(super) fn ordinal(word: &str) -> Option<i64> {
    const PLACES: [&str; 19] = [
        "first",
        "second",
        "third",
        "fourth",
        "fifth",
        "sixth",
        "seventh",
        "eighth",
        "ninth",
        "tenth",
        "eleventh",
        "twelfth",
        "thirteenth",
        "fourteenth",
        "fifteenth",
        "sixteenth",
        "seventeenth",
        "eighteenth",
        "nineteenth",
    ];
    if let Some(at) = PLACES.iter().position(|place| *place == word) {
        return Some(at as i64 + 1);
    }
    if let Some(stem) = word.strip_suffix("ieth") {
        return match part_of(&format!("{stem}y"))? {
            Part::Tens(n) => Some(n),
            _ => None,
        };
    }
    Some(match word {
        "hundredth" => 100,
        "thousandth" => 1_000,
        "millionth" => 1_000_000,
        "billionth" => 1_000_000_000,
        _ => return None,
    })
}
