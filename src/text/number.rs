//! Exact numbers: whatever is written with digits, words, fractions or powers of ten is compared as
//! a value, never through floating point.

use std::fmt;

/// An exact number: a fraction times a power of ten, in one canonical form, so that equal values
/// are equal as data.
///
/// ```
/// use deckle::text::Number;
/// assert_eq!(Number::decimal("14"), Number::decimal("14.0"));
/// assert_eq!(Number::ratio(1, 2), Number::decimal("0.5"));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Number {
    top: i128,
    bottom: i128,
    tens: i32,
}

/// More digits than this are not read as a value: nobody revises them, and they would overflow.
const DIGITS: usize = 30;
/// Powers of ten beyond this are not read as a value.
const TENS: i32 = 400;

impl Number {
    /// Nought.
    pub const ZERO: Number = Number { top: 0, bottom: 1, tens: 0 };
    /// One.
    pub const ONE: Number = Number { top: 1, bottom: 1, tens: 0 };

    /// The whole number `value`.
    pub fn whole(value: i64) -> Number {
        canonical(i128::from(value), 1, 0).unwrap_or(Number::ZERO)
    }

    /// `top / bottom`; `None` when `bottom` is nought.
    pub fn ratio(top: i64, bottom: i64) -> Option<Number> {
        canonical(i128::from(top), i128::from(bottom), 0)
    }

    /// A decimal such as `-3.25`, of plain digits; `None` when it is none or too long.
    pub fn decimal(text: &str) -> Option<Number> {
        let (minus, digits) = match text.strip_prefix('-') {
            Some(rest) => (true, rest),
            None => (false, text),
        };
        let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
        let all = || whole.bytes().chain(part.bytes());
        if whole.len() + part.len() > DIGITS || all().next().is_none() || !all().all(|b| b.is_ascii_digit()) {
            return None;
        }
        let top = all().fold(0i128, |sum, b| sum * 10 + i128::from(b - b'0'));
        canonical(if minus { -top } else { top }, 1, -(part.len() as i32))
    }

    /// Ten to the power of `tens`.
    pub fn power_of_ten(tens: i32) -> Option<Number> {
        canonical(1, 1, tens)
    }

    /// The product; `None` when it is too large to hold.
    pub fn times(self, other: Number) -> Option<Number> {
        let across = gcd(self.top, other.bottom);
        let down = gcd(other.top, self.bottom);
        canonical(
            (self.top / across).checked_mul(other.top / down)?,
            (self.bottom / down).checked_mul(other.bottom / across)?,
            self.tens.checked_add(other.tens)?,
        )
    }

    /// The quotient; `None` by nought or when it is too large to hold.
    pub fn over(self, other: Number) -> Option<Number> {
        if other.top == 0 {
            return None;
        }
        let sign = other.top.signum();
        self.times(Number { top: other.bottom * sign, bottom: other.top.abs(), tens: -other.tens }.tidy()?)
    }

    /// The sum; `None` when it is too large to hold.
    pub fn plus(self, other: Number) -> Option<Number> {
        let tens = self.tens.min(other.tens);
        let left = self.top.checked_mul(ten_to(self.tens - tens)?)?.checked_mul(other.bottom)?;
        let right = other.top.checked_mul(ten_to(other.tens - tens)?)?.checked_mul(self.bottom)?;
        canonical(left.checked_add(right)?, self.bottom.checked_mul(other.bottom)?, tens)
    }

    /// The number with the other sign.
    pub fn negated(self) -> Number {
        Number { top: -self.top, ..self }
    }

    /// This number to a small whole power; `None` when it is too large to hold.
    pub fn to_power(self, power: i32) -> Option<Number> {
        let mut out = Number::ONE;
        for _ in 0..power.unsigned_abs() {
            out = out.times(self)?;
        }
        if power < 0 { Number::ONE.over(out) } else { Some(out) }
    }

    /// The whole number it is, if it is one that fits.
    pub fn as_whole(self) -> Option<i64> {
        if self.bottom != 1 || self.tens < 0 {
            return None;
        }
        i64::try_from(self.top.checked_mul(ten_to(self.tens)?)?).ok()
    }

    /// The nearest floating point number, for ordering and weights only.
    pub fn approx(self) -> f64 {
        self.top as f64 / self.bottom as f64 * 10f64.powi(self.tens)
    }

    fn tidy(self) -> Option<Number> {
        canonical(self.top, self.bottom, self.tens)
    }
}

impl fmt::Display for Number {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.bottom != 1 {
            return match ten_to(self.tens.abs()).filter(|_| self.tens.abs() < 20) {
                Some(ten) if self.tens >= 0 => match self.top.checked_mul(ten) {
                    Some(top) => write!(f, "{top}/{}", self.bottom),
                    None => write!(f, "{}e{}/{}", self.top, self.tens, self.bottom),
                },
                Some(ten) => match self.bottom.checked_mul(ten) {
                    Some(bottom) => write!(f, "{}/{bottom}", self.top),
                    None => write!(f, "{}e{}/{}", self.top, self.tens, self.bottom),
                },
                None => write!(f, "{}e{}/{}", self.top, self.tens, self.bottom),
            };
        }
        if self.tens.abs() > 40 {
            return write!(f, "{}e{}", self.top, self.tens);
        }
        let digits = self.top.unsigned_abs().to_string();
        let minus = if self.top < 0 { "-" } else { "" };
        if self.tens >= 0 {
            return write!(f, "{minus}{digits}{}", "0".repeat(self.tens as usize));
        }
        let part = self.tens.unsigned_abs() as usize;
        let padded = format!("{digits:0>width$}", width = part + 1);
        let (whole, part) = padded.split_at(padded.len() - part);
        write!(f, "{minus}{whole}.{part}")
    }
}

fn canonical(mut top: i128, mut bottom: i128, mut tens: i32) -> Option<Number> {
    if bottom == 0 {
        return None;
    }
    if top == 0 {
        return Some(Number::ZERO);
    }
    if bottom < 0 {
        (top, bottom) = (top.checked_neg()?, bottom.checked_neg()?);
    }
    let common = gcd(top, bottom);
    (top, bottom) = (top / common, bottom / common);
    // No twos or fives below: they become tenths, so that the form is unique.
    while bottom % 10 == 0 {
        (bottom, tens) = (bottom / 10, tens - 1);
    }
    while bottom % 2 == 0 {
        (bottom, top, tens) = (bottom / 2, top.checked_mul(5)?, tens - 1);
    }
    while bottom % 5 == 0 {
        (bottom, top, tens) = (bottom / 5, top.checked_mul(2)?, tens - 1);
    }
    while top % 10 == 0 {
        (top, tens) = (top / 10, tens + 1);
    }
    (tens.abs() <= TENS).then_some(Number { top, bottom, tens })
}

fn gcd(a: i128, b: i128) -> i128 {
    let (mut a, mut b) = (a.unsigned_abs(), b.unsigned_abs());
    while b != 0 {
        (a, b) = (b, a % b);
    }
    i128::try_from(a).unwrap_or(1).max(1)
}

fn ten_to(power: i32) -> Option<i128> {
    10i128.checked_pow(u32::try_from(power).ok()?)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn n(text: &str) -> Number {
        Number::decimal(text).unwrap()
    }

    #[test]
    fn equal_values_are_equal_however_they_are_written() {
        assert_eq!(n("14"), n("14.00"));
        assert_eq!(n("-0"), Number::ZERO);
        assert_eq!(Number::ratio(2, 4), Number::decimal("0.5"));
        assert_eq!(Number::ratio(1, -3), Number::ratio(-1, 3));
        assert_ne!(n("14"), n("14.01"));
        assert_eq!(Number::decimal(""), None);
        assert_eq!(Number::decimal("1x"), None);
        assert_eq!(Number::decimal(&"9".repeat(31)), None);
    }

    #[test]
    fn sums_and_products_are_exact() {
        assert_eq!(n("0.1").plus(n("0.2")), Some(n("0.3")));
        assert_eq!(n("1.5").times(n("1000")), Some(n("1500")));
        assert_eq!(n("1").over(n("3")).unwrap().times(n("3")), Some(Number::ONE));
        assert_eq!(n("1").over(Number::ZERO), None);
        assert_eq!(n("-6").over(n("-4")), Some(n("1.5")));
        assert_eq!(n("10").to_power(-3), Some(n("0.001")));
    }

    #[test]
    fn numbers_print_in_one_way() {
        for (text, want) in [("007", "7"), ("-3.250", "-3.25"), ("0.05", "0.05"), ("50000", "50000")] {
            assert_eq!(n(text).to_string(), want);
        }
        assert_eq!(Number::ratio(2, 6).unwrap().to_string(), "1/3");
        assert_eq!(Number::ratio(20, 3).unwrap().to_string(), "20/3");
        assert_eq!(Number::ratio(1, 30).unwrap().to_string(), "1/30");
    }
}
