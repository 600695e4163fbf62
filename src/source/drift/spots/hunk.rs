//! Two texts word by word: what stayed, and what stands where something else stood.

use super::super::Read;
use super::super::doubt::names_a_thing;
use crate::text::{What, classes, fold, is_stop_word, lex, one_spelling, stem};
use std::ops::Range;

/// A text in words; a value is one word.
pub(crate) struct Words<'t> {
    pub(super) read: Read<'t>,
    words: Vec<Word>,
}

struct Word {
    span: Range<usize>,
    folded: String,
    stem: String,
    token: Option<usize>,
    value: bool,
    small: bool,
    capital: bool,
}

impl<'t> Words<'t> {
    pub(super) fn of(read: Read<'t>) -> Words<'t> {
        let mut words: Vec<Word> = Vec::new();
        for piece in lex(read.text) {
            let token = read.tokens.iter().position(|token| token.span.contains(&piece.span.start));
            let value = token.is_some_and(|token| read.tokens[token].value().is_some());
            if value && words.last().is_some_and(|last| last.token == token) {
                continue;
            }
            if !value && !matches!(piece.what, What::Word | What::Digits(_)) {
                continue;
            }
            let span =
                if value { token.map_or(piece.span.clone(), |at| read.tokens[at].span.clone()) } else { piece.span };
            let text = &read.text[span.clone()];
            let folded = fold(text);
            words.push(Word {
                stem: if value { folded.clone() } else { stem(text) },
                small: !value && is_small(&folded),
                capital: text.starts_with(char::is_uppercase),
                span,
                folded,
                token,
                value,
            });
        }
        Words { read, words }
    }

    pub(super) fn len(&self) -> usize {
        self.words.len()
    }

    pub(super) fn text(&self, at: usize) -> &str {
        &self.read.text[self.words[at].span.clone()]
    }

    /// A word with the particle right after it.
    pub(super) fn with_particle(&self, at: usize) -> Option<String> {
        crate::text::with_particle(self.read.text, &self.words[at].span)
    }

    /// A verb and the particle right after it count as one.
    pub(super) fn as_one<'w>(&self, words: &'w [usize]) -> &'w [usize] {
        match words {
            [verb, particle] if *particle == verb + 1 && self.with_particle(*verb).is_some() => &words[..1],
            _ => words,
        }
    }

    pub(super) fn folded(&self, at: usize) -> &str {
        self.words.get(at).map_or("", |word| &word.folded)
    }

    pub(super) fn stem(&self, at: usize) -> &str {
        &self.words[at].stem
    }

    pub(super) fn token(&self, at: usize) -> Option<usize> {
        self.words.get(at)?.token
    }

    pub(super) fn clause(&self, at: usize) -> Option<usize> {
        self.token(at).map(|token| self.read.tokens[token].clause)
    }

    pub(super) fn is_value(&self, at: usize) -> bool {
        self.words[at].value
    }

    pub(super) fn is_small(&self, at: usize) -> bool {
        self.words.get(at).is_some_and(|word| word.small)
    }

    /// A stop word that is of none of the classes that are compared.
    pub(super) fn is_plainly_small(&self, at: usize) -> bool {
        self.is_small(at) && !super::small::is_listed(self.folded(at))
    }

    pub(super) fn is_name(&self, at: usize) -> bool {
        self.token(at).is_some_and(|token| self.read.tokens[token].is_name())
    }

    /// Whether a word is a form of *be* or *have*, or a verb and no noun.
    pub(super) fn is_verb(&self, at: usize) -> bool {
        matches!(self.folded(at), "is" | "are" | "was" | "were" | "has" | "have" | "had")
            || !self.is_small(at) && classes(self.text(at)).is_some_and(|used| used.verb && !used.mostly_noun)
    }

    /// Whether a form of *be* stands not far before a word.
    pub(super) fn is_after_be(&self, at: usize) -> bool {
        let be = |before: usize| matches!(self.folded(before), "is" | "are" | "was" | "were" | "be" | "been" | "being");
        (at.saturating_sub(3)..at).any(be)
    }

    /// Whether a word stands as the name of a thing does.
    pub(super) fn is_thing(&self, at: usize) -> bool {
        let before = at.checked_sub(1).map(|before| self.text(before));
        // `by shooting`
        let done = self.folded(at).ends_with("ing") && before == Some("by");
        !done && names_a_thing(self.text(at), before, self.words.get(at + 1).map(|_| self.text(at + 1)))
    }

    /// Whether `such as` or `for example` stands not far before a word.
    pub(super) fn is_example(&self, at: usize) -> bool {
        (at.saturating_sub(6)..at).any(|before| match self.folded(before) {
            "such" => self.folded(before + 1) == "as",
            "example" => true,
            _ => false,
        })
    }

    pub(super) fn is_article(&self, at: usize) -> bool {
        matches!(self.folded(at), "a" | "an" | "the")
    }

    /// Articles and auxiliaries: they change with number, tense and voice.
    pub(super) fn is_filler(&self, at: usize) -> bool {
        matches!(
            self.folded(at),
            "a" | "an"
                | "the"
                | "is"
                | "are"
                | "was"
                | "were"
                | "be"
                | "been"
                | "being"
                | "has"
                | "have"
                | "had"
                | "do"
                | "does"
                | "did"
                | "will"
                | "its"
                | "their"
                | "it"
                | "they"
                | "also"
                | "then"
                | "that"
                | "which"
        )
    }

    /// A name that follows another name without a sign between.
    pub(super) fn is_surname(&self, at: usize) -> bool {
        let Some(before) = at.checked_sub(1) else { return false };
        let (first, last) = (&self.words[before], &self.words[at]);
        let beside = last.span.start == first.span.end + 1;
        first.capital && last.capital && beside && !first.small && self.is_name(at)
    }

    /// Whether a comma parts a word from the one before it.
    pub(super) fn after_comma(&self, at: usize) -> bool {
        at.checked_sub(1)
            .is_some_and(|before| self.read.text[self.words[before].span.end..self.words[at].span.start].contains(','))
    }

    /// The word without the sign of possession.
    pub(super) fn bare(&self, at: usize) -> &str {
        let folded = self.folded(at);
        folded.strip_suffix("'s").unwrap_or(folded)
    }

    pub(super) fn is_same(&self, at: usize, others: &Words<'_>, other: usize) -> bool {
        let (one, two) = (&self.words[at], &others.words[other]);
        let value = |words: &Words<'_>, word: &Word| words.read.tokens[word.token?].value().cloned();
        if one.value || two.value {
            return match (value(self, one), value(others, two)) {
                (Some(one), Some(two)) => one.is_said_by(&two),
                _ => false,
            };
        }
        if self.is_surname(at) && others.is_surname(other) {
            return one_spelling(self.bare(at)) == one_spelling(others.bare(other));
        }
        one.folded == two.folded || (!one.small && !two.small && one.stem == two.stem)
    }

    /// Whether a word is a date that the others give in two parts.
    pub(super) fn is_dated_in(&self, at: usize, others: &Words<'_>) -> bool {
        self.token(at).is_some_and(|token| self.read.tokens[token].dated_in_parts(others.read.tokens).is_some())
    }

    /// The bytes of a range of words; of an empty one the place before its first.
    pub(super) fn span(&self, range: &Range<usize>) -> Range<usize> {
        if range.is_empty() {
            let at = self.words.get(range.start).map_or(self.read.text.len(), |word| word.span.start);
            return at..at;
        }
        self.words[range.start].span.start..self.words[range.end - 1].span.end
    }
}

/// A word that says no more than how others hang together.
fn is_small(folded: &str) -> bool {
    is_stop_word(folded) || super::small::is_listed(folded)
}

/// A stretch of the quote in whose place another stands; one of both may be empty.
#[derive(Clone, Debug)]
pub(crate) struct Hunk {
    pub(super) mine: Range<usize>,
    pub(super) theirs: Range<usize>,
}

/// What a word counts that stayed, against one that another stands for.
const STAYED: u16 = 8;

/// What differs between the words that stayed in order, and how many those are. Of alignments that
/// keep as many words, the one is taken in which most of the others stand in each other's place.
pub(super) fn hunks(mine: &Words<'_>, theirs: &Words<'_>) -> (Vec<Hunk>, usize) {
    let width = theirs.len() + 1;
    let score = |i: usize, j: usize| match mine.is_same(i, theirs, j) {
        true => STAYED,
        false => u16::from(mine.is_small(i) == theirs.is_small(j)),
    };
    let mut best = vec![0u16; (mine.len() + 1) * width];
    for i in (0..mine.len()).rev() {
        for j in (0..theirs.len()).rev() {
            let skip = best[(i + 1) * width + j].max(best[i * width + j + 1]);
            best[i * width + j] = skip.max(best[(i + 1) * width + j + 1] + score(i, j));
        }
    }
    let (mut i, mut j, mut kept) = (0, 0, 0);
    let mut from = (0, 0);
    let mut out = Vec::new();
    while i < mine.len() && j < theirs.len() {
        let here = best[i * width + j];
        let score = score(i, j);
        if score > 0 && here == best[(i + 1) * width + j + 1] + score {
            (i, j) = (i + 1, j + 1);
            if score == STAYED {
                push(&mut out, from, (i - 1, j - 1));
                (from, kept) = ((i, j), kept + 1);
            }
        } else if here == best[(i + 1) * width + j] {
            i += 1;
        } else {
            j += 1;
        }
    }
    push(&mut out, from, (mine.len(), theirs.len()));
    (out, kept)
}

fn push(out: &mut Vec<Hunk>, from: (usize, usize), to: (usize, usize)) {
    if from != to {
        out.push(Hunk { mine: from.0..to.0, theirs: from.1..to.1 });
    }
}
