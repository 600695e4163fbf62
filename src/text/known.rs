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

/// So many words are kept.
const MOST: usize = 40_000;

/// What there is to know about `word`.
pub(crate) fn known(word: &str) -> Known {
    with(word, Known::clone)
}

/// The same, for what takes no more than a look.
pub(crate) fn with<R>(word: &str, look: impl FnOnce(&Known) -> R) -> R {
    thread_local! {
        static KNOWN: RefCell<HashMap<Box<str>, Known, foldhash::fast::RandomState>> = RefCell::default();
    }
    KNOWN.with_borrow_mut(|words| {
        if let Some(known) = words.get(word) {
            return look(known);
        }
        let known = Known::of(word);
        // Common words are soon known again, and rare ones stand near each other.
        if words.len() > MOST {
            words.clear();
        }
        let out = look(&known);
        words.insert(word.into(), known);
        out
    })
}

impl Known {
    fn of(word: &str) -> Known {
        let folded = fold(word);
        let stem = worked_out(&folded);
        let (small, begins_value) = (is_listed_as_small(&folded), may_begin_value(word));
        let folded: Rc<str> = folded.into();
        let stem = if *stem == *folded { Rc::clone(&folded) } else { stem.into() };
        Known { folded, stem, small, begins_value }
    }
}
