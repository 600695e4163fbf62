//! Texts as numbers.

use sha2::{Digest, Sha256};

/// One number for a text, the same in every process: the start of its SHA-256 (FIPS 180-4).
pub fn digest(text: &str) -> u64 {
    Sha256::digest(text).iter().take(8).fold(0, |number, byte| number << 8 | u64::from(*byte))
}

#[cfg(test)]
mod tests {
    use super::digest;

    #[test]
    fn it_is_the_start_of_the_published_digest() {
        // The example `abc` of FIPS 180-4.
        assert_eq!(digest("abc"), 0xba78_16bf_8f01_cfea);
    }
}
