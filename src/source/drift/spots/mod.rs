//! Words that gave way to others while their neighbours stayed. Whoever changes one word of a sentence
//! changes its fact, unless the new word is known to say the same: a synonym, another ending, another
//! spelling. Words that are added or left out around it are wording.

mod exchange;
mod hunk;
mod links;
mod small;

use self::exchange::{exchanged, moved_over};
use self::hunk::{Hunk, Words, hunks};
use self::links::roles_exchanged;
pub(super) use self::small::refuses;
use super::missing::{are_converse, is_light};
use super::touch::{Touch, touches};
use super::{Difference, FactKind, Focus, Read};
use crate::source::weights::Weights;
use crate::text::{are_antonyms, are_opposites, may_say_the_same};
use std::ops::Range;

/// What a passage, in which every fact of the quote was found or given up, says otherwise word by word.
pub(crate) fn spots(quote: Read<'_>, passage: Read<'_>, focus: &Focus, weights: &Weights) -> Vec<Difference> {
    let touch = touches(quote.tokens, focus);
    let (mine, theirs) = (Words::of(quote), Words::of(passage));
    let (hunks, kept) = hunks(&mine, &theirs);
    let spots = Spots { mine: &mine, theirs: &theirs, touch: &touch, weights };
    let mut out = Vec::new();
    // In a sentence that was turned round, words stand beside each other by chance.
    if 2 * kept >= mine.len() {
        match exchanged(&spots, &hunks) {
            Some(exchange) => out.extend(exchange),
            None => match moved_over(&spots, &hunks) {
                Some(exchange) => out.push(exchange),
                None => out.extend(hunks.iter().flat_map(|hunk| spots.changed(hunk, &hunks))),
            },
        }
    }
    if out.is_empty() {
        out.extend(roles_exchanged(&spots));
    }
    out
}

/// The words of both sides, and how those of the quote matter.
pub(super) struct Spots<'t> {
    pub(super) mine: &'t Words<'t>,
    pub(super) theirs: &'t Words<'t>,
    touch: &'t [Touch],
    weights: &'t Weights,
}

impl Spots<'_> {
    fn changed(&self, hunk: &Hunk, hunks: &[Hunk]) -> Vec<Difference> {
        let (old, new) = self.bare(hunk);
        if let Some(kind) = self.small_words(hunk, &old, &new) {
            let difference = self.difference(kind, widened(&hunk.mine, self.mine), widened(&hunk.theirs, self.theirs));
            // Where other words went as well, the small ones may say no more than how those hang together.
            let says = |words: &Words<'_>, range: &Range<usize>| range.clone().any(|at| !words.is_small(at));
            let certain =
                kind != FactKind::Comparison || !says(self.mine, &hunk.mine) || !says(self.theirs, &hunk.theirs);
            return vec![Difference { certain, ..difference }];
        }
        if let (Some(&one), Some(&other)) = (old.last(), new.last())
            && old.len() == new.len()
            && old.len() > 1
            && old.iter().all(|at| self.mine.is_name(*at))
            && new.iter().all(|at| self.theirs.is_name(*at))
            && self.other_word(one, other)
        {
            return vec![self.difference(FactKind::Name, old[0]..one + 1, new[0]..other + 1)];
        }
        let (&[one], &[other]) = (self.mine.as_one(&old), self.theirs.as_one(&new)) else {
            return self.other_phrase(hunk, &old, &new).into_iter().collect();
        };
        if self.came_from(other, hunks) || self.is_converse(one, other) {
            return Vec::new();
        }
        let kind = if self.mine.is_name(one) { FactKind::Name } else { FactKind::Term };
        let difference = self.difference(kind, one..one + 1, other..other + 1);
        if self.other_word(one, other) {
            return vec![difference];
        }
        let aside = self.is_aside(one, other);
        aside.then_some(Difference { certain: false, ..difference }).into_iter().collect()
    }

    /// A thing that gave way to another together with the small words before it: `under way`, `at anchor`. Only a
    /// person can tell whether both say the same.
    fn other_phrase(&self, hunk: &Hunk, old: &[usize], new: &[usize]) -> Option<Difference> {
        let only = |words: &Words<'_>, all: &[usize]| -> Option<usize> {
            let mut things = all.iter().copied().filter(|at| !words.is_small(*at));
            things.next().filter(|at| things.next().is_none() && all.len() > 1 && all.last() == Some(at))
        };
        let (one, other) = (only(self.mine, old)?, only(self.theirs, new)?);
        let thing = self.touches(one) && self.mine.is_thing(one) && self.theirs.is_thing(other);
        let difference = || self.difference(FactKind::Term, hunk.mine.clone(), hunk.theirs.clone());
        (!self.near(one, other) && (thing && !self.moved(one, other) || self.is_aside(one, other)))
            .then(|| Difference { certain: false, ..difference() })
    }

    /// Whether a word of the passage stood elsewhere in the quote, and is gone from there: `people worked bronze`,
    /// `bronze was worked`.
    fn came_from(&self, other: usize, hunks: &[Hunk]) -> bool {
        hunks.iter().flat_map(|hunk| hunk.mine.clone()).any(|at| self.mine.is_same(at, self.theirs, other))
    }

    /// Whether two words stand in one clause, or the second in one that says more of the first: `…, which is called`.
    fn is_beside(&self, one: usize, at: usize) -> bool {
        let (Some(mine), Some(clause)) = (self.mine.clause(one), self.mine.clause(at)) else { return false };
        mine == clause || (mine..=mine + 2).contains(&clause) && (one..at).any(|at| self.mine.folded(at) == "which")
    }

    /// `is given the treatment`, `receives the treatment`.
    fn is_converse(&self, one: usize, other: usize) -> bool {
        are_converse(self.mine.stem(one), self.theirs.stem(other))
            && self.mine.is_after_be(one) != self.theirs.is_after_be(other)
    }

    /// Whether a word that the card neither asks nor answers with gave way to another one, where only a person can
    /// tell whether that matters: to an opposite anywhere, or to another thing beside what is asked or answered.
    fn is_aside(&self, one: usize, other: usize) -> bool {
        let (mine, theirs) = (self.mine.text(one), self.theirs.text(other));
        if self.moved(one, other) || self.mine.is_value(one) || self.theirs.is_value(other) {
            return false;
        }
        let opposed = are_antonyms(mine, theirs) || are_opposites(mine, theirs);
        let small = self.mine.is_small(one) || self.theirs.is_small(other) || self.mine.is_example(one);
        let beside = || (0..self.mine.len()).any(|at| self.touches(at) && self.is_beside(one, at));
        // `twelve members`, `twelve people`
        let anybody = |stem: &str| matches!(stem, "peopl" | "person" | "member");
        let small = small || anybody(self.mine.stem(one)) || anybody(self.theirs.stem(other));
        opposed || !small && beside() && self.mine.is_thing(one) && self.theirs.is_thing(other)
    }

    /// The words of a hunk that say something: no articles, no auxiliaries, none that the other side
    /// has in another form.
    fn bare(&self, hunk: &Hunk) -> (Vec<usize>, Vec<usize>) {
        let says = |words: &Words<'_>, at: &usize| !words.is_filler(*at) && !words.is_plainly_small(*at);
        let old: Vec<usize> = hunk.mine.clone().filter(|at| says(self.mine, at)).collect();
        let new: Vec<usize> = hunk.theirs.clone().filter(|at| says(self.theirs, at)).collect();
        let term = |words: &Words<'_>, at: usize| self.weights.is_term(words.stem(at));
        let alike = |one: usize, other: usize| {
            self.mine.is_same(one, self.theirs, other)
                || !(self.mine.is_small(one)
                    || self.theirs.is_small(other)
                    || term(self.mine, one) && term(self.theirs, other))
                    && self.near(one, other)
        };
        let left = |one: &usize| !new.iter().any(|other| alike(*one, *other)) || self.misspelt(*one, &new);
        let right = |other: &usize| {
            !old.iter().any(|one| alike(*one, *other)) || old.iter().any(|one| self.misspelt(*one, &[*other]))
        };
        (old.iter().copied().filter(left).collect(), new.iter().copied().filter(right).collect())
    }

    /// Whether a word, or a verb with its particle, may say the same as another.
    fn near(&self, one: usize, other: usize) -> bool {
        let (mine, theirs) = (self.mine.with_particle(one), self.theirs.with_particle(other));
        let ones = [Some(self.mine.text(one)), mine.as_deref()];
        let others = [Some(self.theirs.text(other)), theirs.as_deref()];
        ones.iter().flatten().any(|one| others.iter().flatten().any(|other| may_say_the_same(one, other)))
    }

    /// A surname with a letter less: no inflection, for it follows another name.
    fn misspelt(&self, one: usize, new: &[usize]) -> bool {
        self.mine.is_surname(one)
            && new.iter().any(|other| self.theirs.is_surname(*other) && !self.mine.is_same(one, self.theirs, *other))
    }

    fn other_word(&self, one: usize, other: usize) -> bool {
        if self.mine.is_small(one) || self.theirs.is_small(other) {
            return false;
        }
        let general = |stem: &str| is_light(stem) || GENERAL.contains(&stem);
        if general(self.mine.stem(one)) && general(self.theirs.stem(other)) || self.moved(one, other) {
            return false;
        }
        let range = one..one + 1;
        let example = self.mine.is_example(one) && !self.touches(one);
        if self.mine.is_name(one) && self.theirs.is_name(other) && self.near_answer(&range) && !example {
            return true;
        }
        let both_values = self.mine.is_value(one) && self.theirs.is_value(other);
        if both_values && self.mine.is_dated_in(one, self.theirs) {
            return false;
        }
        self.touches(one) && (both_values || self.mine.is_value(one) == self.theirs.is_value(other))
    }

    /// Whether both words stand on the other side too: the sentence was turned round, and nothing replaced.
    fn moved(&self, one: usize, other: usize) -> bool {
        let was = (0..self.mine.len()).any(|at| self.mine.is_same(at, self.theirs, other));
        was && (0..self.theirs.len()).any(|at| self.mine.is_same(one, self.theirs, at))
    }

    /// Whether a word belongs to what the card asks or answers.
    pub(super) fn touches(&self, at: usize) -> bool {
        self.mine.token(at).is_some_and(|token| self.touch[token] != Touch::Nothing)
    }

    /// Whether a stretch of the quote stands in one clause with what is answered.
    pub(super) fn near_answer(&self, range: &Range<usize>) -> bool {
        // `In a vacuum`: an article stands between the small word and what it belongs to.
        let end = range.end + usize::from(self.mine.is_article(range.end));
        let near = [range.start.wrapping_sub(1), range.start, end];
        let clauses: Vec<usize> = near.iter().filter_map(|at| self.mine.clause(*at)).collect();
        let answers = |at: usize| {
            self.mine.token(at).filter(|token| self.touch[*token] == Touch::Answers).and_then(|_| self.mine.clause(at))
        };
        (0..self.mine.len()).filter_map(answers).any(|clause| clauses.contains(&clause))
            || near.iter().any(|at| self.touches(*at))
    }

    pub(super) fn difference(&self, kind: FactKind, mine: Range<usize>, theirs: Range<usize>) -> Difference {
        let answers =
            mine.clone().any(|at| self.mine.token(at).is_some_and(|token| self.touch[token] == Touch::Answers));
        let (card_at, notes_at) = (self.mine.span(&mine), self.theirs.span(&theirs));
        Difference {
            kind,
            card: self.mine.read.text[card_at.clone()].to_string(),
            notes: Some(self.theirs.read.text[notes_at.clone()].to_string()),
            card_at,
            notes_at: Some(notes_at),
            answers,
            certain: true,
        }
    }
}

/// Verbs that say little by themselves and stand for each other.
const GENERAL: [&str; 14] =
    ["come", "get", "go", "keep", "lead", "lie", "need", "put", "reach", "run", "set", "spend", "stand", "turn"];

/// A small word shows with the words beside it.
fn widened(range: &Range<usize>, words: &Words<'_>) -> Range<usize> {
    let start = range.start.saturating_sub(usize::from(range.end - range.start < 3));
    let mut end = (range.end + 1).min(words.len());
    while end < words.len() && words.is_small(end - 1) {
        end += 1;
    }
    start..end.max(start + 1)
}
