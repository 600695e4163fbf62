//! The stretch of the notes that is shown beside a card.

use std::collections::BTreeSet;

use crate::notes::Section;
use crate::text::words;

/// So many words are shown whole.
const SHORT: usize = 60;

/// The passage to read beside what `said` holds: the whole section when it is short, else the part of
/// it that has most of those words. `None` when the section says nothing.
pub fn beside(section: &Section, said: &[String]) -> Option<String> {
    if section.word_count() <= SHORT {
        return Some(section.text()).filter(|text| !text.is_empty());
    }
    let wanted: BTreeSet<String> = said.iter().flat_map(|text| words(text).map(str::to_lowercase)).collect();
    let score = |text: &str| words(text).filter(|word| wanted.contains(&word.to_lowercase())).count();
    let best = section.passages.iter().max_by_key(|passage| (score(&passage.text), std::cmp::Reverse(passage.at)));
    best.map(|passage| passage.text.clone())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::notes::Notes;

    fn shown(notes: &str, said: &str) -> Option<String> {
        beside(Notes::read(notes).section("wind").expect("a section"), &[said.to_owned()])
    }

    #[test]
    fn short_sections_whole_and_of_long_ones_the_nearest_part() {
        assert_eq!(shown("# Wind\n\nIt blows.\n\nIt stops.\n", "").as_deref(), Some("It blows. It stops."));
        let long =
            format!("# Wind\n\n{}\n\nA gale is force 8.\n\n{}\n", "Air moves. ".repeat(20), "Air rests. ".repeat(20));
        assert_eq!(shown(&long, "What force is a gale?").as_deref(), Some("A gale is force 8."));
        assert_eq!(shown("# Wind\n", "a"), None);
    }
}
