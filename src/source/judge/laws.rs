//! Properties of judging that hold for any notes.

use super::*;
use crate::notes::Notes;
use proptest::prelude::*;

const QUOTE: &str = "Force 8, a gale, begins at a mean speed of 34 knots.";

fn states(notes: &str) -> Vec<(State, Vec<Difference>)> {
    let all_notes = AllNotes::new([("w.md".to_string(), Notes::read(notes))]);
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
    judge(&card, &all_notes).into_iter().map(|judgement| (judgement.state, judgement.differences)).collect()
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

/// One statement against what became of it in the notes.
#[track_caller]
fn becomes(question: &str, answer: &str, quote: &str, now: &str, want: State) {
    let all_notes = AllNotes::new([("w.md".to_string(), Notes::read(&format!("# Facts\n\n{now}\n")))]);
    let asked = Asked { question, points: vec![answer], ..Asked::default() };
    let card = Cited { file: Some("w.md"), anchor: Some("facts"), quotes: vec![quote], asked: vec![asked] };
    let found: Vec<State> = judge(&card, &all_notes).into_iter().map(|judgement| judgement.state).collect();
    assert_eq!(found, [want], "{now}");
}

#[test]
fn a_cause_is_no_concession_and_clauses_may_change_places() {
    let (fire, far) = (
        "The fire spread so fast because of a strong east wind.",
        "Ambleford lies 12 miles from the coast and 40 miles from the capital.",
    );
    let why = |now, want| becomes("Why did the fire spread fast?", "A strong east wind", fire, now, want);
    why("The fire spread so fast owing to a strong east wind.", State::Reworded);
    why("The fire spread so fast despite a strong east wind.", State::Contradicted);
    let how_far = |now, want| becomes("How far is Ambleford from the coast?", "12 miles", far, now, want);
    how_far("Ambleford lies 40 miles from the capital and 12 miles from the coast.", State::Reworded);
    how_far("Ambleford lies 40 miles from the coast and 12 miles from the capital.", State::Contradicted);
    let won = "William of Normandy defeated Harold at the Battle of Hastings.";
    let who = |now, want| becomes("Who won the Battle of Hastings?", "William of Normandy", won, now, want);
    who("At the Battle of Hastings, Harold was defeated by William of Normandy.", State::Reworded);
    who("William of Normandy was defeated by Harold at the Battle of Hastings.", State::Contradicted);
}
