//! What was found, as people read it.

use super::words::{counted, cut, harmless};
use crate::find::{CardHit, Found, Near, NotesHit};

/// At most `most` cards and as many sentences of the notes, the best first.
pub fn text(found: &Found, most: usize, width: usize) -> String {
    let mut text = String::new();
    found.cards.iter().take(most).for_each(|hit| text.push_str(&card(hit, width)));
    if found.cards.len() > most {
        text.push_str(&format!("… and {} more\n", counted(found.cards.len() - most, "card", "cards")));
    }
    if !found.notes.is_empty() {
        text.push_str(if found.cards.is_empty() { "notes\n" } else { "\nnotes\n" });
    }
    found.notes.iter().take(most).for_each(|hit| text.push_str(&passage(hit, width)));
    if found.notes.len() > most {
        text.push_str(&format!("  … and {} more\n", counted(found.notes.len() - most, "sentence", "sentences")));
    }
    text
}

/// The words that stand nowhere, a line each.
pub fn near(near: &[Near]) -> String {
    let line = |Near { word, instead }: &Near| match instead.as_slice() {
        [] => format!("`{}` stands nowhere, and no word is near it\n", harmless(word)),
        words => {
            let words: Vec<_> = words.iter().map(|word| format!("`{}`", harmless(word))).collect();
            format!("`{}` stands nowhere; the nearest: {}\n", harmless(word), words.join(", "))
        }
    };
    near.iter().map(line).collect()
}

fn card(hit: &CardHit, width: usize) -> String {
    let id = if hit.card.is_empty() { "(a card without id)" } else { &hit.card };
    let line = |text: &str| format!("  {}\n", cut(&harmless(text), width.saturating_sub(2).max(30)));
    let place = format!("{}:{}", harmless(&hit.path), hit.line);
    format!("{} in {} ({place})\n{}{}", harmless(id), harmless(&hit.deck), line(&hit.question), line(&hit.answer))
}

fn passage(hit: &NotesHit, width: usize) -> String {
    let heading = if hit.heading.is_empty() { String::new() } else { format!(", {}", harmless(&hit.heading)) };
    let text = cut(&harmless(&hit.text), width.saturating_sub(4).max(30));
    format!("  {}:{}{heading}\n    {text}\n", harmless(&hit.path), hit.line)
}
