//! Reading the word lists under `schema/`: one entry a line, `#` before a remark.

/// The lines that hold an entry.
pub(crate) fn lines(text: &'static str) -> impl Iterator<Item = &'static str> {
    text.lines().map(str::trim).filter(|line| !line.is_empty() && !line.starts_with('#'))
}

/// Entries of two words.
pub(crate) fn pairs(text: &'static str) -> Vec<(&'static str, &'static str)> {
    lines(text).filter_map(|line| line.split_once(' ')).collect()
}
