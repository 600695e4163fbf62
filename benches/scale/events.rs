//! The yardstick: every file is read, and the YAML of every deck goes through the parser as bare events,
//! on one thread.

use std::io;
use std::path::Path;

use granit_parser::Parser;

/// The number of events in all decks under `folder`; notes are read and no more.
pub fn count(folder: &Path) -> io::Result<usize> {
    let mut events = 0;
    for entry in walkdir::WalkDir::new(folder.join("decks")) {
        let entry = entry.map_err(io::Error::from)?;
        if !entry.file_type().is_file() {
            continue;
        }
        let bytes = std::fs::read(entry.path())?;
        if entry.file_name() == "cards.yaml" {
            let text = String::from_utf8(bytes).map_err(io::Error::other)?;
            events += Parser::new_from_str(&text).filter(Result::is_ok).count();
        } else {
            std::hint::black_box(bytes);
        }
    }
    Ok(events)
}
