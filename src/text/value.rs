//! Values in text: numbers with their units, shares, amounts of money and dates, compared as what
//! they mean and not as they are written.

use super::date::{Date, begins_date, date_at};
use super::known;
use super::lex::Piece;
use super::number::Number;
use super::numeral::{Form, Numeral, begins_numeral, numeral_at};
use super::unit::{Unit, money, unit_at};

/// A number with its unit, or a date.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Value {
    /// A number, perhaps with a unit.
    Quantity {
        /// The number as written.
        number: Number,
        /// How it counts.
        form: Form,
        /// Its unit, if it has one.
        unit: Option<Unit>,
    },
    /// A date or a dated year.
    Date(Date),
}

impl Value {
    /// Whether `other` says this value: 1.5 km and 1500 m, 14 and fourteen, 50% and a half. A bare
    /// number is said by a quantity of any unit; a quantity is not said by a bare number.
    pub fn is_said_by(&self, other: &Value) -> bool {
        match (self, other) {
            (Value::Date(mine), Value::Date(other)) => mine.is_within(other),
            (Value::Quantity { number, form: Form::Cardinal, unit: None }, Value::Date(date)) => is_year(*number, date),
            (Value::Date(date), Value::Quantity { number, unit: None, form: Form::Cardinal }) => {
                date.month.is_none() && date.day.is_none() && is_year(*number, date)
            }
            (
                Value::Quantity { number, form, unit },
                Value::Quantity { number: other, form: other_form, unit: other_unit },
            ) => {
                let forms = form == other_form
                    || (*form != Form::Decade
                        && *other_form != Form::Decade
                        && *form != Form::Ordinal
                        && *other_form != Form::Ordinal);
                forms && quantities_agree(*number, unit.as_ref(), *other, other_unit.as_ref())
            }
            _ => false,
        }
    }

    /// Whether both measure the same thing, so that one can stand in the place of the other.
    pub fn same_kind(&self, other: &Value) -> bool {
        match (self, other) {
            (Value::Date(_), Value::Date(_)) => true,
            (Value::Quantity { unit: one, form, .. }, Value::Quantity { unit: other, form: other_form, .. }) => {
                let units = match (one, other) {
                    (Some(one), Some(other)) => one.same_dimension(other),
                    (None, None) => true,
                    (Some(one), None) | (None, Some(one)) => one.is_share(),
                };
                units && (*form == Form::Ordinal) == (*other_form == Form::Ordinal)
            }
            (Value::Date(date), Value::Quantity { number, unit: None, .. })
            | (Value::Quantity { number, unit: None, .. }, Value::Date(date)) => {
                date.year.is_some() && number.as_whole().is_some_and(|year| (1..3000).contains(&year))
            }
            _ => false,
        }
    }

    /// Whether it has a unit.
    pub fn has_unit(&self) -> bool {
        matches!(self, Value::Quantity { unit: Some(_), .. })
    }
}

fn is_year(number: Number, date: &Date) -> bool {
    date.year.is_some_and(|year| Number::whole(i64::from(year)) == number)
}

fn quantities_agree(number: Number, unit: Option<&Unit>, other: Number, other_unit: Option<&Unit>) -> bool {
    match (unit, other_unit) {
        (None, None) => number == other,
        // What is too large to be converted is still what it is.
        (Some(unit), Some(other_unit)) if unit == other_unit && number == other => true,
        (Some(unit), Some(other_unit)) => {
            unit.same_dimension(other_unit)
                && unit.to_base(number).is_some()
                && unit.to_base(number) == other_unit.to_base(other)
        }
        // A share is a number: half is 50%; a bare 34 is in 34 knots.
        (None, Some(unit)) => number == other || (unit.is_share() && unit.to_base(other) == Some(number)),
        (Some(unit), None) => unit.is_share() && unit.to_base(number) == Some(other),
    }
}

/// The value that begins at piece `at`, and how many pieces it is written with.
pub(crate) fn value_at(pieces: &[Piece<'_>], at: usize) -> Option<(Value, usize)> {
    if pieces.get(at)?.is_word() && !known::with(pieces[at].text, |known| known.begins_value) {
        return None;
    }
    value_of_any(pieces, at)
}

/// Whether a word can be the first of a value at all: a month, an era, a number word.
pub(super) fn may_begin_value(word: &str) -> bool {
    begins_date(word) || begins_numeral(word)
}

fn value_of_any(pieces: &[Piece<'_>], at: usize) -> Option<(Value, usize)> {
    if let Some((date, len)) = date_at(pieces, at) {
        return Some((Value::Date(date), len));
    }
    if let Some((value, len)) = amount_of_money(pieces, at) {
        return Some((value, len));
    }
    let numeral = numeral_at(pieces, at)?;
    let (unit, len) = unit_after(pieces, at, &numeral).map_or((None, 0), |(unit, len)| (Some(unit), len));
    if unit.is_none() && is_pronoun(pieces, at, &numeral) {
        return None;
    }
    let below = below_zero(pieces, at + numeral.len + len);
    let value = Value::Quantity {
        number: if below > 0 { numeral.value.negated() } else { numeral.value },
        form: numeral.form,
        unit: unit.or_else(|| unit_of_range(pieces, at + numeral.len, &numeral)),
    };
    Some((value, numeral.len + len + below))
}

/// How many pieces `below zero` takes, which makes a number negative.
fn below_zero(pieces: &[Piece<'_>], at: usize) -> usize {
    let says = |step: usize, word: &str| pieces.get(at + step).is_some_and(|piece| piece.text == word);
    if says(0, "below") && says(1, "zero") { 2 } else { 0 }
}

/// `£5`, `£5 million`, `£5m`.
fn amount_of_money(pieces: &[Piece<'_>], at: usize) -> Option<(Value, usize)> {
    let super::lex::What::Sign(sign) = pieces.get(at)?.what else { return None };
    let unit = money(sign)?;
    let numeral = numeral_at(pieces, at + 1)?;
    let scale = match pieces.get(at + 1 + numeral.len).filter(|piece| piece.tight).map(|piece| piece.text) {
        Some("m") => 6,
        Some("bn" | "b") => 9,
        Some("k") => 3,
        _ => 0,
    };
    let number = numeral.value.times(Number::power_of_ten(scale)?)?;
    let len = 1 + numeral.len + usize::from(scale > 0);
    Some((Value::Quantity { number, form: Form::Cardinal, unit: Some(unit) }, len))
}

/// The unit after a numeral: `34 knots`, `34-knot`, `half an hour`.
fn unit_after(pieces: &[Piece<'_>], at: usize, numeral: &Numeral) -> Option<(Unit, usize)> {
    if numeral.form != Form::Cardinal {
        return None;
    }
    let next = at + numeral.len;
    let first = pieces.get(next)?;
    if first.is_sign('-') && first.tight && pieces.get(next + 1).is_some_and(|piece| piece.tight && piece.is_word()) {
        return unit_at(pieces, next + 1).map(|(unit, len)| (unit, len + 1));
    }
    let mut skip = 0;
    if numeral.value.approx() < 1.0 {
        for word in ["of", "a", "an"] {
            if pieces.get(next + skip).is_some_and(|piece| piece.text == word) {
                skip += 1;
            }
        }
    }
    unit_at(pieces, next + skip).map(|(unit, len)| (unit, len + skip))
}

/// In `5 to 10 km` the first number has the unit of the second.
fn unit_of_range(pieces: &[Piece<'_>], next: usize, first: &Numeral) -> Option<Unit> {
    let joint = pieces.get(next)?;
    let joins = joint.is_sign('-') || matches!(joint.text, "to" | "and" | "or");
    if !joins || first.form != Form::Cardinal {
        return None;
    }
    let second = numeral_at(pieces, next + 1)?;
    unit_after(pieces, next + 1, &second).map(|(unit, _)| unit)
}

/// `one` as a word that stands for something: `this one`, `one of them`, `one another`.
fn is_pronoun(pieces: &[Piece<'_>], at: usize, numeral: &Numeral) -> bool {
    if numeral.len != 1 || !pieces[at].text.eq_ignore_ascii_case("one") {
        return false;
    }
    let before = at.checked_sub(1).map_or("", |at| pieces[at].text).to_lowercase();
    let after = pieces.get(at + 1).map_or("", |piece| piece.text).to_lowercase();
    matches!(before.as_str(), "this" | "that" | "which" | "no" | "any" | "every" | "each" | "the" | "some")
        || matches!(after.as_str(), "another" | "can" | "may" | "must" | "should")
}

#[cfg(test)]
mod tests {
    use super::super::{lex::lex, plain::plain};
    use super::*;

    fn first(text: &str) -> Value {
        let read = plain(text);
        let pieces = lex(&read);
        (0..pieces.len()).find_map(|at| value_at(&pieces, at)).unwrap_or_else(|| panic!("no value in {text}")).0
    }

    #[track_caller]
    fn agree(one: &str, other: &str) {
        assert!(first(one).is_said_by(&first(other)), "{one} is {other}");
        assert!(first(other).is_said_by(&first(one)), "{other} is {one}");
    }

    #[track_caller]
    fn differ(one: &str, other: &str) {
        assert!(!first(one).is_said_by(&first(other)), "{one} is not {other}");
    }

    #[test]
    fn values_agree_however_they_are_written() {
        agree("1.5 km", "1500 metres");
        agree("fourteen", "14.0");
        agree("50%", "half");
        agree("25 per cent", "a quarter of it");
        agree("half an hour", "30 minutes");
        agree("£1.2 million", "£1,200,000");
        agree("$6.02\\times10^{23}$", "602 000 000 000 000 000 000 000");
        agree("1066", "AD 1066");
        agree("25 November 2026", "2026-11-25");
        agree("a 34-knot wind", "34 knots");
        agree("5 to 10 km", "5000 m");
        agree("ninth", "9th");
        agree("36 km/h", "10 m/s");
        agree("0 °C", "32 °F");
        agree("−89.2 °C", "89.2 °C below zero");
    }

    #[test]
    fn values_differ_by_number_unit_and_form() {
        differ("34 knots", "32 knots");
        differ("34 knots", "34 km/h");
        differ("34 knots", "34");
        differ("3rd", "3");
        differ("the 1990s", "1990");
        differ("44 BC", "AD 44");
        differ("−5 °C", "5 °C");
        differ("5 km", "5 km²");
        differ("£5", "$5");
    }
}
