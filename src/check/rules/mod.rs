//! The rules, one file each. To add one: a file with its `RULE`, and a line in the list below.

use super::rule::Rule;

macro_rules! rules {
    ($($name:ident),* $(,)?) => {
        $(pub(super) mod $name;)*
        /// All rules, in the order in which they are listed.
        pub(super) const ALL: &[Rule] = &[$($name::RULE),*];
    };
}

rules! {
    // Found while reading.
    unreadable, unknown_field, missing_field, wrong_shape, bad_id, undecided, swallowed_text,
    // Ids.
    duplicate_id,
    // Size.
    too_many_words,
    // Waivers.
    unused_waiver, waiver_without_reason,
}
