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
    too_many_words, too_many_questions, too_many_points,
    // Maths.
    bad_maths,
    // Questions and answers.
    hidden_signs, unconnected_questions, duplicate_question, similar_question, conflicting_answers, giveaway,
    both_ways_unclear,
    // Links.
    missing_link, self_link, link_loop, later_year_link, taught_later,
    // Notes.
    missing_notes, missing_section, no_source, long_section,
    // Answers that drift from the notes.
    moved_quote, reworded_quote, contradicted_answer, lost_quote, unsupported_answer,
    // Pictures.
    missing_picture, missing_alt_text, uncredited_picture, unsafe_picture,
    // Print.
    letters_not_printed, side_too_full,
    // The department.
    unknown_deck, low_contrast, long_deck,
    // Waivers.
    unused_waiver, waiver_without_reason,
}
