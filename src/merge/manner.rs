//! What an editor decides for a whole file: line ends and a byte order mark.

use std::borrow::Cow;

/// The byte order mark.
pub(super) const MARK: char = '\u{feff}';

/// What an editor decides for a whole file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Manner {
    pub mark: bool,
    pub crlf: bool,
}

impl Manner {
    pub(super) fn of(text: &str) -> Self {
        let crlf = text.contains('\r') && text.matches("\r\n").count() * 2 > text.matches('\n').count();
        Self { mark: text.starts_with(MARK), crlf }
    }

    /// What sides make of it: what one of them changed is changed.
    pub(super) fn changed_by(self, sides: impl Iterator<Item = Manner> + Clone) -> Self {
        let after =
            |part: fn(Manner) -> bool| sides.clone().map(part).find(|&now| now != part(self)).unwrap_or(part(self));
        Self { mark: after(|manner| manner.mark), crlf: after(|manner| manner.crlf) }
    }

    pub(super) fn applied(self, text: &str) -> Cow<'_, str> {
        let text = text.trim_start_matches(MARK);
        match (Self::of(text).crlf == self.crlf, self.crlf) {
            (true, _) => text.into(),
            (false, true) => text.replace("\r\n", "\n").replace('\n', "\r\n").into(),
            (false, false) => text.replace("\r\n", "\n").into(),
        }
    }
}

/// Base and sides with line ends of one kind and without byte order mark, so that a file saved by
/// another editor does not differ in every line; and how the merged file is to be written.
pub(super) fn alike<'a>(base: &'a str, sides: &[&'a str]) -> (Manner, Vec<Cow<'a, str>>) {
    let before = if base.is_empty() { Manner::of(sides[0]) } else { Manner::of(base) };
    let manner = before.changed_by(sides.iter().map(|side| Manner::of(side)));
    (manner, std::iter::once(base).chain(sides.iter().copied()).map(|text| manner.applied(text)).collect())
}
