//! Slips that YAML accepts in silence: text lost to a comment, to a name or type mark, or drawn
//! into the line before; a field written twice; a second document.

use super::super::parse::{CommentMark, Tree};
use super::super::{Entry, Node, Shape, Style};
use super::Problem;
use crate::deck::fields;
use crate::deck::write::double_quoted;
use crate::place::Span;

/// All of them in a text that was read as `tree`.
pub fn problems(text: &str, tree: &Tree) -> Vec<Problem> {
    let mut found = Vec::new();
    if let Some(root) = &tree.root {
        let aliased = text.contains('*');
        let walk = Walk { text, comments: &tree.comments, aliased };
        walk.node(root, None, &mut found);
    }
    found.extend(tree.unknown_aliases.iter().map(|&span| unknown_alias(text, span)));
    found.extend(tree.second_document.map(|span| second_document(text, span)));
    found.sort_by_key(|problem| problem.span);
    found
}

/// The places of all texts in quotes that go on over several lines, in order.
pub fn quoted_over_lines(text: &str, tree: &Tree) -> Vec<Span> {
    let mut found = Vec::new();
    let mut open: Vec<&Node> = tree.root.iter().collect();
    while let Some(node) = open.pop() {
        match &node.shape {
            Shape::Text(_) => {
                let quoted = matches!(node.style, Style::SingleQuoted | Style::DoubleQuoted);
                found.extend(Some(node.span).filter(|span| quoted && span.of(text).contains('\n')));
            }
            Shape::List(items) => open.extend(items),
            Shape::Map(entries) => open.extend(entries.iter().flat_map(|entry| [&entry.key, &entry.value])),
        }
    }
    found.sort();
    found
}

struct Walk<'a> {
    text: &'a str,
    comments: &'a [CommentMark],
    aliased: bool,
}

impl Walk<'_> {
    fn node(&self, node: &Node, field: Option<&str>, found: &mut Vec<Problem>) {
        if node.alias {
            return;
        }
        match &node.shape {
            Shape::Text(_) => self.text(node, field, found),
            Shape::List(items) => items.iter().for_each(|item| self.node(item, field, found)),
            Shape::Map(entries) => {
                for (at, entry) in entries.iter().enumerate() {
                    found.extend(self.twice(entry, &entries[..at]));
                    let name = entry.key.text();
                    self.node(&entry.value, name.or(field), found);
                }
            }
        }
    }

    fn text(&self, node: &Node, field: Option<&str>, found: &mut Vec<Problem>) {
        if !field.is_some_and(fields::holds_text) {
            return;
        }
        found.extend(self.swallowed_by_comment(node));
        found.extend(self.swallowed_by_mark(node));
        found.extend(self.drawn_in(node));
    }

    /// `text # more`: the part behind ` #` is no text.
    fn swallowed_by_comment(&self, node: &Node) -> Option<Problem> {
        if node.style != Style::Plain {
            return None;
        }
        let next = self.comments.partition_point(|comment| comment.span.start() < node.span.end());
        let comment = self.comments.get(next).filter(|comment| comment.trailing)?;
        let between = self.text.get(node.span.end()..comment.span.start())?;
        if !between.trim_matches([' ', '\t', ':']).is_empty() || between.contains('\n') {
            return None;
        }
        let line_end = self.text[comment.span.start()..]
            .find(['\n', '\r'])
            .map_or(self.text.len(), |at| comment.span.start() + at);
        let start = if node.span.start() == node.span.end() { comment.span.start() } else { node.span.start() };
        let whole = Span::new(start, line_end);
        let quoted = double_quoted(&fold(whole.of(self.text)));
        Some(Problem {
            rule: "swallowed-text",
            span: Span::new(comment.span.start(), line_end),
            message: format!(
                "`{}` is left out: text behind ` #` is a remark and does not reach the card",
                comment_text(self.text, comment)
            ),
            help: format!(
                "if it belongs to the text, put the whole in quotes: `{quoted}`; if it is a remark, give it a line of its own"
            ),
            repair: None,
        })
    }

    /// `!important` and an unused `&name` are taken for marks and left out.
    fn swallowed_by_mark(&self, node: &Node) -> Option<Problem> {
        let mark = match (node.tag, node.anchor) {
            (Some(_), _) => self.mark_before(node, '!'),
            (None, Some(anchor)) if !self.aliased => Some(anchor),
            _ => None,
        }?;
        let whole = Span::new(mark.start(), node.span.end().max(mark.end())).of(self.text);
        let first = whole.chars().next().unwrap_or_default();
        Some(Problem {
            rule: "unreadable",
            span: mark,
            message: format!(
                "the text starts with `{first}`, which has another meaning here: `{}` is left out",
                mark.of(self.text)
            ),
            help: format!("put the text in quotes: `{}`", self.line_with(mark, whole)),
            repair: Some((Span::new(mark.start(), mark.start() + whole.len()), double_quoted(&fold(whole)))),
        })
    }

    fn mark_before(&self, node: &Node, mark: char) -> Option<Span> {
        let line = self.text[..node.span.start()].rfind('\n').map_or(0, |at| at + 1);
        let start = line + self.text[line..node.span.start()].find(mark)?;
        let end = self.text[start..].find([' ', '\n', '\r']).map_or(self.text.len(), |at| start + at);
        Some(Span::new(start, end))
    }

    fn line_with(&self, mark: Span, whole: &str) -> String {
        let line = self.text[..mark.start()].rfind('\n').map_or(0, |at| at + 1);
        format!("{}{}", self.text[line..mark.start()].trim_start(), double_quoted(&fold(whole)))
    }

    /// A dash that stands too far right becomes part of the line before.
    fn drawn_in(&self, node: &Node) -> Option<Problem> {
        if node.style != Style::Plain {
            return None;
        }
        let written = node.span.of(self.text);
        let mut at = node.span.start();
        for line in written.split_inclusive('\n') {
            let entry = line.trim();
            if at > node.span.start() && entry.starts_with("- ") {
                let start = at + line.len() - line.trim_start().len();
                return Some(Problem {
                    rule: "unreadable",
                    span: Span::new(start, start + entry.len()),
                    message: "a dash stands out of line and is taken for a part of the line before".to_owned(),
                    help: format!("move it under the dash before it: `{entry}`"),
                    repair: None,
                });
            }
            at += line.len();
        }
        None
    }

    fn twice(&self, entry: &Entry, before: &[Entry]) -> Option<Problem> {
        let name = entry.key.text()?;
        let first = before.iter().find(|other| other.key.text() == Some(name))?;
        let line = self.text[..first.key.span.start()].matches('\n').count() + 1;
        let (message, help) = if name == "id" {
            let line_end = self.text[entry.key.span.start()..]
                .find(['\n', '\r'])
                .map_or(self.text.len(), |at| entry.key.span.start() + at);
            let typed = Span::new(entry.key.span.start(), line_end).of(self.text);
            (
                format!("a second card starts here without a dash; the one before starts in line {line}"),
                format!("start the card with a dash in the column of the others: `- {typed}`"),
            )
        } else {
            (
                format!("`{name}` is written twice; it stands in line {line} already"),
                format!("keep one of the two `{name}:` lines; if a new card starts here, start it with `- id:`"),
            )
        };
        Some(Problem { rule: "unreadable", span: entry.key.span, message, help, repair: None })
    }
}

fn comment_text<'a>(text: &'a str, comment: &CommentMark) -> &'a str {
    comment.span.of(text).trim_end()
}

fn fold(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn unknown_alias(text: &str, span: Span) -> Problem {
    let line_end = text[span.start()..].find(['\n', '\r']).map_or(text.len(), |at| span.start() + at);
    let line_start = text[..span.start()].rfind('\n').map_or(0, |at| at + 1);
    let whole = Span::new(span.start(), line_end);
    let quoted = double_quoted(whole.of(text).trim_end());
    Problem {
        rule: "unreadable",
        span,
        message: "the text starts with `*`, which has another meaning here".to_owned(),
        help: format!("put the text in quotes: `{}{quoted}`", text[line_start..span.start()].trim_start()),
        repair: Some((whole, quoted)),
    }
}

fn second_document(text: &str, span: Span) -> Problem {
    Problem {
        rule: "unreadable",
        span,
        message: format!("a line `{}` starts a second file within the file; what follows is left out", span.of(text)),
        help: "take the line out".to_owned(),
        repair: None,
    }
}
