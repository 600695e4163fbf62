//! Deciding what a merge left undecided.

use indexmap::IndexMap;

use super::remarks::lead_with_remarks;
use crate::deck::Value;
use crate::deck::outline::{
    CardText, DeckText, FieldText, card_text, deck_text, drop_last_line_end, outline, place_of, written,
};

/// Which value to take.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Choice {
    /// That of a side: `ours`, `theirs`, a branch or a person.
    Side(String),
    /// All of them, for lists and answers.
    Both,
    /// Another text.
    Text(String),
}

impl Choice {
    /// The choice that `word` stands for on a card whose undecided versions are `versions`.
    pub fn from_word(word: &str, versions: &Value) -> Self {
        let wanted = word.trim().to_lowercase();
        let fits = |said: String| {
            let said = said.to_lowercase();
            said == wanted || said.split([' ', ',']).any(|part| part == wanted)
        };
        let named = |version: &Value| {
            ["side", "by"].iter().any(|name| version.get(name).is_some_and(|value| fits(value.line())))
        };
        match wanted.as_str() {
            "ours" | "theirs" => Choice::Side(wanted),
            "both" => Choice::Both,
            _ if versions.as_list().unwrap_or_default().iter().any(named) => Choice::Side(wanted),
            _ => Choice::Text(word.to_owned()),
        }
    }
}

/// Why something could not be settled.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
pub enum SettleError {
    /// The deck's text cannot be taken apart.
    #[error("the deck cannot be read; put right first what `deckle check` says about it")]
    Unreadable,
    /// Nothing of that name is undecided.
    #[error("`{field}` of `{owner}` is not undecided")]
    NotUndecided {
        /// The card, or the deck.
        owner: String,
        /// The field.
        field: String,
    },
    /// No version of that name.
    #[error("no version of `{field}` is from `{side}`; there are versions from {known}")]
    NoSide {
        /// The field.
        field: String,
        /// What was asked for.
        side: String,
        /// What there is.
        known: String,
    },
    /// Both cannot be kept in one field.
    #[error("`{0}` holds one text, so both cannot be kept; give the text that it should have")]
    NotBoth(String),
    /// Nothing is no value.
    #[error("give the text that it should have, or one of the sides")]
    Empty,
    /// A whole card is there or not.
    #[error("a whole card stays or goes: take one of the sides")]
    NoText,
}

/// The text of a deck with one undecided field of a card settled; `card` is empty for a field of the
/// deck itself. Everything else stays as it was typed.
///
/// # Errors
///
/// When nothing of that name is undecided, or the choice does not fit it.
pub fn settle(text: &str, card: &str, field: &str, choice: &Choice) -> Result<String, SettleError> {
    if field == "deck" {
        return stay(text, card);
    }
    let mut parts = outline(text).ok_or(SettleError::Unreadable)?;
    let missing = || SettleError::NotUndecided {
        owner: if card.is_empty() { "the deck" } else { card }.to_owned(),
        field: field.to_owned(),
    };
    if card.is_empty() {
        let decided = decide(&parts.fields, field, choice)?.ok_or_else(missing)?;
        take(&mut parts.fields, field, decided);
        return Ok(ended_as(text, deck_text(&parts)));
    }
    let at = parts.cards.iter().position(|known| known.id == card).ok_or_else(missing)?;
    let decided = decide(&parts.cards[at].fields, field, choice)?.ok_or_else(missing)?;
    if field == "card" {
        keep_or_remove(&mut parts, at, decided);
    } else {
        take(&mut parts.cards[at].fields, field, decided);
        rewrite(&mut parts, at);
    }
    Ok(ended_as(text, deck_text(&parts)))
}

/// The text of a deck whose name, or one of whose cards' place in it, is settled: it stays where it is.
fn stay(text: &str, card: &str) -> Result<String, SettleError> {
    let mut parts = outline(text).ok_or(SettleError::Unreadable)?;
    if card.is_empty() {
        drop_undecided(&mut parts.fields, "deck");
    } else if let Some(at) = parts.cards.iter().position(|known| known.id == card) {
        drop_undecided(&mut parts.cards[at].fields, "deck");
        rewrite(&mut parts, at);
    }
    Ok(ended_as(text, deck_text(&parts)))
}

/// The texts of two decks with a card moved from the first to the end of the second; whether the card
/// belongs there is then no longer undecided.
///
/// # Errors
///
/// When one of them cannot be read, or there is no such card.
pub fn move_card(from: &str, to: &str, card: &str) -> Result<(String, String), SettleError> {
    let mut source = outline(from).ok_or(SettleError::Unreadable)?;
    let mut target = outline(to).ok_or(SettleError::Unreadable)?;
    let missing = || SettleError::NotUndecided { owner: card.to_owned(), field: "deck".to_owned() };
    let at = source.cards.iter().position(|known| known.id == card).ok_or_else(missing)?;
    let mut moved = source.cards.remove(at);
    drop_undecided(&mut moved.fields, "deck");
    moved.raw.clear();
    let newline = source.newline;
    moved.lead = moved.lead.replace(newline, target.newline);
    if source.cards.is_empty() {
        source.cards_line = source.cards_line.replacen("cards:", "cards: []", 1);
    }
    if target.cards.is_empty() {
        target.cards_line = target.cards_line.replacen(": []", ":", 1);
    }
    // Whoever was stopped between the two files finds it there already.
    if target.card(card).is_none_or(|there| there.values() != moved.values()) {
        target.cards.push(moved);
    }
    Ok((ended_as(from, deck_text(&source)), ended_as(to, deck_text(&target))))
}

/// The text of a deck in which links to a card follow its new id; `None` when none does.
///
/// # Errors
///
/// When the deck cannot be read.
pub fn follow_id(text: &str, from: &str, to: &str) -> Result<Option<String>, SettleError> {
    if !text.contains(from) {
        return Ok(None);
    }
    let mut parts = outline(text).ok_or(SettleError::Unreadable)?;
    let is_old = |link: &Value| link.as_text() == Some(from);
    let mut changed = false;
    for at in 0..parts.cards.len() {
        for name in ["needs", "see"] {
            let Some(links) = parts.cards[at].value(name).and_then(Value::as_list) else { continue };
            if !links.iter().any(is_old) {
                continue;
            }
            let links = links.iter().map(|link| if is_old(link) { Value::from(to) } else { link.clone() });
            let value = Value::List(links.collect());
            put(&mut parts.cards[at].fields, name, Some(value));
            rewrite(&mut parts, at);
            changed = true;
        }
    }
    Ok(changed.then(|| ended_as(text, deck_text(&parts))))
}

/// The id that a choice stands for.
///
/// # Errors
///
/// When no version is from the side that was chosen, or there is none to take.
pub fn chosen_id(versions: &[Value], choice: &Choice) -> Result<String, SettleError> {
    let id = match choice {
        Choice::Side(side) => of_side(versions, "id", side)?.map(|id| id.line()),
        Choice::Both => return Err(SettleError::NotBoth("id".to_owned())),
        Choice::Text(id) => Some(id.trim().to_owned()),
    };
    id.filter(|id| !id.is_empty()).ok_or(SettleError::Empty)
}

/// Which deck a choice stands for; `None` inside when the deck goes.
///
/// # Errors
///
/// When no version is from the side that was chosen.
pub fn chosen_deck(versions: &[Value], choice: &Choice) -> Result<Option<String>, SettleError> {
    match choice {
        Choice::Side(side) => Ok(of_side(versions, "deck", side)?.map(|deck| deck.line())),
        Choice::Both => Err(SettleError::NotBoth("deck".to_owned())),
        Choice::Text(deck) => Ok(Some(deck.clone())),
    }
}

/// The decided value: `None` inside when the field goes. `None` outside when it is not undecided.
fn decide(fields: &[FieldText], field: &str, choice: &Choice) -> Result<Option<Option<Value>>, SettleError> {
    let undecided = fields.iter().find(|field| field.name == "undecided");
    let Some(versions) = undecided.and_then(|undecided| undecided.value.get(field)?.as_list()) else { return Ok(None) };
    let value = match choice {
        Choice::Side(side) => of_side(versions, field, side)?,
        Choice::Both => Some(both(versions, field)?),
        Choice::Text(_) if field == "card" => return Err(SettleError::NoText),
        Choice::Text(text) if text.trim().chars().count() < 1 => return Err(SettleError::Empty),
        Choice::Text(text) => Some(as_field_holds(field, text)),
    };
    Ok(Some(value))
}

fn of_side(versions: &[Value], field: &str, side: &str) -> Result<Option<Value>, SettleError> {
    let side = side.to_lowercase();
    let says = |version: &&Value, name: &str| {
        let said = version.get(name).map(|value| value.line().to_lowercase()).unwrap_or_default();
        said == side || said.split([' ', ',']).any(|part| part == side)
    };
    let found: Vec<&Value> = versions.iter().filter(|version| says(version, "side") || says(version, "by")).collect();
    match found.as_slice() {
        [version] => Ok(version.get("value").cloned()),
        _ => {
            let known = versions.iter().filter_map(|version| Some(format!("`{}`", version.get("side")?.line())));
            let known = known.collect::<Vec<_>>().join(", ");
            Err(SettleError::NoSide { field: field.to_owned(), side, known })
        }
    }
}

/// Both versions of an answer or a quote as points of one list; lists joined.
fn both(versions: &[Value], field: &str) -> Result<Value, SettleError> {
    let holds_list = crate::deck::fields::card_field(field).is_some_and(|field| {
        matches!(field.holds, crate::deck::fields::Holds::List | crate::deck::fields::Holds::TextOrList)
    });
    let values: Vec<&Value> = versions.iter().filter_map(|version| version.get("value")).collect();
    if !holds_list && !values.iter().all(|value| value.as_list().is_some()) {
        return Err(if field == "card" { SettleError::NoText } else { SettleError::NotBoth(field.to_owned()) });
    }
    let mut items: Vec<Value> = Vec::new();
    for value in values {
        let more = value.as_list().map_or_else(|| vec![value.clone()], <[Value]>::to_vec);
        for item in more {
            if !items.contains(&item) {
                items.push(item);
            }
        }
    }
    Ok(Value::List(items))
}

fn as_field_holds(field: &str, text: &str) -> Value {
    let holds = crate::deck::fields::card_field(field).map(|field| field.holds);
    if holds == Some(crate::deck::fields::Holds::List) {
        return Value::List(text.split(',').map(|item| Value::from(item.trim())).collect());
    }
    Value::from(text)
}

/// Puts the decided value into its field and takes the field off the undecided ones.
fn take(fields: &mut Vec<FieldText>, field: &str, decided: Option<Value>) {
    put(fields, field, decided);
    drop_undecided(fields, field);
}

fn put(fields: &mut Vec<FieldText>, field: &str, decided: Option<Value>) {
    let at = fields.iter().position(|known| known.name == field);
    match (at, decided) {
        (Some(at), Some(value)) if fields[at].value == value => {}
        (Some(at), Some(value)) => {
            fields[at] = FieldText { lead: lead_with_remarks(&fields[at]), ..written(field, &value) };
        }
        (None, Some(value)) => {
            let at = place_of(field, fields);
            fields.insert(at, written(field, &value));
        }
        (Some(at), None) => _ = fields.remove(at),
        (None, None) => {}
    }
}

fn drop_undecided(fields: &mut Vec<FieldText>, field: &str) {
    let Some(at) = fields.iter().position(|known| known.name == "undecided") else { return };
    let mut left: IndexMap<String, Value> = fields[at].value.as_map().cloned().unwrap_or_default();
    left.shift_remove(field);
    let lead = lead_with_remarks(&fields[at]);
    if left.is_empty() {
        fields.remove(at);
        // What was remarked about the versions stays with the field, or where it would be.
        let place = place_of(field, fields).min(fields.len().saturating_sub(1));
        let there = fields.iter().position(|known| known.name == field).unwrap_or(place);
        if let Some(field) = fields.get_mut(there).filter(|_| !lead.trim().is_empty()) {
            field.lead.push_str(&lead);
        }
    } else {
        fields[at] = FieldText { lead, ..written("undecided", &Value::Map(left)) };
    }
}

fn keep_or_remove(parts: &mut DeckText, at: usize, decided: Option<Value>) {
    if decided.is_none() {
        parts.cards.remove(at);
        return;
    }
    drop_undecided(&mut parts.cards[at].fields, "card");
    rewrite(parts, at);
}

fn rewrite(parts: &mut DeckText, at: usize) {
    let newline = parts.newline;
    let card: &mut CardText = &mut parts.cards[at];
    card.raw = card_text(card, card.dash, newline);
}

fn ended_as(before: &str, mut text: String) -> String {
    if !before.ends_with('\n') {
        drop_last_line_end(&mut text);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    const DECK: &str = "cards:\n  - id: gale\n    question: Q\n    # sure?\n    answer: 30 knots\n    undecided:\n      answer:\n        - side: ours\n          by: Ada\n          value: 34 knots\n        - side: theirs\n          by: Ben\n          value: 43 knots\n      caution:\n        - side: ours\n          removed: true\n        - side: theirs\n          value: Mind\n  - id: z\n    answer: Z # as is\n";

    fn settled(field: &str, word: &str) -> Result<String, SettleError> {
        let choice = Choice::from_word(word, &Value::List(Vec::new()));
        settle(DECK, "gale", field, &choice)
    }

    #[test]
    fn a_side_is_taken_and_the_rest_stays_undecided() {
        let text = settled("answer", "theirs").expect("settled");
        let expected = DECK.replace("answer: 30 knots", "answer: 43 knots");
        let start = expected.find("      answer:\n").expect("there");
        let end = expected.find("      caution:").expect("there");
        assert_eq!(text, expected[..start].to_owned() + &expected[end..]);
        let text = settle(&text, "gale", "caution", &Choice::Side("ours".into())).expect("settled");
        assert_eq!(
            text,
            "cards:\n  - id: gale\n    question: Q\n    # sure?\n    answer: 43 knots\n  - id: z\n    answer: Z # as is\n"
        );
    }

    #[test]
    fn a_text_both_or_nothing() {
        assert!(settled("answer", "34 to 40 knots").expect("settled").contains("answer: 34 to 40 knots\n"));
        assert!(settled("answer", "both").expect("settled").contains("answer:\n      - 34 knots\n      - 43 knots\n"));
        assert!(matches!(settled("question", "ours"), Err(SettleError::NotUndecided { .. })));
        assert_eq!(settled("caution", "both"), Err(SettleError::NotBoth("caution".into())));
    }

    #[test]
    fn a_card_moves_to_the_deck_that_was_chosen_and_takes_its_lines_along() {
        let open = "    undecided:\n      deck:\n        - side: ada\n          value: year-8/coasts\n        - side: ben\n          value: year-8/rivers\n";
        let from =
            format!("title: Coasts\ncards:\n  # on waves\n  - id: fetch\n    question: Q # why\n    answer: A\n{open}");
        let to = "title: Rivers\r\ncards:\r\n- id: ford\r\n  answer: B\r\n";
        let (left, there) = move_card(&from, to, "fetch").expect("moved");
        assert_eq!(left, "title: Coasts\ncards: []\n");
        assert_eq!(there, format!("{to}  # on waves\r\n- id: fetch\r\n  question: Q # why\r\n  answer: A\r\n"));
        assert_eq!(settle(&from, "fetch", "deck", &Choice::Side("ada".into())).expect("stays"), from.replace(open, ""));
        let versions =
            [Value::Map([("side".to_owned(), "ben".into()), ("value".to_owned(), "year-8/rivers".into())].into())];
        assert_eq!(chosen_deck(&versions, &Choice::Side("ben".into())), Ok(Some("year-8/rivers".to_owned())));
    }

    #[test]
    fn a_removed_card_goes_and_an_edited_one_stays() {
        let deck = "cards:\n  - id: a\n    answer: A\n    undecided:\n      card:\n        - side: ours\n          removed: true\n        - side: theirs\n          value:\n            id: a\n  - id: b\n    answer: B\n";
        let side = |side: &str| settle(deck, "a", "card", &Choice::Side(side.into())).expect("settled");
        assert_eq!(side("ours"), "cards:\n  - id: b\n    answer: B\n");
        assert_eq!(side("theirs"), "cards:\n  - id: a\n    answer: A\n  - id: b\n    answer: B\n");
    }
}
