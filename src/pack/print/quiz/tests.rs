//! Quizzes, laid out: two pages, everything on them, the same bytes.

use jiff::civil::date;
use typst_layout::PagedDocument;

use super::*;
use crate::change::support::{department, files};
use crate::pack::model::{PackPicture, PackQuestion};
use crate::quiz::FORMAT;

const PICTURE: &str = "decks/rivers/wave.svg";

fn one(number: usize, question: &str, answer: &[&str]) -> Asked {
    Asked {
        number,
        days: Some(1),
        taught_on: date(2026, 11, 4),
        topic: "Rivers".to_owned(),
        deck: "rivers".to_owned(),
        card: format!("card-{number}"),
        tier: Tier::Core,
        own: PackQuestion {
            question: question.to_owned(),
            answer: answer.iter().map(|text| (*text).to_owned()).collect(),
            ordered: false,
            accept: vec!["another".to_owned()],
            source: None,
            quote: Vec::new(),
        },
        pictures: Vec::new(),
        caution: None,
    }
}

fn of(questions: Vec<Asked>) -> Quiz {
    Quiz {
        format: FORMAT,
        department: "Geography".to_owned(),
        school: "Ambleford Quay School".to_owned(),
        year: 8,
        on: date(2026, 11, 25),
        seed: 1,
        commit: "0123456789abcdef".to_owned(),
        no_school_until: None,
        questions,
        left_out: Vec::new(),
    }
}

fn with_picture(bytes: &[u8]) -> Department {
    let mut department = department(&files(&[]));
    department.pictures.insert(PICTURE.to_owned(), bytes.into());
    department
}

const WAVE: &[u8] = b"<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 40 20'><rect width='40' height='20'/></svg>";

/// Ten questions as full as cards may be, with pictures, maths, lists and text from the right.
fn full() -> Quiz {
    let long = "seven plain words that stand beside others ".repeat(5);
    let mut questions: Vec<Asked> = (1..=10).map(|number| one(number, &long, &[&long])).collect();
    questions[1].own.question = "What is $\\frac{\\text{rise}}{x^2}$ in H~2~O?".to_owned();
    questions[2].own.answer = vec!["One".to_owned(), "Two".to_owned()];
    questions[2].own.ordered = true;
    questions[3].own.question = "מה זה?".to_owned();
    questions[4].caution = Some("Not near water.".to_owned());
    questions[5].tier = Tier::Extension;
    for (at, side) in [(6, Side::Question), (7, Side::Answer), (8, Side::Question), (8, Side::Question)] {
        questions[at].pictures.push(PackPicture {
            file: PICTURE.to_owned(),
            side,
            alt: Some("A wave".to_owned()),
            credit: Some("The department".to_owned()),
            licence: None,
            sha256: None,
        });
    }
    of(questions)
}

fn pages(quiz: &Quiz, department: &Department) -> PagedDocument {
    let names = PictureNames::new(department, quiz.questions.iter().flat_map(|asked| &asked.pictures));
    typeset::with_room(|| lay_out("quiz.typ", &data(quiz, &names), names.bytes())).expect("laid out")
}

#[test]
fn questions_stand_on_one_page_and_answers_on_the_next() {
    let department = with_picture(WAVE);
    for quiz in [full(), of(vec![one(1, "What?", &["That"])])] {
        let document = pages(&quiz, &department);
        assert_eq!(document.pages().len(), 2);
        assert!(
            typst::model::Document::info(&document)
                .title
                .as_ref()
                .is_some_and(|title| title.contains("Wednesday 25 November 2026"))
        );
    }
}

#[test]
fn more_than_fits_goes_on_to_another_page() {
    let endless = "far too many words for a card ".repeat(60);
    let quiz = of((1..=10).map(|number| one(number, &endless, &["That"])).collect());
    assert!(pages(&quiz, &department(&files(&[]))).pages().len() > 2);
}

#[test]
fn hostile_text_is_printed_as_it_stands_and_the_same_quiz_gives_the_same_bytes() {
    let department = with_picture(WAVE);
    let mut hostile = full();
    hostile.questions[0].own.question = "#read(\"/etc/passwd\") = a @b <c> \u{202e}x".to_owned();
    hostile.department = "#panic()".to_owned();
    for one in [full(), hostile] {
        let printed = quiz(&one, &department).expect("printed");
        assert!(printed.starts_with(b"%PDF-1.7"));
        assert!(printed == quiz(&one, &department).expect("printed"));
    }
}

#[test]
fn a_picture_that_cannot_be_read_is_named() {
    let found = quiz(&full(), &with_picture(b"<svg")).expect_err("no picture");
    let named: Vec<_> = found.iter().map(|finding| (finding.rule, finding.card.as_deref())).collect();
    assert_eq!(named[0], ("unsafe-picture", Some("card-7")));
}

#[test]
fn the_number_of_questions_is_said_in_words() {
    let department = department(&files(&[]));
    for (count, heading) in [(1, "One question"), (2, "Two questions"), (10, "Ten questions")] {
        let quiz = of((1..=count).map(|number| one(number, "What?", &["That"])).collect());
        assert_eq!(data(&quiz, &PictureNames::new(&department, std::iter::empty())).heading, heading);
    }
}
