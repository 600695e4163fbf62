//! What all forms of a review say in the same words.

use crate::change::{DeckChange, Leaning, NotesChange, NotesState};
use crate::report::counted;

/// What happened to a section of the notes.
pub fn section(state: NotesState) -> &'static str {
    match state {
        NotesState::Added => "new section",
        NotesState::Removed => "section removed",
        NotesState::Edited => "section edited",
    }
}

/// The cards that were made from a section, each with how it stood to the notes and stands to them;
/// those that changed come first.
pub fn leaning(section: &NotesChange) -> Vec<(&str, String)> {
    let said = |leaning: &Leaning| match (leaning.before, leaning.now) {
        (Some(before), Some(now)) if before == now => format!("{now}, as before"),
        (Some(before), Some(now)) => format!("{before} before, {now} now"),
        (None, Some(now)) => format!("new, {now}"),
        (_, None) => String::new(),
    };
    let of_card = |card: &String| section.leaning.iter().find(|leaning| leaning.card == *card);
    let mut cards: Vec<(bool, &str, String)> = (section.cards.iter())
        .map(|card| {
            let leaning = of_card(card);
            let same = leaning.is_none_or(|leaning| leaning.before == leaning.now);
            (same, card.as_str(), leaning.map(said).unwrap_or_default())
        })
        .collect();
    cards.sort_by_key(|(same, _, _)| *same);
    cards.into_iter().map(|(_, card, state)| (card, state)).collect()
}

/// What needs no look, a phrase each.
pub fn quiet(change: &DeckChange) -> Vec<String> {
    let mut phrases = Vec::new();
    if change.reordered > 0 {
        phrases.push(format!("in another place: {}", counted(change.reordered, "card", "cards")));
    }
    if change.reformatted > 0 {
        let cards = counted(change.reformatted, "card", "cards");
        phrases.push(format!("written differently, saying the same: {cards}"));
    }
    if change.layout_only {
        phrases.push("only remarks and layout changed".to_owned());
    }
    phrases
}
