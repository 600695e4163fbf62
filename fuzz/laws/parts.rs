//! An input that holds several texts.

use deckle::snapshot::{Entry, Kind, Snapshot, SnapshotError};

/// The line between two parts of an input.
pub const BREAK: &[u8] = b"\n%%%\n";

/// The first `N` parts of an input; those that it does not have are empty.
pub fn parts<const N: usize>(bytes: &[u8]) -> [&[u8]; N] {
    let mut rest = Some(bytes);
    std::array::from_fn(|_| {
        let whole = rest.take().unwrap_or_default();
        let at = whole.windows(BREAK.len()).position(|window| window == BREAK);
        rest = at.map(|at| &whole[at + BREAK.len()..]);
        &whole[..at.unwrap_or(whole.len())]
    })
}

/// The same as texts; bytes that are not UTF-8 become replacement signs.
pub fn texts<const N: usize>(bytes: &[u8]) -> [String; N] {
    parts(bytes).map(|part| String::from_utf8_lossy(part).into_owned())
}

/// A department of a few files in memory.
#[derive(Debug)]
pub struct Files<'b>(pub Vec<(&'static str, &'b [u8])>);

impl Snapshot for Files<'_> {
    fn files(&self) -> Result<Vec<Entry>, SnapshotError> {
        let entry = |(path, bytes): &(&str, &[u8])| Entry {
            path: (*path).to_owned(),
            kind: Kind::File { size: bytes.len() as u64 },
        };
        Ok(self.0.iter().map(entry).collect())
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SnapshotError> {
        let file = self.0.iter().find(|(other, _)| *other == path);
        let missing = || SnapshotError::File { path: path.to_owned(), source: std::io::ErrorKind::NotFound.into() };
        file.map(|(_, bytes)| bytes.to_vec()).ok_or_else(missing)
    }
}
