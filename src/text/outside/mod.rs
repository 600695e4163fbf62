//! The language work held against the work of others: conversions of units, number words, stems, and
//! the boundaries of words and sentences.

mod boundaries;

use super::lex::lex;
use super::numeral::{Form, numeral_at};
use super::plain::plain;
use super::stem::snowball;
use super::value::{Value, value_at};
use super::{Number, unit};

fn rows(text: &'static str, mark: char) -> Vec<Vec<&'static str>> {
    text.lines().filter(|line| !line.starts_with('#')).map(|line| line.split(mark).collect()).collect()
}

#[test]
fn conversions_agree_with_pint() {
    let number = |text: &str| match text.split_once('/') {
        Some((top, bottom)) => Number::decimal(top).and_then(|top| top.over(Number::decimal(bottom)?)),
        None => Number::decimal(text),
    };
    let rows = rows(include_str!("../../../tests/data/outside/conversions.txt"), '|');
    assert!(rows.len() > 200);
    for row in rows {
        let quantity = |value, name| Value::Quantity {
            number: number(value).unwrap(),
            form: Form::Cardinal,
            unit: Some(unit(name).unwrap_or_else(|| panic!("no unit {name}"))),
        };
        let (one, other) = (quantity(row[0], row[1]), quantity(row[2], row[3]));
        assert!(one.is_said_by(&other), "{row:?}");
        let more = quantity(&format!("{}1", row[0]), row[1]);
        assert!(!more.is_said_by(&other), "{row:?}");
    }
}

#[test]
fn conversions_are_read_in_text() {
    for row in rows(include_str!("../../../tests/data/outside/conversions.txt"), '|')
        .iter()
        .filter(|row| !row[2].contains('/'))
    {
        let value = |number: &str, unit: &str| {
            let text = plain(&format!("{number} {unit}"));
            let pieces = lex(&text);
            let (value, len) = value_at(&pieces, 0).unwrap();
            assert_eq!(len, pieces.len(), "{text}");
            value
        };
        assert!(value(row[0], row[1]).is_said_by(&value(row[2], row[3])), "{row:?}");
    }
}

#[test]
fn number_words_agree_with_num2words() {
    for row in rows(include_str!("../../../tests/data/outside/number-words.txt"), '|') {
        let wanted = Number::decimal(row[0]).unwrap();
        for (text, form) in [(row[1], Form::Cardinal), (row[2], Form::Ordinal)] {
            // Commas between the groups are not said.
            let text = text.replace(',', "");
            let pieces = lex(&text);
            let found = numeral_at(&pieces, 0);
            let whole = found.filter(|found| found.len == pieces.len());
            if row[0] == "0" && form == Form::Ordinal {
                continue;
            }
            assert_eq!(whole.map(|found| (found.value, found.form)), Some((wanted, form)), "{text}");
        }
    }
}

/// All of the vocabulary that the Snowball project publishes with its English stemmer.
#[test]
fn stems_agree_with_the_published_vocabulary() {
    let rows = rows(include_str!("../../../tests/data/outside/snowball-vocabulary.txt"), ' ');
    let differ: Vec<&Vec<&str>> = rows.iter().filter(|row| snowball(row[0]) != row[1]).collect();
    assert!(rows.len() > 29_000);
    assert!(differ.is_empty(), "{} of {}: {:?}", differ.len(), rows.len(), &differ[..differ.len().min(10)]);
}

#[test]
fn stems_agree_with_snowball() {
    let rows = rows(include_str!("../../../tests/data/outside/stems.txt"), ' ');
    let differ: Vec<&Vec<&str>> = rows.iter().filter(|row| snowball(row[0]) != row[1]).collect();
    assert!(rows.len() > 2_000);
    assert!(differ.is_empty(), "{} of {}: {:?}", differ.len(), rows.len(), &differ[..differ.len().min(10)]);
}
