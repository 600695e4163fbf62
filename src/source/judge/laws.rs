//! Properties of judging that hold for any notes.

use super::*;
use crate::notes::Notes;
use proptest::prelude::*;

const QUOTE: &str = "Force 8, a gale, begins at a mean speed of 34 knots.";

fn states(notes: &str) -> Vec<(State, Vec<Difference>)> {
    let library = Library::new([("w.md".to_string(), Notes::read(notes))]);
    let card = Cited {
        file: Some("w.md"),
        anchor: Some("wind"),
        quotes: vec![QUOTE],
        asked: vec![Asked {
            question: "At what speed does a gale begin?",
            points: vec!["34 knots"],
            ..Asked::default()
        }],
    };
    judge(&card, &library).into_iter().map(|judgement| (judgement.state, judgement.differences)).collect()
}

/// What may become of the sentence in the notes.
fn sentence() -> impl Strategy<Value = &'static str> {
    prop::sample::select(vec![
        QUOTE,
        "Force 8, a gale, begins at a mean speed of 32 knots.",
        "A gale, force 8, starts at a mean speed of thirty-four knots.",
        "Force 8, a gale, never begins at a mean speed of 34 knots.",
        "A gale is strong.",
        "It is a myth that force 8, a gale, begins at 34 knots.",
    ])
}

fn unrelated() -> impl Strategy<Value = String> {
    let word = prop::sample::select(vec![
        "Rivers",
        "carry",
        "sand",
        "and",
        "clay",
        "to",
        "the",
        "sea",
        "in",
        "spring",
        "12 km",
        "not",
        "Ambleford",
    ]);
    prop::collection::vec(word, 1..12).prop_map(|words| format!("{}.", words.join(" ")))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn text_elsewhere_changes_no_state(sentence in sentence(), more in prop::collection::vec(unrelated(), 0..4)) {
        let plain = format!("# Wind\n\n{sentence}\n");
        let longer = format!("# Rivers\n\n{}\n\n{plain}\n# Coasts\n\n{}\n", more.join(" "), more.join("\n\n"));
        let only_states = |notes: &str| states(notes).into_iter().map(|(state, _)| state).collect::<Vec<_>>();
        prop_assert_eq!(only_states(&plain), only_states(&longer));
    }

    #[test]
    fn wrapping_changes_no_finding(sentence in sentence(), breaks in prop::collection::vec(any::<bool>(), 16)) {
        let text = format!("Look at the trees. {sentence} Take care.");
        let wrapped: String = text.split(' ').zip(breaks.iter().cycle()).map(|(word, end)| format!("{word}{}", if *end { "\n" } else { " " })).collect();
        prop_assert_eq!(states(&format!("# Wind\n\n{text}\n")), states(&format!("# Wind\n\n{wrapped}\n")));
    }

    #[test]
    fn any_notes_are_judged(notes in "(# Wind\n|gale |34 |knots|[*_`>|~^$-]|\n|not |8|, |\\PC){0,40}") {
        states(&notes);
    }
}
