//! From chosen cards to the cards of a pack.

use sha2::{Digest, Sha256};

use super::choose::Chosen;
use super::edition::Edition;
use super::model::{Pack, PackCard, PackColour, PackPicture, PackQuestion, PackSession, Previous, Side, Tier, Topic};
use crate::deck::department::join;
use crate::deck::settings::Lesson;
use crate::deck::{Card, Deck, Department, Picture, Question, Text};

/// Where a pack comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Origin {
    /// Its running number.
    pub edition: Edition,
    /// The full id of its commit.
    pub commit: String,
    /// That commit's own date, by RFC 3339.
    pub released: String,
}

/// The pack of the chosen cards.
pub(super) fn pack(chosen: &Chosen<'_>, origin: Origin, previous: Option<Previous>) -> Pack {
    let settings = &chosen.department.settings;
    let named = |name: &Option<Text>| name.as_ref().map_or_else(String::new, |name| one_line(name));
    let cards: Vec<PackCard> = (chosen.cards.iter().enumerate())
        .map(|(at, (deck, card))| pack_card(chosen.department, deck, card, at + 1))
        .collect();
    Pack {
        department: named(&settings.department),
        school: named(&settings.school),
        year: chosen.year,
        term: chosen.term.clone(),
        edition: origin.edition,
        commit: origin.commit,
        released: origin.released,
        previous,
        session: PackSession { minutes: settings.session.minutes, review_days: settings.session.review_days.clone() },
        topics: chosen.decks.iter().map(|(lesson, deck)| topic(chosen, lesson, deck)).collect(),
        cards,
        corrected: Default::default(),
    }
}

/// SHA-256 in hexadecimal digits (FIPS 180-4).
pub(crate) fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

fn topic(chosen: &Chosen<'_>, lesson: &Lesson, deck: &Deck) -> Topic {
    let colour = chosen.department.settings.colour_of(&deck.name, deck.topic());
    Topic {
        deck: deck.name.clone(),
        title: one_line(deck.topic()),
        taught_on: lesson.taught_on.map(|day| day.to_string()),
        colour: colour
            .map(|colour| PackColour { band: colour.band.value.to_string(), text: colour.text.value.to_string() }),
        cards: chosen.cards.iter().filter(|(of, _)| of.name == deck.name).count(),
    }
}

/// A card as a pack holds it, under that number.
pub(crate) fn pack_card(department: &Department, deck: &Deck, card: &Card, number: usize) -> PackCard {
    PackCard {
        number,
        id: card.id.value.to_string(),
        deck: deck.name.clone(),
        topic: one_line(deck.topic()),
        tier: if card.extension { Tier::Extension } else { Tier::Core },
        questions: card.questions.iter().map(|question| pack_question(card, question)).collect(),
        both_ways: card.both_ways,
        needs: texts(&card.needs),
        see: texts(&card.see),
        pictures: card.pictures.iter().map(|picture| pack_picture(department, deck, picture)).collect(),
        caution: text(card.caution.as_deref()),
        tags: texts(&card.tags),
        allow: card
            .allow
            .iter()
            .map(|waiver| (waiver.rule.value.to_string(), waiver.reason.value.to_string()))
            .collect(),
    }
}

fn pack_question(card: &Card, question: &Question) -> PackQuestion {
    PackQuestion {
        question: question.question.value.to_string(),
        answer: texts(&question.answer.points),
        ordered: question.answer.ordered,
        accept: texts(&question.accept),
        source: text(card.source_of(question)),
        quote: texts(&question.quotes),
    }
}

fn pack_picture(department: &Department, deck: &Deck, picture: &Picture) -> PackPicture {
    let path = join(&deck.folder(), &picture.file).unwrap_or_else(|| picture.file.value.to_string());
    PackPicture {
        sha256: department.pictures.get(&path).map(|bytes| sha256(bytes)),
        file: path,
        side: if picture.on_answer { Side::Answer } else { Side::Question },
        alt: text(picture.alt.as_ref()),
        credit: text(picture.credit.as_ref()),
        licence: text(picture.licence.as_ref()),
    }
}

fn text(text: Option<&Text>) -> Option<String> {
    text.map(|text| text.value.to_string())
}

fn texts(texts: &[Text]) -> Vec<String> {
    texts.iter().map(|text| text.value.to_string()).collect()
}

/// Names stand in headings and file names, so they take one line.
fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sha256_of_the_published_examples() {
        // NIST's example values for SHA-256.
        assert_eq!(sha256(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
        assert_eq!(sha256(b""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    }
}
