//! The running number of a pack.

use std::fmt;

use serde::de::{Deserialize, Deserializer, Error, Unexpected, Visitor};
use serde::ser::{Serialize, Serializer};

/// Which edition of a pack this is. In files it is the number, or the word `preview`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Edition {
    /// Not released: no number, no tag.
    Preview,
    /// Released under this number, from 1.
    Number(u32),
}

const PREVIEW: &str = "preview";

impl Edition {
    /// The number, when it has one.
    pub fn number(self) -> Option<u32> {
        match self {
            Edition::Preview => None,
            Edition::Number(number) => Some(number),
        }
    }
}

impl fmt::Display for Edition {
    /// `edition 2`, or `preview`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Edition::Preview => f.write_str(PREVIEW),
            Edition::Number(number) => write!(f, "edition {number}"),
        }
    }
}

impl Serialize for Edition {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Edition::Preview => serializer.serialize_str(PREVIEW),
            Edition::Number(number) => serializer.serialize_u32(*number),
        }
    }
}

impl<'de> Deserialize<'de> for Edition {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(EditionVisitor)
    }
}

struct EditionVisitor;

impl Visitor<'_> for EditionVisitor {
    type Value = Edition;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the number of an edition, from 1, or \"preview\"")
    }

    fn visit_u64<E: Error>(self, number: u64) -> Result<Edition, E> {
        let fits = u32::try_from(number).ok().filter(|&number| number > 0);
        fits.map(Edition::Number).ok_or_else(|| E::invalid_value(Unexpected::Unsigned(number), &self))
    }

    fn visit_str<E: Error>(self, word: &str) -> Result<Edition, E> {
        if word == PREVIEW { Ok(Edition::Preview) } else { Err(E::invalid_value(Unexpected::Str(word), &self)) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_reads_back_equal_and_nothing_else_is_read() {
        for (edition, json) in [(Edition::Number(7), "7"), (Edition::Preview, "\"preview\"")] {
            assert_eq!(serde_json::to_string(&edition).unwrap(), json);
            assert_eq!(serde_json::from_str::<Edition>(json).unwrap(), edition);
        }
        for strange in ["0", "-1", "1.0", "4294967296", "\"1\"", "null", "[]"] {
            assert!(serde_json::from_str::<Edition>(strange).is_err(), "{strange}");
        }
    }
}
