//! The names of zips and tags.

use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

use super::edition::Edition;

/// The longest part of a file name that comes from the department's own name.
const LONGEST: usize = 60;

/// The name of a pack's zip: `geography-year-8-autumn-2026-edition-1.zip`.
pub fn zip_name(department: &str, year: u8, term: &str, edition: Edition) -> String {
    let edition = edition.to_string().replace(' ', "-");
    format!("{}-{edition}.zip", pack_name(department, year, term))
}

/// The name of a pack in all its editions: `geography-year-8-autumn-2026`.
pub(super) fn pack_name(department: &str, year: u8, term: &str) -> String {
    format!("{}-year-{year}-{term}", slug(department))
}

/// The name of an edition's tag: `packs/year-8/autumn-2026/1`.
pub fn tag_name(year: u8, term: &str, number: u32) -> String {
    format!("packs/year-{year}/{term}/{number}")
}

/// Year group, term and number of an edition's tag; `None` for any other tag.
pub fn parse_tag_name(tag: &str) -> Option<(u8, String, u32)> {
    let mut parts = tag.strip_prefix("packs/year-")?.split('/');
    let year: u8 = parts.next()?.parse().ok()?;
    let term = parts.next().filter(|term| is_slug(term))?;
    let number: u32 = parts.next()?.parse().ok().filter(|&number| number > 0)?;
    // `+1` and `01` are numbers to the reader, but no editions.
    (tag_name(year, term, number) == tag).then(|| (year, term.to_owned(), number))
}

/// Whether text is lower-case words joined by hyphens.
pub(crate) fn is_slug(text: &str) -> bool {
    let word = |word: &str| !word.is_empty() && word.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit());
    text.len() <= LONGEST && text.split('-').all(word)
}

/// A name as lower-case words joined by hyphens, accents taken off.
fn slug(name: &str) -> String {
    let plain: String = name.nfkd().filter(|c| !is_combining_mark(*c)).flat_map(char::to_lowercase).collect();
    let words = plain.split(|c: char| !c.is_ascii_alphanumeric()).filter(|word| !word.is_empty());
    let mut slug = words.collect::<Vec<_>>().join("-");
    slug.truncate(LONGEST);
    let slug = slug.trim_end_matches('-');
    if slug.is_empty() { "department".to_owned() } else { slug.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn zips_are_named_after_what_they_hold() {
        let name = |department: &str, edition| zip_name(department, 8, "autumn-2026", edition);
        assert_eq!(name("Geography", Edition::Number(1)), "geography-year-8-autumn-2026-edition-1.zip");
        assert_eq!(name("Géographie & Co", Edition::Preview), "geographie-co-year-8-autumn-2026-preview.zip");
        assert_eq!(name("地理", Edition::Number(2)), "department-year-8-autumn-2026-edition-2.zip");
        assert_eq!(name("../../etc", Edition::Number(2)), "etc-year-8-autumn-2026-edition-2.zip");
        assert!(name(&"long name ".repeat(50), Edition::Preview).len() < 100);
    }

    #[test]
    fn tags_are_read_back_and_others_are_not() {
        assert_eq!(tag_name(8, "autumn-2026", 12), "packs/year-8/autumn-2026/12");
        assert_eq!(parse_tag_name("packs/year-8/autumn-2026/12"), Some((8, "autumn-2026".to_owned(), 12)));
        for other in [
            "packs/year-8/autumn-2026/0",
            "packs/year-8/autumn-2026/01",
            "packs/year-8/autumn-2026/+1",
            "packs/year-08/autumn-2026/1",
            "packs/year-8/autumn-2026/1/2",
            "packs/year-8/autumn-2026",
            "packs/year-8/../1",
            "packs/year-8/autumn-2026/4294967296",
            "v1.0",
        ] {
            assert_eq!(parse_tag_name(other), None, "{other}");
        }
    }
}
