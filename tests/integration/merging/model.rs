//! Random decks and random edits: a model of a deck that renders itself as a person would type it, and
//! what a merge of such decks should be.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;

use super::department::Department;
use super::oracle;

/// A card of the model: fields in order, and a comment above it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Card {
    pub id: String,
    pub comment: Option<String>,
    pub fields: BTreeMap<&'static str, Vec<String>>,
}

/// A deck of the model.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Deck {
    pub title: String,
    pub cards: Vec<Card>,
    pub style: Style,
}

/// How the deck is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Style {
    pub crlf: bool,
    pub last_line_end: bool,
    pub blank_between: bool,
    pub dash: usize,
}

/// An edit that a teacher makes; numbers are taken modulo what there is.
#[derive(Clone, Debug)]
pub enum Edit {
    Set {
        card: usize,
        field: usize,
        text: usize,
    },
    Unset {
        card: usize,
        field: usize,
    },
    Link {
        card: usize,
        to: usize,
    },
    Unlink {
        card: usize,
    },
    Add {
        at: usize,
        name: usize,
    },
    Delete {
        card: usize,
    },
    Move {
        card: usize,
        to: usize,
    },
    Comment {
        card: usize,
        text: usize,
    },
    /// A card gets another id, and the links to it follow; some of the names everybody may take.
    Rename {
        card: usize,
        name: usize,
        shared: bool,
    },
}

pub const FIELDS: [&str; 4] = ["question", "answer", "caution", "quote"];

/// Texts that are hard to keep: quotes, colons, signs, lines, other alphabets.
pub const TEXTS: [&str; 14] = [
    "plain words",
    "with: a colon",
    "a # sign",
    "it's \"quoted\"",
    "- dash",
    "34 knots",
    "8",
    "true",
    "first line\nsecond line",
    "trailing colon:",
    "Größe – ½ ζ",
    "<<<<<<< ours",
    "=======",
    "$\\frac{a}{b}$",
];

pub fn base() -> impl Strategy<Value = Deck> {
    let style = (any::<bool>(), any::<bool>(), any::<bool>(), 0..3usize)
        .prop_map(|(crlf, last_line_end, blank_between, dash)| Style { crlf, last_line_end, blank_between, dash });
    (2..7usize, style, prop::collection::vec(edit(), 0..8)).prop_map(|(count, style, edits)| {
        let mut deck = Deck {
            title: "T".to_owned(),
            cards: (0..count).map(|at| new_card(&format!("card-{at}"), at)).collect(),
            style,
        };
        for edit in edits {
            apply(&mut deck, &edit, "base");
        }
        deck
    })
}

pub fn script() -> impl Strategy<Value = Vec<Edit>> {
    prop::collection::vec(edit(), 0..6)
}

pub fn edit() -> impl Strategy<Value = Edit> {
    let n = 0..40usize;
    prop_oneof![
        4 => (n.clone(), 0..FIELDS.len(), 0..TEXTS.len()).prop_map(|(card, field, text)| Edit::Set { card, field, text }),
        1 => (n.clone(), 2..FIELDS.len()).prop_map(|(card, field)| Edit::Unset { card, field }),
        2 => (n.clone(), n.clone()).prop_map(|(card, to)| Edit::Link { card, to }),
        1 => n.clone().prop_map(|card| Edit::Unlink { card }),
        3 => (n.clone(), 0..3usize).prop_map(|(at, name)| Edit::Add { at, name }),
        1 => n.clone().prop_map(|card| Edit::Delete { card }),
        1 => (n.clone(), n.clone()).prop_map(|(card, to)| Edit::Move { card, to }),
        1 => (n.clone(), 0..5usize).prop_map(|(card, text)| Edit::Comment { card, text }),
        1 => (n, 0..2usize, any::<bool>()).prop_map(|(card, name, shared)| Edit::Rename { card, name, shared }),
    ]
}

pub fn edited(base: &Deck, script: &[Edit], who: &str) -> Deck {
    let mut deck = base.clone();
    for edit in script {
        apply(&mut deck, edit, who);
    }
    deck
}

pub fn apply(deck: &mut Deck, edit: &Edit, who: &str) {
    let count = deck.cards.len();
    match *edit {
        Edit::Add { at, name } => {
            // A name of its own for each teacher, so that ids never collide by chance here.
            let id = format!("new-{who}-{name}");
            if deck.cards.iter().all(|card| card.id != id) {
                let card = new_card(&id, name + 100);
                deck.cards.insert(at % (count + 1), card);
            }
        }
        _ if count == 0 => {}
        Edit::Set { card, field, text } => {
            let text = TEXTS[text].to_owned();
            deck.cards[card % count].fields.insert(FIELDS[field], vec![text]);
        }
        Edit::Unset { card, field } => _ = deck.cards[card % count].fields.remove(FIELDS[field]),
        Edit::Link { card, to } => {
            let links = deck.cards[card % count].fields.entry("needs").or_default();
            let to = format!("card-{}", to % 9);
            if !links.contains(&to) {
                links.push(to);
            }
        }
        Edit::Unlink { card } => {
            let fields = &mut deck.cards[card % count].fields;
            if let Some(links) = fields.get_mut("needs") {
                links.pop();
            }
            if fields.get("needs").is_some_and(Vec::is_empty) {
                fields.remove("needs");
            }
        }
        Edit::Delete { card } => _ = deck.cards.remove(card % count),
        Edit::Move { card, to } => {
            let card = deck.cards.remove(card % count);
            deck.cards.insert(to % count, card);
        }
        Edit::Rename { card, name, shared } => {
            if let Some((old, new)) = new_id(deck, card, name, shared, who) {
                deck.cards[card % count].id.clone_from(&new);
                follow(deck, &old, &new);
            }
        }
        Edit::Comment { card, text } => {
            deck.cards[card % count].comment = (text > 0).then(|| format!("remark {text} of {who}"))
        }
    }
}

/// The id that a card has and the one that it would get; nothing when that one is there already.
pub fn new_id(deck: &Deck, card: usize, name: usize, shared: bool, who: &str) -> Option<(String, String)> {
    let old = deck.cards.get(card % deck.cards.len().max(1))?.id.clone();
    let new = if shared { format!("called-{old}-{name}") } else { format!("called-{old}-{who}-{name}") };
    deck.cards.iter().all(|card| card.id != new).then_some((old, new))
}

/// Links to a card follow its new id.
pub fn follow(deck: &mut Deck, old: &str, new: &str) {
    let links = deck.cards.iter_mut().filter_map(|card| card.fields.get_mut("needs")).flatten();
    links.filter(|link| *link == old).for_each(|link| new.clone_into(link));
}

pub fn new_card(id: &str, number: usize) -> Card {
    let fields = [("question", format!("Question {number}?")), ("answer", TEXTS[number % TEXTS.len()].to_owned())];
    Card { id: id.to_owned(), comment: None, fields: fields.map(|(name, text)| (name, vec![text])).into() }
}

/// The deck as a person would type it.
pub fn render(deck: &Deck) -> String {
    let mut text = format!("# A deck\ntitle: {}\nyear: 8\ncards:\n", deck.title);
    let dash = " ".repeat(deck.style.dash);
    for (at, card) in deck.cards.iter().enumerate() {
        if deck.style.blank_between && at > 0 {
            text.push('\n');
        }
        if let Some(comment) = &card.comment {
            text.push_str(&format!("{dash}# {comment}\n"));
        }
        text.push_str(&format!("{dash}- id: {}\n", card.id));
        for (name, values) in &card.fields {
            text.push_str(&render_field(name, values, deck.style.dash + 2));
        }
    }
    if deck.cards.is_empty() {
        text = text.replace("cards:", "cards: []");
    }
    if !deck.style.last_line_end {
        text.truncate(text.trim_end_matches('\n').len());
    }
    if deck.style.crlf { text.replace('\n', "\r\n") } else { text }
}

fn render_field(name: &str, values: &[String], indent: usize) -> String {
    let pad = " ".repeat(indent);
    if name == "needs" {
        return format!("{pad}needs: [{}]\n", values.join(", "));
    }
    let text = &values[0];
    if text.contains('\n') {
        let lines: Vec<_> = text.lines().map(|line| format!("{pad}  {line}\n")).collect();
        return format!("{pad}{name}: |-\n{}", lines.concat());
    }
    let plain = text.starts_with(|c: char| c.is_alphanumeric()) && !text.contains([':', '#']);
    let written = if plain { text.clone() } else { format!("'{}'", text.replace('\'', "''")) };
    format!("{pad}{name}: {written}\n")
}

/// What the cards are after a merge, as the design says it, field by field.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Expected {
    /// Cards by id with the fields that are decided.
    pub cards: BTreeMap<String, BTreeMap<&'static str, Vec<String>>>,
    /// Card and field of what is undecided, with its values.
    pub undecided: BTreeMap<(String, String), BTreeSet<Option<Vec<String>>>>,
}

/// The oracle: the department's, for departments of one deck.
pub fn oracle(base: &Deck, ours: &Deck, theirs: &Deck) -> Expected {
    let department = |deck: &Deck| Department::from([(String::new(), deck.clone())]);
    let expected = oracle::oracle(&department(base), &[department(ours), department(theirs)]);
    let fields = |fields: BTreeMap<String, Vec<String>>| {
        let name = |name: &str| FIELDS.into_iter().chain(["needs"]).find(|known| *known == name).expect("a field");
        fields.into_iter().map(|(field, value)| (name(&field), value)).collect()
    };
    Expected {
        cards: expected.cards.into_iter().map(|(id, (_, values))| (id, fields(values))).collect(),
        undecided: expected.undecided,
    }
}
