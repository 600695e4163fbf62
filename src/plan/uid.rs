//! The identifier of a check in calendars.

use sha2::{Digest, Sha256};

use super::{Check, Topic};
use crate::deck::Department;

/// The identifier that a check keeps through all editions of a term's pack, so that a new edition moves
/// what stands in a calendar and adds nothing twice.
///
/// It is a UUID of version 8 (RFC 9562), as RFC 7986 asks of calendars, made of SHA-256 over school,
/// department, year group, term, deck, number of the check and part. The term is one of them because
/// editions are counted anew in each: without it, next year's first edition would count as older than
/// this year's last.
pub fn uid(department: &Department, year: u8, topic: &Topic, check: &Check) -> String {
    let settings = &department.settings;
    let named =
        |name: &Option<crate::deck::Text>| name.as_ref().map_or_else(String::new, |name| name.value.to_string());
    let parts = [
        "deckle check".to_owned(),
        named(&settings.school),
        named(&settings.department),
        year.to_string(),
        topic.term.clone(),
        topic.deck.clone(),
        check.number.to_string(),
        check.part.to_string(),
    ];
    let mut digest = Sha256::new();
    for part in parts {
        // Lengths keep `ab`, `c` apart from `a`, `bc`.
        digest.update((part.len() as u64).to_be_bytes());
        digest.update(part.as_bytes());
    }
    let mut bytes: [u8; 16] = [0; 16];
    bytes.copy_from_slice(&digest.finalize()[..16]);
    bytes[6] = 0x80 | (bytes[6] & 0x0f);
    bytes[8] = 0x80 | (bytes[8] & 0x3f);
    let hex: String = bytes.iter().map(|byte| format!("{byte:02x}")).collect();
    [&hex[..8], &hex[8..12], &hex[12..16], &hex[16..20], &hex[20..]].join("-")
}
