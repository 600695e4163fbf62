//! What a reader reads: the text without markup, line breaks, soft hyphens, fancy quotes, the many
//! dashes and Unicode forms, with the way back to the bytes it came from.

use std::borrow::Cow;
use std::num::NonZeroU32;
use std::ops::Range;
use thin_vec::ThinVec;
use unicode_normalization::{IsNormalized, UnicodeNormalization, is_nfc_quick};

/// Plain text and the places of its bytes in what was written.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Plain {
    /// The text as read: single spaces, straight quotes, `-` for every dash.
    pub text: String,
    places: Places,
}

/// Where the bytes of a plain text stand in what was written.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Places {
    /// Where the text was taken up anew.
    places: ThinVec<Place>,
    /// The end of the last piece in the source.
    end: u32,
}

impl Places {
    /// Takes no more memory than it needs.
    pub(crate) fn shrink_to_fit(&mut self) {
        self.places.shrink_to_fit();
    }

    /// The bytes of the source that `range` of `text` was read from.
    pub(crate) fn source_in(&self, text: &str, range: Range<usize>) -> Range<usize> {
        if range.is_empty() {
            let at = self.source_at(range.start);
            return at..at;
        }
        let last = text[..range.end].chars().next_back().map_or(0, char::len_utf8);
        let start = self.source_at(range.start);
        let end = match self.place_at(range.end - last) {
            Some(Place { other: Some(end), .. }) => end.get() as usize,
            Some(place) => place.source_of(range.end),
            None => range.end,
        };
        start..end.min(self.end as usize).max(start)
    }

    fn place_at(&self, at: usize) -> Option<Place> {
        let index = self.places.partition_point(|place| place.out as usize <= at);
        index.checked_sub(1).map(|index| self.places[index])
    }

    fn source_at(&self, at: usize) -> usize {
        match self.place_at(at) {
            Some(Place { source, other: Some(_), .. }) => source as usize,
            Some(place) => place.source_of(at),
            None => at,
        }
    }

    fn add(&mut self, out: usize, source: Range<usize>, alike: bool) {
        let runs_on = |last: &Place| last.other.is_none() && last.source_of(out) == source.start;
        if !(alike && self.places.last().is_some_and(runs_on)) {
            self.places.push(Place::new(out, source, alike));
        }
    }
}

/// From here on the text is the source's, byte for byte; or one character stands for something else.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Place {
    out: u32,
    source: u32,
    /// The end in the source, for a character that is written otherwise there.
    other: Option<NonZeroU32>,
}

impl Place {
    fn new(out: usize, source: Range<usize>, alike: bool) -> Self {
        let other = if alike { None } else { NonZeroU32::new(small(source.end)) };
        Self { out: small(out), source: small(source.start), other }
    }

    /// The byte of the source for the byte `at` of the text, where they are alike.
    fn source_of(self, at: usize) -> usize {
        self.source as usize + (at - self.out as usize)
    }
}

/// No text of four gigabytes is read.
fn small(at: usize) -> u32 {
    u32::try_from(at).unwrap_or(u32::MAX)
}

impl Plain {
    /// Card text as read: the inline markup is taken off, maths is written out.
    pub fn of_card(text: &str) -> Plain {
        let mut out = Plain::default();
        super::markup::read_into(text, &mut out);
        out.finish();
        out
    }

    /// Text without markup of its own, such as a run of text out of Markdown.
    pub fn of_run(text: &str) -> Plain {
        let mut out = Plain::default();
        out.push_run(text, 0);
        out.finish();
        out
    }

    /// Adds a run of source text that begins at byte `at` of the source.
    pub fn push_run(&mut self, text: &str, at: usize) {
        let mut done = 0;
        while done < text.len() {
            let spaced = self.text.is_empty() || self.text.ends_with(' ');
            let len = reads_as_written(&text[done..], spaced);
            if len > 0 {
                let run = &text[done..done + len];
                let out = self.text.len();
                self.text.push_str(run);
                self.place(out, at + done..at + done + len, true);
                done += len;
            } else {
                let other = &text[done..];
                let mut chars = other.char_indices().skip(1);
                let end = chars.find(|(_, c)| !is_mark(*c)).map_or(other.len(), |(end, _)| end);
                self.push_chars(&other[..end], at + done);
                done += end;
            }
        }
    }

    /// Adds a run of source text character by character.
    fn push_chars(&mut self, text: &str, at: usize) {
        let mut rest = text.char_indices().peekable();
        while let Some((offset, c)) = rest.next() {
            let mut end = offset + c.len_utf8();
            // A letter with marks of its own is put together first.
            while let Some((next_at, mark)) = rest.next_if(|(_, next)| is_mark(*next)) {
                end = next_at + mark.len_utf8();
            }
            if end == offset + c.len_utf8() {
                self.push_from(at + offset..at + end, |plain| plain.push_char(c));
            } else {
                let composed: String = text[offset..end].nfc().collect();
                self.push_from(at + offset..at + end, |plain| composed.chars().for_each(|c| plain.push_char(c)));
            }
        }
    }

    /// Adds a single character that stands for the source from byte `at` to byte `end`.
    pub fn push_as(&mut self, c: char, source: Range<usize>) {
        self.push_from(source, |plain| plain.push_char(c));
    }

    /// Drops the space at the end.
    pub fn finish(&mut self) {
        while self.text.ends_with(' ') {
            self.text.pop();
        }
    }

    /// The text, and where it stands.
    pub(crate) fn into_parts(self) -> (String, Places) {
        (self.text, self.places)
    }

    /// The bytes of the source that `range` of the plain text was read from.
    pub fn source_of(&self, range: Range<usize>) -> Range<usize> {
        self.places.source_in(&self.text, range)
    }

    /// Adds maths in TeX's notation that begins at byte `at` of the source.
    pub(crate) fn push_maths(&mut self, maths: &str, at: usize) {
        super::markup::maths_into(maths, at, self);
    }

    /// Adds text that begins at byte `at` of the source, with `~sub~` and `^super^` as its only markup.
    pub(crate) fn push_scripts(&mut self, text: &str, at: usize) {
        super::markup::scripts_into(text, at, self);
    }

    /// The end of what was read so far, in the source.
    pub(crate) fn end(&self) -> usize {
        self.places.end as usize
    }

    /// Lets `push` add what stands for the source's bytes `source`.
    fn push_from(&mut self, source: Range<usize>, push: impl FnOnce(&mut Plain)) {
        let out = self.text.len();
        push(self);
        // A sign that is read as several has no places inside: `—` and ` - ` are of one length.
        let alike = self.text.len() - out == source.len() && self.text[out..].chars().nth(1).is_none();
        self.place(out, source, alike);
    }

    /// Notes where the text from byte `out` on comes from, and whether its bytes are the source's.
    fn place(&mut self, out: usize, source: Range<usize>, alike: bool) {
        self.places.end = self.places.end.max(small(source.end));
        if self.text.len() > out {
            self.places.add(out, source, alike);
        }
    }

    fn push_char(&mut self, c: char) {
        match c {
            '\u{ad}'
            | '\u{200b}'..='\u{200f}'
            | '\u{202a}'..='\u{202e}'
            | '\u{2060}'..='\u{2064}'
            | '\u{2066}'..='\u{206f}'
            | '\u{feff}'
            | '\u{fe00}'..='\u{fe0f}' => {}
            c if c.is_whitespace() || c.is_control() => self.push_space(),
            '‘' | '’' | '‚' | '‛' | '′' | '`' | 'ʼ' => self.text.push('\''),
            '“' | '”' | '„' | '‟' | '″' | '«' | '»' => self.text.push('"'),
            '‐' | '‑' | '‒' | '–' | '−' | '﹣' | '－' => self.text.push('-'),
            '—' | '―' | '⸺' => {
                self.push_space();
                self.text.push_str("- ");
            }
            '…' => self.text.push_str("..."),
            '⁄' | '∕' => self.text.push('/'),
            '·' | '⋅' | '∙' => self.text.push('·'),
            'µ' => self.text.push('μ'),
            '\u{2126}' => self.text.push('Ω'),
            '\u{212a}' => self.text.push('K'),
            '℃' => self.text.push_str("°C"),
            '℉' => self.text.push_str("°F"),
            _ => self.push_form(c),
        }
    }

    fn push_form(&mut self, c: char) {
        if let Some(raised) = superscript(c) {
            if !self.raised_before() {
                self.text.push('^');
            }
            return self.text.push(raised);
        }
        if let Some(lowered) = subscript(c) {
            return self.text.push(lowered);
        }
        if is_fraction(c) {
            return self.text.push(c);
        }
        match c {
            // A wide character reads as the one that it is a form of.
            '\u{fb00}'..='\u{fb06}' | '\u{ff01}'..='\u{ff5e}' => {
                std::iter::once(c).nfkc().for_each(|form| self.push_char(form));
            }
            c if c.is_ascii() || is_nfc_quick(std::iter::once(c)) == IsNormalized::Yes => self.text.push(c),
            // Another form of characters that have a rule of their own, perhaps.
            c => std::iter::once(c)
                .nfc()
                .for_each(|form| if form == c { self.text.push(c) } else { self.push_char(form) }),
        }
    }

    /// Whether the text ends with `^` and raised digits already, so that ²³ is one exponent.
    fn raised_before(&self) -> bool {
        let base = self.text.trim_end_matches(|c: char| c.is_ascii_digit() || c == '-' || c == '+');
        base.len() < self.text.len() && base.ends_with('^')
    }

    fn push_space(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with(' ') {
            self.text.push(' ');
        }
    }
}

/// Card text as read, without the places; see [`Plain::of_card`].
pub fn plain(text: &str) -> String {
    as_read(text).into_owned()
}

/// The same, borrowed where the text reads as it is written, which is nearly everywhere.
pub(crate) fn as_read(text: &str) -> Cow<'_, str> {
    let markup = |byte: &u8| b"*~^$".contains(byte);
    if reads_as_written(text, true) == text.len() && !text.ends_with(' ') && !text.as_bytes().iter().any(markup) {
        return Cow::Borrowed(text);
    }
    Cow::Owned(Plain::of_card(text).text)
}

/// How many bytes of `text` read as they are written: plain ASCII with single spaces. `spaced` says that
/// a space stands before it, or nothing.
fn reads_as_written(text: &str, spaced: bool) -> usize {
    let mut spaced = spaced;
    let mut as_written = |byte: &u8| {
        let space = *byte == b' ';
        let keeps = if space { !spaced } else { byte.is_ascii_graphic() && *byte != b'`' };
        spaced = space;
        keeps
    };
    let len = text.bytes().take_while(&mut as_written).count();
    // The character before another one may be the letter that it is a mark of.
    if text.as_bytes().get(len).is_some_and(|next| !next.is_ascii()) { len.saturating_sub(1) } else { len }
}

fn is_mark(c: char) -> bool {
    !c.is_ascii() && unicode_normalization::char::is_combining_mark(c) && !('\u{fe00}'..='\u{fe0f}').contains(&c)
}

fn superscript(c: char) -> Option<char> {
    Some(match c {
        '⁰' => '0',
        '¹' => '1',
        '²' => '2',
        '³' => '3',
        '⁴'..='⁹' => char::from(b'4' + (c as u32 - '⁴' as u32) as u8),
        '⁺' => '+',
        '⁻' => '-',
        _ => return None,
    })
}

fn subscript(c: char) -> Option<char> {
    matches!(c, '₀'..='₉').then(|| char::from(b'0' + (c as u32 - '₀' as u32) as u8))
}

/// Whether `c` is one of Unicode's fractions, such as ½.
pub(super) fn is_fraction(c: char) -> bool {
    matches!(c, '¼' | '½' | '¾' | '⅐'..='⅞' | '↉')
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Half of such a sign was given as a place, in the middle of a letter's bytes.
    #[test]
    fn a_sign_that_is_read_as_several_is_one_place() {
        for written in ["a—b", "a\u{202e}—", "x ℃ y", "m² z", "so… on", "q\u{323}\u{307}"] {
            let read = Plain::of_run(written);
            for (at, c) in read.text.char_indices() {
                let place = read.source_of(at..at + c.len_utf8());
                assert!(
                    written.get(place.clone()).is_some_and(|text| !text.is_empty()),
                    "{written}: {at} at {place:?}"
                );
            }
        }
    }

    #[test]
    fn wording_of_characters_does_not_count() {
        for (written, read) in [
            ("a  b\nc\u{a0}d", "a b c d"),
            ("it’s “so”", "it's \"so\""),
            ("5–10 and 5‑10", "5-10 and 5-10"),
            ("one—two", "one - two"),
            ("ero\u{ad}sion", "erosion"),
            ("cafe\u{301}", "café"),
            ("m²", "m^2"),
            ("10²³", "10^23"),
            ("s⁻¹", "s^-1"),
            ("CO₂", "CO2"),
            ("21 ℃", "21 °C"),
            ("ﬁne", "fine"),
        ] {
            assert_eq!(Plain::of_run(written).text, read, "{written}");
        }
    }

    #[test]
    fn places_lead_back_to_the_source() {
        let source = "The **wind’s**  speed";
        let plain = Plain::of_card(source);
        assert_eq!(plain.text, "The wind's speed");
        assert_eq!(&source[plain.source_of(4..10)], "wind’s");
        assert_eq!(&source[plain.source_of(11..16)], "speed");
        assert_eq!(&source[plain.source_of(0..16)], source);
    }

    #[test]
    fn a_wide_character_reads_as_the_one_that_it_is_a_form_of() {
        assert_eq!(plain("Ａ５ ＋ ﬁn ｀so｀"), "A5 + fin 'so'");
        assert_eq!(plain("｀"), "'");
    }

    proptest! {
        #[test]
        fn runs_are_read_as_their_characters(text in "[a-c* `’é\u{301}\u{ad}²—½~^$\n\"]{0,24}", before in "[a ]{0,2}") {
            let (mut runs, mut chars) = (Plain::default(), Plain::default());
            runs.push_run(&before, 0);
            chars.push_chars(&before, 0);
            runs.push_run(&text, before.len());
            chars.push_chars(&text, before.len());
            prop_assert_eq!(&runs, &chars);
            prop_assert_eq!(as_read(&text).into_owned(), Plain::of_card(&text).text);
        }

        #[test]
        fn reading_twice_is_reading_once(text in "\\PC{0,40}") {
            let once = Plain::of_run(&text);
            let twice = Plain::of_run(&once.text);
            prop_assert_eq!(&once.text, &twice.text);
        }

        #[test]
        fn places_are_inside_and_in_order(text in "[a-z*~^$ é’\u{301}\u{ad}²—½\n]{0,40}") {
            let plain = Plain::of_card(&text);
            let mut last = 0;
            for (at, c) in plain.text.char_indices() {
                let range = plain.source_of(at..at + c.len_utf8());
                prop_assert!(range.end <= text.len() && range.start >= last);
                last = range.start;
            }
        }
    }
}
