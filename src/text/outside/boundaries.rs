//! Words and sentences against the test files of Unicode's UAX #29.

use crate::text::{sentences, words};

/// The segments of each line of a test file, in its own notation.
fn cases(text: &str) -> Vec<Vec<String>> {
    let sign = |code: &str| u32::from_str_radix(code, 16).ok().and_then(char::from_u32).expect("a code point");
    let segment = |codes: &str| codes.split('×').map(|code| sign(code.trim())).collect::<String>();
    let line = |line: &str| line.trim().trim_matches('÷').split('÷').map(segment).collect();
    text.lines().filter(|line| !line.starts_with('#')).map(line).collect()
}

#[test]
fn words_are_those_of_uax_29() {
    let cases = cases(include_str!("../../../tests/data/outside/unicode/WordBreakTest.txt"));
    assert!(cases.len() > 1_900, "{}", cases.len());
    for segments in cases {
        let text = segments.concat();
        // A word is a segment that holds a letter or a digit.
        let wanted: Vec<&String> =
            segments.iter().filter(|segment| segment.chars().any(char::is_alphanumeric)).collect();
        assert_eq!(words(&text).collect::<Vec<_>>(), wanted, "{text:?}");
    }
}

/// Where school prose is cut otherwise than Unicode's rules cut, and why.
const OTHERWISE: [(&str, &str); 1] =
    [("etc.\u{5b83}", "`etc.` ends a sentence only before a capital letter, so that `rain, snow etc. fall` is one")];

#[test]
fn sentences_are_those_of_uax_29_but_for_abbreviations() {
    let cases = cases(include_str!("../../../tests/data/outside/unicode/SentenceBreakTest.txt"));
    assert!(cases.len() > 500, "{}", cases.len());
    let mut met = Vec::new();
    let mut differ = Vec::new();
    for segments in cases {
        let text = segments.concat();
        let wanted: Vec<&str> = segments.iter().map(|segment| segment.trim()).filter(|part| !part.is_empty()).collect();
        let found: Vec<&str> = sentences(&text).into_iter().map(|range| &text[range]).collect();
        match OTHERWISE.iter().find(|(line, _)| *line == text) {
            Some((line, _)) if found != wanted => met.push(*line),
            _ if found != wanted => differ.push(format!("{text:?}: {found:?}, not {wanted:?}")),
            _ => {}
        }
    }
    assert!(differ.is_empty(), "{} differ\n{}", differ.len(), differ.join("\n"));
    assert_eq!(met.len(), OTHERWISE.len(), "an exception that is none: only {met:?}");
}
