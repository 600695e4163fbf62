//! Card text without marks, for tables, calendars and reading aloud.

use super::{Inline, Piece, maths, visible};

/// The text as one reads it to somebody: formulas in words, `H₂O`, `km²`; line breaks stay.
///
/// Characters that nobody sees come out as [`visible`] writes them.
///
/// ```
/// use deckle::markup::{parse, plain};
/// assert_eq!(plain(&parse("CO~2~ is *about* $\\frac{1}{25}$ of it")), "CO₂ is about 1 over 25 of it");
/// ```
pub fn plain(inline: &Inline) -> String {
    let mut out = String::new();
    add(inline, &mut out);
    out
}

fn add(inline: &Inline, out: &mut String) {
    for piece in &inline.pieces {
        match piece {
            Piece::Text(text) | Piece::Code(text) => out.push_str(&visible(text)),
            Piece::Break => out.push('\n'),
            Piece::Emphasis(inner) | Piece::Strong(inner) => add(inner, out),
            Piece::Sub(inner) => out.push_str(&sub(&plain(inner))),
            Piece::Super(inner) => out.push_str(&raised(&plain(inner))),
            Piece::Maths(formula) => match &formula.maths {
                Ok(row) => out.push_str(&maths::aloud(row)),
                Err(_) => out.push_str(&visible(&formula.literal())),
            },
        }
    }
}

/// Unicode's own small figures where it has them; letters stay on the line, as in `vmax`.
fn sub(text: &str) -> String {
    mapped(text, SUBS).unwrap_or_else(|| text.to_owned())
}

fn raised(text: &str) -> String {
    let ordinal = matches!(text, "st" | "nd" | "rd" | "th");
    mapped(text, SUPERS).unwrap_or_else(|| if ordinal { text.to_owned() } else { format!("^{text}") })
}

fn mapped(text: &str, table: &str) -> Option<String> {
    let small = |c: char| PLAIN.chars().position(|plain| plain == c).and_then(|at| table.chars().nth(at));
    text.chars().map(|c| small(if c == '−' { '-' } else { c })).collect()
}

const PLAIN: &str = "0123456789+-=()n";
const SUBS: &str = "₀₁₂₃₄₅₆₇₈₉₊₋₌₍₎ₙ";
const SUPERS: &str = "⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻⁼⁽⁾ⁿ";

#[cfg(test)]
mod tests {
    use super::super::parse;
    use super::*;

    #[test]
    fn marks_are_not_read() {
        for (written, read) in [
            ("**Attrition** is *wear*", "Attrition is wear"),
            ("H~2~O, SO~4~^2-^ and m s^-1^", "H₂O, SO₄²⁻ and m s⁻¹"),
            ("the 21^st^ century, x^ab^, v~max~", "the 21st century, x^ab, vmax"),
            ("two\nlines", "two\nlines"),
            ("`a*b` and 3 * 4", "a*b and 3 * 4"),
            ("$Q = A \\times v$", "Q equals A times v"),
            ("bad $\\foo$ stays", "bad $\\foo$ stays"),
            ("\u{202e}abc", "[U+202E]abc"),
        ] {
            assert_eq!(plain(&parse(written)), read, "{written}");
        }
    }
}
