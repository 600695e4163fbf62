//! Whether an edit of a text changes a fact, or only its wording.
//!
//! A small judgement over [`crate::text`]: in doubt it says "fact", because a correction that is
//! taken for wording does not reach the pupil who learnt the wrong thing.

use crate::text::{Number, Unit, is_stop_word, normal, plain, stem, unit};

/// Words without much meaning of their own that change what is said all the same.
const KEPT: &[&str] = &["after", "all", "any", "may", "might", "many", "must", "or", "some"];

/// Words that make the order of the others count: `from land to sea`, `not a rock but a mineral`.
const ORDERING: &[&str] = &[
    "above", "after", "before", "below", "between", "from", "into", "less", "more", "not", "onto", "over", "than",
    "to", "under",
];

/// Texts with more facts than this are compared in order only.
const MANY: usize = 400;

/// Whether a quantity, a name, a negation or a word that carries meaning differs.
///
/// Numbers are compared as values and quantities with their units; case, spelling, hyphens, plurals
/// and inflections, articles and the order of words are wording, but where a word such as `from` or
/// `than` makes the order count.
///
/// ```
/// use deckle::change::fact_differs;
/// assert!(fact_differs("34 knots", "35 knots"));
/// assert!(!fact_differs("about 1.5 km", "about 1500 metres"));
/// assert!(fact_differs("from land to sea", "from sea to land"));
/// ```
pub fn fact_differs(before: &str, after: &str) -> bool {
    let (before, after) = (plain(before), plain(after));
    if before == after {
        return false;
    }
    if before.contains('=') || after.contains('=') {
        let tight = |text: &str| text.split_whitespace().collect::<String>();
        return tight(&before) != tight(&after);
    }
    let (one, other) = (facts(&before), facts(&after));
    if one.is_empty() && other.is_empty() {
        return normal(&before) != normal(&after);
    }
    if one.len().max(other.len()) > MANY || order_counts(&before) || order_counts(&after) {
        return one != other;
    }
    !same_in_any_order(&one, other)
}

#[derive(Clone, Debug)]
enum Fact {
    Word(String),
    Quantity(Unit, Number),
}

impl PartialEq for Fact {
    fn eq(&self, other: &Self) -> bool {
        match (self, other) {
            (Fact::Word(one), Fact::Word(other)) => one == other,
            (Fact::Quantity(one, size), Fact::Quantity(other, same)) => size == same && one.same_dimension(other),
            _ => false,
        }
    }
}

fn same_in_any_order(one: &[Fact], mut other: Vec<Fact>) -> bool {
    one.len() == other.len()
        && one.iter().all(|fact| other.iter().position(|same| same == fact).map(|at| other.swap_remove(at)).is_some())
}

fn order_counts(text: &str) -> bool {
    normal(text).split(' ').any(|word| ORDERING.contains(&word))
}

/// The facts of a text, in order.
fn facts(text: &str) -> Vec<Fact> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let mut facts = Vec::with_capacity(words.len());
    let mut at = 0;
    while at < words.len() {
        if let Some((fact, len)) = quantity(&words[at..]) {
            facts.push(fact);
            at += len;
            continue;
        }
        facts.extend(normal(words[at]).split(' ').filter_map(word));
        at += 1;
    }
    facts
}

fn word(word: &str) -> Option<Fact> {
    if word.ends_with("n't") || word == "cannot" {
        return Some(Fact::Word("not".to_owned()));
    }
    let counts = !word.is_empty() && (KEPT.contains(&word) || !is_stop_word(word));
    counts.then(|| Fact::Word(stem(word)))
}

/// The number that the words begin with, with its unit when it has one; and how many words it takes.
fn quantity(words: &[&str]) -> Option<(Fact, usize)> {
    if let Some((digits, rest)) = glued(words[0]) {
        let value = Number::decimal(&normal(digits))?;
        let unit = unit(rest)?;
        return Some((Fact::Quantity(unit, unit.to_base(value)?), 1));
    }
    number(words[0])?;
    let longest = |len: &usize| number(&words[..*len].join(" ")).map(|number| (number, *len));
    let (number, len) = (1..=words.len().min(4)).rev().find_map(|len| longest(&len))?;
    let value = Number::decimal(&number);
    let rest = &words[len..];
    let measured = (1..=rest.len().min(4)).rev().find_map(|more| {
        let unit = unit(bare(&rest[..more].join(" ")))?;
        Some((Fact::Quantity(unit, unit.to_base(value?)?), len + more))
    });
    Some(measured.unwrap_or((Fact::Word(number), len)))
}

/// The text as one number in digits, when it is one.
fn number(text: &str) -> Option<String> {
    let read = normal(text);
    let digits = read.strip_prefix('-').unwrap_or(&read);
    (digits.starts_with(|c: char| c.is_ascii_digit()) && !read.contains(' ')).then_some(read)
}

/// A number and the unit that stands right behind it: `34km`, `50%`.
fn glued(word: &str) -> Option<(&str, &str)> {
    let word = bare(word);
    let end = word.find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',')?;
    (end > 0).then(|| word.split_at(end)).filter(|(_, rest)| unit(rest).is_some())
}

fn bare(text: &str) -> &str {
    text.trim_end_matches(['.', ',', ';', ':', '!', '?', ')', '"', '\''])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn facts() {
        for (before, after) in [
            ("34 knots", "35 knots"),
            ("34 knots", "34 mph"),
            ("5 MW", "5 mW"),
            ("-5 °C", "5 °C"),
            ("The Nile", "The Amazon"),
            ("It is a rock.", "It is not a rock."),
            ("It floats", "It doesn't float"),
            ("Yes", "No"),
            ("From land to sea", "From sea to land"),
            ("Granite is harder than chalk", "Chalk is harder than granite"),
            ("Some rivers", "All rivers"),
            ("Before noon", "After noon"),
            ("A and B", "A or B"),
            ("$Q = A \\times v$", "$Q = A \\div v$"),
            ("$Q = A \\times v$", "$Q = B \\times v$"),
            ("$F = ma$", "$f = ma$"),
            ("north-west", "north-east"),
            ("how", "why"),
            ("August 2005", "August 2004"),
            ("the 3rd", "the 4th"),
            ("", "something"),
        ] {
            assert!(fact_differs(before, after), "{before} / {after}");
            assert!(fact_differs(after, before), "{after} / {before}");
        }
    }

    #[test]
    fn wording() {
        for (before, after) in [
            ("34 knots", "34 knots."),
            ("fourteen", "14"),
            ("14.0 m", "14 metres"),
            ("about 1.5 km", "about 1500 m"),
            ("34km", "34 kilometres"),
            ("50%", "50 per cent"),
            ("Twenty-one million people", "21,000,000 people"),
            ("The colour of a well-known rock", "the color of well known rocks"),
            ("It is not a rock", "It isn't a rock"),
            ("An **anemometer**", "anemometer"),
            ("Its source", "The source"),
            ("wind speed, wind direction", "wind direction and wind speed"),
            ("H~2~O", "H2O"),
            ("$Q = A \\times v$", "$Q=A \\times v$"),
            ("", ""),
        ] {
            assert!(!fact_differs(before, after), "{before} / {after}");
            assert!(!fact_differs(after, before), "{after} / {before}");
        }
    }

    #[test]
    fn nothing_is_too_long_or_too_strange() {
        let long = "river ".repeat(3_000);
        assert!(fact_differs(&long, &format!("{long} sea")));
        for text in ["\u{0}", "....", "٣", "1.1.1.1", "9e999999", "½", "^^^", "-", "1/0", "$\\frac{", "5 °", "£", "🌍"]
        {
            assert!(!fact_differs(text, text));
            _ = fact_differs(text, "river 5 km");
        }
    }
}
