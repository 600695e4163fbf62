//! What happened to single cards.

use std::collections::BTreeMap;

use super::fields::{FieldChange, field_changes};
use super::model::{CardChange, What};
use super::pairs::At;
use super::values::{Values, values_as_typed};
use crate::deck::outline::{CardText, outline};
use crate::deck::{Deck, Value};

/// The cards of a deck as they were typed, by id; none of a deck that cannot be taken apart, and none
/// of an id that stands twice.
#[derive(Debug, Default)]
pub(super) struct Typed {
    cards: BTreeMap<String, Option<CardText>>,
}

impl Typed {
    pub(super) fn read(deck: &Deck) -> Self {
        let cards = outline(&deck.file.text).map(|parts| parts.cards).unwrap_or_default();
        let mut typed = Self::default();
        for card in cards {
            let twice = typed.cards.contains_key(&card.id);
            typed.cards.insert(card.id.clone(), (!twice && !card.id.is_empty()).then_some(card));
        }
        typed
    }

    fn card(&self, at: &At<'_>) -> Option<&CardText> {
        self.cards.get(at.card.id.value.as_str())?.as_ref()
    }

    fn values(&self, at: &At<'_>) -> Values {
        values_as_typed(at.card, self.card(at))
    }
}

/// Whether both are written alike, with the remark above them.
fn same_text(before: (&At<'_>, &Typed), now: (&At<'_>, &Typed)) -> bool {
    match (before.1.card(before.0), now.1.card(now.0)) {
        (Some(before), Some(now)) => {
            before.lead.trim_start() == now.lead.trim_start() && before.raw.trim_end() == now.raw.trim_end()
        }
        _ => own_text(before.0) == own_text(now.0),
    }
}

fn own_text<'a>(at: &At<'a>) -> &'a str {
    at.card.span.of(&at.deck.file.text).trim_end()
}

/// What happened to a card that is in both.
#[derive(Debug)]
pub(super) enum Kept {
    /// Something that its fields say, or its deck.
    Changed(CardChange),
    /// It is written in another way.
    Reformatted,
    /// Nothing.
    Same,
}

/// What happened to a card that is in both.
pub(super) fn kept(before: (&At<'_>, &Typed), now: (&At<'_>, &Typed)) -> Kept {
    let moved = before.0.home != now.0.home;
    if !moved && same_text(before, now) {
        return Kept::Same;
    }
    let ((before, typed_before), (now, typed_now)) = (before, now);
    let (mut was, mut is) = (typed_before.values(before), typed_now.values(now));
    let (old_id, new_id) = (&before.card.id.value, &now.card.id.value);
    if old_id != new_id {
        was.insert("id".to_owned(), Value::from(old_id.as_str()));
        is.insert("id".to_owned(), Value::from(new_id.as_str()));
    }
    let fields = field_changes(&was, &is);
    let what = match (moved, fields.is_empty()) {
        (true, true) => What::Moved,
        (true, false) => What::MovedAndEdited,
        (false, false) => What::Edited,
        (false, true) => return Kept::Reformatted,
    };
    let from = moved.then(|| before.deck.name.clone());
    let effect = fields.iter().map(|field| field.effect).min();
    Kept::Changed(CardChange { from, fields, effect, ..change(now, what) })
}

/// A card that is new.
pub(super) fn added(at: &At<'_>, typed: &Typed) -> CardChange {
    CardChange { fields: field_changes(&Values::new(), &typed.values(at)), ..change(at, What::Added) }
}

/// A card that is gone.
pub(super) fn removed(at: &At<'_>, typed: &Typed) -> CardChange {
    let fields: Vec<FieldChange> = field_changes(&typed.values(at), &Values::new());
    CardChange { fields, ..change(at, What::Removed) }
}

fn change(at: &At<'_>, what: What) -> CardChange {
    CardChange {
        id: at.card.id.value.to_string(),
        question: at.card.own().question.value.to_string(),
        what,
        from: None,
        fields: Vec::new(),
        effect: None,
        passage: None,
    }
}
