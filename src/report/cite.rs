//! Sources that were found for cards, as people read them.

use super::words::{counted, cut, harmless};
use crate::source::{Citation, Cite, CitedPassage};

/// All cards, each with what was found, and a last line that counts them.
pub fn text(citations: &[Citation], width: usize) -> String {
    let mut text = String::new();
    for citation in citations {
        text.push_str(&card(citation, width));
        text.push('\n');
    }
    let complete = citations.iter().filter(|citation| citation.is_complete()).count();
    text.push_str(&match (citations.len(), complete) {
        (0, _) => "every card has its source and quote\n".to_owned(),
        (all, complete) => {
            let cards = counted(all, "card has", "cards have");
            format!(
                "{cards} no source or quote; the notes support {}\n",
                match complete {
                    0 => "none".to_owned(),
                    complete if complete == all => "all".to_owned(),
                    complete => complete.to_string(),
                }
            )
        }
    });
    text
}

fn card(citation: &Citation, width: usize) -> String {
    let id = if citation.card.is_empty() { "(a card without id)" } else { &citation.card };
    let mut text = format!("{} in {}\n", harmless(id), harmless(&citation.deck));
    citation.questions.iter().for_each(|cite| text.push_str(&question(cite, width)));
    text
}

fn question(cite: &Cite, width: usize) -> String {
    let room = width.saturating_sub(14).max(30);
    let line = |name: &str, value: &str| format!("  {name:10}{}\n", cut(&harmless(value), room));
    let mut text = line("question:", &cite.question) + &line("answer:", &cite.answer);
    match (&cite.passage, &cite.runner_up) {
        (Some(found), next) => {
            text.push_str(&format!("  supported by {}\n", passage(found)));
            if let Some(next) = next {
                text.push_str(&format!("  runner-up: {}\n", passage(next)));
            }
        }
        (None, Some(near)) => {
            text.push_str("  nothing in the notes supports this card\n");
            text.push_str(&format!("  nearest: {}\n", passage(near)));
        }
        (None, None) => text.push_str("  nothing in the notes supports this card, and nothing comes near\n"),
    }
    text
}

fn passage(passage: &CitedPassage) -> String {
    let CitedPassage { source, text, path, line, strength } = passage;
    format!("{} (strength {strength:.2}), {}:{line}\n    {}", harmless(source), harmless(path), harmless(text))
}
