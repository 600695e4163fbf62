//! Any bytes are judged as a pack, and no more memory is taken than the limits of packs allow.

use std::io::{Cursor, Write};

use deckle::pack::{State, verify};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

use super::parts::parts;

/// Verifies an input: a zip, or else the `pack.json` and another file of one.
///
/// # Panics
///
/// When the law is broken.
pub fn holds(bytes: &[u8]) {
    judged(bytes);
    if !bytes.starts_with(b"PK") {
        let [manifest, cards] = parts(bytes);
        judged(&zip_of(manifest, cards));
    }
}

fn judged(zip: &[u8]) {
    let verdict = verify(None, zip);
    let failed = verdict.checks.iter().filter(|check| check.state == State::Failed).count();
    assert_eq!(verdict.passed, failed == 0, "{verdict:?}");
    assert!(verdict.checks.iter().all(|check| !check.sentence.is_empty()), "{verdict:?}");
    // Sentences quote what the pack says, so they stay short.
    assert!(verdict.checks.iter().map(|check| check.sentence.len()).sum::<usize>() < 100_000 + 8 * zip.len());
}

fn zip_of(manifest: &[u8], cards: &[u8]) -> Vec<u8> {
    let options = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in [("pack.json", manifest), ("cards.csv", cards)] {
        zip.start_file(name, options).and_then(|()| Ok(zip.write_all(bytes)?)).expect("written to memory");
    }
    zip.finish().expect("written to memory").into_inner()
}
