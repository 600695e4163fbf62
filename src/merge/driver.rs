//! Three versions of a deck's text in, one out: what git's merge driver does.

mod shared;

use rayon::prelude::*;

use super::deck::merge_decks;
use super::ids::Renamed;
use super::label::Labels;
use super::manner::{self, MARK};
use super::remarks::lead_with_remarks;
use crate::deck::Value;
use crate::deck::outline::{CardText, DeckText, FieldText, deck_text, drop_last_line_end, outline};

/// A merged deck as text.
#[derive(Clone, Debug)]
pub struct MergedText {
    /// The text.
    pub text: String,
    /// Card and field of what somebody has to decide; the card is empty for the deck's own fields.
    pub undecided: Vec<(String, String)>,
    /// Cards that got a free id.
    pub renamed: Vec<Renamed>,
}

/// Merges the texts of one deck card by card; `None` when one of them cannot be read as a deck, so
/// that only lines can be merged.
///
/// An empty base stands for a deck that both sides added.
pub fn merge_texts(base: &str, sides: &[&str], labels: &Labels<'_>) -> Option<MergedText> {
    let mut changed: Vec<&str> = sides.iter().copied().filter(|side| *side != base).collect();
    changed.dedup();
    let taken = |text: &str| MergedText { text: text.to_owned(), undecided: Vec::new(), renamed: Vec::new() };
    match changed.as_slice() {
        [] => return Some(taken(base)),
        [one] => return Some(taken(one)),
        _ => {}
    }
    let (manner, texts) = manner::alike(base, sides);
    let (base, sides) = (&*texts[0], texts[1..].iter().map(|text| &**text).collect::<Vec<_>>());
    let mut merged = shared::merge(base, &sides, labels).or_else(|| merge_whole(base, &sides, labels))?;
    if manner.mark {
        merged.text.insert(0, MARK);
    }
    Some(merged)
}

/// Merges texts of one manner, all cards of which are read.
fn merge_whole(base: &str, sides: &[&str], labels: &Labels<'_>) -> Option<MergedText> {
    // Of a field that is written twice, one value would be lost; lines lose neither.
    let read = |text: &&str| outline(text).map(DeckText::with_fields_first);
    let (parts, base_parts) = rayon::join(
        || sides.par_iter().map(read).collect::<Option<Vec<DeckText>>>(),
        || (!base.trim().is_empty()).then(|| read(&base)),
    );
    let parts = parts?;
    let base_parts = base_parts.unwrap_or_else(|| Some(empty_like(&parts[0])))?;
    let merged = merge_decks(&base_parts, &parts.iter().collect::<Vec<_>>(), labels);
    let mut text = deck_text(&merged.parts);
    end_as_before(&mut text, base, sides);
    let text = sound(text, &merged.parts);
    Some(MergedText { text, undecided: merged.undecided, renamed: merged.renamed })
}

/// The base of a deck that was added by all sides: nothing in it.
pub(super) fn empty_like(deck: &DeckText) -> DeckText {
    DeckText {
        head: String::new(),
        fields: Vec::new(),
        cards_line: deck.cards_line.clone(),
        cards: Vec::new(),
        tail: String::new(),
        newline: deck.newline,
    }
}

/// A missing last line end is taken over when a side took it away, or nobody has one.
pub(super) fn end_as_before(text: &mut String, base: &str, sides: &[&str]) {
    let ends = |text: &str| text.is_empty() || text.ends_with('\n');
    let changed = sides.iter().any(|side| ends(side) != ends(base));
    let wanted = if changed { !ends(base) } else { ends(base) };
    if !wanted && sides.iter().any(|side| !ends(side)) {
        drop_last_line_end(text);
    } else if wanted && !ends(text) {
        text.push_str(if text.contains("\r\n") { "\r\n" } else { "\n" });
    }
}

/// `text`, or the parts written anew where it does not read back as them.
pub(super) fn sound(text: String, parts: &DeckText) -> String {
    if reads_back(&text, parts) { text } else { anew(parts) }
}

/// Whether the text says what the parts say.
fn reads_back(text: &str, parts: &DeckText) -> bool {
    let says = |read: &CardText, card: &CardText| match card.field(shared::LINES) {
        // It was not taken apart.
        Some(_) => (&read.id, &read.raw) == (&card.id, &card.raw),
        None => read.id == card.id && alike(&read.fields, &card.fields),
    };
    outline(text).is_some_and(|read| {
        read.fields.iter().map(said).eq(parts.fields.iter().map(said))
            && read.cards.len() == parts.cards.len()
            && read.cards.iter().zip(&parts.cards).all(|(read, card)| says(read, card))
    })
}

fn said(field: &FieldText) -> (&str, &Value) {
    (&field.name, &field.value)
}

/// Whether fields, none of which stands twice, say the same in whatever order.
fn alike(one: &[FieldText], other: &[FieldText]) -> bool {
    one.len() == other.len() && one.iter().all(|field| other.iter().any(|other| said(other) == said(field)))
}

/// The deck written anew in our own style, for the case that its typed parts don't fit together.
fn anew(parts: &DeckText) -> String {
    let mut parts = parts.clone();
    parts.cards_line = if parts.cards.is_empty() { "cards: []\n" } else { "cards:\n" }.to_owned();
    let of_cards = parts.cards.iter_mut().flat_map(|card| {
        card.raw.clear();
        &mut card.fields
    });
    for field in parts.fields.iter_mut().chain(of_cards) {
        field.lead = lead_with_remarks(field);
        field.text.clear();
    }
    deck_text(&parts)
}

#[cfg(test)]
mod styles;

#[cfg(test)]
mod tests {
    use super::super::label::Label;
    use super::*;

    const BASE: &str = "title: T\nyear: 8\ncards:\n  - id: a\n    question: QA\n    answer: A\n\n  # about b\n  - id: b\n    question: QB\n    answer: B # sic\n";

    fn label(side: usize, _: &str, _: &str) -> Label {
        Label { side: ["ours", "theirs"][side].to_owned(), by: Some(["Ada", "Ben"][side].to_owned()), when: None }
    }

    #[track_caller]
    fn merged(base: &str, ours: &str, theirs: &str) -> MergedText {
        merge_texts(base, &[ours, theirs], &label).expect("readable")
    }

    /// Links that follow new ids are written anew on both sides; one side's were taken for the other's.
    #[test]
    fn links_that_follow_new_ids_on_both_sides_are_all_kept() {
        let deck = |one: &str, other: &str, needs: &str| {
            format!(
                "title: T\nyear: 8\ncards:\n  - id: a\n    question: {one}?\n    answer: x\n  - id: b\n    question: B?\n    answer: y\n    needs: [{needs}]\n  - id: c\n    question: {other}?\n    answer: z\n"
            )
        };
        let (ours, theirs) = (deck("A1", "C2", "a, c"), deck("A2", "C1", "a"));
        let label = |side: usize, _: &str, _: &str| crate::merge::Label {
            side: ["ours", "theirs"][side].to_owned(),
            ..Default::default()
        };
        for sides in [[&*ours, &*theirs], [&*theirs, &*ours]] {
            let merged = merge_texts("", &sides, &label).expect("readable");
            assert!(merged.text.contains("    needs: [a, a-2, c-2]\n"), "{}", merged.text);
        }
    }

    #[test]
    fn a_deck_that_loses_its_last_cards_on_two_sides_stays_a_deck() {
        let head = "title: T\nyear: 8\n";
        let card = |id: &str| format!("  - id: {id}\n    question: Q\n    answer: A\n");
        let base = format!("{head}cards: # all\n{}{}", card("a"), card("b"));
        let [ours, theirs] = ["a", "b"].map(|id| format!("{head}cards: # all\n{}", card(id)));
        assert_eq!(merged(&base, &ours, &theirs).text, format!("{head}cards: [] # all\n"));
        let (none, one) = (format!("{head}cards: []\n"), format!("# T\n{head}cards: []\n"));
        assert_eq!(merged(&none, &one, &base).text, format!("# T\n{base}"));
    }

    #[test]
    fn a_side_saved_with_other_line_ends_and_a_mark_merges_all_the_same() {
        let base = format!("# head\n---\n{BASE}");
        let ours = format!("\u{feff}{}", base.replace('\n', "\r\n"));
        let theirs = base.replace("# head", "# our head").replace("QA", "Why?");
        let expected = format!("\u{feff}{}", theirs.replace('\n', "\r\n"));
        assert_eq!(merged(&base, &ours, &theirs).text, expected);
        assert_eq!(merged(&base, &theirs, &ours).text, expected);
    }

    #[test]
    fn a_field_behind_the_cards_is_a_field_all_the_same() {
        let base = "title: T\ncards:\n  - id: a\n    question: Q\n    answer: A\nyear: 8\n";
        let merged = merged(base, &base.replace("year: 8", "year: '8'"), &base.replace("year: 8", "# y\nyear: 9"));
        assert_eq!(merged.text.matches("year:").count(), 1, "{}", merged.text);
        assert!(merged.text.contains("# y\nyear: 9\n"), "{}", merged.text);
    }

    #[test]
    fn cards_added_at_the_same_place_both_stay() {
        let ours = format!("{BASE}\n  - id: c\n    question: QC\n    answer: C\n");
        let theirs = format!("{BASE}\n  - id: d\n    question: QD\n    answer: D\n");
        let both = format!(
            "{BASE}\n  - id: c\n    question: QC\n    answer: C\n\n  - id: d\n    question: QD\n    answer: D\n"
        );
        assert_eq!(merged(BASE, &ours, &theirs).text, both);
        assert_eq!(merged(BASE, &theirs, &ours).text, both);
    }

    #[test]
    fn different_fields_of_one_card_merge() {
        let ours = BASE.replace("question: QB", "question: \"QB2\"");
        let theirs = BASE.replace("answer: B # sic", "answer: B3 # sic\n    tier: extension");
        let result = merged(BASE, &ours, &theirs);
        assert_eq!(result.text, ours.replace("answer: B # sic", "answer: B3 # sic\n    tier: extension"));
        assert!(result.undecided.is_empty());
    }

    #[test]
    fn one_answer_edited_twice_is_undecided_in_a_file_that_can_be_read() {
        let ours = BASE.replace("answer: B # sic", "answer: 34 knots");
        let theirs = BASE.replace("answer: B # sic", "answer: 43 knots");
        let result = merged(BASE, &ours, &theirs);
        assert_eq!(result.undecided, [("b".to_owned(), "answer".to_owned())]);
        let tail = "    answer: B # sic\n    undecided:\n      answer:\n        - side: ours\n          by: Ada\n          value: 34 knots\n        - side: theirs\n          by: Ben\n          value: 43 knots\n";
        assert!(result.text.ends_with(tail), "{}", result.text);
    }

    #[test]
    fn removed_here_and_edited_there_stays_with_both_said() {
        let ours = BASE[..BASE.find("\n  # about b").expect("there")].to_owned();
        let theirs = BASE.replace("answer: B #", "answer: B4 #");
        let result = merged(BASE, &ours, &theirs);
        assert_eq!(result.undecided, [("b".to_owned(), "card".to_owned())]);
        assert!(result.text.contains("answer: B4 # sic") && result.text.contains("removed:"), "{}", result.text);
    }

    #[test]
    fn two_new_cards_with_one_id_are_told_apart_and_links_follow() {
        let ours = format!("{BASE}  - id: n\n    question: First?\n    answer: C\n");
        let theirs = format!(
            "{BASE}  - id: n\n    question: Second?\n    answer: D\n  - id: m\n    question: QM\n    answer: M\n    needs: [n]\n"
        );
        let result = merged(BASE, &ours, &theirs);
        assert!(result.text.contains("- id: n\n    question: First?"), "{}", result.text);
        assert!(result.text.contains("- id: n-2\n    question: Second?"), "{}", result.text);
        assert!(result.text.contains("needs: [n-2]"), "{}", result.text);
        assert_eq!(result.renamed.len(), 1);
    }

    #[test]
    fn one_side_alone_is_taken_byte_for_byte() {
        let theirs = BASE.replace("QA", "QA2").replace("\n\n", "\n\n\n# x\n\n");
        assert_eq!(merged(BASE, BASE, &theirs).text, theirs);
        assert_eq!(merged(BASE, &theirs, BASE).text, theirs);
        assert_eq!(merged(BASE, &theirs, &theirs).text, theirs);
    }

    #[test]
    fn line_ends_blocks_and_a_missing_last_line_end_survive() {
        let base = BASE.replace("answer: A\n", "answer: |\n      one\n\n      two\n").replace('\n', "\r\n");
        let base = base.trim_end();
        let ours = base.replace("QA", "QA2");
        let theirs = base.replace("QB", "QB2");
        assert_eq!(merged(base, &ours, &theirs).text, ours.replace("QB", "QB2"));
    }

    #[test]
    fn a_field_written_twice_is_left_to_lines() {
        let ours = BASE.replace("answer: A\n", "answer: A\n    answer: A2\n");
        assert!(merge_texts(BASE, &[&ours, &BASE.replace("QB", "QB2")], &label).is_none());
    }

    #[test]
    fn what_cannot_be_read_is_not_merged_by_cards() {
        assert!(merge_texts(BASE, &["cards: [", "x: y"], &label).is_none());
    }
}
