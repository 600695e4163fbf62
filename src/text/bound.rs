//! Numbers and their units on one line (SI Brochure, 9th edition, 5.4.3: a space stands between them, and
//! they are not parted).

use std::borrow::Cow;
use std::collections::BTreeSet;

use super::lex::{Piece, What, lex};
use super::unit::{money, unit_at};

/// `text` with a no-break space between each number and the unit behind it, and between groups of three
/// figures; borrowed when there is nothing to bind. Nothing else changes, and comparing texts takes no notice.
///
/// ```
/// use deckle::text::bound;
/// assert_eq!(bound("34 knots in 2 days"), "34\u{a0}knots in 2\u{a0}days");
/// ```
pub fn bound(text: &str) -> Cow<'_, str> {
    if !text.bytes().any(|byte| byte.is_ascii_digit()) {
        return Cow::Borrowed(text);
    }
    let pieces = lex(text);
    let before_units = (1..pieces.len()).filter(|&at| is_unit(&pieces, at, text)).map(|at| pieces[at].span.start - 1);
    let numbers = pieces.iter().filter(|piece| piece.digits().is_some());
    let between_groups =
        numbers.flat_map(|piece| piece.text.match_indices(' ').map(move |(at, _)| piece.span.start + at));
    let joints: BTreeSet<usize> = before_units.chain(between_groups).collect();
    let (mut bound, mut done) = (String::new(), 0);
    for joint in joints {
        bound.push_str(&text[done..joint]);
        bound.push('\u{a0}');
        done = joint + 1;
    }
    if done == 0 { Cow::Borrowed(text) } else { Cow::Owned(bound + &text[done..]) }
}

/// Whether the piece is the unit of a number, with one plain blank between them.
fn is_unit(pieces: &[Piece<'_>], at: usize, text: &str) -> bool {
    let (before, piece) = (&pieces[at - 1], &pieces[at]);
    let gap = &text[before.span.end..piece.span.start];
    let is_money = matches!(piece.what, What::Sign(sign) if money(sign).is_some());
    gap == " " && before.digits().is_some() && !is_money && unit_at(pieces, at).is_some()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_stay_with_their_numbers_and_nothing_else_does() {
        for (written, expected) in [
            ("At 400 m, or 0.4 km", "At 400~m, or 0.4~km"),
            ("5 to 10 °C", "5 to 10~°C"),
            ("about 15 % of it", "about 15~% of it"),
            ("3 cubic metres per second", "3~cubic metres per second"),
            ("50 000 people in 1850 there", "50~000 people in 1850 there"),
            ("1,000 kilometres", "1,000~kilometres"),
            ("force 8 gale", "force 8 gale"),
            ("400  m", "400  m"),
            ("costs 5 $ or 1 £2 coin", "costs 5 $ or 1 £2 coin"),
            ("no number of km", "no number of km"),
            ("5 🌊 m é 6 m", "5 🌊 m é 6~m"),
        ] {
            assert_eq!(bound(written).replace('\u{a0}', "~"), expected);
        }
    }

    #[test]
    fn what_is_bound_compares_as_before() {
        for text in ["34 knots", "1 : 50 000", "6 m^2^"] {
            assert_eq!(crate::text::plain(&bound(text)), crate::text::plain(text));
        }
    }
}
