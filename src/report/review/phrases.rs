//! What all forms of a review say in the same words.

use crate::change::{DeckChange, NotesState};
use crate::report::counted;

/// What happened to a section of the notes.
pub fn section(state: NotesState) -> &'static str {
    match state {
        NotesState::Added => "new section",
        NotesState::Removed => "section removed",
        NotesState::Edited => "section edited",
    }
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
