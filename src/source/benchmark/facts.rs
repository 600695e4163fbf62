//! The open data that the cards are made from: countries and elements.

/// A country, from GeoNames.
pub(super) struct Country {
    pub(super) name: &'static str,
    pub(super) capital: &'static str,
    pub(super) area: u64,
    pub(super) people: u64,
    pub(super) continent: &'static str,
    pub(super) money: &'static str,
}

/// A chemical element.
pub(super) struct Element {
    pub(super) name: &'static str,
    pub(super) symbol: &'static str,
    pub(super) number: u64,
    pub(super) mass: &'static str,
    pub(super) density: &'static str,
}

fn rows(text: &'static str) -> impl Iterator<Item = Vec<&'static str>> {
    text.lines().filter(|line| !line.starts_with('#')).map(|line| line.split(',').collect())
}

pub(super) fn countries() -> Vec<Country> {
    rows(include_str!("../../../tests/data/facts/countries.csv"))
        .map(|row| Country {
            name: row[0],
            capital: row[1],
            area: row[2].parse().unwrap(),
            people: row[3].parse().unwrap(),
            continent: row[4],
            money: row[5],
        })
        .collect()
}

pub(super) fn elements() -> Vec<Element> {
    rows(include_str!("../../../tests/data/facts/elements.csv"))
        .map(|row| Element {
            name: row[0],
            symbol: row[1],
            number: row[2].parse().unwrap(),
            mass: row[3],
            density: row[4],
        })
        .collect()
}

/// A whole number with separators every three digits.
pub(super) fn grouped(number: u64, separator: &str) -> String {
    let digits = number.to_string();
    let mut out = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            out.push_str(separator);
        }
        out.push(digit);
    }
    out
}

/// A whole number below a thousand in words.
pub(super) fn in_words(number: u64) -> String {
    const SMALL: [&str; 20] = [
        "zero",
        "one",
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "eleven",
        "twelve",
        "thirteen",
        "fourteen",
        "fifteen",
        "sixteen",
        "seventeen",
        "eighteen",
        "nineteen",
    ];
    const TENS: [&str; 8] = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"];
    match number {
        0..20 => SMALL[number as usize].into(),
        20..100 if number.is_multiple_of(10) => TENS[number as usize / 10 - 2].into(),
        20..100 => format!("{}-{}", TENS[number as usize / 10 - 2], SMALL[number as usize % 10]),
        _ if number.is_multiple_of(100) => format!("{} hundred", in_words(number / 100)),
        _ => format!("{} hundred and {}", in_words(number / 100), in_words(number % 100)),
    }
}
