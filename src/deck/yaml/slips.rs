//! Reading in spite of mistakes: the commonest slips in hand-written YAML are named in plain words,
//! mended in memory, and reading goes on behind them.
//!
//! A line that cannot be mended costs its card only; everything else is still read. Mending keeps
//! the number of lines, so that places can be given in the text as it was written.

mod detect;
mod lines;
mod quiet;
mod reason;

use std::sync::Arc;

use lines::{LineMap, Lines};

use super::parse::{ParseError, Tree, parse, parse_whole};
use crate::place::Span;
use crate::slice::Whole;
use detect::Slip;

/// How many slips are mended in one file before reading gives up on the rest.
const MAX_SLIPS: usize = 60;

/// How many bytes of mended text are read again in one file: a large file with many slips is not worth
/// minutes, and one that was made to waste time is not worth seconds.
const MAX_WORK: usize = 48 * 1024 * 1024;

/// How much may still be read again.
struct Budget(usize);

impl Budget {
    /// Takes one more reading of `text`; whether it can be afforded.
    fn affords(&mut self, text: &str) -> bool {
        let left = self.0.checked_sub(text.len().max(1024));
        self.0 = left.unwrap_or(0);
        left.is_some()
    }
}

/// A mistake found while reading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// `unreadable` or `swallowed-text`.
    pub rule: &'static str,
    /// Where.
    pub span: Span,
    /// What is wrong.
    pub message: String,
    /// What to write instead.
    pub help: String,
    /// What to put in place of which bytes, when that mends it.
    pub repair: Option<(Span, String)>,
}

/// What could be read of a text, and every mistake in it.
#[derive(Debug, Default)]
pub struct Reading {
    /// The value and the comments, with places in the text as written.
    pub tree: Tree,
    /// The mistakes.
    pub problems: Vec<Problem>,
    /// The parts that could not be read at all.
    pub lost: Vec<Span>,
}

/// Reads `text` as far as it can be read.
pub fn read(text: impl Into<Arc<str>>) -> Reading {
    let whole = Whole::new(text);
    let text: &str = &whole;
    let mut reading = match parse_whole(&whole) {
        Ok(tree) if quiet::quoted_over_lines(text, &tree).is_empty() => Reading { tree, ..Reading::default() },
        outcome => mend(text, outcome),
    };
    reading.problems.extend(quiet::problems(text, &reading.tree));
    reading
}

fn mend(text: &str, mut outcome: Result<Tree, ParseError>) -> Reading {
    let mut lines = Lines::new(text);
    let mut reading = Reading::default();
    let mut budget = Budget(MAX_WORK);
    for _ in 0..MAX_SLIPS {
        let slip = match &outcome {
            Ok(tree) => swallowing(&lines, tree, &mut budget),
            Err(error) => likeliest(&lines, error, &mut budget),
        };
        outcome = match (slip, outcome) {
            (Some((slip, mended)), _) => {
                reading.problems.push(slip.problem(&lines));
                lines.replace(slip.line, slip.mended);
                mended
            }
            (None, Err(error)) => {
                let (problem, lost) = give_up(&mut lines, &error);
                reading.problems.push(problem);
                reading.lost.push(lost);
                let rest = lines.text();
                if !budget.affords(&rest) {
                    outcome = Err(error);
                    break;
                }
                parse(&rest)
            }
            (None, Ok(tree)) => {
                outcome = Ok(tree);
                break;
            }
        };
    }
    match outcome {
        Ok(tree) => reading.tree = LineMap::new(&lines).back(tree),
        Err(error) => {
            reading.problems.push(unread(&lines, &error));
            reading.lost.push(lines.span(0..lines.len()));
        }
    }
    reading
}

/// Said when there is so much to mend that nothing of the file was read in the end.
fn unread(lines: &Lines<'_>, error: &ParseError) -> Problem {
    let line = lines.line_of(error.at());
    Problem {
        rule: "unreadable",
        span: lines.span(line..line + 1),
        message: "there is so much in this file that cannot be read that reading was given up".to_owned(),
        help: "put right what is said about the lines above, and check again".to_owned(),
        repair: None,
    }
}

/// A quotation mark that was never closed and takes in fields and cards up to the next one, which YAML
/// accepts in silence; told by what closing it leaves to be read.
fn swallowing(lines: &Lines<'_>, tree: &Tree, budget: &mut Budget) -> Option<(Slip, Result<Tree, ParseError>)> {
    quiet::quoted_over_lines(&lines.text(), tree).into_iter().find_map(|span| {
        let (first, last) = (lines.line_of(span.start()), lines.line_of(span.end()));
        let slip = detect::takes_in_fields(lines, first, last)?;
        let mended = lines.with(slip.line, &slip.mended);
        let outcome = budget.affords(&mended).then(|| parse(&mended))?;
        (reached(lines, &slip, &outcome) > last).then_some((slip, outcome))
    })
}

/// The first slip whose mending lets reading get past the card, else the one that gets it furthest.
fn likeliest(lines: &Lines<'_>, error: &ParseError, budget: &mut Budget) -> Option<(Slip, Result<Tree, ParseError>)> {
    let mut furthest = lines.line_of(error.at());
    let card_end = lines.item_around(furthest).end;
    let mut best = None;
    for slip in detect::slips(lines, error) {
        let mended = lines.with(slip.line, &slip.mended);
        if !budget.affords(&mended) {
            break;
        }
        let outcome = parse(&mended);
        let reached = reached(lines, &slip, &outcome);
        if reached >= card_end {
            return Some((slip, outcome));
        }
        if reached > furthest {
            furthest = reached;
            best = Some((slip, outcome));
        }
    }
    best
}

/// The line at which reading stops once the slip is mended; `usize::MAX` when it does not.
fn reached(lines: &Lines<'_>, slip: &Slip, outcome: &Result<Tree, ParseError>) -> usize {
    match outcome {
        Ok(_) => usize::MAX,
        Err(after) => {
            let moved = slip.mended.len() as isize - lines.get(slip.line).len() as isize;
            lines.line_of(after.at().saturating_add_signed(-moved))
        }
    }
}

/// The marks that git leaves around a conflict; both sides are taken out, since nobody has chosen.
fn conflict(lines: &mut Lines<'_>) -> Option<(Problem, Span)> {
    let starts = |mark: &str| (0..lines.len()).find(|&line| lines.get(line).starts_with(mark));
    let (first, last) = (starts("<<<<<<< ")?, starts(">>>>>>> ")?);
    if last < first {
        return None;
    }
    let (span, lost) = (lines.span(first..first + 1), lines.span(first..last + 1));
    (first..=last).for_each(|line| lines.blank(line));
    let problem = Problem {
        rule: "unreadable",
        span,
        message: "git left two people's versions here, line by line".to_owned(),
        help: "run `deckle hooks`, then `git checkout --merge` with this file, then `deckle settle`; or keep one version and take \
               the lines with <<<<<<<, ======= and >>>>>>> out"
            .to_owned(),
        repair: None,
    };
    Some((problem, lost))
}

/// Takes the card that holds the mistake out of the text, so that the rest can be read.
fn give_up(lines: &mut Lines<'_>, error: &ParseError) -> (Problem, Span) {
    if let Some(found) = conflict(lines) {
        return found;
    }
    let at = lines.line_of(error.at());
    let range = lines.item_around(at);
    let lost = lines.span(range.clone());
    let place = lines.span(at..at + 1);
    for line in range {
        lines.blank(line);
    }
    let (message, help) = match error {
        ParseError::TooLarge(_) => (
            "this goes deeper or repeats more than any card needs".to_owned(),
            "write each value out, without `&` and `*`".to_owned(),
        ),
        ParseError::Broken(_, error) => (
            format!("this card cannot be read from here on ({})", reason::plain_reason(error)),
            "compare it with a card that works: `- id:` first, then each field on a line of its own, in one \
             column, followed by a colon and a space; put text with unusual signs in quotes"
                .to_owned(),
        ),
    };
    (Problem { rule: "unreadable", span: place, message, help, repair: None }, lost)
}

#[cfg(test)]
mod tests {
    use super::super::Node;
    use super::*;

    /// Reads a deck with one slip and expects one problem on `line`, with the mended line in its help.
    #[track_caller]
    fn slip(text: &str, line: usize, mended: &str) -> Reading {
        let reading = read(text);
        let shown: Vec<_> = reading.problems.iter().map(|problem| (&problem.message, &problem.help)).collect();
        assert_eq!(reading.problems.len(), 1, "one problem in {text:?}, found {shown:?}");
        let problem = &reading.problems[0];
        let at = text[..problem.span.start()].matches('\n').count() + 1;
        assert_eq!(at, line, "line of {:?}", problem.message);
        assert!(problem.help.contains(mended), "{:?} should hold {mended:?}", problem.help);
        reading
    }

    fn deck(fields: &str) -> String {
        format!("title: T\nyear: 8\ncards:\n  - id: a\n{fields}  - id: z\n    question: Last?\n    answer: Yes\n")
    }

    fn cards(reading: &Reading) -> Vec<&str> {
        let root = reading.tree.root.as_ref().expect("read");
        let cards = root.get("cards").and_then(Node::list).expect("cards");
        cards.iter().filter_map(|card| card.get("id").and_then(Node::text)).collect()
    }

    #[test]
    fn colon_in_unquoted_text() {
        let text = deck("    question: Erosion: what is it?\n    answer: Wearing away\n");
        let reading = slip(&text, 5, "question: \"Erosion: what is it?\"");
        assert_eq!(cards(&reading), ["a", "z"]);
    }

    #[test]
    fn tab_for_indentation() {
        let text = deck("\tquestion: What?\n    answer: Wearing away\n");
        let reading = slip(&text, 5, "    question: What?");
        assert_eq!(cards(&reading), ["a", "z"]);
    }

    #[test]
    fn tab_behind_spaces_for_indentation() {
        let text = deck("    question: What?\n  \tanswer: Wearing away\n");
        let reading = slip(&text, 6, "    answer: Wearing away");
        assert_eq!(cards(&reading), ["a", "z"]);
    }

    #[test]
    fn unclosed_quote() {
        for text in [
            deck("    question: \"What is it?\n    answer: Wearing away\n"),
            deck("    question: \"What is it?\n    answer: \"Wearing away\"\n"),
            deck("    question: 'What is it?\n    answer: Wearing away\n"),
        ] {
            let reading = slip(&text, 5, "What is it?");
            assert_eq!(cards(&reading), ["a", "z"], "{text}");
        }
    }

    #[test]
    fn a_quote_that_is_closed_by_another_one_cards_later() {
        for quote in ["      - A'\n", "      - 'A'\n"] {
            let text =
                format!("cards:\n  - id: a\n    question: 'What?\n    answer: x\n  - id: z\n    quote:\n{quote}");
            let reading = slip(&text, 3, "question: 'What?'");
            assert_eq!(cards(&reading), ["a", "z"], "{text}");
        }
    }

    #[test]
    fn text_in_quotes_may_go_on_in_the_next_line() {
        for more in ["      answer: that's what\n      - id: it means?\"\n", "goes on?\"\n", "\n      # on?\"\n"] {
            let text = deck(&format!("    question: \"What does\n{more}    answer: x\n"));
            assert_eq!(read(text.as_str()).problems, [], "{text}");
        }
    }

    #[test]
    fn special_first_character() {
        for start in
            ["*bold* move", "& so on", "!", "%5", "@home", "[1] is", "{1} is", "> 5 km", "| x", "- 5", "? x", "`x`"]
        {
            let text = deck(&format!("    question: What?\n    answer: {start}\n"));
            let reading = slip(&text, 6, &format!("answer: \"{start}\""));
            assert_eq!(cards(&reading), ["a", "z"], "{text}");
        }
    }

    #[test]
    fn dash_out_of_line() {
        let text = "title: T\ncards:\n  - id: a\n    question: What?\n    answer: x\n - id: b\n    question: Who?\n    answer: y\n";
        let reading = slip(text, 6, "  - id: b");
        assert_eq!(cards(&reading), ["a", "b"]);
    }

    #[test]
    fn a_list_entry_that_became_part_of_the_one_before() {
        let text = deck("    question: What?\n    answer:\n      - one\n        - two\n");
        slip(&text, 8, "- two");
    }

    #[test]
    fn several_slips_are_all_named() {
        let text = deck("    question: Erosion: what?\n    answer: @home\n    quote: it is: so\n");
        let reading = read(text.as_str());
        assert_eq!(reading.problems.len(), 3, "{:?}", reading.problems);
        assert_eq!(cards(&reading), ["a", "z"]);
    }

    #[test]
    fn what_cannot_be_mended_costs_its_card_only() {
        let text = deck("    question: [}\n    ]: {\n");
        let reading = read(text.as_str());
        assert!(!reading.problems.is_empty());
        assert!(cards(&reading).contains(&"z"), "{reading:?}");
    }

    #[test]
    fn swallowed_text() {
        let text = deck(
            "    question: Which road is the A #1 route?\n    answer: x # as of 2020\n    both_ways: true # fine\n",
        );
        let reading = read(text.as_str());
        let rules: Vec<_> = reading.problems.iter().map(|problem| problem.rule).collect();
        assert_eq!(rules, ["swallowed-text", "swallowed-text"]);
        assert!(reading.problems[0].help.contains("\"Which road is the A #1 route?\""));
    }

    #[test]
    fn places_are_those_of_the_text_as_written() {
        let text = deck("    question: Erosion: what is it?\n    answer: Wearing away\n");
        let reading = read(text.as_str());
        let card = &reading.tree.root.as_ref().expect("read").get("cards").and_then(Node::list).expect("cards")[1];
        assert_eq!(card.get("question").expect("question").span.of(&text), "Last?");
    }

    #[test]
    fn no_text_makes_it_panic() {
        for text in [
            "",
            "\u{feff}",
            "\t",
            "-",
            "- -",
            "a:\n\tb",
            "'",
            "\"",
            "*",
            "&a",
            "cards:\n- \"\n- '\n-\t",
            "%",
            "---\n---",
            "\0",
            "? ",
            "!!x",
            "|",
            "a: |9\n x",
        ] {
            read(text);
        }
    }
}
