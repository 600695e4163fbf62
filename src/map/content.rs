//! What the map shows, whether of a pack or of the department as it stands.

use std::collections::{BTreeMap, BTreeSet};

use crate::deck::{Card, Deck, Department};
use crate::markup;
use crate::pack::{Pack, PackCard, Tier, Topic};

/// The cards to be drawn, with their connections.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Map {
    /// What the whole is.
    pub title: String,
    /// The topics, in teaching order.
    pub topics: Vec<MapTopic>,
    /// The cards, topic by topic.
    pub cards: Vec<MapCard>,
}

/// A topic.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MapTopic {
    /// Its name.
    pub title: String,
    /// The colour of its band, and of the text on it.
    pub colour: Option<(String, String)>,
}

/// A card; others are named by their place in the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MapCard {
    /// What is written on it.
    pub label: String,
    /// Its number in the pack.
    pub number: Option<usize>,
    /// Its topic.
    pub topic: usize,
    /// Whether it goes beyond the core.
    pub extension: bool,
    /// The cards to know first.
    pub needs: Vec<usize>,
    /// Connected cards; each pair once, at the later one.
    pub see: Vec<usize>,
}

impl Map {
    /// The map of a pack.
    pub fn of_pack(pack: &Pack) -> Self {
        let title = format!("{}, year {}, {}: how the cards connect", pack.department, pack.year, pack.term_in_words());
        let topics = pack.topics.iter().filter(|topic| topic.cards > 0).collect::<Vec<&Topic>>();
        let mut cards: Vec<(usize, &PackCard)> = Vec::with_capacity(pack.cards.len());
        for (at, topic) in topics.iter().enumerate() {
            cards.extend(pack.cards.iter().filter(|card| card.deck == topic.deck).map(|card| (at, card)));
        }
        let ids: Vec<&str> = cards.iter().map(|(_, card)| card.id.as_str()).collect();
        let links = Links::new(&ids);
        let drawn = cards.iter().enumerate().map(|(at, (topic, card))| MapCard {
            label: plain(card.question()),
            number: Some(card.number),
            topic: *topic,
            extension: card.tier == Tier::Extension,
            needs: links.to(at, &card.needs),
            see: Vec::new(),
        });
        let mut cards_drawn: Vec<MapCard> = drawn.collect();
        links.join(&mut cards_drawn, |at| cards[at].1.see.iter().map(String::as_str).collect());
        let topics = topics.into_iter().map(|topic| MapTopic {
            title: topic.title.clone(),
            colour: topic.colour.as_ref().map(|colour| (colour.band.clone(), colour.text.clone())),
        });
        Self { title, topics: topics.collect(), cards: cards_drawn }
    }

    /// The map of the department as it stands, or of one year group; drafts are in it.
    pub fn of_department(department: &Department, year: Option<u8>) -> Self {
        let settings = &department.settings;
        let name = settings.department.as_ref().map_or("The department", |name| name);
        let of_year = year.map_or_else(String::new, |year| format!(", year {year}"));
        let title = format!("{name}{of_year}: how the cards connect");
        let wanted = |deck: &&Deck| year.is_none_or(|year| deck.year.as_ref().is_some_and(|(of, _)| *of == year));
        let decks: Vec<&Deck> = department.decks.iter().filter(wanted).filter(|deck| !deck.cards.is_empty()).collect();
        let mut cards: Vec<(usize, &Card)> = Vec::new();
        for (at, deck) in decks.iter().enumerate() {
            cards.extend(deck.cards.iter().map(|card| (at, card)));
        }
        let ids: Vec<&str> = cards.iter().map(|(_, card)| &*card.id.value).collect();
        let links = Links::new(&ids);
        let texts = |texts: &[crate::deck::Text]| texts.iter().map(|text| text.value.to_string()).collect::<Vec<_>>();
        let mut drawn: Vec<MapCard> = (cards.iter().enumerate())
            .map(|(at, (topic, card))| MapCard {
                label: labelled(card),
                number: None,
                topic: *topic,
                extension: card.extension,
                needs: links.to(at, &texts(&card.needs)),
                see: Vec::new(),
            })
            .collect();
        links.join(&mut drawn, |at| cards[at].1.see.iter().map(|text| text.value.as_str()).collect());
        let topics = decks.iter().map(|deck| MapTopic {
            title: plain(deck.topic()),
            colour: (settings.colour_of(&deck.name, deck.topic()))
                .map(|colour| (colour.band.value.to_string(), colour.text.value.to_string())),
        });
        Self { title, topics: topics.collect(), cards: drawn }
    }
}

fn labelled(card: &Card) -> String {
    let question = card.questions.first().map_or("", |question| &question.question.value);
    let question = if question.trim().is_empty() { &card.id.value } else { question };
    format!("{}{}", if card.draft { "Draft: " } else { "" }, plain(question))
}

fn plain(text: &str) -> String {
    markup::plain(&markup::parse(text)).split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The places of cards by their ids.
struct Links<'a>(BTreeMap<&'a str, usize>);

impl<'a> Links<'a> {
    fn new(ids: &[&'a str]) -> Self {
        Self(ids.iter().enumerate().rev().map(|(at, id)| (*id, at)).collect())
    }

    /// The cards of these ids that are on the map, other than the card itself.
    fn to(&self, from: usize, ids: &[String]) -> Vec<usize> {
        let found: BTreeSet<usize> = ids.iter().filter_map(|id| self.0.get(id.as_str()).copied()).collect();
        found.into_iter().filter(|&to| to != from).collect()
    }

    /// Puts each pair of connected cards at the later of the two, unless one needs the other.
    fn join<'s>(&self, cards: &mut [MapCard], see: impl Fn(usize) -> Vec<&'s str>) {
        let mut pairs = BTreeSet::new();
        for at in 0..cards.len() {
            let others = see(at).into_iter().filter_map(|id| self.0.get(id).copied());
            pairs.extend(others.filter(|&other| other != at).map(|other| (at.max(other), at.min(other))));
        }
        for (later, earlier) in pairs {
            if !cards[later].needs.contains(&earlier) && !cards[earlier].needs.contains(&later) {
                cards[later].see.push(earlier);
            }
        }
    }
}
