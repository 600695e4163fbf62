//! The fonts that packs are printed with, carried inside the program. Their licences stand beside them
//! in `fonts/`.

use std::collections::BTreeSet;
use std::sync::LazyLock;

use typst::foundations::Bytes;
use typst::text::{Font, FontBook, FontInfo};
use typst::utils::LazyHash;

const FILES: &[&[u8]] = &[
    include_bytes!("fonts/NotoSans-Regular.ttf"),
    include_bytes!("fonts/NotoSans-Bold.ttf"),
    include_bytes!("fonts/NotoSans-Italic.ttf"),
    include_bytes!("fonts/NotoSans-BoldItalic.ttf"),
    include_bytes!("fonts/NotoSansMath-Regular.ttf"),
    include_bytes!("fonts/NotoSansArabic-Regular.ttf"),
    include_bytes!("fonts/NotoSansArabic-Bold.ttf"),
    include_bytes!("fonts/NotoSansHebrew-Regular.ttf"),
    include_bytes!("fonts/NotoSansHebrew-Bold.ttf"),
    include_bytes!("fonts/NotoSansSymbols2-Regular.ttf"),
    include_bytes!("fonts/NewCMMath-Book.otf"),
];

/// The fonts, read once.
pub struct Fonts {
    /// What the typesetter chooses from.
    pub book: LazyHash<FontBook>,
    /// The fonts in the order of the book.
    pub fonts: Vec<Font>,
}

/// The fonts that are carried inside the program.
pub static FONTS: LazyLock<Fonts> = LazyLock::new(|| {
    let fonts: Vec<Font> = FILES.iter().flat_map(|file| Font::iter(Bytes::new(*file))).collect();
    let infos: Vec<FontInfo> = fonts.iter().map(|font| font.info().clone()).collect();
    Fonts { book: LazyHash::new(FontBook::from_infos(infos)), fonts }
});

/// The letters of `text` that no font has, so that they could not be printed.
///
/// ```
/// use deckle::pack::print::unprintable;
/// assert!(unprintable("Größe ≤ 3 µm, H₂O ⇌ ✓ שלום مرحبا").is_empty());
/// assert_eq!(unprintable("a 水 b").into_iter().collect::<String>(), "水");
/// ```
pub fn unprintable(text: &str) -> BTreeSet<char> {
    if text.is_ascii() {
        return BTreeSet::new();
    }
    text.chars().filter(|&c| !is_printed(c)).collect()
}

fn is_printed(c: char) -> bool {
    c.is_ascii() || is_unseen(c) || FONTS.fonts.iter().any(|font| font.info().coverage.contains(c as u32))
}

/// Whether nothing is drawn for it: line ends, joiners, marks of direction, selectors of a form.
fn is_unseen(c: char) -> bool {
    c.is_control() || typst::text::is_default_ignorable(c)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::markup::maths::signs;

    #[test]
    fn the_families_that_are_asked_for_are_there() {
        let there: BTreeSet<&str> = FONTS.fonts.iter().map(|font| font.info().family.as_str()).collect();
        let template = include_str!("typst/text.typ").split_once("#let faces = (").expect("a list").1;
        let asked = template.split_once(')').expect("its end").0.split('"').skip(1).step_by(2);
        assert_eq!(asked.collect::<BTreeSet<_>>(), there);
        assert_eq!(FONTS.fonts.len(), FILES.len());
    }

    #[test]
    fn every_sign_of_formulas_is_printed() {
        let missing: String = signs().iter().map(|sign| sign.sign).filter(|&sign| !is_printed(sign)).collect();
        assert_eq!(missing, "");
    }

    #[test]
    fn languages_that_schools_teach_in_letters_are_printed() {
        let alphabets = "ÀÂÄÆÇÈÉÊËÎÏÔÖŒÙÛÜŸß ÁÍÑÓÚ¿¡ ŁĄĆĘŃŚŹŻ ČĎĚŇŘŠŤŮŽ ĞİŞı ŵŷ абвгдежз ΑΒΓαβγ ַ אבג ابتث 中";
        assert_eq!(unprintable(alphabets).into_iter().collect::<String>(), "中");
    }

    #[test]
    fn licences_stand_beside_the_fonts() {
        let licences = [include_str!("fonts/OFL.txt"), include_str!("fonts/GUST-FONT-LICENSE.txt")];
        assert!(licences[0].contains("SIL OPEN FONT LICENSE Version 1.1") && licences[1].contains("LaTeX Project"));
    }
}
