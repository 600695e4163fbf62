//! Facts: a question, its answer, and the sentence of the notes that says it.

use super::words::{CAUSES, CROPS, NAMES, ROCKS, TRADES, WINDS, draw, name, one_of};

/// One fact, as a card asks for it and as the notes say it.
#[derive(Clone, Debug)]
pub struct Fact {
    /// The question.
    pub question: String,
    /// The answer, or its points.
    pub answer: Vec<String>,
    /// Another wording of the answer.
    pub accept: Option<String>,
    /// The sentence in the notes.
    pub sentence: String,
}

/// How many kinds of facts there are.
const KINDS: usize = 12;

impl Fact {
    /// The fact of that number, about places of its own: names come round again in a large department, the
    /// two of a question do not, so that no question is asked twice.
    pub fn new(number: usize) -> Self {
        // Kinds and names come round together after this many (their least common multiple).
        let again = number / (KINDS * NAMES / 4);
        let (place, other) = (name(number), name(number / 3 + 7919 + number % 5 + 577 * again));
        let amount = |least: usize, most: usize| least + draw(number, 1) % (most - least);
        match number % KINDS {
            0 => {
                let km = amount(4, 290);
                one(
                    format!("How long is the River {place}, which rises above {other}?"),
                    format!("{km} km"),
                    format!("The River {place} rises above {other} and is {km} km long from its spring to the sea."),
                )
            }
            1 => {
                let bay = name(number + 16_000);
                one(
                    format!("Into which bay does the River {place} flow below {other}?"),
                    format!("{bay} Bay"),
                    format!(
                        "Below {other} the River {place} flows into {bay} Bay, where it drops the mud that it carries."
                    ),
                )
            }
            2 => {
                let metres = amount(90, 1300);
                one(
                    format!("How high is {place} Hill, which stands above the town of {other}?"),
                    format!("{metres} metres"),
                    format!("{place} Hill stands above the town of {other} and is {metres} metres high at its top."),
                )
            }
            3 => {
                let rock = one_of(&ROCKS, number, 2);
                one(
                    format!("Which rock are the cliffs at {place} Head, near {other}, made of?"),
                    capital(rock),
                    format!(
                        "The cliffs at {place} Head, near {other}, are made of {rock}, which the waves wear away bit by bit."
                    ),
                )
            }
            4 => {
                let people = amount(3, 99) * 1000;
                let written = format!("{},000", people / 1000);
                one(
                    format!("How many people live in {place}, the market town near {other}?"),
                    format!("{written} people"),
                    format!("About {written} people live in {place}, the market town near {other}."),
                )
            }
            5 => {
                let rain = amount(480, 2900);
                one(
                    format!("How much rain falls on {place} Moor in a year, above the fields near {other}?"),
                    format!("{rain} mm"),
                    format!("In a year {rain} mm of rain fall on {place} Moor, above the fields near {other}."),
                )
            }
            6 => {
                let crop = one_of(&CROPS, number, 2);
                one(
                    format!("Which crop do farmers grow most on the clay between {place} and {other}?"),
                    capital(crop),
                    format!("On the clay between {place} and {other}, farmers grow {crop} more than any other crop."),
                )
            }
            7 => {
                let cause = one_of(&CAUSES, number, 2);
                one(
                    format!("Why did the people of {place} move to {other}?"),
                    format!("Because {cause}"),
                    format!("The people of {place} moved to {other} because {cause}."),
                )
            }
            8 => {
                let year = amount(1740, 1990);
                one(
                    format!("In which year was the bridge from {place} to {other} opened?"),
                    format!("{year}"),
                    format!("The bridge from {place} to {other} was opened in {year}, after four winters of work."),
                )
            }
            9 => {
                let first = draw(number, 2) % TRADES.len();
                let points = [first, (first + 3) % TRADES.len(), (first + 7) % TRADES.len()].map(|at| TRADES[at]);
                let [a, b, c] = points;
                Fact {
                    question: format!("Which three trades does the port of {place}, an hour from {other}, live on?"),
                    answer: points.map(capital).to_vec(),
                    accept: None,
                    sentence: format!(
                        "The port of {place}, an hour from {other}, lives on three trades, which are {a}, {b} and {c}."
                    ),
                }
            }
            10 => {
                let wind = one_of(&WINDS, number, 2);
                Fact {
                    accept: Some(format!("the {wind}")),
                    ..one(
                        format!("Towards which direction does shingle drift along the beach from {place} to {other}?"),
                        format!("Towards the {wind}"),
                        format!(
                            "Along the beach from {place} to {other} the waves make shingle drift towards the {wind}."
                        ),
                    )
                }
            }
            _ => {
                let days = amount(3, 160);
                one(
                    format!("On how many days of a year does frost lie in {place} Dale, below {other}?"),
                    format!("{days} days"),
                    format!("In {place} Dale, below {other}, frost lies on {days} days of a year."),
                )
            }
        }
    }
}

fn one(question: String, answer: String, sentence: String) -> Fact {
    Fact { question, answer: vec![answer], accept: None, sentence }
}

fn capital(word: &str) -> String {
    word[..1].to_uppercase() + &word[1..]
}
