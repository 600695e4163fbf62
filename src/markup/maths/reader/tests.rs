//! What the reader refuses, and the bounds it keeps.

use super::*;
use proptest::prelude::*;

#[test]
fn what_is_outside_the_subset_is_told_with_its_place() {
    for (text, about, message, help) in [
        ("a \\foo b", "\\foo", "`\\foo` is not among", "say it in words"),
        ("a \\tims b", "\\tims", "`\\tims` is not among", "did you mean `\\times`?"),
        ("\\dfrac{1}{2}", "\\dfrac", "`\\dfrac` is not", "write `\\frac{a}{b}`"),
        ("\\def\\a{\\a\\a}\\a", "\\def", "`\\def` is not", "make commands of its own"),
        ("\\begin{matrix}", "\\begin", "`\\begin` is not", "a formula is one line"),
        ("\\href{javascript:1}{x}", "\\href", "`\\href` is not", "no links"),
        ("3 * 4", "*", "`*` is not", "write `\\times`"),
        ("x²", "²", "`²` is not", "`x^{2}`"),
        ("2 – 1", "–", "`–` is not", "hyphen"),
        ("größe", "ö", "`ö` is not", "\\text{…}"),
        ("a\u{202e}b", "\u{202e}", "`[U+202E]` is not", "in words"),
        ("\\frac{rise}{run}", "rise", "the letters of `rise`", "put words into `\\text{…}`"),
        ("5 for two", "for", "the letters of `for`", "put words into `\\text{…}`"),
        ("2sin x", "sin", "the letters of `sin`", "write `\\sin`"),
        ("x^10", "^10", "without braces, `^` takes in `1` alone", "write `^{10}`"),
        ("x^-1", "^-1", "without braces, `^` takes in `-` alone", "write `^{-1}`"),
        ("\\frac12", "\\frac12", "without braces, `\\frac` takes in `1` alone", "write `\\frac{a}{b}`"),
        ("\\frac{1}", "\\frac{1}", "something is missing behind `\\frac`", "both parts in braces"),
        ("\\frac{1", "{", "the `{` behind `\\frac` is never closed", "write `}`"),
        ("{1", "{", "`{` is never closed", "write `}`"),
        ("1}", "}", "`}` closes nothing", "take it out"),
        ("\\sqrt[3{x}", "[", "the `[` behind `\\sqrt` is never closed", "\\sqrt[3]{x}"),
        ("x^", "^", "something is missing behind `^`", "x^{2}"),
        ("x^1^2", "^", "two powers hang", "one pair of braces"),
        ("x_1_2", "_", "two indices hang", "one pair of braces"),
        ("\\left( a", "\\left(", "`\\left(` has no `\\right`", "write `\\right`"),
        ("a \\right)", "\\right", "`\\right` has no `\\left`", "write `\\left`"),
        ("\\left a", "\\left a", "no bracket stands behind `\\left`", "write one of"),
        ("\\text{m^2}", "^", "`^` is maths", "close the words first"),
        ("\\text{a \\times b}", "\\times", "`\\times` is maths", "close the words first"),
        ("\\text{km", "\\text", "the `{` behind `\\text` is never closed", "write `}`"),
        ("\\text km", "\\text ", "something is missing behind `\\text`", "`\\text{…}`"),
        ("a \\", "\\", "`\\` is not", "begins the name of a sign"),
        ("\\sqrt\\sqrt\\sqrt\\sqrt\\sqrt\\sqrt\\sqrt\\sqrt\\sqrt\\sqrt\\sqrt\\sqrt\\sqrt 2", "", "more than 12", "two"),
    ] {
        let error = parse(text).expect_err(text);
        assert!(error.message.contains(message), "{text}: {error}");
        assert!(error.help.contains(help), "{text}: {error}");
        let spanned = text.get(error.span.clone()).expect("a place in the formula");
        assert!(about.is_empty() || spanned == about, "{text}: {spanned}");
    }
}

#[test]
fn depth_and_length_are_bounded() {
    for nested in ["{", "x^{", "\\frac{1}{", "\\sqrt{", "\\left(", "\\vec", "\\mathrm{", "\\sqrt[", "x_", "\\frac"] {
        for times in [MAX_DEPTH + 2, 100_000] {
            assert!(parse(&nested.repeat(times)).is_err(), "{nested}");
        }
    }
    assert!(parse(&"X".repeat(MAX_BYTES)).is_ok());
    assert!(parse(&"X".repeat(MAX_BYTES + 1)).expect_err("too long").message.contains("too long"));
    let nested = |levels: usize| format!("{}x{}", "\\sqrt{".repeat(levels), "}".repeat(levels));
    assert!(parse(&nested(MAX_DEPTH - 1)).is_ok());
    assert!(parse(&nested(MAX_DEPTH)).is_err());
}

/// The levels of rows and the number of terms.
fn size(row: &[Term]) -> (usize, usize) {
    let (mut deepest, mut terms) = (0, row.len());
    let mut add = |row: &[Term]| {
        let (depth, inside) = size(row);
        deepest = deepest.max(depth);
        terms += inside;
    };
    for term in row {
        match term {
            Term::Fraction { over, under } => [over, under].into_iter().for_each(|row| add(row)),
            Term::Root { of, degree } => [of].into_iter().chain(degree).for_each(|row| add(row)),
            Term::Scripts { base, sub, sup } => {
                add(std::slice::from_ref(base));
                sub.iter().chain(sup).for_each(|row| add(row));
            }
            Term::Over { of: inner, .. } | Term::Fence { inner, .. } | Term::Group(inner) => add(inner),
            _ => {}
        }
    }
    (deepest + 1, terms)
}

fn is_within_bounds(text: &str) -> Result<(), TestCaseError> {
    match parse(text) {
        Ok(row) => {
            let (depth, terms) = size(&row);
            // A term with scripts counts as a row of its own here.
            prop_assert!(depth <= 2 * MAX_DEPTH && terms <= 2 * text.len(), "{depth} {terms}");
        }
        Err(error) => {
            prop_assert!(text.get(error.span.clone()).is_some(), "{error:?}");
            prop_assert!(!error.message.ends_with('.') && !error.help.is_empty());
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,60}|[\u{0}-\u{ff}]{0,40}") {
        is_within_bounds(&text)?;
    }

    #[test]
    fn any_maths_is_read_or_refused(text in "(\\\\(frac|sqrt|text|mathrm|vec|bar|left|right|times|circ|mu|sin|,|\\{)|[{}\\[\\]()^_|'a1m2 .,+=%~\\\\-]){0,60}") {
        is_within_bounds(&text)?;
    }
}
