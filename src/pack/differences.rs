//! What is different between two editions of a pack, for those who hold the one before.

use std::collections::BTreeMap;

use serde::Serialize;

use super::model::{Pack, PackCard, PackPicture, PackQuestion};
use crate::change::{Effect, FieldChange, Values, field_changes};
use crate::deck::Value;

/// What is different between two editions.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Differences {
    /// Cards of which a fact was put right: learn them again.
    pub corrected: Vec<Changed>,
    /// Cards that say the same in other words.
    pub reworded: Vec<Changed>,
    /// Cards of which something else differs: pictures, links, the caution.
    pub otherwise: Vec<Changed>,
    /// Cards that were not there before.
    pub new: Vec<Numbered>,
    /// Cards that are no longer there, with their numbers of the edition before.
    pub withdrawn: Vec<Numbered>,
    /// Cards that are in another topic; those may be among the corrected ones, too.
    pub moved: Vec<Moved>,
    /// Topics that are called something else: before, now.
    pub retitled: Vec<(String, String)>,
    /// Topics that are taught on another day.
    pub rescheduled: Vec<Rescheduled>,
    /// Runs of cards with another number.
    pub renumbered: Vec<Renumbered>,
}

/// A card that is different.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Changed {
    /// The card as it is now.
    pub card: Numbered,
    /// Its number in the edition before.
    pub before: usize,
    /// What differs.
    pub fields: Vec<FieldChange>,
}

/// A card with its number.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Numbered {
    /// Its number.
    pub number: usize,
    /// Its id.
    pub id: String,
    /// Its topic.
    pub topic: String,
    /// What it asks.
    pub question: String,
}

/// A card in another topic.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Moved {
    /// The card as it is now.
    pub card: Numbered,
    /// Its number in the edition before.
    pub before: usize,
    /// Its topic in the edition before.
    pub from: String,
}

/// A topic that is taught on another day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Rescheduled {
    /// The topic.
    pub topic: String,
    /// The day before, when there was one.
    pub before: Option<String>,
    /// The day now, when there is one.
    pub now: Option<String>,
}

/// Cards that follow each other in both editions, with other numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Renumbered {
    /// The first one's number in the edition before.
    pub before: usize,
    /// Its number now.
    pub now: usize,
    /// How many there are.
    pub count: usize,
}

impl Differences {
    /// Whether a pupil would see none.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// What is different for those who learn from the cards: whatever a pupil sees or can use. Where a
/// card was taken from, its tags and its waivers do not count.
pub fn differences(before: &Pack, now: &Pack) -> Differences {
    let (was, is) = (by_id(before), by_id(now));
    let mut found = Differences::default();
    for card in &now.cards {
        match was.get(card.id.as_str()) {
            Some(old) => compare(old, card, &mut found),
            None => found.new.push(numbered(card)),
        }
    }
    let gone = before.cards.iter().filter(|card| !is.contains_key(card.id.as_str()));
    found.withdrawn = gone.map(numbered).collect();
    found.retitled = retitled(before, now);
    found.rescheduled = rescheduled(before, now);
    found.renumbered = renumbered(&was, now);
    found
}

fn by_id(pack: &Pack) -> BTreeMap<&str, &PackCard> {
    pack.cards.iter().map(|card| (card.id.as_str(), card)).collect()
}

fn compare(old: &PackCard, card: &PackCard, found: &mut Differences) {
    if old.deck != card.deck && old.topic != card.topic {
        found.moved.push(Moved { card: numbered(card), before: old.number, from: old.topic.clone() });
    }
    let fields = field_changes(&seen(old), &seen(card));
    let Some(effect) = fields.iter().map(|field| field.effect).min() else { return };
    let kind = match effect {
        Effect::Fact => &mut found.corrected,
        Effect::Wording => &mut found.reworded,
        _ => &mut found.otherwise,
    };
    kind.push(Changed { card: numbered(card), before: old.number, fields });
}

/// What a pupil sees of a card.
fn seen(card: &PackCard) -> Values {
    let mut values = card.own().map(question).unwrap_or_default();
    let also = card.questions.iter().skip(1).map(|also| Value::Map(question(also))).collect();
    put(&mut values, "also", list(also));
    put(&mut values, "both_ways", card.both_ways.then(|| Value::from("true")));
    put(&mut values, "needs", texts(&card.needs));
    put(&mut values, "see", texts(&card.see));
    put(&mut values, "pictures", list(card.pictures.iter().map(picture).collect()));
    put(&mut values, "tier", Some(Value::from(card.tier.word())));
    put(&mut values, "caution", card.caution.as_deref().map(Value::from));
    values
}

fn question(question: &PackQuestion) -> Values {
    let mut values = Values::new();
    put(&mut values, "question", Some(Value::from(question.question.as_str())));
    let answer = match question.answer.as_slice() {
        [one] => Some(Value::from(one.as_str())),
        points => texts(points),
    };
    put(&mut values, "answer", answer);
    put(&mut values, "ordered", question.ordered.then(|| Value::from("true")));
    put(&mut values, "accept", texts(&question.accept));
    values
}

fn picture(picture: &PackPicture) -> Value {
    let mut values = Values::new();
    // The picture itself counts, not where it lies.
    let shown = picture.sha256.as_ref().unwrap_or(&picture.file);
    put(&mut values, "file", Some(Value::from(shown.as_str())));
    put(&mut values, "side", Some(Value::from(picture.side.word())));
    for (name, value) in [("alt", &picture.alt), ("credit", &picture.credit), ("licence", &picture.licence)] {
        put(&mut values, name, value.as_deref().map(Value::from));
    }
    Value::Map(values)
}

fn put(values: &mut Values, name: &str, value: Option<Value>) {
    values.extend(value.map(|value| (name.to_owned(), value)));
}

fn texts(texts: &[String]) -> Option<Value> {
    list(texts.iter().map(|text| Value::from(text.as_str())).collect())
}

fn list(items: Vec<Value>) -> Option<Value> {
    (!items.is_empty()).then_some(Value::List(items))
}

fn numbered(card: &PackCard) -> Numbered {
    Numbered {
        number: card.number,
        id: card.id.clone(),
        topic: card.topic.clone(),
        question: card.question().to_owned(),
    }
}

fn retitled(before: &Pack, now: &Pack) -> Vec<(String, String)> {
    let title = |deck: &str| before.topics.iter().find(|topic| topic.deck == deck).map(|topic| &topic.title);
    let differ = now.topics.iter().filter_map(|topic| Some((title(&topic.deck)?.clone(), topic.title.clone())));
    differ.filter(|(before, now)| before != now).collect()
}

fn rescheduled(before: &Pack, now: &Pack) -> Vec<Rescheduled> {
    let day = |deck: &str| before.topics.iter().find(|topic| topic.deck == deck).map(|topic| topic.taught_on.clone());
    let differ = now.topics.iter().filter_map(|topic| {
        Some(Rescheduled { topic: topic.title.clone(), before: day(&topic.deck)?, now: topic.taught_on.clone() })
    });
    differ.filter(|topic| topic.before != topic.now).collect()
}

fn renumbered(before: &BTreeMap<&str, &PackCard>, now: &Pack) -> Vec<Renumbered> {
    let mut runs: Vec<Renumbered> = Vec::new();
    for card in &now.cards {
        let Some(old) = before.get(card.id.as_str()).filter(|old| old.number != card.number) else { continue };
        match runs.last_mut() {
            Some(run) if run.before + run.count == old.number && run.now + run.count == card.number => run.count += 1,
            _ => runs.push(Renumbered { before: old.number, now: card.number, count: 1 }),
        }
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pack::support::{card, pack};

    #[test]
    fn what_was_put_right_is_told_from_what_was_reworded() {
        let before = pack(vec![card("a", "Q1?", "34 knots"), card("b", "Q2?", "The rain"), card("c", "Q3?", "c")]);
        let mut other = card("c", "Q3?", "c");
        other.caution = Some("Hot".to_owned());
        let now = pack(vec![card("a", "Q1?", "35 knots"), card("b", "Q2?", "Rain"), other]);
        let found = differences(&before, &now);
        assert_eq!((found.corrected[0].card.number, found.reworded[0].card.number), (1, 2));
        assert_eq!(found.otherwise[0].fields[0].field, "caution");
        assert!(found.new.is_empty() && found.renumbered.is_empty() && found.moved.is_empty());
    }

    #[test]
    fn cards_come_go_and_move_and_the_rest_get_other_numbers() {
        let before = pack(vec![card("a", "A?", "a"), card("b", "B?", "b"), card("c", "C?", "c"), card("d", "D?", "d")]);
        let mut moved = card("a", "A?", "a");
        (moved.deck, moved.topic) = ("coasts".to_owned(), "Coasts".to_owned());
        let now = pack(vec![card("n", "N?", "n"), card("b", "B?", "b"), card("c", "C?", "c"), moved]);
        let found = differences(&before, &now);
        let ids = |cards: &[Numbered]| cards.iter().map(|card| (card.id.clone(), card.number)).collect::<Vec<_>>();
        assert_eq!(ids(&found.new), [("n".to_owned(), 1)]);
        assert_eq!(ids(&found.withdrawn), [("d".to_owned(), 4)]);
        assert_eq!((found.moved[0].before, found.moved[0].card.number, found.moved[0].from.as_str()), (1, 4, "Rivers"));
        assert_eq!(found.renumbered, [Renumbered { before: 1, now: 4, count: 1 }]);
        let shifted =
            pack(vec![card("n", "N?", "n"), card("a", "A?", "a"), card("b", "B?", "b"), card("d", "D?", "d")]);
        let runs = differences(&before, &shifted).renumbered;
        assert_eq!(runs, [Renumbered { before: 1, now: 2, count: 2 }]);
    }

    #[test]
    fn what_pupils_do_not_see_does_not_count() {
        let before = pack(vec![card("a", "A?", "a")]);
        let mut same = card("a", "A?", "a");
        same.tags = vec!["x".to_owned()];
        same.questions[0].quote = vec!["another passage".to_owned()];
        same.allow.insert("giveaway".to_owned(), "why".to_owned());
        assert!(differences(&before, &pack(vec![same])).is_empty());
        let mut retitled = pack(vec![card("a", "A?", "a")]);
        retitled.topics[0].title = "Great rivers".to_owned();
        assert_eq!(differences(&before, &retitled).retitled.len(), 1);
    }

    #[test]
    fn another_day_in_the_scheme_is_something_new() {
        let before = pack(vec![card("a", "A?", "a")]);
        let mut later = before.clone();
        later.topics[0].taught_on = Some("2026-10-05".to_owned());
        let found = differences(&before, &later);
        let expected = Rescheduled { topic: "Rivers".to_owned(), before: None, now: Some("2026-10-05".to_owned()) };
        assert_eq!(found.rescheduled, [expected]);
        assert!(!found.is_empty() && differences(&later, &later).is_empty());
    }
}
