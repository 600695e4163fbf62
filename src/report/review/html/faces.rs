//! A card's two sides as pupils see them, before and after.

use base64::prelude::{BASE64_STANDARD, Engine};

use super::marked::{Mark, literal, pair, plain, whole};
use crate::deck::department::join;
use crate::deck::{Card, Deck, Department, Picture, Question};

/// A card where it stands.
#[derive(Clone, Copy)]
pub struct Placed<'d> {
    department: &'d Department,
    deck: &'d Deck,
    card: &'d Card,
}

impl<'d> Placed<'d> {
    /// The card of that id; `None` when there is none.
    pub fn find(department: &'d Department, id: &str) -> Option<Self> {
        let (deck, card) = department.card(id).filter(|_| !id.is_empty())?;
        Some(Self { department, deck, card })
    }
}

/// Both versions beside each other, what differs marked; one alone is shown as it is.
pub fn beside(before: Option<Placed<'_>>, now: Option<Placed<'_>>) -> String {
    let (was, is) = (before.map(texts), now.map(texts));
    match (before.zip(was), now.zip(is)) {
        (Some((before, was)), Some((now, is))) => {
            let (mut left, mut right) = (Face::default(), Face::default());
            for at in 0..was.len().max(is.len()) {
                one_question(was.get(at), is.get(at), &mut left, &mut right);
            }
            left.rest(before);
            right.rest(now);
            format!("<div class=\"both\">{}{}</div>\n", left.paper("Before"), right.paper("Now"))
        }
        (Some((placed, texts)), None) => alone(placed, &texts, "As it was"),
        (None, Some((placed, texts))) => alone(placed, &texts, "New card"),
        (None, None) => String::new(),
    }
}

fn alone(placed: Placed<'_>, texts: &[Asked], title: &str) -> String {
    let mut face = Face::default();
    for asked in texts {
        face.questions.push(plain(&asked.question));
        face.answers.push(Points { html: asked.points.iter().map(|point| plain(point)).collect(), ..asked.shape() });
    }
    face.rest(placed);
    format!("<div class=\"both\">{}</div>\n", face.paper(title))
}

/// What a question says.
struct Asked {
    question: String,
    points: Vec<String>,
    listed: bool,
    ordered: bool,
}

impl Asked {
    fn of(question: &Question) -> Self {
        Self {
            question: question.question.value.to_string(),
            points: question.answer.points.iter().map(|point| point.value.to_string()).collect(),
            listed: question.answer.listed,
            ordered: question.answer.ordered,
        }
    }

    fn shape(&self) -> Points {
        Points { html: Vec::new(), listed: self.listed, ordered: self.ordered }
    }
}

fn texts(placed: Placed<'_>) -> Vec<Asked> {
    placed.card.questions.iter().map(Asked::of).collect()
}

/// The points of an answer as HTML.
#[derive(Default)]
struct Points {
    html: Vec<String>,
    listed: bool,
    ordered: bool,
}

/// The parts of one version.
#[derive(Default)]
struct Face {
    questions: Vec<String>,
    answers: Vec<Points>,
    question_pictures: String,
    answer_pictures: String,
    caution: String,
}

fn one_question(was: Option<&Asked>, is: Option<&Asked>, left: &mut Face, right: &mut Face) {
    match (was, is) {
        (Some(was), Some(is)) => {
            let (question, other) = pair(&was.question, &is.question);
            left.questions.push(question);
            right.questions.push(other);
            let (points, others) = pair_points(&was.points, &is.points);
            left.answers.push(Points { html: points, ..was.shape() });
            right.answers.push(Points { html: others, ..is.shape() });
        }
        (Some(was), None) => left.whole(was, Mark::Out),
        (None, Some(is)) => right.whole(is, Mark::In),
        (None, None) => {}
    }
}

/// The points of a list find their fellows by what they say, else by their place among those left.
fn pair_points(was: &[String], is: &[String]) -> (Vec<String>, Vec<String>) {
    let mut out: Vec<Option<String>> = vec![None; was.len()];
    let mut inside: Vec<Option<String>> = vec![None; is.len()];
    for (at, point) in was.iter().enumerate() {
        if let Some(fellow) = (0..is.len()).find(|to| inside[*to].is_none() && is[*to] == *point) {
            out[at] = Some(plain(point));
            inside[fellow] = Some(plain(point));
        }
    }
    let left: Vec<usize> = (0..was.len()).filter(|at| out[*at].is_none()).collect();
    let right: Vec<usize> = (0..is.len()).filter(|at| inside[*at].is_none()).collect();
    for (at, to) in left.iter().zip(&right) {
        let (point, other) = pair(&was[*at], &is[*to]);
        (out[*at], inside[*to]) = (Some(point), Some(other));
    }
    let filled = |points: Vec<Option<String>>, texts: &[String], mark: Mark| -> Vec<String> {
        points.into_iter().zip(texts).map(|(html, text)| html.unwrap_or_else(|| whole(text, mark))).collect()
    };
    (filled(out, was, Mark::Out), filled(inside, is, Mark::In))
}

impl Face {
    fn whole(&mut self, asked: &Asked, mark: Mark) {
        self.questions.push(whole(&asked.question, mark));
        let html = asked.points.iter().map(|point| whole(point, mark)).collect();
        self.answers.push(Points { html, ..asked.shape() });
    }

    fn rest(&mut self, placed: Placed<'_>) {
        for shown in &placed.card.pictures {
            let html = picture(placed, shown);
            let side = if shown.on_answer { &mut self.answer_pictures } else { &mut self.question_pictures };
            side.push_str(&html);
        }
        if let Some(caution) = &placed.card.caution {
            self.caution = format!("<p class=\"caution\"><strong>Take care:</strong> {}</p>\n", plain(caution));
        }
    }

    fn paper(&self, title: &str) -> String {
        let questions: String = self.questions.iter().map(|html| format!("<p>{html}</p>\n")).collect();
        let answers: String = self.answers.iter().map(Points::html).collect();
        format!(
            "<section class=\"paper\">\n<h4>{title}</h4>\n<div class=\"side\">\n<p class=\"name\">Question side</p>\n\
             {questions}{}{}</div>\n<div class=\"side answer\">\n<p class=\"name\">Answer side</p>\n{answers}{}</div>\n</section>\n",
            self.question_pictures, self.caution, self.answer_pictures
        )
    }
}

impl Points {
    fn html(&self) -> String {
        if !self.listed {
            return self.html.iter().map(|point| format!("<p>{point}</p>\n")).collect();
        }
        let element = if self.ordered { "ol" } else { "ul" };
        let points: String = self.html.iter().map(|point| format!("<li>{point}</li>\n")).collect();
        format!("<{element}>\n{points}</{element}>\n")
    }
}

/// A picture within the page; one that cannot be shown by its words.
fn picture(placed: Placed<'_>, picture: &Picture) -> String {
    let alt = picture.alt.as_ref().map(|alt| alt.value.as_str()).unwrap_or_default();
    let path = join(&placed.deck.folder(), &picture.file);
    let bytes = path.as_ref().and_then(|path| placed.department.pictures.get(path));
    let kind = bytes.and_then(|bytes| kind(&picture.file, bytes));
    match bytes.zip(kind) {
        Some((bytes, kind)) => {
            let data = BASE64_STANDARD.encode(bytes);
            format!("<img alt=\"{}\" src=\"data:{kind};base64,{data}\">\n", literal(alt))
        }
        None => format!("<p class=\"picture\">Picture {}: {}</p>\n", literal(&picture.file), literal(alt)),
    }
}

/// What a browser is told that it is, by its bytes.
fn kind(file: &str, bytes: &[u8]) -> Option<&'static str> {
    if file.to_lowercase().ends_with(".svg") {
        return Some("image/svg+xml");
    }
    match imagesize::image_type(bytes).ok()? {
        imagesize::ImageType::Png => Some("image/png"),
        imagesize::ImageType::Jpeg => Some("image/jpeg"),
        imagesize::ImageType::Gif => Some("image/gif"),
        imagesize::ImageType::Webp => Some("image/webp"),
        _ => None,
    }
}
