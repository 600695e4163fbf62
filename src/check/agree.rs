//! Whether two answers are the same.

use std::collections::BTreeSet;

use crate::deck::Question;
use crate::text::{normal, plain};

/// What counts as the right answer to a question, for holding it against another.
#[derive(Clone, Debug)]
pub struct Right {
    /// The answer and the other wordings that count.
    wordings: BTreeSet<String>,
    /// The points of the answer, sorted.
    points: Vec<String>,
    /// The points as they are asked for, when their order counts.
    in_order: Option<Vec<String>>,
    /// Whether the answer is a list.
    listed: bool,
    /// The words of the whole answer without the ones that join a list, sorted.
    words: Vec<String>,
}

impl Right {
    /// What counts as right for `question`.
    pub fn of(question: &Question) -> Self {
        let answer = question.answer.text();
        let accepted = question.accept.iter().map(|text| text.value.as_str());
        let mut points: Vec<_> = question.answer.points.iter().map(|point| form(point)).collect();
        let in_order = question.answer.ordered.then(|| points.clone());
        points.sort_unstable();
        let mut words: Vec<_> = form(&answer).split(' ').filter(|word| *word != "and").map(str::to_owned).collect();
        words.sort_unstable();
        let wordings = std::iter::once(answer.as_str()).chain(accepted).map(form).collect();
        Self { wordings, points, in_order, listed: question.answer.listed, words }
    }

    /// Whether what counts as right for the one counts for the other too.
    ///
    /// Wording that does not count: what [`normal`] takes off, the order of points unless it is asked
    /// for on both, and whether the points stand in a list or in a sentence. A wording that one of
    /// them accepts is one of its answers.
    pub fn agrees(&self, other: &Right) -> bool {
        self.same_points(other) || !self.wordings.is_disjoint(&other.wordings)
    }

    fn same_points(&self, other: &Right) -> bool {
        if self.listed != other.listed {
            return self.words == other.words;
        }
        match (&self.in_order, &other.in_order) {
            (Some(one), Some(other)) => one == other,
            _ => self.points == other.points,
        }
    }
}

/// The normal form, or the very text when nothing of it is left in the normal form.
fn form(text: &str) -> String {
    Some(normal(text)).filter(|form| !form.is_empty()).unwrap_or_else(|| plain(text))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::deck::read_deck;
    use crate::place::SourceFile;
    use std::sync::Arc;

    fn right(answer: &str) -> Right {
        let text = format!("cards: [{{id: a, question: q, {answer}}}]\n");
        let deck = read_deck("a", Arc::new(SourceFile::new("a", text.as_str())));
        Right::of(deck.cards[0].own())
    }

    #[test]
    fn answers_are_the_same_in_other_wording() {
        for (one, other) in [
            ("answer: A thermometer", "answer: thermometer."),
            ("answer: ten years", "answer: 10 years"),
            ("answer: Anticlockwise, accept: [counter-clockwise]", "answer: Counter-clockwise"),
            ("answer: [chalk, flint]", "answer: [Flint, Chalk]"),
            ("answer: [chalk, flint]", "answer: [flint, chalk], ordered: true"),
            ("answer: [chalk, flint]", "answer: Flint and chalk"),
            ("answer: '→'", "answer: ' → '"),
        ] {
            let (one, other) = (right(one), right(other));
            assert!(one.agrees(&other) && other.agrees(&one), "{one:?} {other:?}");
        }
    }

    #[test]
    fn other_answers_are_not_the_same() {
        for (one, other) in [
            ("answer: 34 knots", "answer: 32 knots"),
            ("answer: [chalk, flint]", "answer: [chalk]"),
            ("answer: [one, two], ordered: true", "answer: [two, one], ordered: true"),
            ("answer: '…'", "answer: '?'"),
            ("answer: A, accept: [B]", "answer: C, accept: [D]"),
        ] {
            let (one, other) = (right(one), right(other));
            assert!(!one.agrees(&other) && !other.agrees(&one), "{one:?} {other:?}");
        }
    }
}
