//! Single statements against what became of them in the notes.

use super::*;
use crate::notes::Notes;

/// A card of one question with one quote.
struct One {
    question: &'static str,
    points: &'static [&'static str],
    quote: &'static str,
}

impl One {
    fn judged(&self, now: &str) -> Judgement {
        let all_notes = AllNotes::new([("w.md".to_string(), Notes::read(&format!("# Facts\n\n{now}\n")))]);
        let asked = Asked { question: self.question, points: self.points.to_vec(), ..Asked::default() };
        let card = Cited { file: Some("w.md"), anchor: Some("facts"), quotes: vec![self.quote], asked: vec![asked] };
        judge(&card, &all_notes).into_iter().next().unwrap()
    }

    #[track_caller]
    fn becomes(&self, want: State, all: &[&str]) {
        for now in all {
            let found = self.judged(now);
            assert_eq!(found.state, want, "{now}: {found:?}");
        }
    }

    /// What the first difference shows of the card and of the notes.
    #[track_caller]
    fn shows(&self, now: &str, card: &str, notes: &str) {
        let found = self.judged(now);
        let first = found.differences.first().map(|first| (first.card.as_str(), first.notes.as_deref()));
        assert_eq!(first, Some((card, Some(notes))), "{now}: {found:?}");
    }
}

#[test]
fn a_date_that_is_taken_apart_over_other_words_is_reworded() {
    let opened = One { question: "When did it open?", points: &["3 May 1912"], quote: "It opened on 3 May 1912." };
    let apart = [
        "It opened in 1912, on the third of May.",
        "In May 1912, on the 3rd, it opened.",
        "In 1912 it opened on May 3rd.",
        "In May 1912 it opened, on the third of the month.",
    ];
    opened.becomes(State::Reworded, &apart);
    let pier = One { quote: "The old pier opened on 3 May 1912.", ..opened };
    let other = [
        "The old pier opened in 1912, on the fourth of May.",
        "In May 1913, on the 3rd, the old pier opened.",
        "In June 1912, on the 3rd, the old pier opened.",
        "In May 1912 the old pier opened for the third time.",
    ];
    pier.becomes(State::Contradicted, &other);
}

#[test]
fn a_bound_is_shown_in_the_notes_own_words() {
    let cost =
        One { question: "What did it cost?", points: &["more than £40"], quote: "The pier cost more than £40." };
    cost.shows("The pier cost up to £40.", "more than £40", "up to £40");
    cost.shows("The pier cost £40 or more.", "more than £40", "£40 or more");
    cost.shows("The pier cost no more than £40.", "more than £40", "no more than £40");
    cost.shows("The pier cost £40.", "more than £40", "£40");
}

#[test]
fn the_word_that_is_denied_is_shown() {
    let plants = One {
        question: "Which gas do plants take in?",
        points: &["Carbon dioxide"],
        quote: "In photosynthesis green plants take in carbon dioxide.",
    };
    plants.shows("In photosynthesis green plants never take in carbon dioxide.", "take", "never take");
    plants.shows("In photosynthesis no green plants take in carbon dioxide.", "green", "no green");
    let largest = One {
        question: "What is the largest planet?",
        points: &["Jupiter"],
        quote: "Jupiter is the largest planet, and Saturn the second largest planet.",
    };
    largest.shows(
        "Saturn is the second largest planet, and Jupiter is not the largest planet.",
        "is the largest",
        "is not the largest",
    );
}

#[test]
fn a_member_that_is_added_to_a_list_is_seen_in_a_turned_clause() {
    let borders = One {
        question: "Which countries border Orrland?",
        points: &["Tavania", "Lume"],
        quote: "Orrland borders Tavania and Lume.",
    };
    let kept = ["Tavania and Lume border Orrland.", "In Europe, Lume and Tavania border Orrland."];
    borders.becomes(State::Reworded, &kept);
    let longer = [
        "Coria, Tavania and Lume border Orrland.",
        "Tavania, Lume and Coria border Orrland.",
        "Tavania and Lume border Orrland, and so does Coria.",
        "Orrland is bordered by Coria, Tavania and Lume.",
    ];
    borders.becomes(State::Contradicted, &longer);
    let burns = One {
        question: "What are the products when methane burns?",
        points: &["carbon dioxide and water"],
        quote: "When methane burns, the products are carbon dioxide and water.",
    };
    burns.becomes(State::Reworded, &["Today, carbon dioxide and water are the products when methane burns."]);
    burns.becomes(State::Doubtful, &["Soot, carbon dioxide and water are the products when methane burns."]);
    burns.becomes(State::Contradicted, &["Carbon dioxide, soot and water are the products when methane burns."]);
}

#[test]
fn examples_after_a_list_are_no_members_of_it() {
    let cycle = One {
        question: "What are the stages of the water cycle?",
        points: &["Evaporation", "Condensation", "Precipitation"],
        quote: "The stages of the water cycle are evaporation, condensation and precipitation.",
    };
    let now = "The stages of the water cycle are evaporation, condensation and precipitation, such as rain or snow.";
    cycle.becomes(State::Reworded, &[now]);
}

#[test]
fn a_neighbouring_sentence_that_says_nothing_of_the_card_is_not_taken_in() {
    let built = One {
        question: "When was the lighthouse built?",
        points: &["1850"],
        quote: "The old lighthouse at the harbour mouth was built in 1850.",
    };
    let place = |now: &str| built.judged(now).place.unwrap().text;
    let sentence = "The lighthouse was built in 1850.";
    assert_eq!(place(&format!("{sentence} At the harbour mouth there are seals.")), sentence);
    assert_eq!(place(&format!("At the harbour mouth there are seals. {sentence}")), sentence);
    let both = "There is a lighthouse at the harbour mouth. It was built in 1850.";
    assert_eq!(place(both), both);
}
