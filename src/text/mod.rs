//! The language work that the rest shares: words and sentences by Unicode's rules, stems, the normal
//! form of a question, and numbers, units and dates as values.
//!
//! Everything here takes text and gives text or values; nothing knows of cards or files. Text is
//! first read as a reader reads it ([`plain`]): markup, line breaks, curly quotes, the many dashes,
//! soft hyphens and Unicode forms do not count.

mod bound;
mod classes;
mod date;
mod digest;
mod known;
mod lex;
mod lexicon;
mod lists;
mod markup;
mod near;
mod normal;
mod number;
mod numeral;
#[cfg(test)]
mod outside;
mod plain;
mod relations;
mod same;
mod sentences;
mod spelling;
mod stem;
mod unit;
mod value;
mod words;

pub use bound::bound;
pub use date::Date;
pub use digest::digest;
pub(crate) use lexicon::Lexicon;
pub use normal::{meaning_stems, normal};
pub use number::Number;
pub use numeral::Form;
pub use plain::{Places, Plain, plain};
pub use relations::{are_opposites, are_synonyms};
pub use same::{Counts, KeptQuestions, OwnPosed, Posed, Questions, Record, Renewed, Similar};
pub use same::{recorded, renewed, similar_among, similar_questions};
pub use sentences::sentences;
pub use spelling::one_spelling;
pub use stem::{is_stop_word, stem};
pub use unit::{Unit, unit};
pub use value::Value;
pub(crate) use words::count_words;
pub use words::{word_count, words};

pub(crate) use classes::{are_antonyms, classes};
pub(crate) use lex::{Piece, What, lex};
pub(crate) use near::{may_loosely_say_the_same, may_say_the_same, with_particle};
pub(crate) use normal::shared_stems;
pub(crate) use plain::as_read;
pub(crate) use relations::{grade_of, has_opposite, stems_agree, stems_oppose};
pub(crate) use stem::{fold, is_irregular_past, stem_anew};
pub(crate) use value::value_at;
