//! Tests of comparing departments.

use proptest::prelude::*;

use super::*;
use crate::change::support::{card, decks, department, files};
use crate::change::{Effect, NotesState, Review};

/// Everything that changed, a line each.
fn told(before: &Department, now: &Department) -> Vec<String> {
    lines(&changes(before, now))
}

fn lines(changes: &Changes) -> Vec<String> {
    let mut lines = Vec::new();
    for deck in &changes.decks {
        let from = deck.from.as_ref().map_or_else(String::new, |from| format!(" from {from}"));
        lines.push(format!(
            "{} {:?}{from} reordered {} reformatted {}{}",
            deck.deck,
            deck.state,
            deck.reordered,
            deck.reformatted,
            if deck.layout_only { " layout" } else { "" }
        ));
        lines.extend(deck.fields.iter().map(|field| format!("  {}", field.field)));
        for card in &deck.cards {
            let from = card.from.as_ref().map_or_else(String::new, |from| format!(" from {from}"));
            let effect = card.effect.map_or("-", Effect::word);
            let fields: Vec<&str> = card.fields.iter().map(|field| field.field.as_str()).collect();
            lines.push(format!("  {} {:?}{from} {effect} {}", card.id, card.what, fields.join(" ")));
        }
    }
    lines
}

fn pair(id: &str) -> String {
    card(id, &format!("What is {id}?"), &format!("The answer of {id}"))
}

fn all(ids: &[&str]) -> String {
    ids.iter().map(|id| pair(id)).collect()
}

#[test]
fn nothing_changed() {
    let one = decks(&[("a", &all(&["x", "y"]))]);
    let other = decks(&[("a", &all(&["x", "y"]))]);
    assert!(changes(&one, &other).is_empty());
}

#[test]
fn added_removed_and_edited_cards() {
    let before = decks(&[("a", &all(&["x", "y", "z"]))]);
    let edited = card("y", "What is y?", "Another answer of y");
    let now = decks(&[("a", &(pair("new") + &pair("x") + &edited))]);
    assert_eq!(
        told(&before, &now),
        [
            "a Kept reordered 0 reformatted 0",
            "  new Added - question answer",
            "  y Edited fact answer",
            "  z Removed - question answer",
        ]
    );
    assert_eq!(
        told(&now, &before),
        [
            "a Kept reordered 0 reformatted 0",
            "  y Edited fact answer",
            "  z Added - question answer",
            "  new Removed - question answer",
        ]
    );
}

#[test]
fn a_card_that_moved_is_one_change() {
    let before = decks(&[("a", &all(&["x", "y"])), ("b", &all(&["z"]))]);
    let edited = card("y", "What is y?", "the answers of Y");
    let now = decks(&[("a", ""), ("b", &(pair("x") + &pair("z") + &edited))]);
    assert_eq!(
        told(&before, &now),
        ["b Kept reordered 0 reformatted 0", "  x Moved from a - ", "  y MovedAndEdited from a wording answer",]
    );
    let counts = changes(&before, &now).counts();
    assert_eq!((counts.moved, counts.edited, counts.facts, counts.added, counts.removed), (2, 1, 0, 0, 0));
}

#[test]
fn a_deck_with_another_name_keeps_its_cards() {
    let before = decks(&[("a", &all(&["x", "y", "z"]))]);
    let now = decks(&[("b", &all(&["x", "z"])), ("c", &all(&["y", "n", "m"]))]);
    assert_eq!(
        told(&before, &now),
        [
            "b Renamed from a reordered 0 reformatted 0",
            "  title",
            "c Added reordered 0 reformatted 0",
            "  y Moved from a - ",
            "  n Added - question answer",
            "  m Added - question answer",
        ]
    );
    let split = decks(&[("b", &all(&["x"])), ("c", &all(&["y", "z", "n", "m", "o"]))]);
    assert_eq!(told(&before, &split)[0], "a Removed reordered 0 reformatted 0");
}

#[test]
fn order_and_layout_are_counted() {
    let before = decks(&[("a", &all(&["x", "y", "z"]))]);
    let now = decks(&[("a", &all(&["y", "z", "x"]))]);
    assert_eq!(told(&before, &now), ["a Kept reordered 1 reformatted 0"]);
    let quoted = card("y", "'What is y?'", "\"The answer of y\"");
    let now = decks(&[("a", &(pair("x") + &quoted + "    # a remark\n" + &pair("z")))]);
    assert_eq!(told(&before, &now), ["a Kept reordered 0 reformatted 1"]);
    let now = decks(&[("a", &(all(&["x", "y", "z"]) + "# a remark at the end\n"))]);
    assert_eq!(told(&before, &now), ["a Kept reordered 0 reformatted 0 layout"]);
}

#[test]
fn sets_have_no_order() {
    let tagged = |tags: &str| pair("x") + &format!("    tags: {tags}\n");
    let before = decks(&[("a", &tagged("[p, q]"))]);
    assert_eq!(told(&before, &decks(&[("a", &tagged("[q, p]"))])), ["a Kept reordered 0 reformatted 1"]);
    assert_eq!(told(&before, &decks(&[("a", &tagged("[q]"))]))[1], "  x Edited other tags");
}

#[test]
fn cards_of_one_id_are_told_apart() {
    let twins = card("x", "First?", "one") + &card("x", "Second?", "two");
    let before = decks(&[("a", &twins), ("b", &all(&["y"]))]);
    let now = decks(&[("a", &card("x", "Second?", "two")), ("b", &(pair("y") + &card("x", "First?", "one")))]);
    assert_eq!(told(&before, &now), ["b Kept reordered 0 reformatted 0", "  x Moved from a - "]);
    let edited = card("x", "First?", "won") + &card("x", "Second?", "two");
    assert_eq!(told(&before, &decks(&[("a", &edited), ("b", &all(&["y"]))]))[1..], ["  x Edited fact answer"]);
}

#[test]
fn a_card_without_an_id_is_found_by_its_question() {
    let nameless = |answer: &str| format!("  - question: Q?\n    answer: {answer}\n");
    let before = decks(&[("a", &nameless("one"))]);
    assert_eq!(
        told(&before, &decks(&[("a", &(pair("x") + &nameless("two")))]))[1..],
        ["  x Added - question answer", "   Edited fact answer",]
    );
}

#[test]
fn an_unreadable_deck_falls_back_to_what_could_be_read() {
    let before = decks(&[("a", &all(&["x", "y"]))]);
    let broken = pair("x") + "  - id: y\n    question: Which: this?\n    answer: The answer of y\n";
    let told = told(&before, &decks(&[("a", &broken)]));
    assert!(told[1].starts_with("  y Edited") && told.len() == 2, "{told:?}");
}

const SETTINGS: (&str, &str) = ("decks/department.yaml", "department: G\nschool: S\nyears: [8]\nleads: [a@b.c]\n");

fn with_notes(notes: &str, picture: &str) -> Department {
    let cards = pair("x") + "    source: notes.md#wind\n    pictures:\n      - file: a.svg\n        alt: A picture\n";
    let deck = format!("title: A\nyear: 8\ncards:\n{cards}{}    source: notes.md#rain\n", pair("y"));
    let paths = ["decks/a/cards.yaml", "decks/a/notes.md", "decks/a/a.svg"];
    department(&files(&[SETTINGS, (paths[0], &deck), (paths[1], notes), (paths[2], picture)]))
}

#[test]
fn sections_of_the_notes_with_the_cards_that_lean_on_them() {
    let before = with_notes("# Wind\n\nA gale has 34 knots.\n\n# Rain\n\nIt falls.\n\n# Fog\n\nIt hangs.\n", "<svg/>");
    let now =
        with_notes("# Wind\n\nA gale has 35 knots.\n\n# Rain\n\nIt *falls*.\n\n# Snow\n\nIt drifts.\n", "<svg />");
    let changes = changes(&before, &now);
    let shown: Vec<_> =
        changes.notes.iter().map(|note| (note.anchor.as_str(), note.state, note.cards.join(" "))).collect();
    assert_eq!(
        shown,
        [
            ("wind", NotesState::Edited, "x".to_owned()),
            ("snow", NotesState::Added, String::new()),
            ("fog", NotesState::Removed, String::new()),
        ]
    );
    assert_eq!(changes.notes[0].words.len(), 4);
    assert_eq!(changes.pictures[0].cards, ["x"]);
    let only_markup =
        with_notes("# Wind\n\nA gale has **34** knots.\n\n# Rain\n\nIt falls.\n\n# Fog\n\nIt hangs.\n", "<svg/>");
    let changes = super::changes(&before, &only_markup);
    assert_eq!((changes.notes.len(), changes.reformatted_files), (0, 1));
}

#[test]
fn settings_by_key() {
    let with = |text: &str| department(&files(&[("decks/department.yaml", text)]));
    let before = with(SETTINGS.1);
    let changes = changes(&before, &with("school: T\ndepartment: G\nyears: ['8']\npolicy: {}\n"));
    let keys: Vec<&str> = changes.settings.iter().map(|setting| setting.key.as_str()).collect();
    assert_eq!(keys, ["school", "policy", "leads"]);
    let layout = super::changes(&before, &with(&format!("# a remark\n{}", SETTINGS.1)));
    assert_eq!((layout.settings.len(), layout.reformatted_files), (0, 1));
}

#[test]
fn a_review_tells_what_is_brought_in_and_cleared() {
    let before = decks(&[("a", &(pair("x") + "  - id: y\n    question: Q?\n"))]);
    let now = decks(&[("a", &(pair("x") + &pair("x")))]);
    let review = Review::new(&before, &now);
    assert_eq!(review.brought_in.iter().map(|finding| finding.rule).collect::<Vec<_>>(), ["duplicate-id"]);
    assert!(review.cleared.iter().any(|finding| finding.rule == "missing-field"));
    assert!(review.brings_in_errors() && !Review::new(&now, &before).cleared.is_empty());
    let other_way = Review::new(&now, &before);
    assert_eq!(other_way.brought_in.len(), review.cleared.len());
}

#[test]
fn the_json_of_a_review_keeps_to_its_schema() {
    let schema: serde_json::Value = serde_json::from_str(include_str!("../../../schema/review.schema.json")).unwrap();
    let validator = jsonschema::draft202012::new(&schema).unwrap();
    let before = with_notes("# Wind\n\nA gale.\n", "<svg/>");
    let now = with_notes("# Wind\n\nA storm.\n\n# Rain\n\nIt falls.\n", "<svg />");
    let other = decks(&[("a", &(pair("x") + "  - id: y\n    question: Q?\n")), ("b", &pair("w"))]);
    for (before, now) in [(&before, &now), (&before, &other), (&other, &before), (&now, &now)] {
        let json = serde_json::to_value(Review::new(before, now)).unwrap();
        let errors: Vec<String> =
            validator.iter_errors(&json).map(|error| format!("{error} at {}", error.instance_path())).collect();
        assert!(errors.is_empty(), "{errors:#?}\n{json:#}");
    }
    let mut strange = serde_json::to_value(Review::new(&before, &other)).unwrap();
    strange["decks"][0]["cards"][0]["what"] = "lost".into();
    assert!(!validator.is_valid(&strange));
}

fn any_department() -> impl Strategy<Value = Vec<Vec<(u8, u8)>>> {
    prop::collection::vec(prop::collection::vec((0u8..12, 0u8..3), 0..6), 3)
}

fn built(shape: &[Vec<(u8, u8)>]) -> Department {
    let texts: Vec<(String, String)> = shape
        .iter()
        .enumerate()
        .map(|(deck, cards)| {
            let card =
                |(id, answer): &(u8, u8)| card(&format!("c{id}"), &format!("Q{id}?"), &format!("Answer {answer}"));
            (format!("d{deck}"), cards.iter().map(card).collect())
        })
        .collect();
    decks(&texts.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect::<Vec<_>>())
}

proptest! {
    #[test]
    fn the_other_way_round_is_the_mirror_image(before in any_department(), now in any_department()) {
        let (before, now) = (built(&before), built(&now));
        let (there, back) = (changes(&before, &now).counts(), changes(&now, &before).counts());
        prop_assert_eq!(there.added, back.removed);
        prop_assert_eq!(there.removed, back.added);
        prop_assert_eq!(there.moved, back.moved);
        prop_assert_eq!(there.edited, back.edited);
        let cards = |department: &Department| department.cards().count();
        prop_assert_eq!(cards(&before) + there.added, cards(&now) + there.removed);
        prop_assert!(changes(&before, &before).is_empty());
    }

    #[test]
    fn the_same_at_any_number_of_threads(before in any_department(), now in any_department()) {
        let (before, now) = (built(&before), built(&now));
        let with = |threads| {
            let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
            pool.install(|| changes(&before, &now))
        };
        prop_assert_eq!(with(1), with(8));
    }
}
