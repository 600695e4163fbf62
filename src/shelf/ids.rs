//! Names for life, for the feed: version 5 of RFC 9562, so that the same edition has the same name
//! whoever publishes it and whenever. RFC 4287 asks that they never change, wherever the shelf moves.

use uuid::Uuid;

/// The space of this program's names, made up once.
const SPACE: Uuid = Uuid::from_u128(0x8a1c_5d0e_6f2b_5e37_9c44_1b7d_e0a3_52f6);

/// The name of a department's shelf, given when its first edition is put there.
pub fn shelf(school: &str, department: &str) -> String {
    urn(Uuid::new_v5(&SPACE, format!("{school}\n{department}").as_bytes()))
}

/// The name of something on the shelf of that name: an edition's tag, or its withdrawal.
pub fn on(shelf: &str, what: &str) -> String {
    let space = shelf.strip_prefix("urn:uuid:").and_then(|id| Uuid::try_parse(id).ok()).unwrap_or(SPACE);
    urn(Uuid::new_v5(&space, what.as_bytes()))
}

fn urn(id: Uuid) -> String {
    id.urn().to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_the_same_for_ever() {
        // As Python's `uuid.uuid5` has them.
        let geography = shelf("Ambleford Quay School", "Geography");
        assert_eq!(geography, "urn:uuid:333f6f3e-27e9-5408-ac8c-ce6e50f6c52d");
        assert_ne!(geography, shelf("Ambleford Quay School", "History"));
        let edition = on(&geography, "packs/year-8/autumn-2026/1");
        assert_eq!(edition, "urn:uuid:5e31754f-ec2c-59fa-9429-2e69c913ae48");
        assert_ne!(edition, on(&geography, "packs/year-8/autumn-2026/2"));
    }
}
