//! What there is to know about a word by itself, worked out once for each word and thread.

use super::stem::{fold, is_listed_as_small, worked_out};
use super::value::may_begin_value;
use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

/// What there is to know about a word by itself.
#[derive(Clone, Debug)]
pub(crate) struct Known {
    /// In lower case, composed.
    pub(crate) folded: Rc<str>,
    /// The stem that all its forms share.
    pub(crate) stem: Rc<str>,
    /// Whether it carries no meaning of its own.
    pub(crate) small: bool,
    /// Whether a number, a date or a quantity can begin with it; most words cannot.
    pub(crate) begins_value: bool,
}

/// So many words are kept in each of two ages: seven eighths of 32,768, which fills a table.
const MOST: usize = 28_672;

/// What there is to know about `word`.
pub(crate) fn known(word: &str) -> Known {
    with(word, Known::clone)
}

/// The same, for what takes no more than a look.
pub(crate) fn with<R>(word: &str, look: impl FnOnce(&Known) -> R) -> R {
    thread_local! {
        static WORDS: RefCell<Words> = RefCell::default();
    }
    WORDS.with_borrow_mut(|words| words.with(word, look))
}

type Age = HashMap<Rc<str>, Known, foldhash::fast::RandomState>;

/// The words met of late. Rare ones stand near each other and are forgotten; common ones are met again in time.
#[derive(Default)]
struct Words {
    young: Age,
    old: Age,
}

impl Words {
    fn with<R>(&mut self, word: &str, look: impl FnOnce(&Known) -> R) -> R {
        if let Some(known) = self.young.get(word) {
            return look(known);
        }
        let (word, known) = self.old.remove_entry(word).unwrap_or_else(|| {
            let word: Rc<str> = word.into();
            let known = Known::of(&word);
            (word, known)
        });
        if self.young.len() == MOST {
            self.old = std::mem::take(&mut self.young);
        }
        let out = look(&known);
        self.young.insert(word, known);
        out
    }
}

impl Known {
    fn of(word: &Rc<str>) -> Known {
        let folded = fold(word);
        let stem = worked_out(&folded);
        let (small, begins_value) = (is_listed_as_small(&folded), may_begin_value(word));
        let folded = if *folded == **word { Rc::clone(word) } else { folded.into() };
        let stem = if *stem == *folded { Rc::clone(&folded) } else { stem.into() };
        Known { folded, stem, small, begins_value }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_met_again_are_kept_and_the_others_forgotten() {
        let mut words = Words::default();
        for number in 0..3 * MOST {
            words.with("rivers", |known| assert_eq!((&*known.folded, &*known.stem), ("rivers", "river")));
            words.with(&format!("w{number}"), |_| ());
        }
        assert!(words.young.len() + words.old.len() <= 2 * MOST);
        assert!(words.young.contains_key("rivers") || words.old.contains_key("rivers"));
        assert!(!words.young.contains_key("w0") && !words.old.contains_key("w0"));
    }
}
