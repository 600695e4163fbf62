//! Dates and years, compared by their parts.

use super::lex::Piece;
use super::numeral::{Form, numeral_at};

/// A date as far as it is given: `25 November 2026`, `November 2026`, `44 BC`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date {
    /// The year; before the common era it is negative.
    pub year: Option<i32>,
    /// 1 to 12.
    pub month: Option<u8>,
    /// 1 to 31.
    pub day: Option<u8>,
}

impl Date {
    /// Whether every part that this date gives is given alike by `other`.
    pub fn is_within(&self, other: &Date) -> bool {
        fn holds<T: PartialEq>(mine: Option<T>, other: Option<T>) -> bool {
            mine.is_none() || mine == other
        }
        holds(self.year, other.year) && holds(self.month, other.month) && holds(self.day, other.day)
    }

    /// Whether a part that both give differs.
    pub fn differs_from(&self, other: &Date) -> bool {
        fn differs<T: PartialEq>(mine: Option<T>, other: Option<T>) -> bool {
            mine.is_some() && other.is_some() && mine != other
        }
        differs(self.year, other.year) || differs(self.month, other.month) || differs(self.day, other.day)
    }
}

/// The date that begins at piece `at`, and how many pieces it is written with.
pub(crate) fn date_at(pieces: &[Piece<'_>], at: usize) -> Option<(Date, usize)> {
    in_digits(pieces, at)
        .or_else(|| day_first(pieces, at))
        .or_else(|| month_first(pieces, at))
        .or_else(|| era(pieces, at))
}

/// `2026-11-25` (ISO 8601) and `25/11/2026` (day first, as in Britain).
fn in_digits(pieces: &[Piece<'_>], at: usize) -> Option<(Date, usize)> {
    let mark = pieces.get(at + 1).filter(|piece| piece.tight && (piece.is_sign('-') || piece.is_sign('/')))?;
    let again = pieces.get(at + 3).filter(|piece| piece.tight)?;
    if again.what != mark.what {
        return None;
    }
    let part = |step: usize| pieces.get(at + step).filter(|piece| step == 0 || piece.tight)?.digits()?.as_whole();
    let (first, month, last) = (part(0)?, part(2)?, part(4)?);
    let (year, day) = if mark.is_sign('-') && pieces[at].text.len() == 4 { (first, last) } else { (last, first) };
    let month = u8::try_from(month).ok().filter(|month| (1..=12).contains(month))?;
    let day = u8::try_from(day).ok().filter(|day| (1..=31).contains(day))?;
    let year = i32::try_from(year).ok().filter(|year| (0..10_000).contains(year))?;
    Some((Date { year: Some(year), month: Some(month), day: Some(day) }, 5))
}

/// `25 November 2026`, `25th of November`.
fn day_first(pieces: &[Piece<'_>], at: usize) -> Option<(Date, usize)> {
    let number = numeral_at(pieces, at).filter(|number| matches!(number.form, Form::Ordinal | Form::Cardinal))?;
    let day = u8::try_from(number.value.as_whole()?).ok().filter(|day| (1..=31).contains(day))?;
    let mut next = at + number.len;
    if pieces.get(next)?.text == "of" {
        next += 1;
    }
    let month = month(pieces.get(next)?)?;
    next += 1;
    let (year, len) = year_after(pieces, next).map_or((None, 0), |(year, len)| (Some(year), len));
    Some((Date { year, month: Some(month), day: Some(day) }, next + len - at))
}

/// `November 25, 2026`, `November 2026`.
fn month_first(pieces: &[Piece<'_>], at: usize) -> Option<(Date, usize)> {
    let month = month(pieces.get(at)?)?;
    if let Some((year, len)) = year_after(pieces, at + 1) {
        return Some((Date { year: Some(year), month: Some(month), day: None }, 1 + len));
    }
    let number = numeral_at(pieces, at + 1).filter(|number| number.len <= 2)?;
    let day = u8::try_from(number.value.as_whole()?).ok().filter(|day| (1..=31).contains(day))?;
    let next = at + 1 + number.len;
    let (year, len) = year_after(pieces, next).map_or((None, 0), |(year, len)| (Some(year), len));
    Some((Date { year, month: Some(month), day: Some(day) }, next + len - at))
}

/// A year after the rest of its date, perhaps after a comma or `of`.
fn year_after(pieces: &[Piece<'_>], at: usize) -> Option<(i32, usize)> {
    let first = pieces.get(at)?;
    let comma = usize::from(first.is_sign(',') || first.text == "of");
    let piece = pieces.get(at + comma)?;
    let year = piece.digits().filter(|_| piece.text.len() == 4)?.as_whole()?;
    Some((i32::try_from(year).ok()?, comma + 1))
}

/// `44 BC`, `AD 79`, `79 CE`.
fn era(pieces: &[Piece<'_>], at: usize) -> Option<(Date, usize)> {
    let year = |at: usize| i32::try_from(pieces.get(at)?.digits()?.as_whole()?).ok();
    let dated = |year: i32, len: usize| Some((Date { year: Some(year), ..Date::default() }, len));
    if matches!(pieces.get(at)?.text, "AD" | "CE") {
        return dated(year(at + 1)?, 2);
    }
    match pieces.get(at + 1)?.text {
        "BC" | "BCE" => dated(-year(at)?, 2),
        "AD" | "CE" => dated(year(at)?, 2),
        _ => None,
    }
}

/// Whether a date can begin with a word: a month, or an era before its year.
pub(super) fn begins_date(word: &str) -> bool {
    matches!(word, "AD" | "CE") || month_named(word).is_some()
}

fn month(piece: &Piece<'_>) -> Option<u8> {
    month_named(piece.text)
}

fn month_named(word: &str) -> Option<u8> {
    const MONTHS: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    let known = |month: &str| month == word || ((3..=4).contains(&word.len()) && month.starts_with(word));
    let at = MONTHS.iter().position(|month| known(month))?;
    u8::try_from(at + 1).ok()
}

#[cfg(test)]
mod tests {
    use super::super::lex::lex;
    use super::*;

    #[test]
    fn dates_in_their_many_forms() {
        let full = Date { year: Some(2026), month: Some(11), day: Some(25) };
        for text in [
            "25 November 2026",
            "25th of November 2026",
            "November 25, 2026",
            "Nov 25 2026",
            "25/11/2026",
            "2026-11-25",
            "25th of November of 2026",
        ] {
            let pieces = lex(text);
            assert_eq!(date_at(&pieces, 0), Some((full, pieces.len())), "{text}");
        }
        let month = date_at(&lex("November 2026"), 0).unwrap().0;
        assert!(month.is_within(&full) && !full.is_within(&month) && !month.differs_from(&full));
        assert_eq!(date_at(&lex("44 BC"), 0).unwrap().0.year, Some(-44));
        assert_eq!(date_at(&lex("AD 79"), 0).unwrap().0.year, Some(79));
        assert_eq!(date_at(&lex("5 may happen"), 0), None);
        assert_eq!(date_at(&lex("32/13/2026"), 0), None);
    }
}
