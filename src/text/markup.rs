//! The inline markup of card text (`*emphasis*`, `**strong**`, `` `code` ``, `~sub~`, `^super^`,
//! `$maths$`) read as a reader reads it.

use super::plain::Plain;

/// Adds `text` to `out` without its markup; maths is written out in a line.
pub(super) fn read_into(text: &str, out: &mut Plain) {
    let mut from = 0;
    let mut at = 0;
    while let Some(next) = text.as_bytes()[at..].iter().position(|byte| b"*`~^$".contains(byte)) {
        at += next;
        let rest = &text[at..];
        let c = char::from(text.as_bytes()[at]);
        let step = match c {
            '*' | '`' if touches_text(text, at, c) => Step::Drop(1),
            '~' => between(rest, '~').map_or(Step::Keep, |inner| Step::Inner { inner, raised: false }),
            '^' => between(rest, '^').map_or(Step::Keep, |inner| Step::Inner { inner, raised: true }),
            '$' => maths(rest).map_or(Step::Keep, Step::Maths),
            _ => Step::Keep,
        };
        let len = match step {
            Step::Keep => {
                at += 1;
                continue;
            }
            Step::Drop(len) => {
                out.push_run(&text[from..at], from);
                len
            }
            Step::Inner { inner, raised } => {
                out.push_run(&text[from..at], from);
                if raised {
                    out.push_as('^', at..at + 1);
                }
                out.push_run(inner, at + 1);
                inner.len() + 2
            }
            Step::Maths(inner) => {
                out.push_run(&text[from..at], from);
                write_out(inner, at + 1, DEPTH, out);
                inner.len() + 2
            }
        };
        at += len;
        from = at;
    }
    out.push_run(&text[from..], from);
}

/// Adds `text`, which begins at byte `at` of the source, reading `~sub~` and `^super^` only.
pub(super) fn scripts_into(text: &str, at: usize, out: &mut Plain) {
    let mut from = 0;
    while let Some(next) = text[from..].find(['~', '^']) {
        let mark = from + next;
        let raised = text[mark..].starts_with('^');
        let Some(inner) = between(&text[mark..], if raised { '^' } else { '~' }) else {
            out.push_run(&text[from..=mark], at + from);
            from = mark + 1;
            continue;
        };
        out.push_run(&text[from..mark], at + from);
        if raised {
            out.push_as('^', at + mark..at + mark + 1);
        }
        out.push_run(inner, at + mark + 1);
        from = mark + inner.len() + 2;
    }
    out.push_run(&text[from..], at + from);
}

enum Step<'t> {
    Keep,
    Drop(usize),
    Inner { inner: &'t str, raised: bool },
    Maths(&'t str),
}

/// A star between spaces is a star; one that touches text is markup.
fn touches_text(text: &str, at: usize, mark: char) -> bool {
    let before = text[..at].chars().next_back();
    let after = text[at + 1..].chars().next();
    let text_like = |c: Option<char>| c.is_some_and(|c| !c.is_whitespace());
    let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
    mark == '`' || ((text_like(before) || text_like(after)) && !(digit(before) && digit(after)))
}

/// The text up to the closing mark, when it stands before any space.
fn between(rest: &str, mark: char) -> Option<&str> {
    let inner = &rest[1..];
    let end = inner.find(|c: char| c == mark || c.is_whitespace())?;
    (end > 0 && inner[end..].starts_with(mark)).then(|| &inner[..end])
}

/// The maths between dollar signs; an amount of money is none.
fn maths(rest: &str) -> Option<&str> {
    let inner = &rest[1..];
    let end = inner.find('$')?;
    let body = &inner[..end];
    let tight = !body.is_empty() && !body.starts_with(char::is_whitespace) && !body.ends_with(char::is_whitespace);
    (tight && !inner[end + 1..].starts_with(|c: char| c.is_ascii_digit())).then_some(body)
}

/// Adds maths in TeX's notation, its dollar signs taken off.
pub(super) fn maths_into(maths: &str, at: usize, out: &mut Plain) {
    write_out(maths, at, DEPTH, out);
}

/// Fractions in fractions are written out this deep.
const DEPTH: usize = 8;

/// TeX in a line: `\frac{a}{b}` is `(a)/(b)` or `a/b`, `\times` is ×, braces go.
fn write_out(maths: &str, at: usize, depth: usize, out: &mut Plain) {
    let mut place = 0;
    while let Some(c) = maths[place..].chars().next() {
        let here = at + place..at + place + c.len_utf8();
        match c {
            '\\' => {
                let name: &str = command(&maths[place + 1..]);
                let end = place + 1 + name.len();
                let whole = at + place..at + end;
                if depth > 0 && matches!(name, "frac" | "dfrac" | "tfrac") {
                    place = fraction(maths, end, at, depth, out);
                    continue;
                }
                if let Some(symbol) = symbol(name) {
                    for c in symbol.chars() {
                        out.push_as(c, whole.clone());
                    }
                } else if name.starts_with(|c: char| !c.is_alphabetic())
                    && !matches!(name, "," | ";" | ":" | "!" | " " | "\\")
                {
                    out.push_run(name, at + place + 1);
                } else if !matches!(
                    name,
                    "text" | "mathrm" | "left" | "right" | "mathbf" | "mathit" | "operatorname" | "!"
                ) {
                    out.push_as(' ', whole);
                }
                place = end;
                continue;
            }
            '{' | '}' | '$' => {}
            '~' => out.push_as(' ', here),
            '_' => {}
            c => out.push_as(c, here),
        }
        place += c.len_utf8();
    }
}

/// Writes `{top}{bottom}` as a fraction and says where it ends.
fn fraction(maths: &str, mut place: usize, at: usize, depth: usize, out: &mut Plain) -> usize {
    for part in 0..2 {
        if part == 1 {
            out.push_as('/', at + place..at + place);
        }
        let Some(inner) = braced(&maths[place..]) else { return place };
        let single = !inner.contains([' ', '+', '-', '\\']);
        if !single {
            out.push_as('(', at + place..at + place + 1);
        }
        write_out(inner, at + place + 1, depth - 1, out);
        place += inner.len() + 2;
        if !single {
            out.push_as(')', at + place - 1..at + place);
        }
    }
    place
}

fn braced(rest: &str) -> Option<&str> {
    let inner = rest.strip_prefix('{')?;
    let mut depth = 0usize;
    for (at, c) in inner.char_indices() {
        match c {
            '{' => depth += 1,
            '}' if depth == 0 => return Some(&inner[..at]),
            '}' => depth -= 1,
            _ => {}
        }
    }
    None
}

/// The name of a TeX command: letters, or one other character.
fn command(rest: &str) -> &str {
    let letters = rest.find(|c: char| !c.is_ascii_alphabetic()).unwrap_or(rest.len());
    if letters > 0 {
        return &rest[..letters];
    }
    &rest[..rest.chars().next().map_or(0, char::len_utf8)]
}

fn symbol(name: &str) -> Option<&'static str> {
    Some(match name {
        "times" => "×",
        "cdot" => "·",
        "div" => "÷",
        "pm" => "±",
        "approx" | "simeq" => "≈",
        "le" | "leq" => "≤",
        "ge" | "geq" => "≥",
        "lt" => "<",
        "gt" => ">",
        "ne" | "neq" => "≠",
        "degree" | "circ" => "°",
        "pi" => "π",
        "Delta" => "Δ",
        "mu" => "μ",
        "Omega" => "Ω",
        "lambda" => "λ",
        "rho" => "ρ",
        "theta" => "θ",
        "alpha" => "α",
        "beta" => "β",
        "gamma" => "γ",
        "sqrt" => "√",
        "rightarrow" | "to" => "→",
        "infty" => "∞",
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::super::plain::plain;

    #[test]
    fn markup_is_not_read() {
        for (written, read) in [
            ("**Attrition** is *wear*", "Attrition is wear"),
            ("H~2~O and x^2^", "H2O and x^2"),
            ("`code` here", "code here"),
            ("2 * 3 and 2*3", "2 * 3 and 2*3"),
            ("about ~5 km or ~6 km", "about ~5 km or ~6 km"),
            ("costs $5 and $6", "costs $5 and $6"),
            ("$\\frac{1}{2}$ of it", "1/2 of it"),
            ("$\\frac{\\text{rise}}{\\text{run}}$", "(rise)/(run)"),
            ("$6.02 \\times 10^{23}$", "6.02 × 10^23"),
            ("$\\text{density} = \\frac{m}{V}$", "density = m/V"),
            ("a lone $ or ^ or ~ or *", "a lone $ or ^ or ~ or *"),
            ("$\\frac{1$", "1"),
        ] {
            assert_eq!(plain(written), read, "{written}");
        }
    }
}
