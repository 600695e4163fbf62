//! Units with their dimensions and exact sizes, read from the table `schema/units.txt`.

use super::lex::{Piece, What};
use super::number::Number;
use super::numeral::exponent;
use std::collections::HashMap;
use std::sync::OnceLock;

/// How many base dimensions the table may name.
const BASES: usize = 24;

/// A unit: what it measures and how large it is.
///
/// Two quantities agree when their units have one dimension and their values, taken to base units,
/// are equal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Unit {
    dimension: [i8; BASES],
    size: Number,
    zero: Number,
}

impl Unit {
    /// Whether both measure the same thing, such as two lengths.
    pub fn same_dimension(&self, other: &Unit) -> bool {
        self.dimension == other.dimension
    }

    /// Whether it is a share, such as a percentage, which a bare number can equal.
    pub fn is_share(&self) -> bool {
        self.dimension == [0; BASES]
    }

    /// `value` of this unit in base units; `None` when it is too large to hold.
    pub fn to_base(&self, value: Number) -> Option<Number> {
        value.plus(self.zero)?.times(self.size)
    }

    fn power(self, power: i32) -> Option<Unit> {
        let mut dimension = self.dimension;
        for base in &mut dimension {
            *base = base.checked_mul(i8::try_from(power).ok()?)?;
        }
        Some(Unit { dimension, size: self.size.to_power(power)?, zero: Number::ZERO })
    }

    fn times(self, other: Unit) -> Option<Unit> {
        let mut dimension = self.dimension;
        for (base, more) in dimension.iter_mut().zip(other.dimension) {
            *base = base.checked_add(more)?;
        }
        Some(Unit { dimension, size: self.size.times(other.size)?, zero: Number::ZERO })
    }
}

/// The unit that a name or symbol stands for, such as `km/h`, `metres per second` or `°C`.
///
/// ```
/// use deckle::text::{Number, unit};
/// let (km, m) = (unit("km").unwrap(), unit("metres").unwrap());
/// assert_eq!(km.to_base(Number::ONE), m.to_base(Number::whole(1000)));
/// ```
pub fn unit(name: &str) -> Option<Unit> {
    let plain = super::plain::plain(name);
    let pieces = super::lex::lex(&plain);
    let (unit, len) = unit_at(&pieces, 0)?;
    (len == pieces.len()).then_some(unit)
}

/// The unit that begins at piece `at`, and how many pieces it is written with.
pub(crate) fn unit_at(pieces: &[Piece<'_>], at: usize) -> Option<(Unit, usize)> {
    let (mut unit, mut len) = factor_at(pieces, at)?;
    while let Some((next, more)) = joined_factor(pieces, at + len) {
        let Some(product) = unit.times(next) else { break };
        (unit, len) = (product, len + more);
    }
    Some((unit, len))
}

/// The unit of a sign that stands before its number, such as £.
pub(crate) fn money(sign: char) -> Option<Unit> {
    matches!(sign, '£' | '$' | '€' | '¥').then(|| table().symbols.get(sign.encode_utf8(&mut [0; 4])).copied())?
}

/// A further factor: `/ h`, `per hour`, `·s`, `s^-1`.
fn joined_factor(pieces: &[Piece<'_>], at: usize) -> Option<(Unit, usize)> {
    let joint = pieces.get(at)?;
    let under = (joint.is_sign('/') && joint.tight)
        || joint.text == "per"
        || matches!(joint.text, "a" | "an")
            && pieces.get(at + 1).is_some_and(|next| table().words.contains_key(next.text));
    if under {
        let (unit, len) = factor_at(pieces, at + 1)?;
        return Some((unit.power(-1)?, len + 1));
    }
    if joint.is_sign('·') {
        let (unit, len) = factor_at(pieces, at + 1)?;
        return Some((unit, len + 1));
    }
    // `m s^-1`: a symbol right after needs its exponent to be read as one.
    let symbol = table().symbols.get(joint.text)?;
    let (power, len) = exponent(pieces, at + 1)?;
    Some((symbol.power(power)?, 1 + len))
}

fn factor_at(pieces: &[Piece<'_>], at: usize) -> Option<(Unit, usize)> {
    let first = pieces.get(at)?;
    if first.is_word() {
        let power = match first.text.to_ascii_lowercase().as_str() {
            "square" | "sq" => 2,
            "cubic" => 3,
            _ => 1,
        };
        if power > 1 {
            let (unit, len) = named(pieces, at + 1).or_else(|| symbol(pieces, at + 1))?;
            return Some((unit.power(power)?, len + 1));
        }
    }
    let (unit, len) = named(pieces, at).or_else(|| symbol(pieces, at))?;
    if let Some((power, more)) = exponent(pieces, at + len) {
        return Some((unit.power(power)?, len + more));
    }
    let power = match pieces.get(at + len).map(|next| next.text) {
        Some("squared") => 2,
        Some("cubed") => 3,
        _ => return Some((unit, len)),
    };
    Some((unit.power(power)?, len + 1))
}

/// A unit by its words, the longest first: `nautical miles`, `degrees Celsius`, `per cent`.
fn named(pieces: &[Piece<'_>], at: usize) -> Option<(Unit, usize)> {
    let mut key = String::new();
    let mut best = None;
    let mut words = 0;
    let mut next = at;
    while let Some(piece) = pieces.get(next) {
        next += 1;
        if piece.is_sign('-') && piece.tight && words > 0 {
            continue;
        }
        if !piece.is_word() || words == 3 {
            break;
        }
        words += 1;
        if !key.is_empty() {
            key.push('-');
        }
        let word = super::spelling::one_spelling(&piece.text.to_lowercase());
        key.push_str(match word.as_str() {
            "c" if key.starts_with("degree") => "celsius",
            "f" if key.starts_with("degree") => "fahrenheit",
            other => other,
        });
        if let Some(unit) = table().words.get(&key) {
            best = Some((*unit, next - at));
        } else if !table().begins(&key) {
            break;
        }
    }
    best
}

/// A unit by its symbol: `km`, `°C`, `%`, and `m2` for m².
fn symbol(pieces: &[Piece<'_>], at: usize) -> Option<(Unit, usize)> {
    let first = pieces.get(at)?;
    if let What::Sign(c) = first.what {
        if c == '°'
            && let Some(next) = pieces.get(at + 1).filter(|next| next.tight || matches!(next.text, "C" | "F"))
            && let Some(unit) = table().symbols.get(&format!("°{}", next.text))
        {
            return Some((*unit, 2));
        }
        return table().symbols.get(first.text).map(|unit| (*unit, 1));
    }
    if let Some(unit) = table().symbols.get(first.text) {
        return Some((*unit, 1));
    }
    let base = first.text.strip_suffix(['2', '3']).filter(|_| first.is_word())?;
    let power = if first.text.ends_with('2') { 2 } else { 3 };
    Some((table().symbols.get(base)?.power(power)?, 1))
}

struct Table {
    words: HashMap<String, Unit>,
    symbols: HashMap<String, Unit>,
    beginnings: Vec<String>,
}

impl Table {
    fn begins(&self, key: &str) -> bool {
        self.beginnings
            .iter()
            .any(|name| name.len() > key.len() && name.starts_with(key) && name.as_bytes()[key.len()] == b'-')
    }
}

fn table() -> &'static Table {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE.get_or_init(|| read(include_str!("../../schema/units.txt")))
}

const PREFIXES: [(&str, &str, i32); 21] = [
    ("", "", 0),
    ("quecto", "q", -30),
    ("yocto", "y", -24),
    ("zepto", "z", -21),
    ("atto", "a", -18),
    ("femto", "f", -15),
    ("pico", "p", -12),
    ("nano", "n", -9),
    ("micro", "μ", -6),
    ("milli", "m", -3),
    ("centi", "c", -2),
    ("deci", "d", -1),
    ("deca", "da", 1),
    ("hecto", "h", 2),
    ("kilo", "k", 3),
    ("mega", "M", 6),
    ("giga", "G", 9),
    ("tera", "T", 12),
    ("peta", "P", 15),
    ("exa", "E", 18),
    ("zetta", "Z", 21),
];

fn read(text: &str) -> Table {
    let mut table = Table { words: HashMap::new(), symbols: HashMap::new(), beginnings: Vec::new() };
    let mut bases: Vec<&str> = Vec::new();
    let lines = text.lines().filter(|line| !line.starts_with('#') && !line.trim().is_empty());
    let rows: Vec<(Vec<&str>, Unit)> = lines
        .map(|line| {
            let columns: Vec<&str> = line.split('|').map(str::trim).collect();
            let unit = entry(&columns, &mut bases);
            (columns, unit)
        })
        .collect();
    // What the table names itself goes before what a prefix makes: `kt` is a knot, no kilotonne.
    let (bare, prefixed) = PREFIXES.split_at(1);
    for (columns, unit) in &rows {
        name(&mut table, columns, *unit, bare);
    }
    for (columns, unit) in rows.iter().filter(|(columns, _)| columns.get(4) == Some(&"si")) {
        name(&mut table, columns, *unit, prefixed);
    }
    table
}

/// Enters a unit under its words and symbols with each of the prefixes.
fn name(table: &mut Table, columns: &[&str], unit: Unit, prefixes: &[(&str, &str, i32)]) {
    for (word, symbol, tens) in prefixes {
        let Some(size) = Number::power_of_ten(*tens).and_then(|ten| unit.size.times(ten)) else { continue };
        let unit = Unit { size, ..unit };
        for name in columns[0].split_whitespace() {
            table.words.entry(format!("{word}{name}")).or_insert(unit);
            if name.contains('-') {
                table.beginnings.push(name.to_string());
            }
        }
        for name in columns[1].split_whitespace() {
            table.symbols.entry(format!("{symbol}{name}")).or_insert(unit);
        }
    }
}

fn entry<'t>(columns: &[&'t str], bases: &mut Vec<&'t str>) -> Unit {
    let mut dimension = [0i8; BASES];
    for part in columns.get(2).unwrap_or(&"").split_whitespace() {
        let split = part.find(|c: char| c == '-' || c.is_ascii_digit()).unwrap_or(part.len());
        let (base, power) = part.split_at(split);
        let at = bases.iter().position(|known| *known == base).unwrap_or_else(|| {
            bases.push(base);
            bases.len() - 1
        });
        dimension[at] = power.parse().unwrap_or(1);
    }
    let size = columns.get(3).and_then(|size| exact(size)).unwrap_or(Number::ONE);
    let zero = columns.get(5).and_then(|zero| exact(zero)).unwrap_or(Number::ZERO);
    Unit { dimension, size, zero }
}

fn exact(text: &str) -> Option<Number> {
    if let Some((top, bottom)) = text.split_once('/') {
        return Number::decimal(top)?.over(Number::decimal(bottom)?);
    }
    match text.split_once('e') {
        Some((digits, tens)) => Number::decimal(digits)?.times(Number::power_of_ten(tens.parse().ok()?)?),
        None => Number::decimal(text),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn same(left: &str, left_unit: &str, right: &str, right_unit: &str) {
        let base = |value, name| {
            let unit = unit(name).unwrap_or_else(|| panic!("no unit {name}"));
            (unit.dimension, unit.to_base(exact(value).unwrap()).unwrap())
        };
        assert_eq!(base(left, left_unit), base(right, right_unit), "{left} {left_unit} = {right} {right_unit}");
    }

    #[test]
    fn a_symbol_of_its_own_goes_before_one_that_a_prefix_makes() {
        same("34", "kt", "34", "knots");
        same("1", "min", "60", "s");
    }

    #[test]
    fn exact_conversions_agree() {
        same("1.5", "km", "1500", "metres");
        same("1", "mile", "1.609344", "kilometres");
        same("36", "km/h", "10", "m s^-1");
        same("36", "kilometers per hour", "10", "metres per second");
        same("1", "nautical mile per hour", "1", "knot");
        same("1", "hectare", "10000", "m²");
        same("1", "km2", "1000000", "square metres");
        same("1000", "cubic centimetres", "1", "litre");
        same("1013", "hPa", "1013", "millibars");
        same("0", "°C", "273.15", "kelvin");
        same("100", "degrees Celsius", "212", "degrees Fahrenheit");
        same("2", "g/cm^3", "2000", "kg per cubic metre");
        same("1", "kWh", "3.6", "MJ");
        same("50", "per cent", "50", "%");
        same("2", "years", "24", "months");
        same("1", "V", "1", "J/C");
    }

    #[test]
    fn units_of_other_things_differ() {
        assert!(!unit("km").unwrap().same_dimension(&unit("km/h").unwrap()));
        assert!(!unit("£").unwrap().same_dimension(&unit("dollars").unwrap()));
        assert!(unit("rivers").is_none() && unit("").is_none() && unit("km of").is_none());
    }

    #[test]
    fn every_line_of_the_table_is_read() {
        let mut seen = std::collections::BTreeSet::new();
        for line in include_str!("../../schema/units.txt").lines().filter(|line| !line.starts_with('#')) {
            let columns: Vec<&str> = line.split('|').map(str::trim).collect();
            assert!(columns.len() >= 5, "{line}");
            assert!(exact(columns[3]).is_some(), "{line}");
            for name in columns[0].split_whitespace().chain(columns[1].split_whitespace()) {
                assert!(seen.insert(name), "{name} twice");
                assert!(unit(&name.replace('-', " ")).is_some(), "{name}");
            }
        }
    }
}
