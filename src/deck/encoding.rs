//! The letters in a file's bytes, whatever it was saved as: a file that is not UTF-8 is one mistake, not
//! one on each of its cards.

/// What the bytes of a file say.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Decoded {
    /// They are UTF-8.
    Sound(String),
    /// They are saved in another way; the letters are known all the same.
    Otherwise {
        /// The letters.
        text: String,
        /// What it is saved as.
        saved: Saved,
        /// Up to which byte of `text` it might be UTF-8.
        at: usize,
    },
    /// They are no text.
    NoText,
}

/// In which way a file is saved that is not UTF-8.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Saved {
    /// Two bytes for a letter, with or without a mark at the start.
    Utf16,
    /// One byte for a letter, most likely; read as windows-1252.
    OneByte,
}

/// The letters in `bytes`.
pub(super) fn decode(bytes: Vec<u8>) -> Decoded {
    if let Some(text) = as_utf16(&bytes) {
        return otherwise(text, Saved::Utf16, 0);
    }
    match String::from_utf8(bytes) {
        Ok(text) => Decoded::Sound(text),
        Err(error) => otherwise(one_byte(error.as_bytes()), Saved::OneByte, error.utf8_error().valid_up_to()),
    }
}

fn otherwise(text: String, saved: Saved, at: usize) -> Decoded {
    let is_text = !text.contains(|c: char| c.is_ascii_control() && !matches!(c, '\t' | '\n' | '\r'));
    if is_text { Decoded::Otherwise { text, saved, at } } else { Decoded::NoText }
}

/// The text, when its mark or the zeros between its first letters tell that it is UTF-16.
fn as_utf16(bytes: &[u8]) -> Option<String> {
    let unit: fn([u8; 2]) -> u16 = match bytes {
        [0xff, 0xfe, ..] => u16::from_le_bytes,
        [0xfe, 0xff, ..] => u16::from_be_bytes,
        [1..=255, 0, 1..=255, 0, ..] => u16::from_le_bytes,
        [0, 1..=255, 0, 1..=255, ..] => u16::from_be_bytes,
        _ => return None,
    };
    let units: Vec<u16> = bytes.as_chunks::<2>().0.iter().map(|pair| unit(*pair)).collect();
    Some(String::from_utf16_lossy(&units).trim_start_matches('\u{feff}').to_owned())
}

/// The text, with each byte that is not UTF-8 read as windows-1252 has it.
fn one_byte(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len() + bytes.len() / 8);
    for chunk in bytes.utf8_chunks() {
        text.push_str(chunk.valid());
        text.extend(chunk.invalid().iter().map(|&byte| match byte {
            0x80..=0x9f => HIGH[usize::from(byte - 0x80)],
            byte => char::from(byte),
        }));
    }
    text
}

/// The bytes 80 to 9f in windows-1252 (WHATWG, "Encoding Standard", index windows-1252).
const HIGH: [char; 32] = [
    '€', '\u{81}', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\u{8d}', 'Ž', '\u{8f}', '\u{90}', '‘', '’',
    '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\u{9d}', 'ž', 'Ÿ',
];

#[cfg(test)]
mod tests {
    use super::*;

    fn utf16(text: &str, bytes: fn(u16) -> [u8; 2]) -> Vec<u8> {
        text.encode_utf16().flat_map(bytes).collect()
    }

    #[test]
    fn utf_16_is_known_with_and_without_a_mark() {
        let text = "title: Café “at sea”\n";
        let expected = Decoded::Otherwise { text: text.to_owned(), saved: Saved::Utf16, at: 0 };
        for mark in ["", "\u{feff}"] {
            for bytes in [u16::to_le_bytes as fn(u16) -> [u8; 2], u16::to_be_bytes] {
                assert_eq!(decode(utf16(&format!("{mark}{text}"), bytes)), expected, "{mark:?}");
            }
        }
    }

    #[test]
    fn letters_of_one_byte_are_read_among_sound_ones() {
        let decoded = decode(b"Caf\xe9 \x93at\x94 \x80 \xc3\xa9\n".to_vec());
        let text = "Café “at” € é\n".to_owned();
        assert_eq!(decoded, Decoded::Otherwise { text, saved: Saved::OneByte, at: 3 });
    }

    #[test]
    fn what_is_sound_stays_and_what_is_no_text_is_none() {
        for sound in ["", "a", "\u{feff}title: T\n", "title: Café\n", "a\0b"] {
            assert_eq!(decode(sound.as_bytes().to_vec()), Decoded::Sound(sound.to_owned()));
        }
        for bytes in [&b"\x89PNG\x0d\x0a\x1a\x0a\0\0"[..], b"\xff\xfe\0\0t\0\0\0", b"PK\x03\x04\xff"] {
            assert_eq!(decode(bytes.to_vec()), Decoded::NoText, "{bytes:?}");
        }
    }
}
