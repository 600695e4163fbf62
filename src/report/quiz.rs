//! A quiz as a text: to be read out, or put on a screen.

use super::words::harmless;
use crate::markup::{parse, plain};
use crate::quiz::{Asked, Quiz, day};

/// The questions, then the answers.
pub fn text(quiz: &Quiz) -> String {
    let mut text = format!("{}, year {}, {}\n\n", harmless(&quiz.department), quiz.year, day(quiz.on));
    let line = |asked: &Asked, said: &str| format!("{:>3}. {said}\n", asked.number);
    for asked in &quiz.questions {
        text.push_str(&line(asked, &question(asked)));
    }
    text.push_str("\nanswers\n");
    for asked in &quiz.questions {
        text.push_str(&line(asked, &format!("{} ({})", answer(asked), harmless(&asked.topic))));
    }
    text
}

fn question(asked: &Asked) -> String {
    let points = asked.own.answer.len();
    let order = if asked.own.ordered { ", in order" } else { "" };
    let counted = if points > 1 { format!(" ({points} points{order})") } else { String::new() };
    let seen = if asked.pictures.is_empty() { "" } else { " [with a picture]" };
    format!("{}{counted}{seen}", one_line(&asked.own.question))
}

fn answer(asked: &Asked) -> String {
    let joined = |texts: &[String]| texts.iter().map(|text| one_line(text)).collect::<Vec<_>>().join("; ");
    let also =
        if asked.own.accept.is_empty() { String::new() } else { format!("; also {}", joined(&asked.own.accept)) };
    joined(&asked.own.answer) + &also
}

fn one_line(text: &str) -> String {
    harmless(&plain(&parse(text)).replace('\n', " / "))
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;
    use crate::pack::{PackQuestion, Tier};

    #[test]
    fn what_is_asked_stands_before_what_is_answered() {
        let own = PackQuestion {
            question: "What is CO~2~?".to_owned(),
            answer: vec!["A *gas*".to_owned(), "\u{1b}[2J".to_owned()],
            ordered: true,
            accept: vec!["one".to_owned()],
            source: None,
            quote: Vec::new(),
        };
        let asked = Asked {
            number: 1,
            days: Some(1),
            taught_on: date(2026, 11, 4),
            topic: "Air".to_owned(),
            deck: "air".to_owned(),
            card: "gas".to_owned(),
            tier: Tier::Core,
            own,
            pictures: Vec::new(),
            caution: None,
        };
        let quiz = Quiz {
            format: 1,
            department: "Geography".to_owned(),
            school: "Ambleford Quay School".to_owned(),
            year: 8,
            on: date(2026, 11, 25),
            seed: 1,
            commit: String::new(),
            no_school_until: None,
            questions: vec![asked],
            left_out: Vec::new(),
        };
        let expected = "Geography, year 8, Wednesday 25 November 2026\n\n  1. What is CO₂? (2 points, in order)\n\n\
            answers\n  1. A gas; [U+001B][2J; also one (Air)\n";
        assert_eq!(text(&quiz), expected);
    }
}
