//! The normal form by which two questions are the same, and the stems that carry a text's meaning.

use super::known;
use super::lex::{Piece, What, lex};
use super::numeral::{Form, Numeral, numeral_at};
use super::plain::as_read;
use std::collections::BTreeSet;
use std::rc::Rc;

/// The text as it counts for "the same question".
///
/// Case is folded, accents are kept (NFC), markup and punctuation go, but a minus sign and a decimal
/// point inside a number stay and so do signs of mathematics and money; articles go, number words
/// become digits, words stand one space apart.
///
/// ```
/// use deckle::text::normal;
/// assert_eq!(normal("What are **the** Twenty-One  rocks?"), "what are 21 rocks");
/// assert_eq!(normal("Is −5 °C colder than 3.50?"), "is -5 ° c colder than 3.5");
/// ```
pub fn normal(text: &str) -> String {
    let read = as_read(text);
    let pieces = lex(&read);
    let mut out = String::with_capacity(read.len());
    let mut at = 0;
    while at < pieces.len() {
        let len = match numeral_at(&pieces, at) {
            Some(numeral) => {
                let digits = digits(&numeral);
                // `ten 100` stands as `10 100` does, which is read as one number.
                match is_group(&digits) && ends_with_group(&out) {
                    true => out.push_str(&digits),
                    false => push(&mut out, &digits),
                }
                numeral.len
            }
            None => {
                push_piece(&mut out, &pieces[at]);
                1
            }
        };
        at += len;
    }
    out
}

/// Whether some digits can be the next three of a number.
fn is_group(digits: &str) -> bool {
    digits.len() == 3 && digits.bytes().all(|byte| byte.is_ascii_digit())
}

/// Whether a text ends with a number that three more digits can go on: one of up to three.
fn ends_with_group(text: &str) -> bool {
    let last = text.rsplit(' ').next().unwrap_or("").trim_start_matches('-');
    (1..=3).contains(&last.len()) && last.bytes().all(|byte| byte.is_ascii_digit())
}

/// The stems of the words that carry meaning: no stop words, no openers of questions, numbers by value.
pub fn meaning_stems(text: &str) -> BTreeSet<String> {
    shared_stems(text).iter().map(ToString::to_string).collect()
}

/// The same in order, each once, shared with what is known of the words.
pub(crate) fn shared_stems(text: &str) -> Vec<Rc<str>> {
    let read = as_read(text);
    let pieces = lex(&read);
    let mut out = Vec::new();
    let mut at = opener(&pieces);
    while at < pieces.len() {
        if let Some(numeral) = numeral_at(&pieces, at) {
            out.push(digits(&numeral).into());
            at += numeral.len;
            continue;
        }
        if pieces[at].is_word() {
            out.extend(known::with(pieces[at].text, |known| (!known.small).then(|| Rc::clone(&known.stem))));
        }
        at += 1;
    }
    out.sort_unstable();
    out.dedup();
    out
}

/// How many pieces the opener of a question takes: `Name`, `State`, `Give`.
fn opener(pieces: &[Piece<'_>]) -> usize {
    const OPENERS: [&str; 14] = [
        "complete", "define", "describe", "explain", "give", "identify", "list", "name", "outline", "recall", "say",
        "state", "suggest", "write",
    ];
    let opens = |first: &Piece<'_>| known::with(first.text, |known| OPENERS.contains(&&*known.folded));
    usize::from(pieces.len() > 1 && pieces[0].is_word() && opens(&pieces[0]))
}

fn digits(numeral: &Numeral) -> String {
    let ending = match numeral.form {
        Form::Cardinal => "",
        Form::Decade => "s",
        Form::Ratio => "/1",
        Form::Ordinal => match numeral.value.as_whole().unwrap_or(0) {
            n if (11..14).contains(&(n % 100)) => "th",
            n if n % 10 == 1 => "st",
            n if n % 10 == 2 => "nd",
            n if n % 10 == 3 => "rd",
            _ => "th",
        },
    };
    format!("{}{ending}", numeral.value)
}

fn push_piece(out: &mut String, piece: &Piece<'_>) {
    match piece.what {
        What::Sign(sign) if counts(sign) => push(out, piece.text),
        What::Sign(_) => {}
        _ => known::with(piece.text, |known| {
            if !matches!(&*known.folded, "a" | "an" | "the") {
                push(out, &known.folded);
            }
        }),
    }
}

/// Signs that make a question another one: of mathematics, money, degrees.
pub(super) fn counts(sign: char) -> bool {
    matches!(
        sign,
        '+' | '<'
            | '='
            | '>'
            | '×'
            | '÷'
            | '±'
            | '≤'
            | '≥'
            | '≠'
            | '≈'
            | '√'
            | '∞'
            | '%'
            | '‰'
            | '°'
            | '£'
            | '$'
            | '€'
            | '¥'
            | '^'
            | '#'
            | '&'
            | '@'
            | 'π'
            | '→'
    ) || (!sign.is_ascii() && !super::sentences::is_punctuation(sign))
}

fn push(out: &mut String, word: &str) {
    if word.is_empty() {
        return;
    }
    if !out.is_empty() {
        out.push(' ');
    }
    out.push_str(word);
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_same_question_has_one_form() {
        for (one, other) in [
            ("What is attrition?", "what is  *attrition*"),
            ("Name three rocks.", "Name 3 rocks"),
            ("What is the water cycle?", "What is “water cycle”?"),
            ("How far is 1,500 m?", "How far is 1500 m?"),
            ("What is ten 100?", "What is 10 100?"),
            ("What is well-known?", "What is well known?"),
            ("What is the caf\u{65}\u{301}?", "What is the CAFÉ?"),
        ] {
            assert_eq!(normal(one), normal(other));
        }
        for (one, other) in [
            ("What is -5 + 3?", "What is 5 + 3?"),
            ("What is 3.5?", "What is 35?"),
            ("What is resumé?", "What is resume?"),
            ("What does < mean?", "What does > mean?"),
            ("What colour is it?", "What color is it?"),
            ("What is 2^3?", "What is 23?"),
        ] {
            assert_ne!(normal(one), normal(other));
        }
    }

    #[test]
    fn openers_and_stop_words_carry_no_meaning() {
        let stems = |text: &str| meaning_stems(text).into_iter().collect::<Vec<_>>().join(" ");
        assert_eq!(stems("Name the two instruments that measure wind."), "2 instrument measur wind");
        assert_eq!(stems("What is it?"), "");
        assert_eq!(stems("State"), "state");
    }

    proptest! {
        #[test]
        fn a_normal_form_is_its_own(text in "[A-Za-z .,'?éÉ“—-]{0,30}( [0-9]{1,6})?[.,?]{0,3}") {
            let once = normal(&text);
            prop_assert_eq!(&normal(&once), &once);
        }
    }
}
