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

#[test]
fn what_refuses_and_what_denies_say_the_same() {
    let henry = One {
        question: "Why did Henry VIII break with Rome?",
        points: &["The Pope would not end his marriage"],
        quote: "Henry VIII broke with Rome because the Pope would not end his marriage.",
    };
    henry.becomes(State::Reworded, &["Henry VIII broke with Rome because the Pope refused to end his marriage."]);
    let act = One {
        question: "What did the Factory Act forbid?",
        points: &["Work in textile mills for children under nine"],
        quote: "The Factory Act forbade children under nine to work in textile mills.",
    };
    let kept = [
        "The Factory Act banned children under nine from working in textile mills.",
        "Under the Factory Act, children under nine were not allowed to work in textile mills.",
    ];
    act.becomes(State::Reworded, &kept);
    act.becomes(State::Contradicted, &["The Factory Act did not forbid children under nine to work in textile mills."]);
}

#[test]
fn another_voice_is_no_exchange() {
    let voters = One {
        question: "Who elects the members of the House of Commons?",
        points: &["The voters of each constituency"],
        quote: "The voters of each constituency elect the members of the House of Commons.",
    };
    voters.becomes(
        State::Reworded,
        &["The members of the House of Commons are elected by the voters of each constituency."],
    );
    voters
        .becomes(State::Contradicted, &["The members of the House of Commons elect the voters of each constituency."]);
    let group = One {
        question: "What is a control group?",
        points: &["A group that is not given the treatment"],
        quote: "A control group is a group that is not given the treatment.",
    };
    let kept = [
        "A control group is a group that does not receive the treatment.",
        "The group that is not given the treatment is the control group.",
    ];
    group.becomes(State::Reworded, &kept);
    group.becomes(State::Contradicted, &["A control group is a group that is given the treatment."]);
    let bronze = One {
        question: "From when did people work bronze?",
        points: &["From about 2200 BC"],
        quote: "In Britain people worked bronze from about 2200 BC.",
    };
    bronze.becomes(State::Reworded, &["In Britain bronze was worked from about 2200 BC."]);
}

#[test]
fn two_sides_that_changed_places_are_seen() {
    let diode = One {
        question: "Which way does a diode let current flow?",
        points: &["From the anode to the cathode"],
        quote: "A diode lets current flow from the anode to the cathode only. The stripe marks the cathode.",
    };
    let turned = "A diode lets current flow from the cathode to the anode only. The stripe marks the cathode.";
    diode.becomes(State::Contradicted, &[turned]);
    let profit = One {
        question: "How is gross profit worked out?",
        points: &["Revenue less the cost of sales"],
        quote: "Gross profit is revenue less the cost of sales.",
    };
    profit.becomes(State::Contradicted, &["Gross profit is the cost of sales less revenue."]);
    let layers = One {
        question: "Which layer is older?",
        points: &["The lower one"],
        quote: "The lower a layer lies, the older it is, unless the ground has been disturbed.",
    };
    layers
        .becomes(State::Contradicted, &["The lower a layer lies, the older it is, if the ground has been disturbed."]);
}

#[test]
fn another_kind_of_what_is_asked_about_is_certain() {
    let solder = One {
        question: "At what temperature does soft solder melt?",
        points: &["190 °C"],
        quote: "Soft solder melts at 190 °C and joins wires.",
    };
    solder.becomes(State::Contradicted, &["Silver solder melts at 190 °C and joins wires."]);
    let felt = One {
        question: "What is felt made from?",
        points: &["Matted wool fibres"],
        quote: "Felt is made by matting wool fibres with heat, water and rubbing.",
    };
    felt.becomes(State::Contradicted, &["Lace is made by matting wool fibres with heat, water and rubbing."]);
    let tomb = One {
        question: "When was the tomb found?",
        points: &["In 1922"],
        quote: "Ann Carter found the steps to the tomb in 1922.",
    };
    tomb.becomes(State::Contradicted, &["Joan Evans found the steps to the tomb in 1922."]);
    let alloy = One {
        question: "What is brass an alloy of?",
        points: &["Copper", "Zinc"],
        quote: "Brass is an alloy of copper and zinc.",
    };
    alloy.becomes(State::Contradicted, &["Brass is an alloy of copper and lead."]);
    alloy.becomes(State::Doubtful, &["Brass consists of copper and zinc."]);
}

/// What is beside the card's fact may matter to it: a person is asked, and the quote is not renewed.
#[test]
fn what_changes_beside_the_fact_is_a_doubt() {
    let fixation = One {
        question: "Which process turns nitrogen into compounds in the soil?",
        points: &["Nitrogen fixation"],
        quote: "In nitrogen fixation, bacteria turn nitrogen into compounds in the soil.",
    };
    fixation.becomes(State::Doubtful, &["In nitrogen fixation, fungi turn nitrogen into compounds in the soil."]);
    let friction = One {
        question: "In which direction does friction act?",
        points: &["Against the motion"],
        quote: "Friction acts against the motion of an object, and slows it down.",
    };
    friction.becomes(State::Doubtful, &["Friction acts against the motion of an object, and speeds it up."]);
    let ship = One {
        question: "Which light does a ship show to port?",
        points: &["A red one"],
        quote: "A ship under way shows a red light to port.",
    };
    ship.becomes(State::Doubtful, &["A ship at anchor shows a red light to port."]);
}

#[test]
fn the_rest_of_a_sentence_may_be_another_one() {
    let mecca = One {
        question: "Where is Mecca?",
        points: &["In Saudi Arabia"],
        quote: "Mecca is a city in Saudi Arabia, and every Muslim who can is asked to go there once in a lifetime.",
    };
    mecca
        .becomes(State::Reworded, &["Mecca is a city in Saudi Arabia, and about two million pilgrims come each year."]);
    let other = "Mecca is a city in Jordan, and about two million pilgrims come each year.";
    assert!(mecca.judged(other).is_error(), "{other}");
}
