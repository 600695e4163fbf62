//! Whatever is said supports itself; evidence lies in the texts that it is about.

use deckle::source::{Statement, Weights, asks_the_same, says_the_same, supports};
use deckle::text::plain;

use super::parts::texts;

/// Judges an input of a passage, an answer and a question.
///
/// # Panics
///
/// When the law is broken.
pub fn holds(bytes: &[u8]) {
    let [passage, answer, question] = texts(bytes);
    for text in [&passage, &answer, &question] {
        let evidence = supports(&Statement::of(text), text, &Weights::even());
        assert!(evidence.holds(), "{text:?} does not support itself: {evidence:?}");
        assert!(asks_the_same(text, text), "{text:?}");
        // A text without any fact says nothing, and so not the same as any other.
        assert!(says_the_same(text, text) || evidence.found.is_empty(), "{text:?}");
    }
    let points = || answer.split('\n').map(str::to_owned).collect::<Vec<_>>();
    for ordered in [false, true] {
        let statement = Statement { question: question.clone(), points: points(), ordered, accept: Vec::new() };
        evidence_lies_in(&statement, &passage);
    }
    let accept = Statement { question: question.clone(), accept: points(), ..Statement::of(&question) };
    evidence_lies_in(&accept, &passage);
}

fn evidence_lies_in(statement: &Statement, passage: &str) {
    let evidence = supports(statement, passage, &Weights::even());
    assert!((0.0..=1.0).contains(&evidence.strength), "{evidence:?}");
    let passage = plain(passage);
    let found = evidence.found.iter().map(|(_, at)| at);
    let contradicted = evidence.contradicted.iter().filter_map(|difference| difference.notes_at.as_ref());
    for at in found.chain(contradicted) {
        assert!(passage.get(at.clone()).is_some(), "{at:?} in {passage:?}: {evidence:?}");
    }
}
