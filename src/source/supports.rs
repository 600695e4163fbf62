//! Does a passage support a statement? Which of its facts were found, which are missing, and which
//! are contradicted by what.

use super::drift::{Difference, FactKind};
use super::reading::{Bound, Token, read};
use super::weights::Weights;
use crate::text::{Value, plain, words};
use std::ops::Range;

/// What a card says: the points of its answer, in view of its question.
#[derive(Clone, Debug, Default)]
pub struct Statement {
    /// The question, which gives facts that the answer need not repeat.
    pub question: String,
    /// The points of the answer; a plain answer is one point.
    pub points: Vec<String>,
    /// Whether the order of the points counts.
    pub ordered: bool,
    /// Other wordings of the answer.
    pub accept: Vec<String>,
}

impl Statement {
    /// A statement by itself, without a question.
    pub fn of(text: &str) -> Statement {
        Statement { points: vec![text.to_string()], ..Statement::default() }
    }
}

/// What was found of a statement in a passage.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Evidence {
    /// The facts that the passage has, with their place in the passage as read.
    pub found: Vec<(String, Range<usize>)>,
    /// The facts that it does not have.
    pub missing: Vec<(FactKind, String)>,
    /// The facts that it gives otherwise.
    pub contradicted: Vec<Difference>,
    /// The share of the statement's weight that was found, from 0 to 1.
    pub strength: f64,
}

impl Evidence {
    /// Whether the passage supports the statement.
    pub fn holds(&self) -> bool {
        !self.is_grave() && self.strength >= ENOUGH
    }

    /// Whether a quantity, name or negation is missing or another fact contradicted: an error and
    /// not only a matter of wording.
    pub fn is_grave(&self) -> bool {
        !self.contradicted.is_empty() || self.missing.iter().any(|(kind, _)| *kind != FactKind::Term)
    }
}

/// The share of the words' weight that has to be in the passage; the rest is wording.
const ENOUGH: f64 = 0.5;

/// Whether `passage` supports `statement`, with the evidence. More text after a passage never takes
/// support away, unless it stands in the same sentence and denies it.
///
/// ```
/// use deckle::source::{Statement, Weights, supports};
/// let passage = "Force 8, a gale, begins at a mean speed of thirty-four knots.";
/// assert!(supports(&Statement::of("A gale begins at 34 knots"), passage, &Weights::even()).holds());
/// assert!(!supports(&Statement::of("A gale begins at 32 knots"), passage, &Weights::even()).holds());
/// ```
pub fn supports(statement: &Statement, passage: &str, weights: &Weights) -> Evidence {
    let passage = plain(passage);
    let tokens = read(&passage, weights);
    let asks = read(&plain(&statement.question), weights);
    let denied = denies(&statement.question, &asks);
    let judged = |points: &[String]| evidence(points, statement.ordered, (&asks, denied), &passage, &tokens, weights);
    let answer = judged(&statement.points);
    if answer.holds() || !answer.contradicted.is_empty() {
        return answer;
    }
    // Another wording that counts as right may be the one that stands there.
    let others = statement.accept.iter().map(|other| judged(std::slice::from_ref(other)));
    others.into_iter().find(Evidence::holds).unwrap_or(answer)
}

/// Whether a question denies already: `What can plants not live without?`, `What does clay not let through?`,
/// `What do Muslims fast from?`.
fn denies(question: &str, asks: &[Token]) -> bool {
    let denies = |token: &Token| matches!(token.stem.as_str(), "fast" | "abstain" | "avoid" | "lack" | "refrain");
    let not = |word: &str| matches!(word, "not" | "never" | "cannot") || word.ends_with("n't") || word.ends_with("n’t");
    asks.iter().any(|token| token.negated || denies(token)) || words(question).any(|word| not(&word.to_lowercase()))
}

fn evidence(
    points: &[String],
    ordered: bool,
    (asks, denied): (&[Token], bool),
    passage: &str,
    tokens: &[Token],
    weights: &Weights,
) -> Evidence {
    let mut out = Evidence::default();
    let (mut all, mut had) = (0.0, 0.0);
    let mut places = Vec::new();
    for point in points {
        let text = plain(point);
        let mine = read(&text, weights);
        let mut open: Option<Range<usize>> = None;
        for token in &mine {
            let words = text[token.span.clone()].to_string();
            let given = asks.iter().any(|asked| asked.is_said_by(token));
            match finding(token, &mine, tokens, denied) {
                Finding::Found(at) => {
                    out.found.push((words, tokens[at].span.clone()));
                    had += token.weight;
                    all += token.weight;
                }
                _ if given => {}
                Finding::Other(kind, at) => {
                    all += token.weight;
                    out.contradicted.push(Difference {
                        kind,
                        card: words,
                        notes: Some(passage[tokens[at].span.clone()].to_string()),
                        card_at: token.span.clone(),
                        notes_at: Some(tokens[at].span.clone()),
                        answers: true,
                        certain: true,
                    });
                }
                Finding::Missing(kind) => {
                    all += token.weight;
                    match open.take().filter(|open: &Range<usize>| is_range(&text, open, token)) {
                        // `10 to 20 km` is one fact, and is named as one.
                        Some(first) => {
                            out.missing.pop();
                            out.missing.push((kind, text[first.start..token.span.end].to_string()));
                        }
                        None => out.missing.push((kind, words)),
                    }
                    open = Some(token.span.clone());
                }
            }
        }
        places.push(all_places(&mine, tokens));
    }
    out.strength = if all > 0.0 { had / all } else { 1.0 };
    if ordered && let Some(at) = out_of_order(&places) {
        let span = tokens.get(places[at][0]).map(|token| token.span.clone());
        out.contradicted.push(Difference {
            kind: FactKind::Order,
            card: plain(&points[at]),
            notes: span.clone().map(|span| passage[span].to_string()),
            card_at: 0..0,
            notes_at: span,
            answers: true,
            certain: true,
        });
    }
    out
}

enum Finding {
    Found(usize),
    Other(FactKind, usize),
    Missing(FactKind),
}

fn finding(token: &Token, mine: &[Token], tokens: &[Token], denied: bool) -> Finding {
    let said = || (0..tokens.len()).filter(|at| token.is_said_by(&tokens[*at]));
    let agrees = |at: &usize| tokens[*at].negated == token.negated || denied;
    let bounded = |at: &usize| token.bound() == Bound::Is || tokens[*at].bound() == token.bound();
    if let Some(at) = said().find(|at| agrees(at) && bounded(at)) {
        return Finding::Found(at);
    }
    if let Some([at, _]) = token.dated_in_parts(tokens) {
        return Finding::Found(at);
    }
    let opposite = || (0..tokens.len()).filter(|at| token.opposes(&tokens[*at]));
    if let Some(at) = opposite().find(|at| tokens[*at].negated != token.negated) {
        return Finding::Found(at);
    }
    if let Some(at) = said().find(agrees) {
        return Finding::Other(FactKind::Comparison, at);
    }
    if let Some(at) = said().next() {
        return Finding::Other(FactKind::Negation, at);
    }
    let unsaid = |at: &usize| !mine.iter().any(|other| other.is_said_by(&tokens[*at]));
    if let Some(at) = opposite().find(unsaid) {
        return Finding::Other(FactKind::Opposite, at);
    }
    let Some(value) = token.value() else {
        return Finding::Missing(if token.is_name() { FactKind::Name } else { FactKind::Term });
    };
    let kind = if matches!(value, Value::Date(_)) { FactKind::Date } else { FactKind::Number };
    let same_kind = |at: &usize| tokens[*at].value().is_some_and(|other| value.same_kind(other));
    match (0..tokens.len()).filter(same_kind).find(unsaid) {
        Some(at) => Finding::Other(kind, at),
        None => Finding::Missing(kind),
    }
}

/// Whether a value goes on a range that begins at `first`: `10 to 20 km`, `10-20 km`.
fn is_range(text: &str, first: &Range<usize>, token: &Token) -> bool {
    token.value().is_some() && matches!(text[first.end..token.span.start].trim(), "to" | "-")
}

/// Where the weightiest word of a point stands, at all its places.
fn all_places(point: &[Token], tokens: &[Token]) -> Vec<usize> {
    let said = |token: &&Token| tokens.iter().any(|other| token.is_said_by(other));
    let heaviest = point.iter().filter(said).max_by(|one, other| one.weight.total_cmp(&other.weight));
    let Some(heaviest) = heaviest else { return Vec::new() };
    (0..tokens.len()).filter(|at| heaviest.is_said_by(&tokens[*at])).collect()
}

/// The first point that cannot come after the ones before it.
fn out_of_order(places: &[Vec<usize>]) -> Option<usize> {
    let mut last = 0;
    for (point, places) in places.iter().enumerate().filter(|(_, places)| !places.is_empty()) {
        match places.iter().find(|place| **place >= last) {
            Some(place) => last = *place,
            None => return Some(point),
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn card(question: &str, answer: &str) -> Statement {
        Statement { question: question.into(), ..Statement::of(answer) }
    }

    #[track_caller]
    fn holds(question: &str, answer: &str, passage: &str) {
        let evidence = supports(&card(question, answer), passage, &Weights::even());
        assert!(evidence.holds(), "{answer}: {evidence:?}");
    }

    #[track_caller]
    fn fails(question: &str, answer: &str, passage: &str) -> Evidence {
        let evidence = supports(&card(question, answer), passage, &Weights::even());
        assert!(evidence.is_grave(), "{answer}: {evidence:?}");
        evidence
    }

    #[test]
    fn what_is_asked_for_with_a_denial_may_be_denied_in_the_quote() {
        for question in
            ["What does clay not let through?", "What doesn't clay let through?", "What can clay never let in?"]
        {
            holds(question, "Water", "Clay does not let water through.");
        }
        fails("What does clay let through?", "Water", "Clay does not let water through.");
    }

    #[test]
    fn wording_is_not_fact() {
        holds(
            "What is an isobar?",
            "A line on a weather map that joins places with the same air pressure.",
            "An isobar is a line on a weather map joining places of equal air pressure.",
        );
        holds("", "1500 m", "It is 1.5 km long.");
        holds("", "fourteen rivers", "There are 14 rivers.");
        holds("Is it permeable?", "It is not permeable", "Clay is impermeable.");
        holds("What can plants not live without?", "light", "Plants cannot live without light.");
        holds("What do plants need?", "light", "Plants cannot live without light.");
        holds("", "colour of the neighbouring centre", "The color of the neighboring center");
        holds("", "34 knots", "at least 34 knots");
    }

    /// It was too large to be converted into its own unit.
    #[test]
    fn an_amount_of_any_size_is_itself() {
        holds("", "$1e80", "It costs $1e80.");
        fails("", "$1e80", "It costs $1e81.");
    }

    #[test]
    fn facts_are_facts() {
        assert_eq!(fails("", "43 knots", "It begins at 34 knots.").contradicted[0].notes.as_deref(), Some("34 knots"));
        fails("", "34 km/h", "It begins at 34 knots.");
        fails("", "more than 34 knots", "less than 34 knots");
        fails("", "It rises", "The warm air falls.");
        fails("", "anemometer", "It is not measured with an anemometer.");
        fails("Which river?", "the Severn", "The longest river is the Thames.");
        fails("When?", "25 November 2026", "It was on 24 November 2026.");
    }

    #[test]
    fn a_date_may_stand_in_parts() {
        holds("When?", "31 January 1953", "In 1953 the sea came in on 31 January.");
        fails("When?", "31 January 1953", "In 1954 the sea came in on 31 January.");
        fails("When?", "31 January 1953", "In 1953 the sea came in on 1 February.");
    }

    #[test]
    fn an_ordered_answer_keeps_its_order() {
        let statement = |points: [&str; 3]| Statement {
            points: points.map(String::from).to_vec(),
            ordered: true,
            ..Statement::default()
        };
        let passage = "Water evaporates, then condenses and at last falls as rain.";
        assert!(supports(&statement(["evaporates", "condenses", "rain"]), passage, &Weights::even()).holds());
        let wrong = supports(&statement(["condenses", "evaporates", "rain"]), passage, &Weights::even());
        assert_eq!(wrong.contradicted[0].kind, FactKind::Order);
    }

    #[test]
    fn a_range_that_is_missing_is_named_as_one() {
        let missing = |answer: &str| fails("", answer, "It moves slowly.").missing[0].1.clone();
        assert_eq!(missing("10 to 20 metres in a year"), "10 to 20 metres");
        assert_eq!(missing("10–20 metres"), "10-20 metres");
    }

    #[test]
    fn an_accepted_wording_may_be_the_one_that_stands_there() {
        let mut statement = card("Which gas?", "CO2");
        let passage = "Plants take in carbon dioxide.";
        assert!(!supports(&statement, passage, &Weights::even()).holds());
        statement.accept.push("carbon dioxide".into());
        assert!(supports(&statement, passage, &Weights::even()).holds());
    }

    fn prose() -> impl Strategy<Value = String> {
        let word = prop::sample::select(vec![
            "the",
            "river",
            "not",
            "34 knots",
            "more than 5 km",
            "Severn",
            "rises",
            "falls",
            "never",
            "half",
            "and",
            ",",
            "1.5 km",
            "25 November 2026",
            "without",
            "in 1066",
            "is",
            "no",
            "longest",
            "$x^2$",
            "3/4",
            "(",
            "North",
            "before",
            ".",
            "—",
        ]);
        prop::collection::vec(word, 1..12).prop_map(|words| words.join(" "))
    }

    proptest! {
        #[test]
        fn a_statement_supports_itself(text in prose()) {
            prop_assert!(supports(&Statement::of(&text), &text, &Weights::even()).holds(), "{}", text);
        }

        #[test]
        fn anything_supports_itself(text in "\\PC{0,40}") {
            prop_assert!(supports(&Statement::of(&text), &text, &Weights::even()).holds(), "{}", text);
        }

        #[test]
        fn more_text_takes_no_support_away(text in prose(), passage in prose(), more in prose()) {
            let statement = Statement::of(&text);
            let whole = format!("{passage}. {passage}");
            // What is missing already could be denied by the addition.
            let evidence = supports(&statement, &whole, &Weights::even());
            if evidence.holds() && evidence.missing.is_empty() {
                let longer = format!("{whole}. The {more}");
                prop_assert!(supports(&statement, &longer, &Weights::even()).holds(), "{} in {}", text, longer);
            }
        }
    }
}
