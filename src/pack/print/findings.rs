//! What printing finds, said to teachers.

use typst::foundations::Bytes;
use typst::visualize::{ExchangeFormat, RasterImage, SvgImage};

use super::inspect::LaidOut;
use super::job::Job;
use super::typeset::TypesetError;
use crate::deck::{Department, settings};
use crate::finding::{Finding, Level};
use crate::pack::model::{PackPicture, Side};
use crate::place::Place;

/// The deck and the id of a card.
type Named<'a> = (&'a str, &'a str);

/// Refuses pictures of cards that the typesetter cannot read.
pub fn pictures<'a>(
    department: &Department,
    cards: impl IntoIterator<Item = (Named<'a>, &'a [PackPicture])>,
) -> Result<(), Vec<Finding>> {
    let mut found = Vec::new();
    for (card, pictures) in cards {
        for (at, picture) in pictures.iter().enumerate() {
            let Some(bytes) = department.pictures.get(&picture.file) else { continue };
            if let Err(why) = read_picture(Bytes::new(bytes.clone())) {
                let message = format!("the picture `{}` cannot be printed: {why}", picture.file);
                let help = "open it in a drawing program and save it again as PNG, JPEG or plain SVG";
                let field = format!("pictures[{at}].file");
                found
                    .push(on_card(department, card, "unsafe-picture", &field, message).help(help).about(&picture.file));
            }
        }
    }
    if found.is_empty() { Ok(()) } else { Err(found) }
}

fn read_picture(bytes: Bytes) -> Result<(), String> {
    match ExchangeFormat::detect(&bytes) {
        Some(format) => RasterImage::plain(bytes, format).map(drop).map_err(|why| why.to_string()),
        None => SvgImage::new(bytes).map(drop).map_err(|_| "it is no drawing that can be read".to_owned()),
    }
}

/// Refuses sides that do not fit, and letters that no font has.
pub fn sides(job: &Job<'_>, sides: &[LaidOut]) -> Result<(), Vec<Finding>> {
    let found: Vec<Finding> = sides.iter().flat_map(|side| of_side(job, side)).collect();
    if found.is_empty() { Ok(()) } else { Err(found) }
}

fn of_side(job: &Job<'_>, side: &LaidOut) -> Vec<Finding> {
    let Some(card) = job.cards.iter().find(|card| card.number == side.number) else { return Vec::new() };
    let named = (card.deck.as_str(), card.id.as_str());
    let word = side.side.word();
    let field = match side.side {
        Side::Question => "question",
        Side::Answer => "answer",
    };
    let mut found = Vec::new();
    if !side.fits || !side.outside.is_empty() {
        let what = side.outside.first().map(|text| format!(": `{text}` stands over the edge")).unwrap_or_default();
        let message = format!("the {word} side does not fit on a printed card, not even at {} points{what}", side.size);
        let help = "keep the one fact that the card asks for, and make a second card of the rest";
        found.push(on_card(job.department, named, "side-too-full", field, message).help(help).about(word));
    }
    if !side.missing.is_empty() {
        let letters = side.missing.iter().map(String::as_str).collect::<Vec<_>>().join(", ");
        let message = format!("the {word} side has letters that packs cannot be printed with: {letters}");
        let help = "write it with other letters, or put it in as a picture";
        found.push(on_card(job.department, named, "letters-not-printed", field, message).help(help).about(letters));
    }
    found
}

/// A fault of the sheets that no card can be named for; such a document is never put out.
pub fn sheets(job: &Job<'_>, error: &TypesetError) -> Vec<Finding> {
    let cards = match (job.cards.first(), job.cards.last()) {
        (Some(first), Some(last)) => format!(" with cards {} to {}", first.number, last.number),
        _ => String::new(),
    };
    template(&format!("the sheets{cards}"), error)
}

/// A fault of a document that no card can be named for.
pub fn template(what: &str, error: &TypesetError) -> Vec<Finding> {
    let message = format!("{what} cannot be printed: {error}");
    let help = "this is a fault of the program, not of the cards: please report it with the deck";
    vec![Finding::new("side-too-full", Level::Error, Place::top_of(settings::PATH), message).help(help)]
}

/// A finding on a card, at the place of the field where it is known.
fn on_card(
    department: &Department,
    (deck, id): Named<'_>,
    rule: &'static str,
    field: &str,
    message: String,
) -> Finding {
    let place = match department.card(id) {
        Some((found, in_deck)) => {
            let own = in_deck.questions.first();
            let span = match (field, own) {
                ("answer", Some(own)) => own.answer.span,
                ("question", Some(own)) => own.question.span,
                _ => in_deck.span,
            };
            found.file.place(span)
        }
        None => Place::top_of(format!("decks/{deck}/cards.yaml")),
    };
    Finding::new(rule, Level::Error, place, message).in_deck(deck).on_card(id).in_field(field)
}
