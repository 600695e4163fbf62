//! Formulas as MathML Core.

use super::signs::{Class, Sign};
use super::{Mark, Row, Term, aloud, is_operand};
use crate::markup::html::escaped;

/// The formula as a `math` element of MathML Core, with its reading in `alttext`, for browsers that
/// know no MathML. Everything is escaped.
///
/// ```
/// use deckle::markup::maths::{mathml, parse};
/// let half = parse("\\frac{1}{2}").expect("in the subset");
/// assert_eq!(mathml(&half), "<math alttext=\"one half\"><mfrac><mn>1</mn><mn>2</mn></mfrac></math>");
/// ```
pub fn mathml(row: &Row) -> String {
    let mut out = format!("<math alttext=\"{}\">", escaped(&aloud(row)));
    add_row(row, &mut out);
    out.push_str("</math>");
    out
}

fn add_row(row: &[Term], out: &mut String) {
    for (at, term) in row.iter().enumerate() {
        let before = at.checked_sub(1).map(|before| &row[before]);
        match term {
            Term::Sign(sign) if sign.class == Class::Binary && !is_operand(before) => {
                out.push_str(&format!("<mo form=\"prefix\">{}</mo>", sign.sign));
            }
            _ => add(term, out),
        }
        if is_function(term) {
            apply(row.get(at + 1), out);
        }
    }
}

/// Between a function and what it is taken of.
fn apply(to: Option<&Term>, out: &mut String) {
    let Some(to) = to else { return };
    out.push_str("<mo>&#x2061;</mo>");
    let bracket = match to {
        Term::Fence { .. } | Term::Space(_) => true,
        Term::Sign(sign) => sign.class != Class::Letter,
        _ => false,
    };
    if !bracket {
        out.push_str("<mspace width=\"0.167em\"/>");
    }
}

fn is_function(term: &Term) -> bool {
    match term {
        Term::Function(_) => true,
        Term::Scripts { base, .. } => matches!(**base, Term::Function(_)),
        _ => false,
    }
}

fn add(term: &Term, out: &mut String) {
    match term {
        Term::Number(number) => element("mn", &number.replace(' ', "\u{202f}"), out),
        Term::Letter(letter) => element("mi", letter.encode_utf8(&mut [0; 4]), out),
        Term::Upright(letters) => upright(letters, out),
        Term::Text(text) => element("mtext", &kept_blanks(text), out),
        Term::Function(name) => upright(name, out),
        Term::Sign(sign) => add_sign(sign, out),
        Term::Fraction { over, under } => around("mfrac", &[over, under], out),
        Term::Root { of, degree: None } => {
            out.push_str("<msqrt>");
            add_row(of, out);
            out.push_str("</msqrt>");
        }
        Term::Root { of, degree: Some(degree) } => around("mroot", &[of, degree], out),
        Term::Scripts { base, sub, sup } => {
            let base = std::slice::from_ref(&**base);
            match (sub, sup) {
                (Some(sub), Some(sup)) => around("msubsup", &[base, sub, sup], out),
                (Some(sub), None) => around("msub", &[base, sub], out),
                (None, sup) => around("msup", &[base, sup.as_deref().unwrap_or_default()], out),
            }
        }
        Term::Over { mark, wide, of } => over(*mark, *wide, of, out),
        Term::Fence { open, inner, close } => {
            out.push_str("<mrow>");
            bracket(*open, "prefix", out);
            add_row(inner, out);
            bracket(*close, "postfix", out);
            out.push_str("</mrow>");
        }
        Term::Group(row) => group(row, out),
        Term::Space(space) => {
            let width = space.width();
            out.push_str(&format!("<mspace width=\"{}.{:03}em\"/>", width / 1000, width % 1000));
        }
    }
}

fn element(name: &str, content: &str, out: &mut String) {
    out.push_str(&format!("<{name}>{}</{name}>", escaped(content)));
}

/// Letters that are not set in italics: of single ones that has to be said.
fn upright(letters: &str, out: &mut String) {
    if letters.chars().count() == 1 {
        out.push_str(&format!("<mi mathvariant=\"normal\">{}</mi>", escaped(letters)));
    } else {
        element("mi", letters, out);
    }
}

/// MathML drops blanks at the edges of words.
fn kept_blanks(text: &str) -> String {
    let trimmed = text.trim_matches(' ');
    let start = text.len() - text.trim_start_matches(' ').len();
    let end = text.len() - start - trimmed.len();
    format!("{}{trimmed}{}", "\u{a0}".repeat(start), "\u{a0}".repeat(end))
}

fn add_sign(sign: &Sign, out: &mut String) {
    let shown = escaped(sign.sign.encode_utf8(&mut [0; 4]));
    let attributes = match sign.class {
        Class::Letter => return element("mi", &shown, out),
        Class::Ordinary if sign.sign.is_alphabetic() => return upright(&shown, out),
        Class::Ordinary | Class::Currency => return out.push_str(&format!("<mi>{shown}</mi>")),
        Class::Binary | Class::Relation | Class::Punctuation | Class::Large => "",
        Class::Slash => " lspace=\"0em\" rspace=\"0em\"",
        Class::Open => " form=\"prefix\" stretchy=\"false\"",
        Class::Close => " form=\"postfix\" stretchy=\"false\"",
        Class::Bar => " stretchy=\"false\" lspace=\"0em\" rspace=\"0em\"",
    };
    out.push_str(&format!("<mo{attributes}>{shown}</mo>"));
}

fn bracket(sign: Option<&Sign>, form: &str, out: &mut String) {
    if let Some(sign) = sign {
        out.push_str(&format!("<mo form=\"{form}\" stretchy=\"true\">{}</mo>", sign.sign));
    }
}

fn over(mark: Mark, wide: bool, of: &[Term], out: &mut String) {
    let sign = match mark {
        Mark::Arrow => '→',
        Mark::Bar => '¯',
    };
    // As an accent a bar touches the letter where there is no font for maths.
    let accent = if wide || mark == Mark::Bar { "" } else { " accent=\"true\"" };
    out.push_str(&format!("<mover{accent}>"));
    one(of, out);
    out.push_str(&format!("<mo stretchy=\"{wide}\">{sign}</mo></mover>"));
}

fn around(name: &str, parts: &[&[Term]], out: &mut String) {
    out.push_str(&format!("<{name}>"));
    parts.iter().for_each(|part| one(part, out));
    out.push_str(&format!("</{name}>"));
}

/// A row as one element.
fn one(row: &[Term], out: &mut String) {
    match row {
        [term] => add(term, out),
        row => group(row, out),
    }
}

fn group(row: &[Term], out: &mut String) {
    out.push_str("<mrow>");
    add_row(row, out);
    out.push_str("</mrow>");
}
