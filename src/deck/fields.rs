//! The fields of a card and of a deck, in the order in which they are written, with what each holds.
//!
//! Everything that lists fields (reading, tidying, merging, comparing, suggesting) goes by these tables.

/// What a field holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holds {
    /// Text.
    Text,
    /// Text, or a list of texts.
    TextOrList,
    /// A list of texts.
    List,
    /// `true` or `false`.
    Flag,
    /// Anything with fields of its own.
    Nested,
}

/// A field of a card.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Field {
    /// Its name in the file.
    pub name: &'static str,
    /// What it holds.
    pub holds: Holds,
    /// Whether the order of its list counts.
    pub ordered: bool,
}

const fn field(name: &'static str, holds: Holds, ordered: bool) -> Field {
    Field { name, holds, ordered }
}

/// The fields of a card.
pub const CARD: &[Field] = &[
    field("id", Holds::Text, true),
    field("question", Holds::Text, true),
    field("answer", Holds::TextOrList, true),
    field("ordered", Holds::Flag, true),
    field("accept", Holds::List, false),
    field("also", Holds::Nested, true),
    field("both_ways", Holds::Flag, true),
    field("source", Holds::Text, true),
    field("quote", Holds::TextOrList, true),
    field("needs", Holds::List, false),
    field("see", Holds::List, false),
    field("pictures", Holds::Nested, true),
    field("tier", Holds::Text, true),
    field("caution", Holds::Text, true),
    field("draft", Holds::Flag, true),
    field("tags", Holds::List, false),
    field("allow", Holds::Nested, false),
    field("undecided", Holds::Nested, false),
];

/// The fields of an entry under `also`.
pub const ALSO: &[&str] = &["question", "answer", "ordered", "accept", "source", "quote"];

/// The fields of an entry under `pictures`.
pub const PICTURE: &[&str] = &["file", "side", "alt", "credit", "licence"];

/// The fields of a deck.
pub const DECK: &[&str] = &["title", "year", "undecided", "cards"];

/// The field of that name.
pub fn card_field(name: &str) -> Option<Field> {
    CARD.iter().copied().find(|field| field.name == name)
}

/// Whether the field holds `true` or `false`.
pub fn is_flag(name: &str) -> bool {
    name == "removed" || card_field(name).is_some_and(|field| field.holds == Holds::Flag)
}

/// Whether a card, a deck, an `also` or a picture has a field of that name.
pub fn is_known(name: &str) -> bool {
    card_field(name).is_some() || DECK.contains(&name) || ALSO.contains(&name) || PICTURE.contains(&name)
}

/// Whether the field holds words that pupils or teachers read, so that losing a part of them matters.
pub fn holds_text(name: &str) -> bool {
    let texts = [
        "title", "question", "answer", "accept", "source", "quote", "caution", "tags", "alt", "credit", "licence",
        "file",
    ];
    texts.contains(&name)
}

/// The known name nearest to `name`, when one is near enough to be meant.
pub fn nearest<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let folded = name.trim().to_lowercase().replace([' ', '-'], "_");
    let near = known.into_iter().map(|known| (strsim::damerau_levenshtein(&folded, &known.replace('-', "_")), known));
    near.filter(|&(distance, known)| distance <= (known.chars().count() / 3).max(1)).min().map(|(_, known)| known)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_name_is_found_and_a_far_one_is_not() {
        let names = || CARD.iter().map(|field| field.name);
        assert_eq!(nearest("Question", names()), Some("question"));
        assert_eq!(nearest("anwser", names()), Some("answer"));
        assert_eq!(nearest("both-ways", names()), Some("both_ways"));
        assert_eq!(nearest("colour", names()), None);
    }
}
