//! Numerals in digits: signs, ratios, powers of ten.

use super::fractions::fraction_sign;
use super::{Form, Numeral};
use crate::text::lex::{Piece, What};
use crate::text::number::Number;

pub(super) fn negative(pieces: &[Piece<'_>], at: usize) -> Option<Numeral> {
    let number = pieces.get(at + 1).filter(|next| next.tight)?;
    // After a word or number, a tight dash joins; after a space it is a minus sign.
    let joins =
        pieces[at].tight && at > 0 && !matches!(pieces[at - 1].what, What::Sign('(' | '=' | '^' | ':' | '"' | '\''));
    if joins {
        return None;
    }
    let found = in_digits(pieces, at + 1, number.digits()?)?;
    (found.form == Form::Cardinal).then(|| Numeral { value: found.value.negated(), len: found.len + 1, ..found })
}

pub(super) fn in_digits(pieces: &[Piece<'_>], at: usize, value: Number) -> Option<Numeral> {
    let whole = |value, form, len| Some(Numeral { value, form, len });
    let tight = |step: usize| pieces.get(at + step).filter(|piece| piece.tight);
    if let Some((minutes, len)) = clock(pieces, at) {
        return whole(Number::whole(minutes), Form::Ratio, len);
    }
    if let Some(next) = tight(1) {
        match next.what {
            What::Word if matches!(next.text, "st" | "nd" | "rd" | "th") => return whole(value, Form::Ordinal, 2),
            What::Word if next.text == "s" && value.as_whole().is_some_and(|v| v % 10 == 0 && v >= 1000) => {
                return whole(value, Form::Decade, 2);
            }
            What::Sign('\'')
                if tight(2).is_some_and(|last| last.text == "s")
                    && value.as_whole().is_some_and(|v| v % 10 == 0 && v >= 1000) =>
            {
                return whole(value, Form::Decade, 3);
            }
            What::Sign(c) if fraction_sign(c).is_some() => {
                return whole(value.plus(fraction_sign(c)?)?, Form::Cardinal, 2);
            }
            What::Sign('/') => {
                if let Some(value) = slash(pieces, at, value) {
                    return whole(value, Form::Cardinal, 3);
                }
            }
            What::Sign(':') => {
                if let Some(low) = tight(2).filter(|low| low.digits().is_some()) {
                    return whole(ratio_or_time(value, low)?, Form::Ratio, 3);
                }
            }
            What::Sign('^') => {
                if let Some((power, len)) = exponent(pieces, at + 1) {
                    return whole(raised(value, power)?, Form::Cardinal, 1 + len);
                }
            }
            _ => {}
        }
    }
    if let Some(found) = tens_power(pieces, at, value).or_else(|| mixed(pieces, at, value)) {
        return Some(found);
    }
    whole(value, Form::Cardinal, 1)
}

/// `1:50 000` as a ratio, `13:30` and `9:00` as minutes of the day.
fn ratio_or_time(value: Number, low: &Piece<'_>) -> Option<Number> {
    let second = low.digits()?;
    match (value.as_whole(), second.as_whole()) {
        (Some(hours), Some(minutes)) if low.text.len() == 2 && hours < 25 && minutes < 60 => {
            Some(Number::whole(hours * 60 + minutes))
        }
        _ => value.over(second),
    }
}

/// A time of the twelve-hour clock, `2.35 p.m.`, `7 am` or `9:05 a.m.`: minutes of the day, and how many
/// pieces without the last point.
fn clock(pieces: &[Piece<'_>], at: usize) -> Option<(i64, usize)> {
    let written = pieces[at].text;
    let (hours, minutes) = written.split_once('.').unwrap_or((written, "00"));
    let low = pieces.get(at + 2).filter(|low| low.tight && pieces[at + 1].tight && pieces[at + 1].is_sign(':'));
    let (minutes, len) = low.map_or((minutes, 1), |low| (low.text, 3));
    let (hours, low): (i64, i64) = (hours.parse().ok()?, minutes.parse().ok()?);
    if !(1..=12).contains(&hours) || minutes.len() != 2 || low > 59 {
        return None;
    }
    let half = pieces.get(at + len)?.text.to_lowercase();
    let points = || {
        let tight = |step: usize| pieces.get(at + len + step).filter(|piece| piece.tight);
        tight(1).is_some_and(|point| point.is_sign('.')) && tight(2).is_some_and(|m| m.text.eq_ignore_ascii_case("m"))
    };
    let (late, more) = match half.as_str() {
        "am" => (false, 1),
        "pm" => (true, 1),
        "a" if points() => (false, 3),
        "p" if points() => (true, 3),
        _ => return None,
    };
    Some((hours % 12 * 60 + low + if late { 720 } else { 0 }, len + more))
}

/// `2/3`, unless it is part of a date.
fn slash(pieces: &[Piece<'_>], at: usize, top: Number) -> Option<Number> {
    let bottom = pieces.get(at + 2).filter(|piece| piece.tight)?.digits()?;
    let date = pieces.get(at + 3).is_some_and(|piece| piece.tight && piece.is_sign('/'));
    if date || top.as_whole().is_none() || bottom.as_whole().is_none() {
        return None;
    }
    top.over(bottom)
}

/// `2 1/2` and `2 ½`.
fn mixed(pieces: &[Piece<'_>], at: usize, value: Number) -> Option<Numeral> {
    value.as_whole()?;
    let next = pieces.get(at + 1)?;
    if let What::Sign(c) = next.what {
        let part = fraction_sign(c)?;
        return Some(Numeral { value: value.plus(part)?, form: Form::Cardinal, len: 2 });
    }
    let top = next.digits().filter(|top| top.as_whole().is_some_and(|top| top < 100))?;
    pieces.get(at + 2).filter(|piece| piece.tight && piece.is_sign('/'))?;
    let part = slash(pieces, at + 1, top).filter(|part| part.approx() < 1.0)?;
    Some(Numeral { value: value.plus(part)?, form: Form::Cardinal, len: 4 })
}

/// `6.02 × 10^23`, `1.5e6`.
fn tens_power(pieces: &[Piece<'_>], at: usize, value: Number) -> Option<Numeral> {
    let next = pieces.get(at + 1)?;
    if next.is_word() && next.tight && next.text.starts_with(['e', 'E']) && next.text.len() > 1 {
        let tens = next.text[1..].parse::<i32>().ok()?;
        return Some(Numeral { value: value.times(Number::power_of_ten(tens)?)?, form: Form::Cardinal, len: 2 });
    }
    let times = next.is_sign('×') || next.is_sign('*') || (next.is_word() && next.text == "x");
    let ten = pieces.get(at + 2)?.digits()?;
    if !times || ten != Number::whole(10) {
        return None;
    }
    let (power, len) = exponent(pieces, at + 3)?;
    Some(Numeral { value: value.times(Number::power_of_ten(power)?)?, form: Form::Cardinal, len: 3 + len })
}

/// `^-3`, from its raising sign on: the power and how many pieces.
pub(crate) fn exponent(pieces: &[Piece<'_>], at: usize) -> Option<(i32, usize)> {
    pieces.get(at).filter(|piece| piece.tight && piece.is_sign('^'))?;
    let sign = pieces.get(at + 1).filter(|piece| piece.tight)?;
    let (minus, step) = match sign.what {
        What::Sign('-') => (true, 2),
        What::Sign('+') => (false, 2),
        _ => (false, 1),
    };
    let number = pieces.get(at + step).filter(|piece| piece.tight)?.digits()?;
    let power = i32::try_from(number.as_whole()?).ok()?;
    Some((if minus { -power } else { power }, step + 1))
}

fn raised(base: Number, power: i32) -> Option<Number> {
    if base == Number::whole(10) {
        return Number::power_of_ten(power);
    }
    (power.abs() <= 64).then(|| base.to_power(power))?
}
