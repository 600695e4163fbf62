//! The zip around a pack's files: written so that the same files give the same bytes, read as if it
//! came from an enemy.

use std::collections::BTreeMap;
use std::io::{Cursor, Read, Write};

use zip::read::ZipFile;
use zip::result::ZipResult;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, System, ZipArchive, ZipWriter};

/// The largest zip that is looked into, in bytes.
pub(super) const LARGEST_ZIP: usize = 256 * 1024 * 1024;
/// The most files that a pack may have.
pub(super) const MOST_FILES: usize = 64;
/// The largest file of a pack, in bytes.
pub(super) const LARGEST_FILE: u64 = 128 * 1024 * 1024;
/// The most that all files of a pack may hold together, in bytes.
pub(super) const LARGEST_WHOLE: u64 = 256 * 1024 * 1024;

/// A zip of these files, in this order.
///
/// Times, permissions and the rest are fixed, and nothing is compressed: what a compressor makes
/// changes with its version, and the same commit shall give the same bytes years from now. The files
/// that are large (PDF) are compressed inside.
pub(super) fn write(files: &[(impl AsRef<str>, Vec<u8>)]) -> ZipResult<Vec<u8>> {
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Stored)
        .system(System::Unix)
        .last_modified_time(DateTime::default())
        .unix_permissions(0o644);
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        zip.start_file(name.as_ref(), options)?;
        zip.write_all(bytes)?;
    }
    Ok(zip.finish()?.into_inner())
}

/// The files of a zip by name, or a sentence that says what is wrong with it.
///
/// Whatever the bytes: it never panics, and it reads no more than the limits allow, whatever sizes the
/// zip declares.
pub(super) fn read(bytes: &[u8]) -> Result<BTreeMap<String, Vec<u8>>, String> {
    if bytes.len() > LARGEST_ZIP {
        return Err(format!("it is larger than any pack ({} bytes)", bytes.len()));
    }
    end_of_directory(bytes)?;
    let broken = |error: zip::result::ZipError| format!("it is no whole zip ({error})");
    let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(broken)?;
    if archive.len() > MOST_FILES {
        return Err(too_many());
    }
    if archive.offset() != 0 {
        return Err("something stands before its first file".to_owned());
    }
    archive.validate_header_consistency().map_err(broken)?;
    let mut files = BTreeMap::new();
    let mut left = LARGEST_WHOLE;
    for at in 0..archive.len() {
        if archive.by_index_raw(at).is_ok_and(|file| file.encrypted()) {
            return Err("it is locked with a password, as no pack is".to_owned());
        }
        let file = archive.by_index(at).map_err(broken)?;
        let (name, bytes) = read_file(file, left)?;
        left -= bytes.len() as u64;
        if files.insert(name.clone(), bytes).is_some() {
            return Err(format!("it holds `{name}` twice"));
        }
    }
    Ok(files)
}

/// Looks at the record that ends every zip before anything is read by its word (APPNOTE 4.3.16).
fn end_of_directory(bytes: &[u8]) -> Result<(), String> {
    const LENGTH: usize = 22;
    let at = bytes.len().checked_sub(LENGTH).ok_or("it is too short for a zip")?;
    let end = &bytes[at..];
    if !end.starts_with(b"PK\x05\x06") || end[20..] != [0, 0] {
        return Err("it does not end as a zip does; was it cut off, or something added?".to_owned());
    }
    let files = usize::from(u16::from_le_bytes([end[10], end[11]]));
    // A zip of the large kind (4.3.15) has room for more than any pack needs.
    let large = at >= 20 && bytes[at - 20..].starts_with(b"PK\x06\x07");
    if files > MOST_FILES || large { Err(too_many()) } else { Ok(()) }
}

fn too_many() -> String {
    format!("it holds more files than any pack ({MOST_FILES})")
}

fn read_file<R: Read>(file: ZipFile<'_, R>, left: u64) -> Result<(String, Vec<u8>), String> {
    let name = String::from_utf8(file.name_raw().to_vec()).ok().filter(|name| is_plain(name));
    let Some(name) = name else {
        return Err(format!("it holds a file with a name that no pack has: {}", file.name_raw().escape_ascii()));
    };
    let usual = matches!(file.compression(), CompressionMethod::Stored | CompressionMethod::Deflated);
    if file.is_dir() || file.is_symlink() || !usual {
        return Err(format!("`{name}` is not stored as an ordinary file"));
    }
    let limit = left.min(LARGEST_FILE);
    let size = file.size();
    if size > limit {
        return Err(format!("`{name}` is larger than any file of a pack"));
    }
    let mut bytes = Vec::new();
    let mut reader = file.take(limit + 1);
    reader.read_to_end(&mut bytes).map_err(|error| format!("`{name}` cannot be read ({error})"))?;
    if bytes.len() as u64 != size {
        return Err(format!("`{name}` is not as long as the zip says"));
    }
    Ok((name, bytes))
}

/// Whether it is the name of a file and no path, on any system.
pub(crate) fn is_plain(name: &str) -> bool {
    let usual = |b: u8| b.is_ascii_alphanumeric() || matches!(b, b'.' | b'-' | b'_');
    !name.is_empty() && name.len() <= 100 && name.bytes().all(usual) && !name.starts_with('.')
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn sample() -> Vec<u8> {
        write(&[("cards.csv", b"number\r\n1\r\n".to_vec()), ("pack.json", b"{}\n".to_vec())]).unwrap()
    }

    fn deflated(name: &str, bytes: &[u8]) -> Vec<u8> {
        let options = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
        let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
        zip.start_file(name, options).unwrap();
        zip.write_all(bytes).unwrap();
        zip.finish().unwrap().into_inner()
    }

    #[test]
    fn what_is_written_reads_back_and_is_the_same_every_time() {
        let files = read(&sample()).unwrap();
        assert_eq!(files.keys().collect::<Vec<_>>(), ["cards.csv", "pack.json"]);
        assert_eq!(files["pack.json"], b"{}\n");
        assert_eq!(sample(), sample());
        // Version 1.0 made on Unix (3), stored, at midnight on 1 January 1980, whatever machine this is.
        let directory = sample().windows(4).position(|four| four == b"PK\x01\x02").unwrap();
        assert_eq!(sample()[directory + 5], 3);
        assert_eq!(sample()[directory + 10..directory + 16], [0, 0, 0, 0, 0x21, 0]);
        assert_eq!(sample()[directory + 38..directory + 42], [0, 0, 0xa4, 0x81]);
    }

    #[test]
    fn names_with_paths_are_refused() {
        for name in ["../x", "a/b", "/x", "C:x", "a\\b", ".hidden", "x\u{202e}y", "", "a\nb"] {
            let error = read(&deflated(name, b"x")).unwrap_err();
            assert!(error.contains("name"), "{name:?}: {error}");
        }
        assert!(read(&deflated("cards.pdf", b"x")).is_ok());
    }

    #[test]
    fn what_is_cut_off_or_added_is_refused() {
        let whole = sample();
        for cut in [0, 1, 21, 22, whole.len() / 2, whole.len() - 1] {
            assert!(read(&whole[..cut]).is_err(), "{cut}");
        }
        assert!(read(&[whole.as_slice(), b"more"].concat()).is_err());
        assert!(read(&[b"more", whole.as_slice()].concat()).is_err());
        assert!(read(&[sample(), sample()].concat()).is_err());
    }

    #[test]
    fn bombs_are_refused_without_being_unpacked() {
        let bomb = deflated("bomb", &vec![0; 4 << 20]);
        let mut lying = bomb.clone();
        // The sizes before packing, in the file's own header and in the directory, say one byte.
        let directory = lying.windows(4).position(|four| four == b"PK\x01\x02").unwrap();
        lying[22..26].copy_from_slice(&1u32.to_le_bytes());
        lying[directory + 24..directory + 28].copy_from_slice(&1u32.to_le_bytes());
        assert!(read(&bomb).is_ok());
        assert!(read(&lying).is_err());
        let mut huge = bomb.clone();
        huge[22..26].copy_from_slice(&0xffff_fff0u32.to_le_bytes());
        huge[directory + 24..directory + 28].copy_from_slice(&0xffff_fff0u32.to_le_bytes());
        assert_eq!(read(&huge).unwrap_err(), "`bomb` is larger than any file of a pack");
        let many: Vec<(String, Vec<u8>)> = (0..65).map(|at| (format!("f{at}"), Vec::new())).collect();
        let many: Vec<(&str, Vec<u8>)> = many.iter().map(|(name, bytes)| (name.as_str(), bytes.clone())).collect();
        assert_eq!(read(&write(&many).unwrap()).unwrap_err(), too_many());
    }

    #[test]
    fn links_and_locked_files_are_refused() {
        let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
        zip.add_symlink("cards.pdf", "/etc/passwd", SimpleFileOptions::default()).unwrap();
        let link = zip.finish().unwrap().into_inner();
        assert_eq!(read(&link).unwrap_err(), "`cards.pdf` is not stored as an ordinary file");
        // Bit 0 of the flags in the file's own header and in the directory (APPNOTE 4.4.4).
        let mut locked = sample();
        let directory = locked.windows(4).position(|four| four == b"PK\x01\x02").unwrap();
        locked[6] |= 1;
        locked[directory + 8] |= 1;
        assert_eq!(read(&locked).unwrap_err(), "it is locked with a password, as no pack is");
    }

    #[test]
    fn two_files_of_one_name_are_refused() {
        let mut zip = write(&[("a.csv", b"1".to_vec()), ("b.csv", b"2".to_vec())]).unwrap();
        let places: Vec<usize> = (0..zip.len() - 5).filter(|&at| &zip[at..at + 5] == b"b.csv").collect();
        places.into_iter().for_each(|at| zip[at] = b'a');
        assert!(read(&zip).is_err());
    }

    proptest! {
        #[test]
        fn no_bytes_make_it_panic(changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..6), cut in 0..40usize) {
            let mut bytes = sample();
            for (at, byte) in changes {
                let at = at.index(bytes.len());
                bytes[at] = byte;
            }
            bytes.truncate(bytes.len().saturating_sub(cut / 8));
            _ = read(&bytes);
        }

        #[test]
        fn no_noise_makes_it_panic(noise in prop::collection::vec(any::<u8>(), 0..200)) {
            let end = b"PK\x05\x06\0\0\0\0\x02\0\x02\0\x40\0\0\0\0\0\0\0\0\0";
            _ = read(&noise);
            _ = read(&[noise.as_slice(), end].concat());
        }
    }
}
