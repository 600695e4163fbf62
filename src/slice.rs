//! A piece of a text that is kept without being copied.

use std::cmp::Ordering;
use std::fmt;
use std::hash::{Hash, Hasher};
use std::ops::Deref;
use std::sync::Arc;

/// A piece of a text, which it keeps alive.
///
/// A card of a deck has a dozen of them: copies would be most of what a department takes in memory. It
/// compares, hashes and prints as the text that it is.
#[derive(Clone, Default)]
pub struct Slice {
    whole: Option<Arc<Arc<str>>>,
    start: u32,
    len: u32,
}

impl Slice {
    /// The text.
    pub fn as_str(&self) -> &str {
        let Some(whole) = &self.whole else { return "" };
        whole.get(self.start as usize..(self.start + self.len) as usize).unwrap_or_default()
    }

    /// The same without the line ends behind it.
    #[must_use]
    pub fn without_line_end(&self) -> Self {
        Self { len: small(self.trim_end_matches(['\n', '\r']).len()), ..self.clone() }
    }

    /// The same without blanks around it.
    #[must_use]
    pub fn trimmed(&self) -> Self {
        let rest = self.trim_start();
        let start = self.start + small(self.len() - rest.len());
        Self { start, len: small(rest.trim_end().len()), ..self.clone() }
    }
}

/// A text of which pieces are taken.
#[derive(Clone, Debug)]
pub struct Whole(Arc<Arc<str>>);

impl Whole {
    /// The whole of `text`.
    pub fn new(text: impl Into<Arc<str>>) -> Self {
        Self(Arc::new(text.into()))
    }

    /// The piece that `part` is, when it lies in this very text; else a copy.
    pub fn piece(&self, part: &str) -> Slice {
        let start = part.as_ptr().addr().wrapping_sub(self.0.as_ptr().addr());
        let lies_here = start.checked_add(part.len()).is_some_and(|end| end <= self.0.len());
        if part.is_empty() || !lies_here {
            return part.into();
        }
        Slice { whole: Some(Arc::clone(&self.0)), start: small(start), len: small(part.len()) }
    }
}

impl Deref for Whole {
    type Target = str;

    fn deref(&self) -> &str {
        &self.0
    }
}

/// Texts of four gigabytes are never read: files are refused long before.
fn small(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

impl From<&str> for Slice {
    fn from(text: &str) -> Self {
        let whole = (!text.is_empty()).then(|| Arc::new(Arc::from(text)));
        Self { whole, start: 0, len: small(text.len()) }
    }
}

impl From<String> for Slice {
    fn from(text: String) -> Self {
        text.as_str().into()
    }
}

impl From<&Slice> for String {
    fn from(slice: &Slice) -> Self {
        slice.as_str().to_owned()
    }
}

impl From<Slice> for String {
    fn from(slice: Slice) -> Self {
        slice.as_str().to_owned()
    }
}

impl Deref for Slice {
    type Target = str;

    fn deref(&self) -> &str {
        self.as_str()
    }
}

impl AsRef<str> for Slice {
    fn as_ref(&self) -> &str {
        self.as_str()
    }
}

impl std::borrow::Borrow<str> for Slice {
    fn borrow(&self) -> &str {
        self.as_str()
    }
}

impl fmt::Debug for Slice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(self.as_str(), f)
    }
}

impl fmt::Display for Slice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self.as_str(), f)
    }
}

impl PartialEq for Slice {
    fn eq(&self, other: &Self) -> bool {
        self.as_str() == other.as_str()
    }
}

impl Eq for Slice {}

impl PartialEq<str> for Slice {
    fn eq(&self, other: &str) -> bool {
        self.as_str() == other
    }
}

impl PartialEq<&str> for Slice {
    fn eq(&self, other: &&str) -> bool {
        self.as_str() == *other
    }
}

impl PartialEq<String> for Slice {
    fn eq(&self, other: &String) -> bool {
        self.as_str() == other
    }
}

impl PartialEq<Slice> for String {
    fn eq(&self, other: &Slice) -> bool {
        self == other.as_str()
    }
}

impl PartialEq<Slice> for str {
    fn eq(&self, other: &Slice) -> bool {
        self == other.as_str()
    }
}

impl PartialEq<Slice> for &str {
    fn eq(&self, other: &Slice) -> bool {
        *self == other.as_str()
    }
}

impl PartialOrd for Slice {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Slice {
    fn cmp(&self, other: &Self) -> Ordering {
        self.as_str().cmp(other.as_str())
    }
}

impl Hash for Slice {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.as_str().hash(state);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_piece_of_the_text_is_not_copied_and_any_other_is() {
        let whole = Whole::new("id: delta\n");
        let piece = whole.piece(&whole[4..10]);
        assert_eq!(piece, "delta\n");
        assert!(std::ptr::eq(piece.as_str(), &whole[4..10]));
        assert!(std::ptr::eq(piece.without_line_end().as_str(), &whole[4..9]));
        let elsewhere = String::from("delta");
        let copy = whole.piece(&elsewhere);
        drop(elsewhere);
        drop(whole);
        assert_eq!((copy.as_str(), piece.as_str()), ("delta", "delta\n"));
    }

    #[test]
    fn it_compares_hashes_and_prints_as_its_text() {
        let (piece, text) = (Slice::from("a “b”"), "a “b”");
        assert_eq!(piece, text);
        assert_eq!(format!("{piece} {piece:?}"), format!("{text} {text:?}"));
        let [empty, a, b] = ["", "a", "b"].map(Slice::from);
        assert!(a < b && Slice::default() == empty);
        assert_eq!(Slice::from(" \u{2003}x \n").trimmed(), "x");
        assert_eq!(std::collections::BTreeSet::from([piece]).get(text).map(Slice::as_str), Some(text));
    }
}
