//! Questions that are only understood with the card's own question before them.

use crate::deck::Question;
use crate::text::{as_read, shared_stems, words};

/// Words that stand for something named before.
const POINTERS: [&str; 14] =
    ["he", "her", "him", "his", "it", "its", "she", "such", "their", "them", "these", "they", "this", "those"];

/// Whether a question under `also` leans on the card's own, as `What mean wind speed does it start
/// at?` does: it names something by a word such as `it`, or asks no more than `Why?`.
pub fn refers_back(question: &Question) -> bool {
    if question.also.is_none() {
        return false;
    }
    let asked = as_read(&question.question);
    let points_back = |word: &str| POINTERS.binary_search(&word.to_lowercase().as_str()).is_ok();
    words(&asked).any(points_back) || shared_stems(&asked).is_empty()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::deck::Text;

    fn refers(text: &str) -> bool {
        let question = Text { value: text.into(), ..Text::default() };
        refers_back(&Question { also: Some(0), question, ..Question::default() })
    }

    #[test]
    fn pointers_refer_back() {
        assert!(
            refers("What mean wind speed does it start at?") && refers("Why?") && refers("What are *they* made of?")
        );
        assert!(!refers("What is attrition?") && !refers("Which title has the map?"));
        assert!(POINTERS.is_sorted());
    }
}
