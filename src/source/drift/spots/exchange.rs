//! Two stretches that stand in each other's place while all the rest stays.

use super::super::{Difference, FactKind};
use super::{Hunk, Spots, Words};
use crate::text::classes;
use std::ops::Range;

/// What changed places: `Some` when two stretches did, with a difference if the sense went with them.
pub(super) fn exchanged(spots: &Spots<'_>, hunks: &[Hunk]) -> Option<Option<Difference>> {
    let mut pairs: Vec<(&Hunk, &Hunk)> = Vec::new();
    for (at, one) in hunks.iter().enumerate() {
        let back = |other: &&Hunk| crossed(spots, one, other);
        pairs.extend(hunks[at + 1..].iter().filter(back).map(|other| (one, other)));
    }
    let &(one, other) = pairs.first()?;
    // In `A is red and B is blue` all that A and B have changes places when the clauses do.
    let same_pair = |pair: &(&Hunk, &Hunk)| {
        let (first, again) = (said(spots, one), said(spots, pair.0));
        first == again || said(spots, other) == again
    };
    if !pairs.iter().all(same_pair) {
        return Some(None);
    }
    let rest =
        hunks.iter().filter(|hunk| !pairs.iter().any(|(a, b)| std::ptr::eq(*a, *hunk) || std::ptr::eq(*b, *hunk)));
    let turned = |hunk: &Hunk| {
        let words = hunk.mine.clone().map(|at| spots.mine.folded(at));
        let now = hunk.theirs.clone().map(|at| spots.theirs.folded(at));
        let replaced = !hunk.mine.is_empty() && !hunk.theirs.is_empty();
        replaced || words.chain(now).any(|word| matches!(word, "by" | "is" | "are" | "was" | "were" | "be" | "been"))
    };
    let near = |hunk: &Hunk| spots.near_answer(&hunk.mine) || hunk.mine.clone().any(|at| spots.touches(at));
    let clause = |hunk: &Hunk| hunk.mine.clone().any(|at| LINKS.contains(&spots.mine.folded(at)));
    // `The biceps bends the arm and the triceps straightens it`: each took its verb along.
    let verb = |at: usize| {
        spots.mine.is_verb(at)
            || at + 1 == hunk_end(one, other, at) && classes(spots.mine.text(at)).is_some_and(|used| used.verb)
    };
    let whole = |hunk: &Hunk| said(spots, hunk).len() > 1 && hunk.mine.clone().any(verb);
    let clauses = [one, other].into_iter().any(clause) || [one, other].into_iter().all(whole);
    let touched = [one, other].into_iter().any(near) && !clauses;
    if !touched
        || rest.into_iter().any(turned)
        || is_free(spots, one.mine.end..other.mine.start, one.mine.start, other.mine.end)
    {
        return Some(None);
    }
    let (mine, theirs) = (one.mine.start..other.mine.end, one.theirs.start..other.theirs.end);
    Some(Some(spots.difference(FactKind::Order, mine, theirs)))
}

/// A stretch that moved to the other side of a word whose sides tell: `A less B`, `B less A`.
pub(super) fn moved_over(spots: &Spots<'_>, hunks: &[Hunk]) -> Option<Difference> {
    const SIDED: [&str; 5] = ["into", "less", "minus", "over", "per"];
    let words = |words: &Words<'_>, range: &Range<usize>| -> Vec<String> {
        range.clone().filter(|at| !words.is_article(*at)).map(|at| words.folded(at).to_string()).collect()
    };
    let one = hunks.iter().find(|hunk| hunk.theirs.is_empty())?;
    let other = hunks.iter().find(|hunk| hunk.mine.is_empty())?;
    let (mut mine, mut theirs) = (words(spots.mine, &one.mine), words(spots.theirs, &other.theirs));
    let ends = |words: &[String]| (words.len() > 1).then(|| (words[0].clone(), words[words.len() - 1].clone()));
    let ((first, last), (top, tail)) = (ends(&mine)?, ends(&theirs)?);
    let sided = |word: &str| SIDED.contains(&word);
    let turned = last == top && sided(&last) || first == tail && sided(&first);
    mine.sort_unstable();
    theirs.sort_unstable();
    (hunks.len() == 2 && turned && mine == theirs && one.mine.clone().any(|at| spots.touches(at)))
        .then(|| spots.difference(FactKind::Order, one.mine.clone(), other.theirs.clone()))
}

/// The end of the one of two hunks in which a word stands.
fn hunk_end(one: &Hunk, other: &Hunk, at: usize) -> usize {
    if one.mine.contains(&at) { one.mine.end } else { other.mine.end }
}

/// Words that open a clause, which may stand before or after the other.
const LINKS: [&str; 9] = ["because", "if", "so", "when", "where", "whereas", "which", "while", "who"];

/// The stems of what a hunk of the quote says, articles aside.
fn said<'s>(spots: &'s Spots<'_>, hunk: &Hunk) -> Vec<&'s str> {
    hunk.mine.clone().filter(|at| !spots.mine.is_filler(*at)).map(|at| spots.mine.stem(at)).collect()
}

fn crossed(spots: &Spots<'_>, one: &Hunk, other: &Hunk) -> bool {
    let now = |hunk: &Hunk| -> Vec<&str> {
        hunk.theirs.clone().filter(|at| !spots.theirs.is_filler(*at)).map(|at| spots.theirs.stem(at)).collect()
    };
    let (first, second) = (said(spots, one), said(spots, other));
    !first.is_empty() && !second.is_empty() && first != second && first == now(other) && second == now(one)
}

/// Whether what stands between lets both sides change places: a list, an equation, a verb that goes
/// both ways.
fn is_free(spots: &Spots<'_>, between: Range<usize>, before: usize, after: usize) -> bool {
    const BOTH_WAYS: [&str; 14] = [
        "border",
        "call",
        "equal",
        "join",
        "known",
        "marri",
        "mean",
        "meet",
        "met",
        "name",
        "parallel",
        "perpendicular",
        "resembl",
        "touch",
    ];
    let joins = |at: usize| {
        spots.mine.is_filler(at)
            || matches!(spots.mine.folded(at), "and" | "or" | "as" | "with" | "to" | "same" | "not")
    };
    // `from the anode to the cathode` says which way.
    let led = (before.saturating_sub(2)..before).any(|at| spots.mine.folded(at) == "from");
    if led {
        return false;
    }
    // In `shield volcanoes and composite volcanoes` both have the one word after them.
    let repeated = |at: usize| after < spots.mine.len() && spots.mine.stem(at) == spots.mine.stem(after);
    let says: Vec<usize> = between.filter(|at| !joins(*at) && !repeated(*at)).collect();
    says.iter().all(|at| BOTH_WAYS.contains(&spots.mine.stem(*at)))
        && !(says.is_empty() && parts_clauses(spots, before, after))
}

/// `Its capital is A, and B means port`: what stands between parts two clauses, each with its verb, and no
/// members of one list.
fn parts_clauses(spots: &Spots<'_>, before: usize, after: usize) -> bool {
    let verb = |at: usize| spots.mine.is_verb(at);
    after < spots.mine.len() && verb(after) && (0..before).any(verb)
}
