//! Reading formulas, by recursive descent within bounds.

use std::ops::Range;

use super::error::MathsError;
use super::number::number;
use super::signs::{Class, Sign, function, looking_like, typed_as};
use super::{Mark, Row, Space, Term, outside};

/// A formula has at most this many bytes; the longest that schools use have some two hundred.
pub const MAX_BYTES: usize = 1000;

/// A tree has at most this many levels of rows in rows.
pub const MAX_DEPTH: usize = 12;

/// Reads what stands between dollar signs.
///
/// # Errors
///
/// The first thing that is outside the subset, with its bytes.
///
/// ```
/// use deckle::markup::maths::{aloud, parse};
/// let formula = parse("\\frac{a}{b} = x^{2}").expect("in the subset");
/// assert_eq!(aloud(&formula), "a over b equals x squared");
/// assert_eq!(parse("a \\oint b").expect_err("outside").span, 2..7);
/// ```
pub fn parse(text: &str) -> Result<Row, MathsError> {
    if text.len() > MAX_BYTES {
        let message = format!("the formula is too long: more than {MAX_BYTES} characters");
        return Err(MathsError::new(0..text.len(), message, "write shorter formulas, or put it in as a picture"));
    }
    let row = Reader { text, at: 0, depth: 0, upright: false }.row(Until::End)?;
    if row.is_empty() {
        return Err(MathsError::new(0..text.len(), "the formula is empty", "write the maths between the dollar signs"));
    }
    Ok(row)
}

type Read<T> = Result<T, MathsError>;

/// Where a row ends.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Until {
    End,
    Brace,
    Square,
    Right,
}

struct Reader<'t> {
    text: &'t str,
    at: usize,
    depth: usize,
    /// Whether letters are units.
    upright: bool,
}

impl<'t> Reader<'t> {
    /// Terms up to the end that `until` names, which is left to be read.
    fn row(&mut self, until: Until) -> Read<Row> {
        let start = self.at;
        self.depth += 1;
        if self.depth > MAX_DEPTH {
            return Err(self.too_deep(start));
        }
        let mut row = Row::new();
        loop {
            let apart = self.skip_blanks();
            let rest = self.rest();
            match rest.chars().next() {
                None => break,
                Some('}') if until == Until::Brace => break,
                Some(']') if until == Until::Square => break,
                Some('\\') if until == Until::Right && command_name(rest) == "right" => break,
                Some(c) => {
                    if apart && self.upright && c.is_ascii_alphabetic() && !row.is_empty() {
                        row.push(Term::Space(Space::Thin));
                    }
                    let term = self.term()?;
                    self.scripts(term, &mut row)?;
                }
            }
        }
        self.depth -= 1;
        Ok(row)
    }

    /// One term without its scripts; something stands here.
    fn term(&mut self) -> Read<Term> {
        let (start, rest) = (self.at, self.rest());
        if let Some((shown, len)) = number(rest) {
            self.at += len;
            return Ok(Term::Number(shown));
        }
        let c = rest.chars().next().unwrap_or_default();
        match c {
            '\\' => return self.command(),
            '{' => return Ok(as_one(self.braced("{")?)),
            // Scripts that hang from nothing.
            '^' | '_' => return Ok(Term::Group(Row::new())),
            '}' => {
                let span = start..start + 1;
                return Err(MathsError::new(span, "`}` closes nothing", "take it out, or write `\\}` for a bracket"));
            }
            _ => self.at += c.len_utf8(),
        }
        match c {
            '~' => Ok(Term::Space(Space::Word)),
            c if c.is_ascii_alphabetic() => self.letters(c),
            c => match typed_as(&rest[..c.len_utf8()]).or_else(|| looking_like(c)) {
                Some(sign) => Ok(self.sign(sign)),
                None => Err(outside::character(c, start..self.at)),
            },
        }
    }

    /// A letter, or a whole unit where letters are units.
    fn letters(&mut self, first: char) -> Read<Term> {
        let start = self.at - 1;
        let run = &self.text[start..self.at + letters(self.rest())];
        if self.upright {
            self.at = start + run.len();
            return Ok(Term::Upright(run.to_owned()));
        }
        if self.text[..start].ends_with(|c: char| c.is_ascii_alphabetic())
            || !is_word(run, &self.text[start + run.len()..])
        {
            return Ok(Term::Letter(first));
        }
        let message = format!(
            "the letters of `{run}` would be shown as quantities side by side, without the blanks between words"
        );
        let help = match function(run) {
            Some(function) => format!("write `\\{function}`"),
            None => "put words into `\\text{…}`, as in `\\text{rise in height}`".to_owned(),
        };
        Err(MathsError::new(start..start + run.len(), message, help))
    }

    /// A sign; among units a Greek letter is upright and runs on, as in `\mu m`.
    fn sign(&mut self, sign: &'static Sign) -> Term {
        if !(self.upright && sign.sign.is_alphabetic()) {
            return Term::Sign(sign);
        }
        let start = self.at;
        self.at += letters(self.rest());
        Term::Upright(format!("{}{}", sign.sign, &self.text[start..self.at]))
    }

    /// Adds `term` with the powers and indices that follow it.
    fn scripts(&mut self, term: Term, row: &mut Row) -> Read<()> {
        let (mut sub, mut sup) = (None, None);
        loop {
            let before = self.at;
            self.skip_blanks();
            let start = self.at;
            let (script, name, double) = match self.rest().chars().next() {
                Some('_') => (&mut sub, "_", "two indices hang from one sign"),
                Some('^') => (&mut sup, "^", "two powers hang from one sign"),
                _ => {
                    self.at = before;
                    break;
                }
            };
            if script.is_some() {
                return Err(MathsError::new(start..start + 1, double, "put both into one pair of braces"));
            }
            self.at += 1;
            *script = Some(self.argument(name, start)?);
        }
        let close = sup.as_deref().and_then(stands_close);
        if close.is_some() {
            sup = None;
        }
        match (term, sub, sup) {
            (Term::Group(inner), None, None) if inner.is_empty() => {}
            (term, None, None) => row.push(term),
            (base, sub, sup) => row.push(Term::Scripts { base: Box::new(base), sub, sup }),
        }
        row.extend(close.map(Term::Sign));
        Ok(())
    }

    /// What a command or script is about: terms in braces, or a single sign.
    fn argument(&mut self, of: &str, start: usize) -> Read<Row> {
        self.skip_blanks();
        let rest = self.rest();
        let Some(c) = rest.chars().next() else { return Err(self.no_part(of, start)) };
        if c == '{' {
            return self.braced(of);
        }
        if matches!(c, '}' | ']' | '^' | '_') {
            return Err(self.no_part(of, start));
        }
        let number = number(rest).map(|(_, len)| len);
        let signed = matches!(c, '+' | '-' | '−') && rest[c.len_utf8()..].starts_with(|c: char| c.is_alphanumeric());
        if signed || number.is_some_and(|len| len > 1) {
            let len = if signed { c.len_utf8() + tail(&rest[c.len_utf8()..]) } else { number.unwrap_or(1) };
            let (one, all) = (&rest[..c.len_utf8()], &rest[..len]);
            let message = format!("without braces, `{of}` takes in `{one}` alone");
            let help =
                if of == "\\frac" { "write `\\frac{a}{b}`".to_owned() } else { format!("write `{of}{{{all}}}`") };
            return Err(MathsError::new(start..self.at + len, message, help));
        }
        self.depth += 1;
        if self.depth > MAX_DEPTH {
            return Err(self.too_deep(start));
        }
        let term = self.term()?;
        self.depth -= 1;
        Ok(vec![term])
    }

    /// Terms in braces.
    fn braced(&mut self, of: &str) -> Read<Row> {
        let start = self.at;
        self.at += 1;
        let row = self.row(Until::Brace)?;
        if self.rest().is_empty() {
            let message = if of == "{" {
                "`{` is never closed".to_owned()
            } else {
                format!("the `{{` behind `{of}` is never closed")
            };
            return Err(MathsError::new(start..start + 1, message, "write `}` where it ends"));
        }
        self.at += 1;
        Ok(row)
    }

    /// What begins with a backslash.
    fn command(&mut self) -> Read<Term> {
        let start = self.at;
        let name = command_name(self.rest());
        self.at += 1 + name.len();
        let span = start..self.at;
        if let Some(sign) = typed_as(&self.text[span.clone()]) {
            self.end_name(name);
            return Ok(self.sign(sign));
        }
        if let Some(function) = function(name) {
            return Ok(Term::Function(function));
        }
        if let Some(space) = space(name) {
            return Ok(Term::Space(space));
        }
        match name {
            "frac" => {
                let over = self.argument("\\frac", start)?;
                Ok(Term::Fraction { over, under: self.argument("\\frac", start)? })
            }
            "sqrt" => self.root(start),
            "text" => self.words(start),
            "mathrm" => self.units(start),
            "vec" | "overrightarrow" => self.over(Mark::Arrow, span),
            "bar" => self.over(Mark::Bar, span),
            "left" => self.fence(start),
            "right" => {
                Err(MathsError::new(span, "`\\right` has no `\\left`", "write `\\left` before the other bracket"))
            }
            name => Err(outside::command(name, span)),
        }
    }

    /// Blanks behind a name end the name and mean nothing.
    fn end_name(&mut self, name: &str) {
        if name.starts_with(|c: char| c.is_ascii_alphabetic()) {
            self.skip_blanks();
        }
    }

    fn over(&mut self, mark: Mark, span: Range<usize>) -> Read<Term> {
        let name = &self.text[span.clone()];
        let wide = name == "\\overrightarrow";
        Ok(Term::Over { mark, wide, of: self.argument(name, span.start)? })
    }

    fn root(&mut self, start: usize) -> Read<Term> {
        self.skip_blanks();
        let mut degree = None;
        if self.rest().starts_with('[') {
            let open = self.at;
            self.at += 1;
            degree = Some(self.row(Until::Square)?);
            if self.rest().is_empty() {
                let help = "write the cube root as in `\\sqrt[3]{x}`";
                return Err(MathsError::new(open..open + 1, "the `[` behind `\\sqrt` is never closed", help));
            }
            self.at += 1;
        }
        Ok(Term::Root { of: self.argument("\\sqrt", start)?, degree })
    }

    fn units(&mut self, start: usize) -> Read<Term> {
        let outside = std::mem::replace(&mut self.upright, true);
        let row = self.argument("\\mathrm", start)?;
        self.upright = outside;
        Ok(as_one(row))
    }

    /// `\text{words}`: literal but for `\%` and the like.
    fn words(&mut self, start: usize) -> Read<Term> {
        self.skip_blanks();
        if !self.rest().starts_with('{') {
            return Err(self.no_part("\\text", start));
        }
        self.at += 1;
        let mut words = String::new();
        while let Some(c) = self.rest().chars().next() {
            let at = self.at;
            self.at += c.len_utf8();
            match c {
                '}' => return Ok(Term::Text(words)),
                '\\' => words.push(self.escaped(at)?),
                '{' | '^' | '_' => {
                    let message = format!("`{c}` is maths, and `\\text{{…}}` holds words alone");
                    let help = "close the words first, as in `\\text{m}^{2}`";
                    return Err(MathsError::new(at..self.at, message, help));
                }
                '~' => words.push(' '),
                c => words.push(c),
            }
        }
        let span = start..start + "\\text".len();
        Err(MathsError::new(span, "the `{` behind `\\text` is never closed", "write `}` where the words end"))
    }

    /// The character that a backslash in words stands before.
    fn escaped(&mut self, at: usize) -> Read<char> {
        let name = command_name(self.rest_from(at));
        self.at = at + 1 + name.len();
        match name {
            "%" | "$" | "&" | "#" | "_" | "{" | "}" => Ok(name.chars().next().unwrap_or_default()),
            "," | " " | ":" | ";" => Ok(' '),
            _ => {
                let message = format!("`\\{name}` is maths, and `\\text{{…}}` holds words alone");
                Err(MathsError::new(at..self.at, message, "close the words first, and open them again behind it"))
            }
        }
    }

    fn fence(&mut self, start: usize) -> Read<Term> {
        let open = self.bracket("\\left")?;
        let span = start..self.at;
        let inner = self.row(Until::Right)?;
        if self.rest().is_empty() {
            let message = format!("`{}` has no `\\right`", &self.text[span.clone()]);
            return Err(MathsError::new(span, message, "write `\\right` with the other bracket where it ends"));
        }
        self.at += "\\right".len();
        let close = self.bracket("\\right")?;
        Ok(Term::Fence { open, inner, close })
    }

    /// The bracket behind `\left` or `\right`; a full stop is none.
    fn bracket(&mut self, of: &str) -> Read<Option<&'static Sign>> {
        let start = self.at - of.len();
        self.skip_blanks();
        let rest = self.rest();
        let len = match rest.chars().next() {
            Some('\\') => 1 + command_name(rest).len(),
            other => other.map_or(0, char::len_utf8),
        };
        let typed = &rest[..len];
        let sign = typed_as(typed).filter(|sign| matches!(sign.class, Class::Open | Class::Close | Class::Bar));
        self.at += len;
        if sign.is_none() && typed != "." {
            let message = format!("no bracket stands behind `{of}`");
            let help = "write one of `(`, `)`, `[`, `]`, `\\{`, `\\}`, `|`, or a full stop for none";
            return Err(MathsError::new(start..self.at, message, help));
        }
        Ok(sign)
    }

    fn no_part(&self, of: &str, start: usize) -> MathsError {
        let help = match of {
            "\\frac" => "write both parts in braces: `\\frac{a}{b}`".to_owned(),
            "^" => "write powers as in `x^{2}`".to_owned(),
            "_" => "write indices as in `x_{1}`".to_owned(),
            of => format!("write it in braces: `{of}{{…}}`"),
        };
        MathsError::new(start..(start + of.len()).max(self.at), format!("something is missing behind `{of}`"), help)
    }

    fn too_deep(&self, start: usize) -> MathsError {
        let message = format!("the formula has more than {MAX_DEPTH} levels of parts in parts");
        MathsError::new(start..self.at.max(start + 1), message, "write it as two formulas")
    }

    /// Skips blanks and says whether there were any.
    fn skip_blanks(&mut self) -> bool {
        let rest = self.rest();
        let skipped = rest.len() - rest.trim_start().len();
        self.at += skipped;
        skipped > 0
    }

    fn rest(&self) -> &'t str {
        self.rest_from(self.at)
    }

    fn rest_from(&self, at: usize) -> &'t str {
        &self.text[at..]
    }
}

/// Terms in braces as one term.
fn as_one(mut row: Row) -> Term {
    match row.len() {
        1 => row.remove(0),
        _ => Term::Group(row),
    }
}

/// The sign that is raised already, so that it stands beside its base: `30^\circ`, `f^\prime`.
fn stands_close(row: &[Term]) -> Option<&'static Sign> {
    match row {
        [Term::Sign(sign)] if matches!(sign.sign, '°' | '′') => Some(sign),
        _ => None,
    }
}

/// The name of a command: letters, or one other character.
fn command_name(rest: &str) -> &str {
    let name = &rest[1..];
    let letters = letters(name);
    let other = name.chars().next().map_or(0, char::len_utf8);
    &name[..if letters > 0 { letters } else { other }]
}

/// How many letters of the Latin alphabet `text` starts with.
fn letters(text: &str) -> usize {
    text.bytes().take_while(u8::is_ascii_alphabetic).count()
}

/// Whether letters in a row, with `rest` behind them, are a word, one of several, or a function's
/// name, and not quantities side by side as in `mgh` and `ABCD`.
fn is_word(run: &str, rest: &str) -> bool {
    let small = |run: &str| run.bytes().skip(1).all(|byte| byte.is_ascii_lowercase());
    let next = rest.trim_start();
    let next = if next.len() < rest.len() { &next[..letters(next)] } else { "" };
    let several = run.len() > 1 && next.len() > 1 && small(next);
    (small(run) && (run.len() > 3 || several)) || function(run).is_some()
}

/// The letters and digits at the start of `text`.
fn tail(text: &str) -> usize {
    text.find(|c: char| !c.is_alphanumeric()).unwrap_or(text.len())
}

fn space(name: &str) -> Option<Space> {
    Some(match name {
        "," => Space::Thin,
        ":" => Space::Medium,
        ";" => Space::Thick,
        " " => Space::Word,
        "quad" => Space::Quad,
        "qquad" => Space::TwoQuads,
        _ => return None,
    })
}

#[cfg(test)]
mod tests;
