//! Numerals as values: digits, words, fractions, ordinals, powers of ten.

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
        What::Word => in_words(pieces, at)?,
    };
    Some(scaled(pieces, at, found))
}

fn negative(pieces: &[Piece<'_>], at: usize) -> Option<Numeral> {
    let number = pieces.get(at + 1).filter(|next| next.tight)?;
    // After a word or number, a tight dash joins; after a space it is a minus sign.
    let joins =
        pieces[at].tight && at > 0 && !matches!(pieces[at - 1].what, What::Sign('(' | '=' | '^' | ':' | '"' | '\''));
    if joins {
        return None;
    }
    let found = in_digits(pieces, at + 1, number.digits()?)?;
    (found.form == Form::Cardinal).then(|| Numeral { value: found.value.negated(), len: found.len + 1, ..found })
}

fn in_digits(pieces: &[Piece<'_>], at: usize, value: Number) -> Option<Numeral> {
    let whole = |value, form, len| Some(Numeral { value, form, len });
    let tight = |step: usize| pieces.get(at + step).filter(|piece| piece.tight);
    if let Some(next) = tight(1) {
        match next.what {
            What::Word if matches!(next.text, "st" | "nd" | "rd" | "th") => return whole(value, Form::Ordinal, 2),
            What::Word if next.text == "s" && value.as_whole().is_some_and(|v| v % 10 == 0 && v >= 1000) => {
                return whole(value, Form::Decade, 2);
            }
            What::Sign(c) if fraction_sign(c).is_some() => {
                return whole(value.plus(fraction_sign(c)?)?, Form::Cardinal, 2);
            }
            What::Sign('/') => {
                if let Some(value) = slash(pieces, at, value) {
                    return whole(value, Form::Cardinal, 3);
                }
            }
            What::Sign(':') => {
                if let Some(low) = tight(2).filter(|low| low.digits().is_some()) {
                    return whole(ratio_or_time(value, low)?, Form::Ratio, 3);
                }
            }
            What::Sign('^') => {
                if let Some((power, len)) = exponent(pieces, at + 1) {
                    return whole(raised(value, power)?, Form::Cardinal, 1 + len);
                }
            }
            _ => {}
        }
    }
    if let Some(found) = tens_power(pieces, at, value).or_else(|| mixed(pieces, at, value)) {
        return Some(found);
    }
    whole(value, Form::Cardinal, 1)
}

/// `1:50 000` as a ratio, `13:30` and `9:00` as minutes of the day.
fn ratio_or_time(value: Number, low: &Piece<'_>) -> Option<Number> {
    let second = low.digits()?;
    match (value.as_whole(), second.as_whole()) {
        (Some(hours), Some(minutes)) if low.text.len() == 2 && hours < 25 && minutes < 60 => {
            Some(Number::whole(hours * 60 + minutes))
        }
        _ => value.over(second),
    }
}

/// `2/3`, unless it is part of a date.
fn slash(pieces: &[Piece<'_>], at: usize, top: Number) -> Option<Number> {
    let bottom = pieces.get(at + 2).filter(|piece| piece.tight)?.digits()?;
    let date = pieces.get(at + 3).is_some_and(|piece| piece.tight && piece.is_sign('/'));
    if date || top.as_whole().is_none() || bottom.as_whole().is_none() {
        return None;
    }
    top.over(bottom)
}

/// `2 1/2` and `2 ½`.
fn mixed(pieces: &[Piece<'_>], at: usize, value: Number) -> Option<Numeral> {
    value.as_whole()?;
    let next = pieces.get(at + 1)?;
    if let What::Sign(c) = next.what {
        let part = fraction_sign(c)?;
        return Some(Numeral { value: value.plus(part)?, form: Form::Cardinal, len: 2 });
    }
    let top = next.digits().filter(|top| top.as_whole().is_some_and(|top| top < 100))?;
    pieces.get(at + 2).filter(|piece| piece.tight && piece.is_sign('/'))?;
    let part = slash(pieces, at + 1, top).filter(|part| part.approx() < 1.0)?;
    Some(Numeral { value: value.plus(part)?, form: Form::Cardinal, len: 4 })
}

/// `6.02 × 10^23`, `1.5e6`.
fn tens_power(pieces: &[Piece<'_>], at: usize, value: Number) -> Option<Numeral> {
    let next = pieces.get(at + 1)?;
    if next.is_word() && next.tight && next.text.starts_with(['e', 'E']) && next.text.len() > 1 {
        let tens = next.text[1..].parse::<i32>().ok()?;
        return Some(Numeral { value: value.times(Number::power_of_ten(tens)?)?, form: Form::Cardinal, len: 2 });
    }
    let times = next.is_sign('×') || next.is_sign('*') || (next.is_word() && next.text == "x");
    let ten = pieces.get(at + 2)?.digits()?;
    if !times || ten != Number::whole(10) {
        return None;
    }
    let (power, len) = exponent(pieces, at + 3)?;
    Some(Numeral { value: value.times(Number::power_of_ten(power)?)?, form: Form::Cardinal, len: 3 + len })
}

/// `^-3`, from its raising sign on: the power and how many pieces.
pub(crate) fn exponent(pieces: &[Piece<'_>], at: usize) -> Option<(i32, usize)> {
    pieces.get(at).filter(|piece| piece.tight && piece.is_sign('^'))?;
    let sign = pieces.get(at + 1).filter(|piece| piece.tight)?;
    let (minus, step) = match sign.what {
        What::Sign('-') => (true, 2),
        What::Sign('+') => (false, 2),
        _ => (false, 1),
    };
    let number = pieces.get(at + step).filter(|piece| piece.tight)?.digits()?;
    let power = i32::try_from(number.as_whole()?).ok()?;
    Some((if minus { -power } else { power }, step + 1))
}

fn raised(base: Number, power: i32) -> Option<Number> {
    if base == Number::whole(10) {
        return Number::power_of_ten(power);
    }
    (power.abs() <= 64).then(|| base.to_power(power))?
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

fn fraction_sign(c: char) -> Option<Number> {
    let (top, bottom) = match c {
        '¼' => (1, 4),
        '½' => (1, 2),
        '¾' => (3, 4),
        '⅐' => (1, 7),
        '⅑' => (1, 9),
        '⅒' => (1, 10),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '⅕' => (1, 5),
        '⅖' => (2, 5),
        '⅗' => (3, 5),
        '⅘' => (4, 5),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        '↉' => (0, 3),
        _ => return None,
    };
    Number::ratio(top, bottom)
}

/// What a number word adds.
#[derive(Clone, Copy, PartialEq)]
enum Part {
    Small(i64),
    Tens(i64),
    Hundred,
    Scale(i64),
    Dozen,
}

fn in_words(pieces: &[Piece<'_>], at: usize) -> Option<Numeral> {
    let first = pieces[at].text.to_lowercase();
    if first == "minus" || first == "negative" {
        let value = pieces.get(at + 1)?.digits();
        let found = match value {
            Some(value) => in_digits(pieces, at + 1, value)?,
            None if first == "minus" => in_words(pieces, at + 1).filter(|found| found.form == Form::Cardinal)?,
            None => return None,
        };
        return Some(Numeral { value: found.value.negated(), len: found.len + 1, ..found });
    }
    if let Some(fraction) = lone_fraction(pieces, at, &first) {
        return Some(fraction);
    }
    let found = counted(pieces, at)?;
    Some(with_fraction(pieces, at, found).unwrap_or(found))
}

/// `half`, `a quarter of`, `a third of`.
fn lone_fraction(pieces: &[Piece<'_>], at: usize, word: &str) -> Option<Numeral> {
    let bottom = denominator(word)?;
    let next = pieces.get(at + 1);
    let joined = next.is_some_and(|next| next.tight && next.is_sign('-'));
    let of = next.is_some_and(|next| next.is_word() && next.text.eq_ignore_ascii_case("of"));
    let single = at > 0 && matches!(pieces[at - 1].text.to_lowercase().as_str(), "a" | "one" | "an");
    let stands = match word {
        "half" => !joined,
        "quarter" => (single || of) && !joined,
        _ => single && of && !word.ends_with('s'),
    };
    stands.then(|| Some(Numeral { value: Number::ratio(1, bottom)?, form: Form::Cardinal, len: 1 }))?
}

fn denominator(word: &str) -> Option<i64> {
    Some(match word {
        "half" | "halves" => 2,
        "quarter" | "quarters" => 4,
        "tenth" | "tenths" => 10,
        _ => {
            let single = word.strip_suffix('s').unwrap_or(word);
            ordinal(single).filter(|n| *n > 2 && (*n <= 10 || *n == 100 || *n == 1000))?
        }
    })
}

/// `two thirds`, `three-quarters`, `two and a half`.
fn with_fraction(pieces: &[Piece<'_>], at: usize, found: Numeral) -> Option<Numeral> {
    if found.form != Form::Cardinal {
        return None;
    }
    let mut next = at + found.len;
    if pieces.get(next)?.is_sign('-') && pieces[next].tight {
        next += 1;
    }
    let word = |index: usize| pieces.get(index).filter(|piece| piece.is_word()).map(|piece| piece.text.to_lowercase());
    let text = word(next)?;
    if let Some(bottom) = denominator(&text) {
        let plural = text.ends_with('s') || text == "halves";
        let fits = plural || found.value == Number::ONE;
        let value = found.value.over(Number::whole(bottom))?;
        return (fits && found.len < 4).then_some(Numeral { value, len: next + 1 - at, ..found });
    }
    let article = word(next + 1)?;
    if text != "and" || !matches!(article.as_str(), "a" | "one") {
        return None;
    }
    let bottom = denominator(&word(next + 2)?).filter(|bottom| *bottom <= 4)?;
    let value = found.value.plus(Number::ratio(1, bottom)?)?;
    Some(Numeral { value, len: next + 3 - at, ..found })
}

/// A whole number in words, such as `two hundred and twenty-one` or `forty-second`.
fn counted(pieces: &[Piece<'_>], at: usize) -> Option<Numeral> {
    let mut sum = Sum::default();
    let mut next = at;
    let mut end = at;
    let mut form = Form::Cardinal;
    while let Some(piece) = pieces.get(next) {
        if end > at
            && ((piece.is_sign('-') && piece.tight) || (piece.text.eq_ignore_ascii_case("and") && sum.takes_and()))
        {
            next += 1;
            if pieces.get(next).is_none_or(|piece| !piece.is_word()) {
                break;
            }
            if part_of(&pieces[next].text.to_lowercase()).is_none()
                && ordinal(&pieces[next].text.to_lowercase()).is_none()
            {
                break;
            }
            continue;
        }
        if !piece.is_word() {
            break;
        }
        let word = piece.text.to_lowercase();
        if let Some(part) = part_of(&word) {
            if !sum.add(part) {
                break;
            }
        } else if let Some(value) = ordinal_here(pieces, next, &word, end > at) {
            if !sum.add_ordinal(value) {
                break;
            }
            (end, form) = (next + 1, Form::Ordinal);
            break;
        } else {
            break;
        }
        next += 1;
        end = next;
    }
    if end == at {
        return None;
    }
    let mut value = Number::whole(sum.total());
    if form == Form::Cardinal
        && let Some((part, len)) = decimals(pieces, end)
    {
        value = value.plus(part)?;
        end += len;
    }
    Some(Numeral { value, form, len: end - at })
}

/// `point five two`: the part and how many pieces.
fn decimals(pieces: &[Piece<'_>], at: usize) -> Option<(Number, usize)> {
    pieces.get(at).filter(|piece| piece.text.eq_ignore_ascii_case("point"))?;
    let mut digits = String::from("0.");
    for piece in pieces[at + 1..].iter().take(12) {
        match part_of(&piece.text.to_lowercase()) {
            Some(Part::Small(n)) if n < 10 => digits.push(char::from(b'0' + n as u8)),
            _ => break,
        }
    }
    let len = digits.len() - 2;
    (len > 0).then(|| Some((Number::decimal(&digits)?, len + 1)))?
}

/// Whether `second` is a place in an order here and not a time.
fn ordinal_here(pieces: &[Piece<'_>], at: usize, word: &str, inside: bool) -> Option<i64> {
    let value = ordinal(word)?;
    if word != "second" || inside {
        return Some(value);
    }
    let before = at.checked_sub(1).map(|at| &pieces[at]);
    let time = before.is_some_and(|piece| {
        piece.digits().is_some()
            || piece.is_sign('/')
            || matches!(piece.text.to_lowercase().as_str(), "per" | "a" | "each" | "every" | "one" | "of" | "half")
    });
    (!time).then_some(value)
}

#[derive(Default)]
struct Sum {
    done: i64,
    group: i64,
    last: Option<Part>,
    scale: i64,
}

impl Sum {
    fn total(&self) -> i64 {
        self.done + self.group
    }

    fn takes_and(&self) -> bool {
        matches!(self.last, Some(Part::Hundred | Part::Scale(_)))
    }

    /// Adds a part if a number can go on with it.
    fn add(&mut self, part: Part) -> bool {
        let tens = matches!(self.last, Some(Part::Tens(_)));
        let room = self.last.is_none() || self.takes_and();
        let fits = match part {
            Part::Small(n) => room || (tens && (1..10).contains(&n)),
            Part::Tens(_) => room,
            Part::Hundred => {
                self.last.is_none() || (matches!(self.last, Some(Part::Small(_) | Part::Tens(_))) && self.group < 100)
            }
            Part::Scale(scale) => {
                (self.scale == 0 || scale < self.scale)
                    && (self.last.is_none() || !matches!(self.last, Some(Part::Scale(_))))
            }
            Part::Dozen => {
                self.last.is_none() || (self.done == 0 && self.group < 100 && matches!(self.last, Some(Part::Small(_))))
            }
        };
        if !fits {
            return false;
        }
        match part {
            Part::Small(n) | Part::Tens(n) => self.group += n,
            Part::Hundred => self.group = self.group.max(1) * 100,
            Part::Dozen => self.group = self.group.max(1) * 12,
            Part::Scale(scale) => {
                self.done += if self.last.is_none() { scale } else { self.group * scale };
                (self.group, self.scale) = (0, scale);
            }
        }
        self.last = Some(part);
        true
    }

    fn add_ordinal(&mut self, value: i64) -> bool {
        match value {
            1..20 => self.add(Part::Small(value)),
            20..100 => self.add(Part::Tens(value)),
            100 => self.add(Part::Hundred),
            scale => self.add(Part::Scale(scale)),
        }
    }
}

fn part_of(word: &str) -> Option<Part> {
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
    if let Some(at) = SMALL.iter().position(|small| *small == word) {
        return Some(Part::Small(at as i64));
    }
    if let Some(at) = TENS.iter().position(|tens| *tens == word) {
        return Some(Part::Tens(20 + 10 * at as i64));
    }
    Some(match word {
        "nought" | "naught" => Part::Small(0),
        "hundred" => Part::Hundred,
        "dozen" => Part::Dozen,
        "thousand" => Part::Scale(1_000),
        "million" => Part::Scale(1_000_000),
        "billion" => Part::Scale(1_000_000_000),
        "trillion" => Part::Scale(1_000_000_000_000),
        _ => return None,
    })
}

fn ordinal(word: &str) -> Option<i64> {
    const PLACES: [&str; 19] = [
        "first",
        "second",
        "third",
        "fourth",
        "fifth",
        "sixth",
        "seventh",
        "eighth",
        "ninth",
        "tenth",
        "eleventh",
        "twelfth",
        "thirteenth",
        "fourteenth",
        "fifteenth",
        "sixteenth",
        "seventeenth",
        "eighteenth",
        "nineteenth",
    ];
    if let Some(at) = PLACES.iter().position(|place| *place == word) {
        return Some(at as i64 + 1);
    }
    if let Some(stem) = word.strip_suffix("ieth") {
        return match part_of(&format!("{stem}y"))? {
            Part::Tens(n) => Some(n),
            _ => None,
        };
    }
    Some(match word {
        "hundredth" => 100,
        "thousandth" => 1_000,
        "millionth" => 1_000_000,
        "billionth" => 1_000_000_000,
        _ => return None,
    })
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
