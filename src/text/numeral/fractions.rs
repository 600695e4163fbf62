//! Fractions as signs and in words.

use super::words::{counted, ordinal};
use super::{Form, Numeral};
use crate::text::lex::Piece;
use crate::text::number::Number;

pub(super) fn fraction_sign(c: char) -> Option<Number> {
    let (top, bottom) = match c {
        '¼' => (1, 4),
        '½' => (1, 2),
        '¾' => (3, 4),
        '⅐' => (1, 7),
        '⅑' => (1, 9),
        '⅒' => (1, 10),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '⅕' => (1, 5),
        '⅖' => (2, 5),
        '⅗' => (3, 5),
        '⅘' => (4, 5),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        '↉' => (0, 3),
        _ => return None,
    };
    Number::ratio(top, bottom)
}

/// `half`, `a quarter of`, `a third of`.
pub(super) fn lone_fraction(pieces: &[Piece<'_>], at: usize, word: &str) -> Option<Numeral> {
    let bottom = denominator(word)?;
    let next = pieces.get(at + 1);
    let joined = next.is_some_and(|next| next.tight && next.is_sign('-'));
    let of = next.is_some_and(|next| next.is_word() && next.text.eq_ignore_ascii_case("of"));
    let single = at > 0 && matches!(pieces[at - 1].text.to_lowercase().as_str(), "a" | "one" | "an");
    let stands = match word {
        "half" => !joined,
        "quarter" => (single || of) && !joined,
        _ => single && (of || followed_by_verb(pieces, at)) && !word.ends_with('s'),
    };
    stands.then(|| Some(Numeral { value: Number::ratio(1, bottom)?, form: Form::Cardinal, len: 1 }))?
}

pub(super) fn denominator(word: &str) -> Option<i64> {
    Some(match word {
        "half" | "halves" => 2,
        "quarter" | "quarters" => 4,
        "tenth" | "tenths" => 10,
        _ => {
            let single = word.strip_suffix('s').unwrap_or(word);
            ordinal(single).filter(|n| *n > 2 && (*n <= 10 || *n == 100 || *n == 1000))?
        }
    })
}

/// `two thirds`, `three-quarters`, `two and a half`.
pub(super) fn with_fraction(pieces: &[Piece<'_>], at: usize, found: Numeral) -> Option<Numeral> {
    if found.form != Form::Cardinal {
        return None;
    }
    let mut next = at + found.len;
    if pieces.get(next)?.is_sign('-') && pieces[next].tight {
        next += 1;
    }
    let word = |index: usize| pieces.get(index).filter(|piece| piece.is_word()).map(|piece| piece.text.to_lowercase());
    let text = word(next)?;
    if let Some(bottom) = denominator(&text) {
        let plural = text.ends_with('s') || text == "halves";
        let fits = plural || found.value == Number::ONE;
        let value = found.value.over(Number::whole(bottom))?;
        return (fits && found.len < 4).then_some(Numeral { value, len: next + 1 - at, ..found });
    }
    if let Some((bottom, len)) = out_of(pieces, next, &text)
        && bottom > found.value.approx()
    {
        let value = found.value.over(Number::whole(bottom as i64))?;
        return Some(Numeral { value, len: next + len - at, ..found });
    }
    let article = word(next + 1)?;
    if text != "and" || !matches!(article.as_str(), "a" | "one") {
        return None;
    }
    let bottom = denominator(&word(next + 2)?).filter(|bottom| *bottom <= 4)?;
    let value = found.value.plus(Number::ratio(1, bottom)?)?;
    Some(Numeral { value, len: next + 3 - at, ..found })
}

/// `out of four`, `in five`: of how many, and how many pieces.
fn out_of(pieces: &[Piece<'_>], at: usize, word: &str) -> Option<(f64, usize)> {
    let small = match word {
        "out" if pieces.get(at + 1).is_some_and(|next| next.text.eq_ignore_ascii_case("of")) => 2,
        "in" => 1,
        _ => return None,
    };
    let of = counted(pieces, at + small).filter(|of| of.form == Form::Cardinal)?;
    let bottom = of.value.as_whole().filter(|bottom| (2..=1000).contains(bottom))?;
    Some((bottom as f64, small + of.len))
}

/// `a fifth are …`: a share and not a place in an order.
fn followed_by_verb(pieces: &[Piece<'_>], at: usize) -> bool {
    let next = pieces.get(at + 1).map(|next| next.text.to_lowercase());
    next.is_some_and(|next| matches!(next.as_str(), "are" | "were" | "have" | "live" | "work"))
}
