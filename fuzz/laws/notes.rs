//! Any text is notes, and every section, passage and sentence lies where it says.

use deckle::notes::{Notes, Section};
use deckle::source::{find_exactly, key_statements};

/// Reads an input as notes.
///
/// # Panics
///
/// When the law is broken.
pub fn holds(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    let notes = Notes::read(&text);
    assert_eq!(notes, Notes::read(&text));
    let mut end = 0;
    for section in notes.sections() {
        assert!(section.span.start >= end && text.get(section.span.clone()).is_some(), "{section:?}");
        assert!(text.get(section.heading_span.clone()).is_some(), "{section:?}");
        assert!(notes.section(&section.anchor).is_some(), "{section:?}");
        end = section.span.end;
        passages_lie_in(section, &text);
        statements_are_found(section);
    }
}

fn passages_lie_in(section: &Section, text: &str) {
    for passage in &section.passages {
        assert_eq!(section.as_text().get(passage.at..passage.at + passage.text.len()), Some(&*passage.text));
        for sentence in passage.sentences() {
            let place = passage.place_of(sentence.clone());
            assert!(text.get(place.clone()).is_some(), "{sentence:?} is at {place:?} in {section:?}");
            assert!(section.span.start <= place.start && place.end <= section.span.end, "{place:?} in {section:?}");
            let whole = section.place_of(passage.at + sentence.start..passage.at + sentence.end);
            assert!(text.get(whole.clone()).is_some(), "{sentence:?} is at {whole:?} in {section:?}");
        }
        let marked = passage.strong.iter().chain(&passage.cells);
        marked.for_each(|range| assert!(passage.text.get(range.clone()).is_some(), "{range:?} in {passage:?}"));
    }
}

fn statements_are_found(section: &Section) {
    for statement in key_statements(section) {
        let said = statement.text(section);
        if let Some(range) = find_exactly(section, said) {
            assert!(section.as_text().get(range.clone()).is_some(), "{range:?} in {section:?}");
        }
    }
}
