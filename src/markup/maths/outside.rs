//! What lies outside the subset, and what to write instead.

use std::ops::Range;

use super::error::MathsError;
use super::signs::{functions, signs};
use crate::markup::visible;

/// The commands with parts; signs and functions have lists of their own.
const WITH_PARTS: &[&str] =
    &["frac", "sqrt", "text", "mathrm", "vec", "overrightarrow", "bar", "left", "right", "quad", "qquad"];

/// The error about a command that is not in the subset.
pub(super) fn command(name: &str, span: Range<usize>) -> MathsError {
    let message = format!("`\\{}` is not among the maths that cards can show", visible(name));
    MathsError::new(span, message, instead_of(name))
}

/// The error about a character that is not in the subset.
pub(super) fn character(c: char, span: Range<usize>) -> MathsError {
    let message = format!("`{}` is not among the maths that cards can show", visible(c.encode_utf8(&mut [0; 4])));
    let help = match c {
        '*' => "write `\\times`",
        '–' | '—' | '‐' | '‑' => "write the hyphen `-` for minus",
        '√' => "write `\\sqrt{…}`",
        '∗' | '∙' | '·' | '•' => "write `\\cdot`",
        '∆' => "write `\\Delta`",
        'µ' => "write `\\mu`",
        '²' | '³' | '¹' | '⁰' | '⁴'..='⁹' | '⁺' | '⁻' | 'ⁿ' => "write powers as in `x^{2}`",
        '₀'..='₉' => "write indices as in `x_{1}`",
        '½' | '¼' | '¾' | '⅓' | '⅔' => "write fractions as in `\\frac{1}{2}`",
        '"' | '“' | '”' | '‘' | '’' | '&' | '#' | '@' => "put words into `\\text{…}`",
        c if c.is_alphabetic() => "put words into `\\text{…}`",
        c if c.is_control() => "take it out",
        _ => "say it in words in `\\text{…}`, or put the formula in as a picture",
    };
    MathsError::new(span, message, help)
}

fn instead_of(name: &str) -> String {
    let known = match name {
        "dfrac" | "tfrac" | "cfrac" | "over" => "write `\\frac{a}{b}`",
        "mathbf" | "boldsymbol" | "bm" | "hat" | "underline" => "write `\\vec{v}` for a vector, else just the letter",
        "overline" => "write `\\bar{x}` for a mean",
        "operatorname" | "textrm" | "rm" | "mbox" | "textbf" | "textit" | "mathit" | "textsf" | "it" | "bf" => {
            "write `\\text{…}` for words and `\\mathrm{…}` for units"
        }
        "SI" | "si" | "qty" | "unit" | "num" | "ang" => "write number and unit as in `3\\,\\mathrm{km}`",
        "ce" | "pu" => "write the formula of a substance as in `\\mathrm{H_2O}`",
        "\\" | "newline" | "begin" | "end" | "matrix" | "cases" | "hline" | "tabular" => {
            "a formula is one line: write each line as a formula of its own"
        }
        "def" | "newcommand" | "renewcommand" | "let" | "gdef" | "edef" | "xdef" | "DeclareMathOperator" => {
            "a formula cannot make commands of its own: write out what it stands for"
        }
        "href" | "url" | "color" | "textcolor" | "colorbox" | "input" | "include" | "includegraphics" => {
            "formulas have no links, colours or files: write the maths alone"
        }
        "big" | "Big" | "bigg" | "Bigg" | "bigl" | "bigr" | "middle" | "langle" | "rangle" => {
            "write `\\left( … \\right)` for brackets that grow"
        }
        "limits" | "nolimits" | "displaystyle" | "textstyle" | "!" => "leave it out",
        "ast" | "bullet" => "write `\\times` or `\\cdot`",
        "sup" | "superscript" => "write powers as in `x^{2}`",
        "sub" | "subscript" => "write indices as in `x_{1}`",
        "" => "a backslash begins the name of a sign, as in `\\times`",
        _ => "",
    };
    if !known.is_empty() {
        return known.to_owned();
    }
    let other = "say it in words in `\\text{…}`, or put the formula in as a picture";
    nearest(name).map_or_else(|| other.to_owned(), |near| format!("did you mean `\\{near}`? If not, {other}"))
}

/// The command of the subset that is spelt most alike, if one is.
fn nearest(name: &str) -> Option<&'static str> {
    let signs = signs().iter().flat_map(|sign| sign.typed.iter().filter_map(|typed| typed.strip_prefix('\\')));
    let names = signs.chain(functions().iter().map(|(name, _)| *name)).chain(WITH_PARTS.iter().copied());
    let near = names.map(|known| (strsim::osa_distance(&name.to_lowercase(), &known.to_lowercase()), known));
    let near = near.filter(|(distance, known)| known.len() > 1 && distance * 3 <= known.len().max(name.len()));
    near.min().map(|(_, known)| known)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn misspelt_commands_are_led_to_the_right_one() {
        for (name, near) in [
            ("tims", Some("times")),
            ("fraction", None),
            ("frc", Some("frac")),
            ("Times", Some("times")),
            ("int", None),
        ] {
            assert_eq!(nearest(name), near, "{name}");
        }
    }
}
