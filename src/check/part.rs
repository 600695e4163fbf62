//! A part of what was found, for pipelines that report in several jobs.

use std::str::FromStr;

use sha2::{Digest, Sha256};

use crate::finding::Finding;

/// One of a number of parts. Every finding is in exactly one of them, and all findings of a deck are in the
/// same one; a deck keeps its part whatever becomes of the others.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Part {
    /// Which, from 1.
    number: u64,
    /// Of how many.
    of: u64,
}

impl Part {
    /// Whether the finding is in this part.
    pub fn holds(&self, finding: &Finding) -> bool {
        let path = &*finding.place.path;
        let folder = match &finding.deck {
            Some(deck) => format!("decks/{deck}"),
            None => path.rsplit_once('/').map_or("", |(folder, _)| folder).to_owned(),
        };
        let digest = Sha256::digest(folder);
        let first = digest.iter().take(8).fold(0, |number: u64, byte| (number << 8) | u64::from(*byte));
        first % self.of == self.number - 1
    }
}

impl std::fmt::Display for Part {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}/{}", self.number, self.of)
    }
}

impl FromStr for Part {
    type Err = &'static str;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let wrong = "write which part of how many, such as 1/4 for the first of four";
        let (number, of) = text.split_once('/').ok_or(wrong)?;
        let (number, of) = (number.parse().map_err(|_| wrong)?, of.parse().map_err(|_| wrong)?);
        if (1..=of).contains(&number) { Ok(Self { number, of }) } else { Err(wrong) }
    }
}

#[cfg(test)]
mod tests {
    use super::Part;

    #[test]
    fn parts_are_counted_from_1() {
        for sound in ["1/1", "1/4", "4/4", "17/1000"] {
            assert_eq!(sound.parse::<Part>().map(|part| part.to_string()).as_deref(), Ok(sound));
        }
        for wrong in ["", "1", "/", "0/4", "5/4", "1/0", "0/0", "-1/4", "1/4/2", "a/b", "1.5/2"] {
            assert!(wrong.parse::<Part>().is_err(), "{wrong}");
        }
    }
}
