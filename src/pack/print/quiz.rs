//! A quiz on paper: the questions on one page, the answers on the next.

use serde::Serialize;

use super::data::pictures::{PictureData, PictureNames};
use super::data::runs::{Run, Runs, is_from_right, letters, runs, unbroken};
use super::data::side::asked;
use super::{findings, lay_out, typeset};
use crate::deck::Department;
use crate::finding::Finding;
use crate::pack::model::{Side, Tier};
use crate::quiz::{Asked, QUESTIONS, Quiz, day};

/// The quiz as a tagged PDF; `department` is the one that it was drawn from. The same quiz gives the same
/// bytes.
///
/// # Errors
///
/// When a picture cannot be read.
pub fn quiz(quiz: &Quiz, department: &Department) -> Result<Vec<u8>, Vec<Finding>> {
    let cards = quiz.questions.iter();
    let cards = cards.map(|asked| ((asked.deck.as_str(), asked.card.as_str()), asked.pictures.as_slice()));
    findings::pictures(department, cards)?;
    let names = PictureNames::new(department, quiz.questions.iter().flat_map(|asked| &asked.pictures));
    let data = data(quiz, &names);
    let ident = format!("{}/quiz/{}/{}/{}/{}", quiz.department, quiz.year, quiz.on, quiz.seed, quiz.commit);
    let printed = typeset::with_room(|| {
        let laid_out = lay_out("quiz.typ", &data, names.bytes())?;
        typeset::export(&laid_out, &ident)
    });
    // What the typesetter remembers helps nobody any more.
    comemo::evict(0);
    printed.map_err(|error| findings::template("the quiz", &error))
}

/// Two pages.
#[derive(Debug, Serialize)]
struct QuizData {
    title: String,
    heading: String,
    school: String,
    subtitle: String,
    /// Year, month and day of the lesson.
    date: (i16, i8, i8),
    /// How to get the same quiz again.
    line: String,
    questions: Vec<QuestionData>,
    answers: Vec<AnswerData>,
}

/// A question on the first page.
#[derive(Debug, Serialize)]
struct QuestionData {
    text: Runs,
    extension: bool,
    pictures: Vec<PictureData>,
    caution: Option<Runs>,
    unbroken: Vec<Run>,
    letters: usize,
    from_right: bool,
}

/// An answer on the second page.
#[derive(Debug, Serialize)]
struct AnswerData {
    points: Vec<Runs>,
    ordered: bool,
    accept: Vec<Runs>,
    pictures: Vec<PictureData>,
    /// Where it comes from.
    topic: String,
    from_right: bool,
}

/// The numbers of questions that there may be.
const NUMBERS: [&str; QUESTIONS + 1] =
    ["No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten"];

fn data(quiz: &Quiz, names: &PictureNames<'_>) -> QuizData {
    let count = quiz.questions.len();
    let number = NUMBERS.get(count).copied().unwrap_or_default();
    let heading = format!("{number} {}", if count == 1 { "question" } else { "questions" });
    let subtitle = format!("{}, year {}, {}", quiz.department, quiz.year, day(quiz.on));
    let commit = quiz.commit.get(..12).unwrap_or(&quiz.commit);
    QuizData {
        title: format!("{heading}: {subtitle}"),
        heading,
        school: quiz.school.clone(),
        date: (quiz.on.year(), quiz.on.month(), quiz.on.day()),
        line: format!("{subtitle}, draw {}, commit {commit}", quiz.seed),
        subtitle,
        questions: quiz.questions.iter().map(|asked| question(asked, names)).collect(),
        answers: quiz.questions.iter().map(|asked| answer(asked, names)).collect(),
    }
}

fn question(one: &Asked, names: &PictureNames<'_>) -> QuestionData {
    let text = asked(&one.own);
    QuestionData {
        extension: one.tier == Tier::Extension,
        pictures: names.shown(&one.pictures, Side::Question),
        caution: one.caution.as_deref().map(runs),
        unbroken: unbroken(&text),
        letters: letters(&text),
        from_right: is_from_right(&text),
        text,
    }
}

fn answer(one: &Asked, names: &PictureNames<'_>) -> AnswerData {
    let points: Vec<Runs> = one.own.answer.iter().map(|point| runs(point)).collect();
    AnswerData {
        ordered: one.own.ordered,
        accept: one.own.accept.iter().map(|text| runs(text)).collect(),
        pictures: names.shown(&one.pictures, Side::Answer),
        topic: format!("{}, taught from {}", one.topic, one.taught_on.strftime("%-d %B %Y")),
        from_right: points.first().is_some_and(is_from_right),
        points,
    }
}

#[cfg(test)]
mod tests;
