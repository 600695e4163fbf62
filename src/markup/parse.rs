//! Reading the inline markup.

use super::{Formula, Inline, Piece, maths};

/// No tree is deeper than this: stars nest four deep, each at most twice, and again in `~sub~` and
/// `^super^`, which cannot stand in themselves.
pub const MAX_DEPTH: usize = 3 * (2 * MAX_OPEN + 1);

/// This many stars may wait for their partner; of more, the first are literal.
const MAX_OPEN: usize = 4;

/// The marks, which a backslash makes literal.
pub(super) const MARKS: [char; 5] = ['*', '`', '~', '^', '$'];

/// Reads card text. Never fails: what is no markup is text.
///
/// ```
/// use deckle::markup::{Piece, parse};
/// let read = parse("3 * 4 is *twelve*");
/// assert_eq!(read.pieces[0], Piece::Text("3 * 4 is ".to_owned()));
/// assert!(matches!(&read.pieces[1], Piece::Emphasis(_)));
/// ```
pub fn parse(text: &str) -> Inline {
    within(text, 0)
}

/// Reads a stretch that begins at byte `offset` of the card text.
fn within(text: &str, offset: usize) -> Inline {
    let mut builder = Builder::default();
    let mut at = 0;
    while let Some(c) = text[at..].chars().next() {
        at += match c {
            '\\' => escape(&text[at..], &mut builder),
            '*' => stars(text, at, &mut builder),
            '`' | '~' | '^' | '$' if text[at + 1..].starts_with(c) => {
                // Two or more such marks in a row are text.
                let run = text[at..].bytes().take_while(|&byte| char::from(byte) == c).count();
                builder.text(&text[at..at + run])
            }
            '`' => code(&text[at..], &mut builder),
            '~' | '^' => script(text, at, offset, &mut builder),
            '$' => formula(&text[at..], offset + at, &mut builder),
            '\r' | '\n' | '\u{85}' | '\u{2028}' | '\u{2029}' => {
                builder.pieces.push(Piece::Break);
                if text[at..].starts_with("\r\n") { 2 } else { c.len_utf8() }
            }
            _ => {
                let len = text[at..].find(is_special).unwrap_or(text.len() - at);
                builder.text(&text[at..at + len]);
                len
            }
        };
    }
    builder.finish()
}

fn is_special(c: char) -> bool {
    MARKS.contains(&c) || matches!(c, '\\' | '\r' | '\n' | '\u{85}' | '\u{2028}' | '\u{2029}')
}

/// `\*` is a star; a backslash before anything but a mark is a backslash.
fn escape(rest: &str, builder: &mut Builder) -> usize {
    let escaped = rest[1..].starts_with(MARKS);
    builder.text(if escaped { &rest[1..2] } else { "\\" });
    if escaped { 2 } else { 1 }
}

/// A run of stars, which closes, opens or is text.
fn stars(text: &str, at: usize, builder: &mut Builder) -> usize {
    let len = text[at..].bytes().take_while(|&byte| byte == b'*').count();
    let before = text[..at].chars().next_back();
    let after = text[at + len..].chars().next();
    let touches = |c: Option<char>| c.is_some_and(|c| !c.is_whitespace());
    let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
    let mut left = len;
    if len <= 3 && !(digit(before) && digit(after)) {
        if touches(before) {
            left = builder.close(left);
        }
        if left > 0 && touches(after) {
            builder.open(left);
            left = 0;
        }
    }
    builder.text(&text[at..at + left]);
    len
}

fn code(rest: &str, builder: &mut Builder) -> usize {
    let inner = &rest[1..];
    match inner.find(['`', '\r', '\n', '\u{85}', '\u{2028}', '\u{2029}']) {
        Some(end) if inner[end..].starts_with('`') => {
            builder.pieces.push(Piece::Code(inner[..end].to_owned()));
            end + 2
        }
        _ => builder.text("`"),
    }
}

/// `~sub~` or `^super^`.
fn script(text: &str, at: usize, offset: usize, builder: &mut Builder) -> usize {
    let mark = if text[at..].starts_with('~') { '~' } else { '^' };
    let inner = &text[at + 1..];
    let hangs = mark == '^' || text[..at].chars().next_back().is_some_and(has_sub);
    let end = inner.find(|c: char| c == mark || c.is_whitespace());
    match end {
        Some(end) if hangs && inner[end..].starts_with(mark) => {
            let inside = within(&inner[..end], offset + at + 1);
            builder.pieces.push(if mark == '~' { Piece::Sub(inside) } else { Piece::Super(inside) });
            end + 2
        }
        _ => builder.text(&text[at..=at]),
    }
}

/// Whether a sub can hang from `c`: `~` before a number is "about".
fn has_sub(c: char) -> bool {
    c.is_alphanumeric() || matches!(c, ')' | ']' | '}' | '*' | '`' | '^' | '~' | '$' | '\'' | '’' | '′')
}

/// Maths touches its dollar signs, and no digit follows it: `$5 and $6` is money.
fn formula(rest: &str, at: usize, builder: &mut Builder) -> usize {
    let written = closing_dollar(&rest[1..]).map(|end| &rest[1..=end]);
    let tight = |written: &&str| {
        let blank = |c: char| c.is_whitespace();
        !written.is_empty() && !written.starts_with(blank) && !written.ends_with(blank)
    };
    let Some(written) = written.filter(tight) else { return builder.text("$") };
    let len = written.len() + 2;
    if rest[len..].starts_with(|c: char| c.is_ascii_digit()) {
        return builder.text("$");
    }
    let maths = maths::parse(written);
    builder.pieces.push(Piece::Maths(Formula { written: written.to_owned(), at: at + 1, maths }));
    len
}

/// The byte of the first dollar sign that no backslash stands before.
fn closing_dollar(inner: &str) -> Option<usize> {
    let mut escaped = false;
    inner.bytes().position(|byte| {
        let closes = byte == b'$' && !escaped;
        escaped = byte == b'\\' && !escaped;
        closes
    })
}

/// The pieces so far, and the stars among them that wait for their partner.
#[derive(Default)]
struct Builder {
    pieces: Vec<Piece>,
    open: Vec<Open>,
}

/// Stars that wait. An empty text keeps their place, right before `from`.
struct Open {
    from: usize,
    stars: usize,
}

impl Builder {
    /// Adds text and says how long it is.
    fn text(&mut self, text: &str) -> usize {
        let kept = self.open.last().is_some_and(|open| open.from == self.pieces.len());
        match self.pieces.last_mut() {
            Some(Piece::Text(last)) if !kept => last.push_str(text),
            _ if text.is_empty() => {}
            _ => self.pieces.push(Piece::Text(text.to_owned())),
        }
        text.len()
    }

    fn open(&mut self, stars: usize) {
        if self.open.len() == MAX_OPEN {
            let first = self.open.remove(0);
            self.give_up(&first);
        }
        self.pieces.push(Piece::Text(String::new()));
        self.open.push(Open { from: self.pieces.len(), stars });
    }

    /// Closes what `stars` can close, the innermost first, and says how many are left.
    fn close(&mut self, mut stars: usize) -> usize {
        while stars > 0 {
            let Some(open) = self.open.last_mut() else { break };
            let used = if stars >= 2 && open.stars >= 2 { 2 } else { 1 };
            let inner = Inline { pieces: self.pieces.split_off(open.from) };
            stars -= used;
            open.stars -= used;
            if open.stars == 0 {
                self.open.pop();
                self.pieces.pop();
            }
            self.pieces.push(if used == 2 { Piece::Strong(inner) } else { Piece::Emphasis(inner) });
        }
        stars
    }

    /// Stars that never found their partner are text.
    fn give_up(&mut self, open: &Open) {
        self.pieces[open.from - 1] = Piece::Text("*".repeat(open.stars));
    }

    fn finish(mut self) -> Inline {
        for open in std::mem::take(&mut self.open) {
            self.give_up(&open);
        }
        let mut joined = Builder::default();
        for piece in self.pieces {
            match piece {
                Piece::Text(text) => drop(joined.text(&text)),
                piece => joined.pieces.push(piece),
            }
        }
        Inline { pieces: joined.pieces }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The tree in a short form: `<e …>`, `<s …>`, `<c …>`, `<_ …>`, `<^ …>`, `<$ …>`, `/`.
    fn short(inline: &Inline) -> String {
        let nested = |mark: &str, inner: &Inline| format!("<{mark} {}>", short(inner));
        let pieces = inline.pieces.iter().map(|piece| match piece {
            Piece::Text(text) => text.clone(),
            Piece::Break => "/".to_owned(),
            Piece::Emphasis(inner) => nested("e", inner),
            Piece::Strong(inner) => nested("s", inner),
            Piece::Code(text) => format!("<c {text}>"),
            Piece::Sub(inner) => nested("_", inner),
            Piece::Super(inner) => nested("^", inner),
            Piece::Maths(formula) => format!("<$ {}>", formula.written),
        });
        pieces.collect()
    }

    #[test]
    fn marks_with_partners_are_markup() {
        for (text, tree) in [
            ("", ""),
            ("*a* **b** ***c***", "<e a> <s b> <e <s c>>"),
            ("a*b*c **d *e* f**", "a<e b>c <s d <e e> f>"),
            ("*a\nb*", "<e a/b>"),
            ("`a*b*` and `$x$`", "<c a*b*> and <c $x$>"),
            ("CO~2~ and SO~4~^2-^", "CO<_ 2> and SO<_ 4><^ 2->"),
            ("^14^C and x^*n*^", "<^ 14>C and x<^ <e n>>"),
            ("$Q = A \\times v$.", "<$ Q = A \\times v>."),
            ("*$x$* and $a\\$b$", "<e <$ x>> and <$ a\\$b>"),
            ("a\r\nb\rc\n\nd", "a/b/c//d"),
            ("*a **b* c**", "<e a <e <e b> c>>"),
            ("**a*", "*<e a>"),
        ] {
            assert_eq!(short(&parse(text)), tree, "{text}");
        }
    }

    #[test]
    fn all_else_is_literal() {
        for text in [
            "3 * 4 and 3*4*5",
            "* a point, and another *",
            "**** and *****a*****",
            "*one, `two, $three, ^four",
            "about ~5 km, ~6~ or ~5-~6 km",
            "10^3 to 10^6",
            "~~struck~~ and ^^",
            "`` and `a\nb`",
            "$5 and $6, $ 7 $ and $8$9",
            "$$ and $$x$$",
            "<b>bold</b> &amp; [a](b) <http://a>",
            "C:\\Users and \\\\server",
        ] {
            let read = short(&parse(text));
            assert_eq!(read, text.replace('\n', "/"), "{text}");
        }
    }

    #[test]
    fn a_backslash_makes_a_mark_literal() {
        for (text, tree) in [
            ("\\*a\\*", "*a*"),
            ("\\$x$", "$x$"),
            ("\\`a` \\~b~ \\^c^", "`a` ~b~ ^c^"),
            ("a\\b", "a\\b"),
            ("*a\\* b*", "<e a* b>"),
        ] {
            assert_eq!(short(&parse(text)), tree, "{text}");
        }
    }

    #[test]
    fn formulas_know_their_bytes() {
        let text = "é $a$ *b $c+d$* H~$e$~";
        let read = parse(text);
        let found = read.formulas();
        assert_eq!(found.len(), 3);
        for formula in found {
            assert_eq!(text.get(formula.at..formula.at + formula.written.len()), Some(formula.written.as_str()));
        }
    }

    #[test]
    fn stars_that_never_close_leave_later_ones_alone() {
        let text = "*1 *2 *3 *4 *5 *6 and *really*";
        assert_eq!(short(&parse(text)), "*1 *2 *3 *4 *5 *6 and <e really>");
    }

    fn depth(inline: &Inline) -> usize {
        let inner = inline.pieces.iter().map(|piece| match piece {
            Piece::Emphasis(inner) | Piece::Strong(inner) | Piece::Sub(inner) | Piece::Super(inner) => 1 + depth(inner),
            _ => 0,
        });
        inner.max().unwrap_or(0)
    }

    /// All text of the tree, line ends as `\n`.
    fn text_of(inline: &Inline) -> String {
        let pieces = inline.pieces.iter().map(|piece| match piece {
            Piece::Text(text) | Piece::Code(text) => text.clone(),
            Piece::Break => "\n".to_owned(),
            Piece::Emphasis(inner) | Piece::Strong(inner) | Piece::Sub(inner) | Piece::Super(inner) => text_of(inner),
            Piece::Maths(formula) => formula.written.clone(),
        });
        pieces.collect()
    }

    fn without_marks(text: &str) -> String {
        text.replace("\r\n", "\n")
            .replace(['\r', '\u{85}', '\u{2028}', '\u{2029}'], "\n")
            .replace(MARKS, "")
            .replace('\\', "")
    }

    fn is_tidy(inline: &Inline) -> bool {
        let text = |piece: &Piece| matches!(piece, Piece::Text(_));
        let joined = inline.pieces.windows(2).all(|pair| !(text(&pair[0]) && text(&pair[1])));
        joined
            && inline.pieces.iter().all(|piece| match piece {
                Piece::Text(text) => !text.is_empty(),
                Piece::Emphasis(inner) | Piece::Strong(inner) | Piece::Sub(inner) | Piece::Super(inner) => {
                    is_tidy(inner)
                }
                _ => true,
            })
    }

    #[test]
    fn nesting_and_time_are_bounded() {
        for part in ["*a ", "*a", "a*", "**", "***a", "~a", "a~^", "^", "`", "$", "$a ", "\\", "\\$", "*a ***b c"] {
            let text = part.repeat(20_000);
            let read = parse(&text);
            assert!(depth(&read) <= MAX_DEPTH, "{part}");
            assert_eq!(without_marks(&text_of(&read)), without_marks(&text), "{part}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn nothing_but_marks_is_lost(text in "(\\PC|[*~^$`\\\\ \n\r]|[*~^$`\\\\a1]){0,60}") {
            let read = parse(&text);
            prop_assert_eq!(without_marks(&text_of(&read)), without_marks(&text));
            prop_assert!(depth(&read) <= MAX_DEPTH);
            prop_assert!(is_tidy(&read), "{:?}", read);
        }

        #[test]
        fn text_without_marks_is_itself(text in "[^*~^$`\\\\\r\n\u{85}\u{2028}\u{2029}]{1,60}") {
            prop_assert_eq!(parse(&text).pieces, vec![Piece::Text(text)]);
        }
    }
}
