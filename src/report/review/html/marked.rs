//! Card text as pupils see it, with the words that differ between two versions of it marked.

use std::ops::Range;

use crate::change::{Run, runs};
use crate::markup::{Inline, Piece, html, parse};

/// What happened to a stretch of text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// It was taken out.
    Out,
    /// It was put in.
    In,
}

/// Both versions, each with what the other does not have marked.
pub fn pair(before: &str, now: &str) -> (String, String) {
    let (before, now) = (parse(before), parse(now));
    let (mut out, mut inside) = (Vec::new(), Vec::new());
    let (mut at_before, mut at_now) = (0, 0);
    for run in runs(&seen(&before), &seen(&now)) {
        match run {
            Run::Kept(text) => {
                at_before += text.len();
                at_now += text.len();
            }
            Run::Removed(text) => {
                out.push(at_before..at_before + text.len());
                at_before += text.len();
            }
            Run::Added(text) => {
                inside.push(at_now..at_now + text.len());
                at_now += text.len();
            }
        }
    }
    (Marker::new(out, Mark::Out).all(&before), Marker::new(inside, Mark::In).all(&now))
}

/// Text that is marked from end to end.
pub fn whole(text: &str, mark: Mark) -> String {
    let inline = parse(text);
    let end = seen(&inline).len();
    Marker::new(std::iter::once(0..end).collect(), mark).all(&inline)
}

/// Text without marks.
pub fn plain(text: &str) -> String {
    html(&parse(text))
}

/// Text that is no card's: shown as typed.
pub fn literal(text: &str) -> String {
    html(&Inline { pieces: vec![Piece::Text(text.to_owned())] })
}

/// Text that is no card's, marked but for the blanks at its ends.
pub fn stretch(text: &str, mark: Mark) -> String {
    let inner = text.trim();
    if inner.is_empty() {
        return literal(text);
    }
    let start = text.len() - text.trim_start().len();
    let (lead, tail) = (&text[..start], &text[start + inner.len()..]);
    format!("{}{}{}", literal(lead), marked(mark, &literal(inner)), literal(tail))
}

/// Runs of words that were compared already, as one text with what was taken out and put in.
pub fn woven(runs: &[Run]) -> String {
    let part = |run: &Run| match run {
        Run::Kept(text) => literal(text),
        Run::Removed(text) => stretch(text, Mark::Out),
        Run::Added(text) => stretch(text, Mark::In),
    };
    runs.iter().map(part).collect()
}

/// What is compared: the text without its markup, a formula as it was written.
fn seen(inline: &Inline) -> String {
    let mut text = String::new();
    add(inline, &mut text);
    text
}

fn add(inline: &Inline, text: &mut String) {
    for piece in &inline.pieces {
        match piece {
            Piece::Text(own) | Piece::Code(own) => text.push_str(own),
            Piece::Break => text.push('\n'),
            Piece::Maths(formula) => text.push_str(&formula.literal()),
            Piece::Emphasis(inner) | Piece::Strong(inner) | Piece::Sub(inner) | Piece::Super(inner) => add(inner, text),
        }
    }
}

/// `html` in its mark, with words for those who do not see it.
fn marked(mark: Mark, html: &str) -> String {
    let (element, said) = match mark {
        Mark::Out => ("del", "taken out"),
        Mark::In => ("ins", "put in"),
    };
    format!("<{element}><span class=\"unseen\">[{said}: </span>{html}<span class=\"unseen\">]</span></{element}>")
}

/// Writes a text with marks over the stretches of what is [`seen`] of it.
struct Marker {
    stretches: Vec<Range<usize>>,
    mark: Mark,
    at: usize,
    out: String,
}

impl Marker {
    fn new(stretches: Vec<Range<usize>>, mark: Mark) -> Self {
        Self { stretches, mark, at: 0, out: String::new() }
    }

    fn all(mut self, inline: &Inline) -> String {
        self.add(inline);
        self.out
    }

    fn add(&mut self, inline: &Inline) {
        for piece in &inline.pieces {
            match piece {
                Piece::Text(text) => self.text(text),
                Piece::Code(text) => {
                    self.out.push_str("<code>");
                    self.text(text);
                    self.out.push_str("</code>");
                }
                Piece::Break => {
                    self.at += 1;
                    self.out.push_str("<br>");
                }
                Piece::Maths(formula) => {
                    let len = formula.literal().len();
                    let whole = html(&Inline { pieces: vec![piece.clone()] });
                    let touched = self.stretches.iter().any(|one| one.start < self.at + len && self.at < one.end);
                    self.out.push_str(&if touched { marked(self.mark, &whole) } else { whole });
                    self.at += len;
                }
                Piece::Emphasis(inner) => self.element("em", inner),
                Piece::Strong(inner) => self.element("strong", inner),
                Piece::Sub(inner) => self.element("sub", inner),
                Piece::Super(inner) => self.element("sup", inner),
            }
        }
    }

    fn element(&mut self, name: &str, inner: &Inline) {
        self.out.push_str(&format!("<{name}>"));
        self.add(inner);
        self.out.push_str(&format!("</{name}>"));
    }

    fn text(&mut self, text: &str) {
        let (start, end) = (self.at, self.at + text.len());
        let mut from = start;
        for one in self.stretches.clone() {
            let (first, last) = (one.start.clamp(from, end), one.end.clamp(from, end));
            if first < last {
                self.out.push_str(&literal(&text[from - start..first - start]));
                let inside = &text[first - start..last - start];
                self.out.push_str(&stretch(inside, self.mark));
                from = last;
            }
        }
        self.out.push_str(&literal(&text[from - start..]));
        self.at = end;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn short(html: &str) -> String {
        html.replace("<span class=\"unseen\">[taken out: </span>", "")
            .replace("<span class=\"unseen\">[put in: </span>", "")
            .replace("<span class=\"unseen\">]</span>", "")
    }

    #[test]
    fn words_are_marked_within_their_markup() {
        let (was, now) = pair("at **34 knots** or *more*", "at **35 knots** or more");
        assert_eq!(short(&was), "at <strong><del>34</del> knots</strong> or <em>more</em>");
        assert_eq!(short(&now), "at <strong><ins>35</ins> knots</strong> or more");
        let (was, now) = pair("*a b* c", "*a x* y");
        assert_eq!(short(&was), "<em>a <del>b</del></em> <del>c</del>");
        assert_eq!(short(&now), "<em>a <ins>x</ins></em> <ins>y</ins>");
        assert_eq!(pair("a", "a").0, "a");
        assert_eq!(short(&whole("new **one**", Mark::In)), "<ins>new</ins> <strong><ins>one</ins></strong>");
    }

    #[test]
    fn a_formula_is_marked_as_a_whole() {
        let (was, now) = pair("$v = 2$ m", "$v = 3$ m");
        assert!(short(&was).starts_with("<del><math") && was.ends_with("</del> m"), "{was}");
        assert!(short(&now).starts_with("<ins><math"), "{now}");
        assert!(!pair("$v$ a", "$v$ b").0.contains("<del><span class=\"unseen\">[taken out: </span><math"));
    }

    #[test]
    fn what_was_typed_is_never_markup_of_the_page() {
        let hostile = "<script>alert(1)</script> & \"q\" </del>";
        for text in [plain(hostile), literal(hostile), whole(hostile, Mark::Out), pair("x", hostile).1] {
            assert!(
                !text.contains("<script") && text.matches("</del>").count() <= text.matches("<del>").count(),
                "{text}"
            );
        }
    }

    proptest! {
        #[test]
        fn without_the_marks_it_is_what_pupils_see(before in "[ab*~^$ \\\\`\n]{0,14}", now in "[ab*~^$ \\\\`\n]{0,14}") {
            let (was, is) = pair(&before, &now);
            let bare = |html: &str| short(html).replace("<del>", "").replace("</del>", "").replace("<ins>", "").replace("</ins>", "");
            prop_assert_eq!(bare(&was), plain(&before));
            prop_assert_eq!(bare(&is), plain(&now));
        }
    }
}
