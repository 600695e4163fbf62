//! Cause and effect, condition and outcome, earlier and later: which side of the link a clause is on.

use super::super::{Difference, FactKind};
use super::{Spots, hunk::Words};
use std::ops::Range;

/// The first side of a link became the second: `X because Y` became `Y because X`.
pub(super) fn roles_exchanged(spots: &Spots<'_>) -> Option<Difference> {
    let (mine, theirs) = (link(spots.mine)?, link(spots.theirs)?);
    if mine.kind != theirs.kind {
        return None;
    }
    let share = |one: &Range<usize>, other: &Range<usize>| shared(spots, one, other);
    let stayed = share(&mine.cause, &theirs.cause) + share(&mine.effect, &theirs.effect);
    let crossed = [share(&mine.cause, &theirs.effect), share(&mine.effect, &theirs.cause)];
    let touched = mine.cause.clone().chain(mine.effect.clone()).any(|at| spots.touches(at));
    (touched && crossed.iter().all(|share| *share >= 0.6) && crossed.iter().sum::<f64>() > stayed + 0.4).then(|| {
        let whole = |link: &Link| link.cause.start.min(link.effect.start)..link.cause.end.max(link.effect.end);
        spots.difference(FactKind::Order, whole(&mine), whole(&theirs))
    })
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Cause,
    Condition,
    Before,
}

struct Link {
    kind: Kind,
    cause: Range<usize>,
    effect: Range<usize>,
}

/// The one word that links two clauses, and the words on either side of it.
fn link(words: &Words<'_>) -> Option<Link> {
    let mut all = (0..words.len()).filter_map(|at| kind(words.folded(at)).map(|(kind, first)| (at, kind, first)));
    let (at, kind, cause_follows) = all.next()?;
    if all.next().is_some() {
        return None;
    }
    // A link that opens the sentence holds up to the comma.
    let (before, after) = match at {
        0 => {
            let end = (1..words.len()).find(|at| words.after_comma(*at))?;
            (end..words.len(), 1..end)
        }
        _ => (0..at, at + 1..words.len()),
    };
    let (cause, effect) = if cause_follows { (after, before) } else { (before, after) };
    Some(Link { kind, cause, effect })
}

/// What a word links, and whether what comes first in time or cause follows it.
fn kind(word: &str) -> Option<(Kind, bool)> {
    Some(match word {
        "because" => (Kind::Cause, true),
        "so" | "therefore" | "hence" => (Kind::Cause, false),
        "when" | "whenever" | "if" | "once" => (Kind::Condition, true),
        "after" => (Kind::Before, true),
        "before" => (Kind::Before, false),
        _ => return None,
    })
}

/// The share of the saying words of one stretch that the other has.
fn shared(spots: &Spots<'_>, mine: &Range<usize>, theirs: &Range<usize>) -> f64 {
    let says: Vec<usize> = mine.clone().filter(|at| !spots.mine.is_small(*at) && !spots.mine.is_filler(*at)).collect();
    let had =
        says.iter().filter(|at| theirs.clone().any(|other| spots.mine.is_same(**at, spots.theirs, other))).count();
    had as f64 / says.len().max(1) as f64
}
