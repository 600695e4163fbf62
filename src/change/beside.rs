//! The passage of the notes beside each card that changed.

use std::collections::BTreeMap;

use super::model::{CardChange, Changes, Passage, What};
use crate::deck::department::join;
use crate::deck::{Card, Deck, Department};
use crate::notes::Notes;
use crate::source::beside;

/// Adds to each card that stands in `now` the passage that it was made from.
pub(super) fn add(changes: &mut Changes, now: &Department) {
    let places: BTreeMap<&str, (&Deck, &Card)> =
        now.cards().map(|(deck, card)| (card.id.value.as_str(), (deck, card))).collect();
    let mut read: BTreeMap<String, Option<Notes>> = BTreeMap::new();
    let cards = changes.decks.iter_mut().flat_map(|deck| &mut deck.cards);
    for change in cards.filter(|change| change.what != What::Removed && !change.id.is_empty()) {
        let Some((deck, card)) = places.get(change.id.as_str()) else { continue };
        change.passage = passage(now, deck, card, change, &mut read);
    }
}

fn passage(
    now: &Department,
    deck: &Deck,
    card: &Card,
    change: &CardChange,
    read: &mut BTreeMap<String, Option<Notes>>,
) -> Option<Passage> {
    // A further question may have a source of its own; the one that changed is the one to look at.
    let further = change.fields.iter().find_map(|field| {
        let number = field.field.strip_prefix("also[")?.split(']').next()?.parse::<usize>().ok()?;
        card.questions.get(number + 1)
    });
    let own_changed = change.fields.iter().any(|field| !field.field.starts_with("also["));
    let question = further.filter(|_| !own_changed).unwrap_or_else(|| card.own());
    let source = card.source_of(question)?;
    let source = source.value.clone();
    let (file, anchor) = source.split_once('#')?;
    let path = join(&deck.folder(), file)?;
    let notes = read
        .entry(path.clone())
        .or_insert_with(|| now.notes.get(&path).map(|file| Notes::read(&file.text)))
        .as_ref()?;
    let mut said: Vec<String> = question.quotes.iter().map(|quote| quote.value.to_string()).collect();
    said.extend(question.answer.points.iter().map(|point| point.value.to_string()));
    said.push(question.question.value.to_string());
    let text = beside(notes.section(anchor)?, &said)?;
    Some(Passage { text, source: source.into() })
}
