//! Numerals as values: digits, words, fractions, ordinals, powers of ten.
mod digits;
mod fractions;
mod words;

pub(crate) use self::digits::exponent;
use self::digits::{in_digits, negative};
use self::fractions::fraction_sign;
pub(super) use self::words::begins_numeral;
use self::words::in_words;
use super::known;
use super::lex::{Piece, What};
use super::number::Number;

/// A numeral at its place among the pieces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Numeral {
    pub(crate) value: Number,
    pub(crate) form: Form,
    /// How many pieces it is written with.
    pub(crate) len: usize,
}

/// How a number counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Form {
    /// How many: 3, three, 3.5, half.
    Cardinal,
    /// Which one: 3rd, third.
    Ordinal,
    /// The 1990s.
    Decade,
    /// 1:50 000, or a time of day such as 13:30.
    Ratio,
}

/// The numeral that begins at piece `at`, if one does.
pub(crate) fn numeral_at(pieces: &[Piece<'_>], at: usize) -> Option<Numeral> {
    let first = pieces.get(at)?;
    let found = match first.what {
        What::Digits(value) => in_digits(pieces, at, value)?,
        What::Sign('-') => negative(pieces, at)?,
        What::Sign(c) => Numeral { value: fraction_sign(c)?, form: Form::Cardinal, len: 1 },
        What::Word if !known::with(first.text, |known| known.begins_value) => return None,
        What::Word => in_words(pieces, at)?,
    };
    Some(scaled(pieces, at, found))
}

/// A numeral followed by `million` and the like.
fn scaled(pieces: &[Piece<'_>], at: usize, found: Numeral) -> Numeral {
    let mut out = found;
    while out.form == Form::Cardinal {
        let Some(next) = pieces.get(at + out.len).filter(|next| next.is_word()) else { break };
        let scale = match next.text.to_lowercase().as_str() {
            "hundred" => 2,
            "thousand" => 3,
            "million" | "mn" => 6,
            "billion" | "bn" => 9,
            "trillion" | "tn" => 12,
            _ => break,
        };
        let Some(value) = Number::power_of_ten(scale).and_then(|ten| out.value.times(ten)) else { break };
        out = Numeral { value, len: out.len + 1, ..out };
    }
    out
}

#[cfg(test)]
mod tests {
    use super::super::lex::lex;
    use super::super::plain::plain;
    use super::*;

    /// All numerals of a text as `value` or `value:form`.
    fn read(text: &str) -> String {
        let text = plain(text);
        let pieces = lex(&text);
        let mut out = Vec::new();
        let mut at = 0;
        while at < pieces.len() {
            match numeral_at(&pieces, at) {
                Some(found) => {
                    let form = match found.form {
                        Form::Cardinal => "",
                        Form::Ordinal => ":place",
                        Form::Decade => ":decade",
                        Form::Ratio => ":ratio",
                    };
                    out.push(format!("{}{form}", found.value));
                    at += found.len;
                }
                None => at += 1,
            }
        }
        out.join(" ")
    }

    #[test]
    fn digits_and_signs() {
        for (text, want) in [
            ("14, 14.0 and 1,400", "14 14 1400"),
            ("−5 °C to 5–10", "-5 5 10"),
            ("minus 7 (-8)", "-7 -8"),
            ("½ or 2½ or 2 1/2 or 3/4", "0.5 2.5 2.5 0.75"),
            ("$6.02 \\times 10^{23}$ and 10⁻³ and 1.5e6", "602000000000000000000000 0.001 1500000"),
            ("3.2 million, 5 thousand million", "3200000 5000000000"),
            ("the 1st, 2nd and the 1990s", "1:place 2:place 1990:decade"),
            ("1:50 000 at 13:30 or 9:00", "0.00002:ratio 810:ratio 540:ratio"),
            ("B2 and A-5", "5"),
            ("the 1820's, 2.35 p.m. or 7 am", "1820:decade 875:ratio 420:ratio"),
            ("2.35 pens at 7 a week", "2.35 7"),
        ] {
            assert_eq!(read(text), want, "{text}");
        }
    }

    #[test]
    fn number_words() {
        for (text, want) in [
            ("fourteen", "14"),
            ("twenty-one or twenty one", "21 21"),
            ("two hundred and five thousand, three hundred and twelve", "205000 312"),
            ("one million two hundred thousand and six", "1200006"),
            ("a hundred", "100"),
            ("nineteen eighty", "19 80"),
            ("two and three", "2 3"),
            ("three dozen", "36"),
            ("three point five", "3.5"),
            ("two thirds, three-quarters, one half, a third of it", "2/3 0.75 0.5 1/3"),
            ("two and a half", "2.5"),
            ("half of it, but a half-life", "0.5"),
            ("the first, the second, the twenty-first", "1:place 2:place 21:place"),
            ("metres per second", ""),
            ("a quarter of an hour", "0.25"),
            ("headquarters, someone, often", ""),
            ("three out of four, one in five, a fifth are", "0.75 0.2 0.2"),
            ("the fifth are, nine in all", "5:place 9"),
        ] {
            assert_eq!(read(text), want, "{text}");
        }
    }

    /// Every whole number written out in British style reads back.
    #[test]
    fn written_numbers_read_back() {
        for n in (0..=1200).chain((1200..3_000_000).step_by(7919)) {
            let words = write(n);
            assert_eq!(read(&words), n.to_string(), "{words}");
        }
    }

    fn write(n: i64) -> String {
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
        match n {
            0..20 => SMALL[n as usize].to_string(),
            20..100 if n % 10 == 0 => TENS[n as usize / 10 - 2].to_string(),
            20..100 => format!("{}-{}", TENS[n as usize / 10 - 2], write(n % 10)),
            100..1000 if n % 100 == 0 => format!("{} hundred", write(n / 100)),
            100..1000 => format!("{} hundred and {}", write(n / 100), write(n % 100)),
            _ => {
                let (scale, name) = if n >= 1_000_000 { (1_000_000, "million") } else { (1000, "thousand") };
                let rest = n % scale;
                let joint = if rest == 0 {
                    String::new()
                } else {
                    format!("{}{}", if rest < 100 { " and " } else { " " }, write(rest))
                };
                format!("{} {name}{joint}", write(n / scale))
            }
        }
    }
}
