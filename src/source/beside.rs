//! The stretch of the notes that is shown beside a card.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use crate::notes::Section;
use crate::text::{sentences, words};

/// So many words are shown whole.
const SHORT: usize = 60;

/// The passage to read beside what `said` holds: the whole section when it is short, else the sentences of
/// it that have most of those words, with a mark where more stands. `None` when the section says nothing.
pub fn beside(section: &Section, said: &[String]) -> Option<String> {
    if section.word_count() <= SHORT {
        return Some(section.text()).filter(|text| !text.is_empty());
    }
    let wanted: BTreeSet<String> = said.iter().flat_map(|text| words(text).map(str::to_lowercase)).collect();
    let score = |text: &str| {
        words(text).map(str::to_lowercase).filter(|word| wanted.contains(word)).collect::<BTreeSet<_>>().len()
    };
    let best = section.passages.iter().max_by_key(|passage| (score(&passage.text), Reverse(passage.at)));
    best.map(|passage| nearest(&passage.text, score))
}

/// The shortest run of sentences that has most of the words: eleven proposals are not read with a page of
/// notes beside each card.
fn nearest(passage: &str, score: impl Fn(&str) -> usize) -> String {
    let all = sentences(passage);
    let runs = (0..all.len()).flat_map(|first| (first..all.len()).map(move |last| (first, last)));
    let text = |(first, last): (usize, usize)| &passage[all[first].start..all[last].end];
    let length = |run| words(text(run)).count();
    let fits = |run: &(usize, usize)| run.0 == run.1 || length(*run) <= SHORT;
    let best = runs.filter(fits).max_by_key(|run| (score(text(*run)), Reverse(length(*run)), Reverse(run.0)));
    let Some(run) = best else { return passage.to_owned() };
    let before = if run.0 > 0 { "… " } else { "" };
    let after = if run.1 + 1 < all.len() { " …" } else { "" };
    format!("{before}{}{after}", text(run).trim())
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

    #[test]
    fn of_a_long_paragraph_the_sentences_that_matter() {
        let long = format!(
            "# Wind\n\n{}A gale is force 8. It starts at 34 knots. {}\n",
            "Air moves. ".repeat(30),
            "Air rests. ".repeat(30)
        );
        assert_eq!(shown(&long, "A gale is force 8.").as_deref(), Some("… A gale is force 8. …"));
        assert_eq!(
            shown(&long, "A gale starts at 34 knots.").as_deref(),
            Some("… A gale is force 8. It starts at 34 knots. …")
        );
        let one = format!("# Wind\n\nA gale {}\n", "blows and ".repeat(70));
        assert!(shown(&one, "gale").is_some_and(|text| !text.contains('…')));
    }
}
